//! The search for flows and heads: Newton's method inside, the one-way links outside.
//!
//! Contract: see the module above. Each step solves for corrections to heads and flows rather than
//! for the heads themselves, so that rounding errors die out as the corrections do.

use super::law::{self, Law};
use super::layout::{Layout, NO_PLACE};
use super::parts::{Fault, Gate, Link, Network, Part, Solution};
use super::sparse::Entries;
use crate::finite;

/// A slope below this, in s/m², is taken as this: a loss that is flat at no flow would make the
/// equations singular. Real pipes are steeper by four powers of ten.
const FLATTEST: f64 = 1e-3;
/// Heads must add up to this, in m, in every link.
const HEAD_MISS: f64 = 1e-11;
/// The last step must be smaller than this share of all flows.
const FLOW_STEP: f64 = 1e-7;
/// The last step must move no head further than this, in m: rounding spoils the flows of links that
/// lose next to nothing in proportion to it.
const HEAD_STEP: f64 = 1e-4;
/// A flow smaller than this share of the largest one is no flow: rounding leaves as much where the
/// truth is nothing, and its sign means nothing.
const NO_FLOW: f64 = 1e-12;
/// A flow smaller than this, in m³/s, is no flow either: a drop in a hundred thousand years.
const LEAST_FLOW: f64 = 1e-17;
/// A head smaller than this, in m, does not open one.
const NO_HEAD: f64 = 1e-9;
const MOST_ITERATIONS: usize = 400;
/// From this iteration on the steps are shortened: many dead ends can make full ones go to and fro.
const SHORTEN_FROM: usize = 40;

/// A search under way. Heads, draws and right-hand sides are by node; the equations by place.
struct Search<'a> {
    layout: &'a Layout,
    links: &'a [Link],
    laws: Vec<Law>,
    /// Whether each link lets water through now.
    open: Vec<bool>,
    /// Whether each node has an open path to a fixed head now.
    reached: Vec<bool>,
    fixed: Vec<bool>,
    draws: Vec<f64>,
    flows: Vec<f64>,
    heads: Vec<f64>,
    /// Per link, the head still unexplained in m, and the inverse slope of its loss in m²/s.
    misses: Vec<(f64, f64)>,
    equations: Entries,
    side: Vec<f64>,
    iterations: usize,
}

pub(super) fn solve(layout: &Layout, network: &Network, viscosity: f64) -> Result<Solution, Fault> {
    let mut search = Search::new(layout, network, viscosity)?;
    // Each valve may move more than once, but a finite number of times; the limit is far beyond.
    let valves = gated(network, Gate::OneWay).count();
    for turn in 0..=20 + 4 * valves {
        search.find_reached()?;
        search.settle()?;
        let patient = turn < 10 + 2 * valves;
        let Some(link) = search.misplaced_valve(patient) else {
            return search.finish();
        };
        search.open[link] = !search.open[link];
        search.flows[link] = 0.0;
    }
    Err(Fault::ValvesNotSettled {
        iterations: search.iterations,
    })
}

fn gated(network: &Network, gate: Gate) -> impl Iterator<Item = usize> + '_ {
    let links = network.links.iter().enumerate();
    links.filter_map(move |(at, link)| (link.gate == gate).then_some(at))
}

impl<'a> Search<'a> {
    fn new(layout: &'a Layout, network: &'a Network, viscosity: f64) -> Result<Self, Fault> {
        let mut laws = Vec::with_capacity(network.links.len());
        let mut flows = Vec::with_capacity(network.links.len());
        for (link, Link { part, .. }) in network.links.iter().enumerate() {
            let (law, flow) =
                law::of(part, viscosity).map_err(|cause| Fault::Link { link, cause })?;
            if let Part::Run(run) = part
                && run.length == 0.0
                && run.loss == 0.0
            {
                return Err(Fault::NoResistance { link });
            }
            laws.push(law);
            flows.push(flow);
        }
        let mut heads = Vec::with_capacity(network.nodes.len());
        for (at, node) in network.nodes.iter().enumerate() {
            let fault = |cause| Fault::Node { node: at, cause };
            finite(("draw", "m³/s"), node.draw).map_err(fault)?;
            let head = node.fixed_head.unwrap_or(0.0);
            heads.push(finite(("fixed head", "m"), head).map_err(fault)?);
        }
        Ok(Search {
            layout,
            links: &network.links,
            laws,
            open: network
                .links
                .iter()
                .map(|l| l.gate != Gate::Closed)
                .collect(),
            reached: vec![true; heads.len()],
            fixed: network
                .nodes
                .iter()
                .map(|n| n.fixed_head.is_some())
                .collect(),
            draws: network.nodes.iter().map(|n| n.draw).collect(),
            misses: vec![(0.0, 0.0); flows.len()],
            flows,
            heads,
            equations: layout.pattern.zeros(),
            side: vec![0.0; layout.pattern.place.len()],
            iterations: 0,
        })
    }

    /// Finds the nodes with an open path to a fixed head, and puts the rest to rest.
    fn find_reached(&mut self) -> Result<(), Fault> {
        if self.open.iter().all(|open| *open) && self.all_joined() {
            return Ok(());
        }
        let mut meets: Vec<Vec<usize>> = vec![Vec::new(); self.heads.len()];
        for (at, link) in self.links.iter().enumerate() {
            if self.open[at] {
                meets[link.from].push(at);
                meets[link.to].push(at);
            }
        }
        self.reached.copy_from_slice(&self.fixed);
        let mut waiting: Vec<usize> = (0..self.heads.len()).filter(|n| self.fixed[*n]).collect();
        while let Some(node) = waiting.pop() {
            for at in &meets[node] {
                let link = &self.links[*at];
                let other = if link.from == node {
                    link.to
                } else {
                    link.from
                };
                if !self.reached[other] {
                    self.reached[other] = true;
                    waiting.push(other);
                }
            }
        }
        for (node, reached) in self.reached.iter().enumerate() {
            if !reached && self.draws[node] != 0.0 {
                return Err(Fault::DrawCutOff { node });
            }
        }
        for (at, link) in self.links.iter().enumerate() {
            if !self.open[at] || !self.reached[link.from] {
                self.flows[at] = 0.0;
            }
        }
        Ok(())
    }

    /// Whether links in the order given join every node to a fixed head: the usual case, settled
    /// without building lists.
    fn all_joined(&mut self) -> bool {
        self.reached.copy_from_slice(&self.fixed);
        let mut left = self.reached.iter().filter(|reached| !**reached).count();
        for _ in 0..4 {
            for link in self.links {
                let (from, to) = (self.reached[link.from], self.reached[link.to]);
                if from != to {
                    self.reached[link.from] = true;
                    self.reached[link.to] = true;
                    left -= 1;
                }
            }
            if left == 0 {
                return true;
            }
        }
        false
    }

    /// Newton's method with the gates as they are.
    fn settle(&mut self) -> Result<(), Fault> {
        let mut small_step = false;
        let mut turn = 0;
        loop {
            let miss = self.find_misses();
            if small_step && miss <= HEAD_MISS {
                return Ok(());
            }
            if turn == MOST_ITERATIONS || !miss.is_finite() || !self.find_corrections() {
                let iterations = self.iterations;
                return Err(Fault::NotSettled { iterations, miss });
            }
            let share = if turn < SHORTEN_FROM { 1.0 } else { 0.6 };
            small_step = self.correct(share);
            self.iterations += 1;
            turn += 1;
        }
    }

    /// What every link's loss leaves unexplained; returns the worst, in m.
    fn find_misses(&mut self) -> f64 {
        let mut worst = 0.0_f64;
        for (at, link) in self.links.iter().enumerate() {
            if !self.open[at] || !self.reached[link.from] {
                continue;
            }
            let (loss, slope) = self.laws[at].loss_and_slope(self.flows[at]);
            let miss = self.heads[link.from] - self.heads[link.to] - loss;
            // A miss that is not a number must not be lost in the comparison.
            worst = if miss.is_nan() {
                f64::INFINITY
            } else {
                worst.max(miss.abs())
            };
            self.misses[at] = (miss, 1.0 / slope.max(FLATTEST));
        }
        worst
    }

    /// Solves for the corrections of the heads, into `side`.
    fn find_corrections(&mut self) -> bool {
        let Entries { diagonal, below } = &mut self.equations;
        diagonal.fill(0.0);
        below.fill(0.0);
        self.side.fill(0.0);
        for (node, place) in self.layout.places.iter().enumerate() {
            if *place != NO_PLACE {
                self.side[*place as usize] = -self.draws[node];
                if !self.reached[node] {
                    diagonal[*place as usize] = 1.0;
                }
            }
        }
        for (at, link) in self.links.iter().enumerate() {
            if !self.open[at] || !self.reached[link.from] || link.from == link.to {
                continue;
            }
            let (miss, ease) = self.misses[at];
            let pushed = self.flows[at] + ease * miss;
            let (from, to) = (self.layout.places[link.from], self.layout.places[link.to]);
            if from != NO_PLACE {
                diagonal[from as usize] += ease;
                self.side[from as usize] -= pushed;
            }
            if to != NO_PLACE {
                diagonal[to as usize] += ease;
                self.side[to as usize] += pushed;
            }
            if from != NO_PLACE && to != NO_PLACE {
                below[self.layout.slots[at] as usize] -= ease;
            }
        }
        if !self.layout.pattern.factor(&mut self.equations) {
            return false;
        }
        self.layout.pattern.solve(&self.equations, &mut self.side);
        true
    }

    /// Applies a share of the corrections; returns whether flows and heads hardly moved.
    fn correct(&mut self, share: f64) -> bool {
        let (mut moved, mut all) = (0.0, 0.0);
        for (at, link) in self.links.iter().enumerate() {
            if !self.open[at] || !self.reached[link.from] {
                continue;
            }
            let correction = |node: usize| match self.layout.places[node] {
                NO_PLACE => 0.0,
                place => self.side[place as usize],
            };
            let (miss, ease) = self.misses[at];
            let step = ease * (miss + correction(link.from) - correction(link.to));
            self.flows[at] += share * step;
            moved += step.abs();
            all += self.flows[at].abs();
        }
        let mut furthest = 0.0_f64;
        for (node, place) in self.layout.places.iter().enumerate() {
            if *place != NO_PLACE {
                let step = self.side[*place as usize];
                self.heads[node] += share * step;
                furthest = furthest.max(step.abs());
            }
        }
        furthest <= HEAD_STEP && moved <= (FLOW_STEP * all).max(LEAST_FLOW)
    }

    /// The one-way link that is most wrongly open or shut, or with little patience the first.
    fn misplaced_valve(&self, patient: bool) -> Option<usize> {
        let no_flow = self.no_flow();
        let mut found: Option<(f64, usize)> = None;
        for (at, link) in self.links.iter().enumerate() {
            if link.gate != Gate::OneWay {
                continue;
            }
            let wrong = if self.open[at] {
                // Flows and heads cannot be compared; the large number puts backward flows first.
                (self.flows[at] < -no_flow).then(|| 1e6 - self.flows[at])
            } else if self.reached[link.from] && self.reached[link.to] {
                let drive = self.drive(at);
                (drive > NO_HEAD).then_some(drive)
            } else {
                None
            };
            if let Some(wrong) = wrong
                && found.is_none_or(|(most, _)| patient && wrong > most)
            {
                found = Some((wrong, at));
            }
        }
        found.map(|(_, at)| at)
    }

    /// Head in m that would drive water forwards through a shut link.
    fn drive(&self, at: usize) -> f64 {
        let link = &self.links[at];
        let lift = match &self.laws[at] {
            Law::Run(_) => 0.0,
            Law::Pump(curve) => curve.shut_off,
        };
        self.heads[link.from] - self.heads[link.to] + lift
    }

    /// The size, in m³/s, below which a flow is none.
    fn no_flow(&self) -> f64 {
        let sizes = self.flows.iter().map(|flow| flow.abs());
        (NO_FLOW * sizes.fold(0.0, f64::max)).max(LEAST_FLOW)
    }

    fn finish(mut self) -> Result<Solution, Fault> {
        let no_flow = self.no_flow();
        let mut shut = Vec::new();
        let mut beyond_curve = Vec::new();
        for (at, link) in self.links.iter().enumerate() {
            if link.gate == Gate::OneWay && !self.open[at] {
                shut.push(at);
            }
            if self.flows[at].abs() <= no_flow {
                self.flows[at] = 0.0;
            }
            let flow = self.flows[at];
            match &self.laws[at] {
                Law::Run(evaluator) => {
                    let fault = |cause| Fault::Link { link: at, cause };
                    evaluator.check(flow).map_err(fault)?;
                }
                Law::Pump(curve) => {
                    if flow < 0.0 || flow > curve.greatest_flow() * (1.0 + 1e-9) {
                        beyond_curve.push(at);
                    }
                }
            }
        }
        let heads = self.heads.iter().zip(&self.reached);
        Ok(Solution {
            flows: self.flows,
            heads: heads
                .map(|(head, reached)| reached.then_some(*head))
                .collect(),
            shut,
            beyond_curve,
            iterations: self.iterations,
        })
    }
}
