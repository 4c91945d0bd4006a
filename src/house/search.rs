//! The cases of a house with everything open, solved, and what is seen in them.
//!
//! Contract: the least flow of a branch is sought with every other taker on its leg moved by itself, for one
//! that leaves the main before it may take more or less from it the farther on it is. Everything else
//! lies at ends that are known beforehand, since pipes in series and beside one another have no bridge:
//! how a flow changes with each loss has one sign.

use crate::carry::Sludge;
use crate::case::{Beside, Case, Spot};
use crate::emitter::{over_bore, pressure_at_outlet};
use crate::mains::Lay;
use crate::model::{House, Layout, Way};
use crate::network::{Built, PUMP, build};
use crate::opened::{MOST_OPEN, NoNetwork, Share};
use crate::outlet::in_pascals;
use crate::range::Range;
use crate::series::{End, Water};
use std::cell::Cell;
use wetside_physics::network::{Solution, solve};
use wetside_units::truth::Truth;

/// Solves the cases of a house.
pub(crate) struct Search<'a> {
    house: &'a House,
    /// With each of the pumps that it may have.
    lays: Vec<Lay<'a>>,
    pub water: Water,
    sludge: Sludge,
    viscosities: Vec<f64>,
    spots: &'static [Spot],
    /// The one solution of a house without a range, forward and back.
    exact: Option<[(Built, Solution); 2]>,
    pub solutions: Cell<usize>,
}

const BOTH: [End; 2] = [End::Most, End::Least];

/// Shares of the way to an emitter at which the others on its leg are tried.
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];
/// Where all of them stand at first.
const STARTS: [f64; 2] = [0.0, 1.0];
/// No more than so many are moved by themselves; of longer legs neighbours in the list move together.
const MOST_MOVED: usize = 12;
/// By less than this share a fall is the noise of the search, and what it finds is taken so much lower.
const LEAST_FALL: f64 = 1e-6;
const NOT_PROVED: f64 = 0.01;

impl<'a> Search<'a> {
    pub(crate) fn new(house: &'a House, pumps: &'a [House]) -> Result<Search<'a>, NoNetwork> {
        if matches!(house.layout, Layout::Mixed | Layout::Underfloor) {
            return Err(NoNetwork::Layout(house.layout));
        }
        match house.emitters.len() {
            0 => return Err(NoNetwork::NoEmitter),
            count if count > MOST_OPEN => return Err(NoNetwork::TooMany),
            _ => {}
        }
        let water = Water::at(house.celsius, house.antifreeze.as_ref())?;
        let Range { low, high } = water.viscosity;
        let mut search = Search {
            house,
            lays: pumps.iter().map(Lay::of).collect(),
            water,
            sludge: Sludge::new(house.celsius, house.antifreeze.as_ref())?,
            viscosities: if low < high {
                vec![low, high]
            } else {
                vec![low]
            },
            spots: match house.layout {
                Layout::TwoPipe => &[Spot::Near, Spot::Far, Spot::Same],
                _ => &[Spot::Far],
            },
            exact: None,
            solutions: Cell::new(0),
        };
        if is_exact(house) {
            let forward = Case::all(End::Most, Spot::Far);
            let back = Case {
                back: true,
                ..forward
            };
            let at = |case| search.solve(&search.lays[0], &case, low, None);
            search.exact = Some([at(forward)?, at(back)?]);
        }
        Ok(search)
    }

    /// Solves a case, the others on the leg moved each to its share of the way to the emitter asked about, if any.
    fn solve(
        &self,
        lay: &Lay<'_>,
        case: &Case,
        viscosity: f64,
        moved: Option<&[f64]>,
    ) -> Result<(Built, Solution), NoNetwork> {
        let layout = self.house.layout;
        let built = build(lay, &self.water, case, moved);
        let built = built.ok_or(NoNetwork::Layout(layout))?;
        let solution = solve(&built.network, viscosity)?;
        self.solutions.set(self.solutions.get() + 1);
        Ok((built, solution))
    }

    /// Each pump with each viscosity.
    fn pumps(&self) -> impl Iterator<Item = (&Lay<'a>, f64)> {
        let lays = self.lays.iter();
        lays.flat_map(|lay| {
            self.viscosities
                .iter()
                .map(move |viscosity| (lay, *viscosity))
        })
    }

    /// What is seen in the solutions of a sort of case, over every place of the others, every pump and
    /// every viscosity.
    pub(crate) fn over<const N: usize>(
        &self,
        case: impl Fn(End, Spot) -> Case,
        see: impl Fn(&Built, &Solution) -> [Range; N],
    ) -> Result<[Range; N], NoNetwork> {
        if let Some(exact) = &self.exact {
            let back = case(End::Most, Spot::Far).back;
            let (built, solution) = &exact[usize::from(back)];
            return Ok(see(built, solution));
        }
        let mut found: Option<[Range; N]> = None;
        for (lay, viscosity) in self.pumps() {
            for spot in self.spots {
                for end in BOTH {
                    let (built, solution) = self.solve(lay, &case(end, *spot), viscosity, None)?;
                    let mut here = see(&built, &solution);
                    if let Some(all) = found {
                        here = std::array::from_fn(|at| all[at].hull(here[at]));
                    }
                    found = Some(here);
                }
            }
        }
        found.ok_or(NoNetwork::NoEmitter)
    }

    /// What one branch gets.
    pub(crate) fn share(&self, at: usize) -> Result<Share, NoNetwork> {
        let house = self.house;
        let emitter = &house.emitters[at];
        let flow = self.flow(at, false)?;
        let way_back = in_pascals(&self.water, self.way_back(at)?);
        let speed = over_bore(flow, emitter.tails.bore);
        let [fine, coarse] = self.sludge.fates(&emitter.tails, speed)?;
        Ok(Share {
            id: emitter.id.clone(),
            flow,
            flow_back: self.flow_back(at, flow)?,
            speed,
            fine,
            coarse,
            outlet: pressure_at_outlet(house, &self.water, emitter, way_back),
        })
    }

    /// Head in m that is lost on the way back to the tank from the outlet of one branch.
    fn way_back(&self, at: usize) -> Result<Range, NoNetwork> {
        let layout = self.house.layout;
        let see = |built: &Built, solution: &Solution| way_back(layout, built, solution, at);
        let mut all: Option<Range> = None;
        let mut most = None;
        for beside in Beside::each(layout) {
            let case = |end, spot| Case::outlet(layout, at, end, beside, spot);
            let [here] = self.over(case, |built, solution| [see(built, solution)])?;
            if all.is_none_or(|all| here.high > all.high) {
                most = Some(beside);
            }
            all = Some(all.map_or(here, |all| all.hull(here)));
        }
        let (all, beside) = all.zip(most).ok_or(NoNetwork::NoEmitter)?;
        // Takers that are moved apart leave the branch less, so that less is lost in its own valves.
        let apart = Case::outlet(layout, at, End::Most, beside, Spot::Same);
        let below = |built: &Built, solution: &Solution| -see(built, solution).high;
        let high = -self.moved_apart(at, &apart, -all.high, below)?;
        Ok(Range::new(all.low, high.max(all.high)))
    }

    /// The flow of one branch, forward or back.
    fn flow(&self, at: usize, back: bool) -> Result<Range, NoNetwork> {
        let case = |end, spot| Case {
            back,
            ..Case::flow(self.house.layout, at, end, spot)
        };
        let [flow] = self.over(case, |built, solution| {
            [Range::point(flow_of(built, solution, at))]
        })?;
        let least = Case {
            back,
            ..Case::flow(self.house.layout, at, End::Most, Spot::Same)
        };
        let own = |built: &Built, solution: &Solution| flow_of(built, solution, at);
        let least = self.moved_apart(at, &least, flow.low, own)?;
        Ok(Range::new(least, flow.high))
    }

    /// The least of what is seen of a branch with every other taker on its leg moved by itself.
    ///
    /// One that leaves the main before the emitter may take more or less from it the farther on it is, so
    /// each is tried at several places until none of them lets the flow fall further. That is a search and
    /// no proof: what it finds is taken a hundredth lower.
    fn moved_apart(
        &self,
        at: usize,
        case: &Case,
        least: f64,
        see: impl Fn(&Built, &Solution) -> f64,
    ) -> Result<f64, NoNetwork> {
        let emitters = &self.house.emitters;
        let mut takers: Vec<usize> = (0..emitters.len())
            .filter(|other| *other != at && emitters[*other].floor == emitters[at].floor)
            .filter(|other| !emitters[*other].place.is_point())
            .collect();
        // In the order of their names, so that the order of the list cannot be seen.
        takers.sort_by_key(|other| &emitters[*other].id);
        if self.house.layout != Layout::TwoPipe || self.exact.is_some() || takers.is_empty() {
            return Ok(least);
        }
        let mut best = least;
        let blocks: Vec<&[usize]> = takers.chunks(takers.len().div_ceil(MOST_MOVED)).collect();
        for (lay, viscosity) in self.pumps() {
            for start in STARTS {
                let mut shares = vec![start; emitters.len()];
                let mut here = f64::INFINITY;
                let mut falls = true;
                while falls {
                    falls = false;
                    for (block, share) in blocks.iter().flat_map(|one| PLACES.map(|at| (one, at))) {
                        let mut tried = shares.clone();
                        block.iter().for_each(|taker| tried[*taker] = share);
                        let (built, solution) = self.solve(lay, case, viscosity, Some(&tried))?;
                        let seen = see(&built, &solution);
                        if here - seen > LEAST_FALL * seen.abs() {
                            (here, shares, falls) = (seen, tried, true);
                        }
                    }
                }
                best = best.min(here);
            }
        }
        Ok(best - NOT_PROVED * best.abs())
    }

    fn flow_back(&self, at: usize, forward: Range) -> Result<Range, NoNetwork> {
        let house = self.house;
        let way = house.way.and(house.emitters[at].way);
        let mut emitters = house.emitters.iter();
        if way == Way::ForwardOnly {
            return Ok(Range::point(0.0));
        }
        if house.way == Way::Both && emitters.all(|emitter| emitter.way == Way::Both) {
            return Ok(forward);
        }
        let back = self.flow(at, true)?;
        Ok(if way == Way::Unknown {
            Range::new(0.0, back.high)
        } else {
            back
        })
    }

    /// Speed in the busiest main: at least the most that any has for certain, and at least an equal share
    /// of what the machine drives into them.
    pub(crate) fn main_speed(&self) -> Result<Range, NoNetwork> {
        let mut busiest = Range::point(0.0);
        for at in 0..self.house.emitters.len() {
            let case = |end, spot| Case::main(at, end, spot);
            let [main] = self.over(case, |built, solution| {
                [Range::point(main_of(built, solution, at))]
            })?;
            busiest = Range::new(busiest.low.max(main.low), busiest.high.max(main.high));
        }
        let [into_mains, legs] = self.over(Case::share_of_shorts, |built, solution| {
            let around: f64 = built.shorts.iter().map(|link| solution.flows[*link]).sum();
            let legs = built.legs.len().max(1) as f64;
            [solution.flows[PUMP] - around, legs].map(Range::point)
        })?;
        busiest.low = busiest.low.max(into_mains.low / legs.high);
        Ok(over_bore(busiest, self.house.mains.bore))
    }

    /// Head in m above the tank's level where the mains begin, half of what hoses and joint lose being
    /// lost on the way there.
    ///
    /// A greater loss in hoses and joint raises the head at the pump and lowers it at the joint, so
    /// their middle may fall before it rises: it is greatest at one end of that loss, and no less than
    /// the middle of the two least heads.
    pub(crate) fn feed(&self) -> Result<Range, NoNetwork> {
        let of = |common: End| {
            let case = move |end, spot| Case {
                common,
                ..Case::feed(end, spot)
            };
            self.over(case, |built, solution| {
                let (out, joint) = (solution.heads[built.outlet], solution.heads[built.joint]);
                [out, joint, 0.5 * (out + joint)].map(Range::point)
            })
        };
        let [one, other] = [of(BOTH[0])?, of(BOTH[1])?];
        let [pump, joint, between] = std::array::from_fn(|at| one[at].hull(other[at]));
        Ok(Range::new(0.5 * (pump.low + joint.low), between.high))
    }
}

/// Whether every number of a house is known exactly.
fn is_exact(house: &House) -> bool {
    let exact = house.inputs().iter().all(|input| input.range.is_point());
    let known = house
        .shorts
        .iter()
        .all(|short| short.open != Truth::Undecided);
    let ways = house.emitters.iter().map(|emitter| emitter.way);
    let ways = ways.chain([house.way]).all(|way| way != Way::Unknown);
    exact && known && ways
}

pub(crate) fn machine_flow(_: &Built, solution: &Solution) -> [Range; 1] {
    [Range::point(solution.flows[PUMP])]
}

/// The flow at the connection in the main that leads to an emitter.
fn main_of(built: &Built, solution: &Solution, at: usize) -> f64 {
    if let Some(link) = built.loop_main {
        return solution.flows[link];
    }
    let leg = built.legs.iter().find(|leg| leg.contains(&at));
    let leg = leg.into_iter().flatten();
    leg.map(|at| flow_of(built, solution, *at)).sum()
}

fn flow_of(built: &Built, solution: &Solution, at: usize) -> f64 {
    built.emitters[at].map_or(0.0, |(link, _)| solution.flows[link])
}

/// Head in m lost on the way back to the tank from an emitter's outlet: half of what the pump makes less
/// what its valves and fittings lose, since out and back are alike; on a loop from that of the hoses up to
/// all of it.
fn way_back(layout: Layout, built: &Built, solution: &Solution, at: usize) -> Range {
    let Some((link, node)) = built.emitters[at] else {
        return Range::point(0.0);
    };
    let (out, joint) = (solution.heads[built.outlet], solution.heads[built.joint]);
    if layout == Layout::OnePipe {
        let to = built.network.links[link].to;
        let own = solution.heads[node] - solution.heads[to];
        let hoses = 0.5 * (out - joint);
        Range::new(hoses, out - hoses - 0.5 * own)
    } else {
        let own = built.fittings[at] * solution.flows[link].powi(2);
        Range::point(0.5 * (out - own))
    }
}
