//! The search for flows and heads, by Newton's method.
//!
//! Contract: see the module above. Each step solves for corrections to heads and flows rather than
//! for the heads themselves, so that rounding errors die out as the corrections do. The loss of a link rises
//! with the flow at every flow, backward ones too, so that the search has one answer.

use super::parts::{Fault, Link, Network, Part, Solution};
use super::sparse::{Entries, Pattern};
use crate::friction::Evaluator;
use crate::pump::Curve;
use crate::{OutOfRange, above_zero, finite, not_negative, pipe, within};

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
const MOST_ITERATIONS: usize = 400;
/// From this iteration on the steps are shortened: many dead ends can make full ones go to and fro.
const SHORTEN_FROM: usize = 40;
/// Marks a node without unknown, or a link without an entry.
const NO_PLACE: u32 = u32::MAX;

/// A search under way. Heads are by node; the equations and their right-hand sides by place.
struct Search<'a> {
    links: &'a [Link],
    laws: Vec<Law>,
    flows: Vec<f64>,
    heads: Vec<f64>,
    /// The place of every node's unknown, or `NO_PLACE` for a fixed head.
    places: Vec<u32>,
    /// The entry that the two ends of every link share, or `NO_PLACE`.
    slots: Vec<u32>,
    pattern: Pattern,
    /// Per link, the head still unexplained in m, and the inverse slope of its loss in m²/s.
    misses: Vec<(f64, f64)>,
    equations: Entries,
    side: Vec<f64>,
}

pub(super) fn solve(network: &Network, viscosity: f64) -> Result<Solution, Fault> {
    let mut search = Search::new(network, viscosity)?;
    let mut small_step = false;
    let mut turn = 0;
    loop {
        let miss = search.find_misses();
        if small_step && miss <= HEAD_MISS {
            return search.finish(turn);
        }
        if turn == MOST_ITERATIONS || !miss.is_finite() || !search.find_corrections() {
            let iterations = turn;
            return Err(Fault::NotSettled { iterations, miss });
        }
        let share = if turn < SHORTEN_FROM { 1.0 } else { 0.6 };
        small_step = search.correct(share);
        turn += 1;
    }
}

impl<'a> Search<'a> {
    fn new(network: &'a Network, viscosity: f64) -> Result<Self, Fault> {
        let links = &network.links;
        let mut laws = Vec::with_capacity(links.len());
        let mut flows = Vec::with_capacity(links.len());
        for (link, Link { part, .. }) in links.iter().enumerate() {
            let (law, flow) =
                law_of(part, viscosity).map_err(|cause| Fault::Link { link, cause })?;
            if matches!(part, Part::Run(run) if run.length == 0.0 && run.loss == 0.0) {
                return Err(Fault::NoResistance { link });
            }
            laws.push(law);
            flows.push(flow);
        }
        let mut heads = Vec::with_capacity(network.fixed_heads.len());
        for (node, fixed) in network.fixed_heads.iter().enumerate() {
            let head = finite(("fixed head", "m"), fixed.unwrap_or(0.0));
            heads.push(head.map_err(|cause| Fault::Node { node, cause })?);
        }
        let (places, slots, pattern) = layout(network)?;
        Ok(Search {
            links,
            laws,
            misses: vec![(0.0, 0.0); flows.len()],
            flows,
            heads,
            equations: pattern.zeros(),
            side: vec![0.0; pattern.place.len()],
            places,
            slots,
            pattern,
        })
    }

    /// What every link's loss leaves unexplained; returns the worst, in m.
    fn find_misses(&mut self) -> f64 {
        let mut worst = 0.0_f64;
        for (at, link) in self.links.iter().enumerate() {
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
        for (at, link) in self.links.iter().enumerate() {
            if link.from == link.to {
                continue;
            }
            let (miss, ease) = self.misses[at];
            let pushed = self.flows[at] + ease * miss;
            let (from, to) = (self.places[link.from], self.places[link.to]);
            if from != NO_PLACE {
                diagonal[from as usize] += ease;
                self.side[from as usize] -= pushed;
            }
            if to != NO_PLACE {
                diagonal[to as usize] += ease;
                self.side[to as usize] += pushed;
            }
            if from != NO_PLACE && to != NO_PLACE {
                below[self.slots[at] as usize] -= ease;
            }
        }
        if !self.pattern.factor(&mut self.equations) {
            return false;
        }
        self.pattern.solve(&self.equations, &mut self.side);
        true
    }

    /// Applies a share of the corrections; returns whether flows and heads hardly moved.
    fn correct(&mut self, share: f64) -> bool {
        let (mut moved, mut all) = (0.0, 0.0);
        for (at, link) in self.links.iter().enumerate() {
            let correction = |node: usize| match self.places[node] {
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
        for (node, place) in self.places.iter().enumerate() {
            if *place != NO_PLACE {
                let step = self.side[*place as usize];
                self.heads[node] += share * step;
                furthest = furthest.max(step.abs());
            }
        }
        furthest <= HEAD_STEP && moved <= (FLOW_STEP * all).max(LEAST_FLOW)
    }

    fn finish(mut self, iterations: usize) -> Result<Solution, Fault> {
        let sizes = self.flows.iter().map(|flow| flow.abs());
        let no_flow = (NO_FLOW * sizes.fold(0.0, f64::max)).max(LEAST_FLOW);
        for (link, law) in self.laws.iter().enumerate() {
            if self.flows[link].abs() <= no_flow {
                self.flows[link] = 0.0;
            }
            if let Law::Run(evaluator) = law {
                let checked = evaluator.check(self.flows[link]);
                checked.map_err(|cause| Fault::Link { link, cause })?;
            }
        }
        Ok(Solution {
            flows: self.flows,
            heads: self.heads,
            iterations,
        })
    }
}

/// The shape of a network: the place of each node's unknown and the entry of each link, in the order of
/// elimination of the unknown with the fewest neighbours first.
fn layout(network: &Network) -> Result<(Vec<u32>, Vec<u32>, Pattern), Fault> {
    let nodes = network.fixed_heads.len();
    for (link, Link { from, to, .. }) in network.links.iter().enumerate() {
        if let Some(node) = [*from, *to].into_iter().find(|node| *node >= nodes) {
            return Err(Fault::NoSuchNode { link, node });
        }
    }
    let mut unknowns = 0;
    let mut numbers = Vec::with_capacity(nodes);
    for fixed in &network.fixed_heads {
        numbers.push(if fixed.is_some() {
            NO_PLACE
        } else {
            unknowns += 1;
            unknowns - 1
        });
    }
    let pair = |link: &Link| (numbers[link.from], numbers[link.to]);
    let shared = |(one, other): &(u32, u32)| *one != NO_PLACE && *other != NO_PLACE && one != other;
    let pairs: Vec<_> = network.links.iter().map(pair).filter(shared).collect();
    let pattern = Pattern::new(unknowns as usize, &pairs);
    let slot = |(one, other)| {
        if shared(&(one, other)) {
            pattern.slot(one, other)
        } else {
            NO_PLACE
        }
    };
    let place = |number: &u32| match *number {
        NO_PLACE => NO_PLACE,
        number => pattern.place[number as usize],
    };
    let slots = network.links.iter().map(|link| slot(pair(link))).collect();
    Ok((numbers.iter().map(place).collect(), slots, pattern))
}

/// The loss of one link, ready for evaluation.
enum Law {
    Run(Evaluator),
    Pump(Curve),
}

impl Law {
    /// Head lost in m, with the sign of the flow, and its slope in s/m².
    fn loss_and_slope(&mut self, flow: f64) -> (f64, f64) {
        match self {
            Law::Run(evaluator) => evaluator.loss_and_slope(flow),
            Law::Pump(curve) => {
                // Beyond no flow the curve is continued as its mirror image, which keeps it rising.
                let size = flow.abs();
                let per_flow = curve.fall
                    * match curve.exponent {
                        2.0 => size,
                        exponent => size.powf(exponent - 1.0),
                    };
                (per_flow * flow - curve.shut_off, curve.exponent * per_flow)
            }
        }
    }
}

/// The law of a part and a flow to start the search from.
fn law_of(part: &Part, viscosity: f64) -> Result<(Law, f64), OutOfRange> {
    /// A speed to start from, in m/s, and a share of a pump's greatest flow.
    const START: f64 = 0.3;
    match part {
        Part::Run(run) => {
            let law = Law::Run(Evaluator::new(run, viscosity)?);
            Ok((law, pipe::flow(START, run.bore)?))
        }
        Part::Pump(curve) => {
            not_negative(("head against a closed valve", "m"), curve.shut_off)?;
            above_zero(("fall of the curve", ""), curve.fall)?;
            within(("exponent of the curve", ""), curve.exponent, 1.0, 5.0)?;
            Ok((Law::Pump(*curve), START * curve.greatest_flow()))
        }
    }
}
