//! Everything open at once: what each branch gets then, and the pressures.
//!
//! Contract: the range of a branch's flow is that over the two cases of [`network`](super::network),
//! with everything for it and everything against it, over three places of the other take-offs, since
//! a place that is not known has its worst at the near end, at the far end or at the emitter's own
//! place, and over the thickest and the thinnest water; pressures and shares have cases of their own. Draws out of the ranges stay inside; between
//! laminar and turbulent flow only to within the hundredth part that the passage may turn by.
//! Speeds are taken at the ends of bore and flow apart. The floor is shut, as it should be while
//! radiators are flushed.

use super::alone::over_bore;
use super::carry::{Fate, Grains};
use super::case::{Case, Spot};
use super::network::{Built, PUMP, build};
use super::path::{End, Water};
use super::pressure;
use super::{House, Layout, State, Way};
use crate::figures::range::Range;
use wetside_physics::OutOfRange;
use wetside_physics::network::{Fault, Solution, solve};

/// A house with everything open.
#[derive(Clone, Debug, PartialEq)]
pub struct AllOpen {
    /// In the order of the house; nothing for an emitter that is taken off.
    pub branches: Vec<Option<Share>>,
    /// Through the machine, in m³/s.
    pub machine_flow: Range,
    /// In the busiest main at the connection, in m/s.
    pub main_speed: Range,
    /// Share of the machine's flow that shorts take.
    pub taken_by_shorts: Range,
    /// Head in m above the tank's level where the mains begin, on the side of the flow.
    pub feed: Range,
    /// The emitter with the lowest pressure at its outlet, and that gauge pressure in Pa.
    pub lowest: Option<(String, Range)>,
}

/// What one branch gets.
#[derive(Clone, Debug, PartialEq)]
pub struct Share {
    pub id: String,
    /// In m³/s, forward and with the machine reversed.
    pub flow: Range,
    pub flow_back: Range,
    /// In its tails, in m/s.
    pub speed: Range,
    pub fine: Fate,
    pub coarse: Fate,
    /// Gauge pressure in Pa at the top of its outlet.
    pub outlet: Range,
}

/// Why there is no network.
#[derive(Clone, Debug, PartialEq)]
pub enum NoNetwork {
    /// The convention has none for this layout.
    Layout(Layout),
    /// The house has no emitter, or all are off.
    NoEmitter,
    OutOfRange(OutOfRange),
    /// The search for the flows did not come to rest.
    Fault(Fault),
}

impl From<OutOfRange> for NoNetwork {
    fn from(cause: OutOfRange) -> NoNetwork {
        NoNetwork::OutOfRange(cause)
    }
}

impl From<Fault> for NoNetwork {
    fn from(fault: Fault) -> NoNetwork {
        match fault {
            Fault::Link { cause, .. } | Fault::Node { cause, .. } => NoNetwork::OutOfRange(cause),
            other => NoNetwork::Fault(other),
        }
    }
}

impl std::fmt::Display for NoNetwork {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            NoNetwork::Layout(Layout::Mixed) => {
                write!(f, "a mixed layout has no network by convention")
            }
            NoNetwork::Layout(_) => write!(f, "this layout has no radiators by convention"),
            NoNetwork::NoEmitter => write!(f, "no emitter is in the circuit"),
            NoNetwork::OutOfRange(cause) => write!(f, "{cause}"),
            NoNetwork::Fault(fault) => write!(f, "{fault}"),
        }
    }
}

/// Flows and pressures with everything open.
pub fn all_open(house: &House) -> Result<AllOpen, NoNetwork> {
    if matches!(house.layout, Layout::Mixed | Layout::Underfloor) {
        return Err(NoNetwork::Layout(house.layout));
    }
    if house.emitters.iter().all(|emitter| emitter.off) {
        return Err(NoNetwork::NoEmitter);
    }
    let water = Water::at(house.celsius)?;
    let grains = Grains::new(house.celsius)?;
    let search = Search::new(house, &water)?;
    let mut branches = Vec::with_capacity(house.emitters.len());
    let mut main = Range::point(0.0);
    for (at, emitter) in house.emitters.iter().enumerate() {
        branches.push(match emitter.off {
            true => None,
            false => {
                let found = search.forward(at)?;
                // The busiest main has at least the most that any has for certain.
                main = Range::new(main.low.max(found.main.low), main.high.max(found.main.high));
                Some(share(&search, &grains, at, found)?)
            }
        });
    }
    let whole = search.whole()?;
    let lowest = branches.iter().flatten().min_by(|one, other| {
        let by_end = one.outlet.low.total_cmp(&other.outlet.low);
        by_end.then_with(|| one.id.cmp(&other.id))
    });
    let lowest = lowest.map(|share| (share.id.clone(), share.outlet));
    Ok(AllOpen {
        branches,
        machine_flow: whole.machine,
        main_speed: over_bore(main, house.mains.bore),
        taken_by_shorts: whole.taken,
        feed: whole.feed,
        lowest,
    })
}

fn share(
    search: &Search<'_>,
    grains: &Grains,
    at: usize,
    forward: Found,
) -> Result<Share, NoNetwork> {
    let house = search.house;
    let emitter = &house.emitters[at];
    let back = match house.way.and(emitter.way) {
        Way::ForwardOnly => Range::point(0.0),
        Way::Both if house.way == Way::Both && all_go_back(house) => forward.flow,
        way => {
            let back = search.flow_back(at)?;
            match way {
                Way::Unknown => Range::new(0.0, back.high),
                _ => back,
            }
        }
    };
    let tails = &emitter.tails;
    let speed = over_bore(forward.flow, tails.bore);
    Ok(Share {
        id: emitter.id.clone(),
        flow: forward.flow,
        flow_back: back,
        speed,
        fine: grains.fine(tails.bore, tails.roughness, speed)?,
        coarse: grains.coarse(tails.bore, tails.roughness, speed)?,
        outlet: pressure::at_outlet(house, search.water, emitter, forward.flow, forward.way_back)?,
    })
}

fn all_go_back(house: &House) -> bool {
    house
        .emitters
        .iter()
        .all(|emitter| emitter.way == Way::Both)
}

/// What the solutions give for one branch.
#[derive(Clone, Copy)]
struct Found {
    flow: Range,
    /// Head in m lost between its take-off and the tank.
    way_back: Range,
    main: Range,
}

/// What the solutions give for the whole.
struct Whole {
    machine: Range,
    taken: Range,
    feed: Range,
}

/// Solves the cases of a house, each once.
struct Search<'a> {
    house: &'a House,
    water: &'a Water,
    viscosities: Vec<f64>,
    spots: &'static [Spot],
    /// The one solution of a house without a range, forward and back.
    exact: Option<[(Built, Solution); 2]>,
}

const BOTH: [End; 2] = [End::Most, End::Least];

impl<'a> Search<'a> {
    fn new(house: &'a House, water: &'a Water) -> Result<Search<'a>, NoNetwork> {
        let Range { low, high } = water.viscosity;
        let mut search = Search {
            house,
            water,
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
        };
        if is_exact(house) {
            let forward = Case::all(End::Most, Spot::Far);
            let back = Case {
                back: true,
                ..forward
            };
            search.exact = Some([search.solve(&forward, low)?, search.solve(&back, low)?]);
        }
        Ok(search)
    }

    fn solve(&self, case: &Case, viscosity: f64) -> Result<(Built, Solution), NoNetwork> {
        let layout = self.house.layout;
        let built = build(self.house, self.water, case).ok_or(NoNetwork::Layout(layout))?;
        let solution = solve(&built.network, viscosity)?;
        Ok((built, solution))
    }

    /// Shows the solutions of a sort of case, at every place of the others and every viscosity.
    fn each(
        &self,
        case: impl Fn(End, Spot) -> Case,
        mut see: impl FnMut(&Built, &Solution),
    ) -> Result<(), NoNetwork> {
        for viscosity in &self.viscosities {
            for spot in self.spots {
                for end in BOTH {
                    let (built, solution) = self.solve(&case(end, *spot), *viscosity)?;
                    see(&built, &solution);
                }
            }
        }
        Ok(())
    }

    fn flow_back(&self, at: usize) -> Result<Range, NoNetwork> {
        if let Some([_, (built, solution)]) = &self.exact {
            return Ok(Range::point(flow_of(built, solution, at)));
        }
        let mut flow = None;
        let case = |end, spot| Case {
            back: true,
            ..Case::flow(self.house.layout, at, end, spot)
        };
        self.each(case, |built, solution| {
            add(&mut flow, Range::point(flow_of(built, solution, at)));
        })?;
        flow.ok_or(NoNetwork::NoEmitter)
    }

    fn forward(&self, at: usize) -> Result<Found, NoNetwork> {
        let (mut flow, mut back_head, mut main) = (None, None, None);
        let back = |built: &Built, solution: &Solution| way_back(self.house, built, solution, at);
        if let Some([(built, solution), _]) = &self.exact {
            return Ok(Found {
                flow: Range::point(flow_of(built, solution, at)),
                way_back: back(built, solution),
                main: Range::point(main_of(built, solution, at)),
            });
        }
        let layout = self.house.layout;
        let case = |end, spot| Case::flow(layout, at, end, spot);
        self.each(case, |built, solution| {
            add(&mut flow, Range::point(flow_of(built, solution, at)));
            add(&mut back_head, back(built, solution));
        })?;
        for beside in BOTH {
            let case = |end, spot| Case::outlet(layout, at, end, beside, spot);
            self.each(case, |built, solution| {
                add(&mut back_head, back(built, solution));
            })?;
        }
        let case = |end, spot| Case::main(at, end, spot);
        self.each(case, |built, solution| {
            add(&mut main, Range::point(main_of(built, solution, at)));
        })?;
        match (flow, back_head, main) {
            (Some(flow), Some(way_back), Some(main)) => Ok(Found {
                flow,
                way_back,
                main,
            }),
            _ => Err(NoNetwork::NoEmitter),
        }
    }

    fn whole(&self) -> Result<Whole, NoNetwork> {
        let (mut machine, mut taken) = (None, None);
        self.each(Case::all, |_, solution| {
            add(&mut machine, Range::point(solution.flows[PUMP]));
        })?;
        self.each(Case::share_of_shorts, |built, solution| {
            let around: f64 = built.shorts.iter().map(|link| solution.flows[*link]).sum();
            let all = solution.flows[PUMP];
            add(
                &mut taken,
                Range::point(if all > 0.0 { around / all } else { 0.0 }),
            );
        })?;
        match (machine, taken) {
            (Some(machine), Some(taken)) => Ok(Whole {
                machine,
                taken,
                feed: self.feed()?,
            }),
            _ => Err(NoNetwork::NoEmitter),
        }
    }

    /// Head where the mains begin, half of what hoses and joint lose being lost on the way there.
    ///
    /// A greater loss in hoses and joint raises the head at the pump and lowers it at the joint, so
    /// their middle may fall before it rises: it is greatest at one end of that loss, and no less than
    /// the middle of the two least heads.
    fn feed(&self) -> Result<Range, NoNetwork> {
        let (mut pump, mut joint, mut between) = (None, None, None);
        for common in BOTH {
            let case = |end, spot| Case {
                common,
                ..Case::feed(end, spot)
            };
            self.each(case, |built, solution| {
                let head = |node: usize| solution.heads[node].unwrap_or(0.0);
                let (out, there) = (head(built.outlet), head(built.joint));
                add(&mut pump, Range::point(out));
                add(&mut joint, Range::point(there));
                add(&mut between, Range::point(0.5 * (out + there)));
            })?;
        }
        match (pump, joint, between) {
            (Some(pump), Some(joint), Some(between)) => {
                Ok(Range::new(0.5 * (pump.low + joint.low), between.high))
            }
            _ => Err(NoNetwork::NoEmitter),
        }
    }
}

fn add(all: &mut Option<Range>, one: Range) {
    *all = Some(all.map_or(one, |all| all.hull(one)));
}

/// Whether every number of a house is known exactly.
fn is_exact(house: &House) -> bool {
    let exact = house.inputs().iter().all(|input| input.range.is_point());
    let known = house
        .shorts
        .iter()
        .all(|short| short.open != State::Unknown);
    let ways = house.emitters.iter().map(|emitter| emitter.way);
    let ways = ways.chain([house.way]).all(|way| way != Way::Unknown);
    exact && known && ways
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

/// Head in m lost on the way back to the tank from where an emitter leaves the mains: half of what is
/// lost on the way there, since out and back are alike; on a loop up to all of it.
fn way_back(house: &House, built: &Built, solution: &Solution, at: usize) -> Range {
    let head = |node: usize| solution.heads[node].unwrap_or(0.0);
    let Some((_, node)) = built.emitters[at] else {
        return Range::point(0.0);
    };
    let common = head(built.outlet) - head(built.joint);
    match house.layout {
        Layout::OnePipe => Range::new(0.5 * common, 0.5 * common + head(built.joint)),
        _ => Range::point(0.5 * (head(built.outlet) - head(node))),
    }
}
