//! Everything open at once: what each branch gets then, and the pressures.
//!
//! Contract: the range of a branch's flow is that over the two cases of [`network`](crate::network),
//! with everything for it and everything against it, over three places of the other take-offs, since
//! a place that is not known has its worst at the near end, at the far end or at the emitter's own
//! place, and over the thickest and the thinnest water; pressures and shares have cases of their own.
//! Draws out of the ranges stay inside; between laminar and turbulent flow only to within the
//! hundredth part that the passage may turn by. Speeds are taken at the ends of bore and flow apart.
//! The floor is shut, as it should be while radiators are flushed.
//!
//! So many networks are solved for each branch, and each is as large as the house: the cost grows with
//! the square of the emitters. Of more than [`MOST_OPEN`] nothing is worked out, and the reason says so.

use crate::carry::{Fate, Sludge};
use crate::case::{Case, Spot};
use crate::emitter::{over_bore, pascals, pressure_at_outlet};
use crate::mains::Lay;
use crate::model::{House, Layout, Way};
use crate::network::{Built, PUMP, build};
use crate::range::Range;
use crate::series::{End, Water};
use std::cell::Cell;
use wetside_physics::OutOfRange;
use wetside_physics::network::{Fault, Solution, solve};
use wetside_units::truth::Truth;

/// The most emitters of which all are worked out together.
pub const MOST_OPEN: usize = 60;

/// A house with everything open.
#[derive(Clone, Debug, PartialEq)]
pub struct AllOpen {
    /// In the order of the house.
    pub branches: Vec<Share>,
    /// Through the machine, in m³/s.
    pub machine_flow: Range,
    /// In the busiest main at the connection, in m/s.
    pub main_speed: Range,
    /// Share of the machine's flow that shorts take.
    pub taken_by_shorts: Range,
    /// The emitter with the lowest pressure at its outlet, and that gauge pressure in Pa.
    pub lowest: Option<(String, Range)>,
    /// Networks that were solved for it.
    pub solutions: usize,
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

/// What a point of connection is judged by with everything open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithAllOpen {
    /// As of [`AllOpen`].
    pub main_speed: Range,
    pub machine_flow: Range,
    /// Gauge pressure in Pa at the weakest part, on the side of the flow.
    pub at_weakest: Range,
}

/// Why there is no network.
#[derive(Clone, Debug, PartialEq)]
pub enum NoNetwork {
    /// The convention has none for this layout.
    Layout(Layout),
    /// The house has no emitter.
    NoEmitter,
    /// It has more than [`MOST_OPEN`].
    TooMany,
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
            NoNetwork::TooMany => write!(
                f,
                "there are more emitters than the {MOST_OPEN} that are worked out together"
            ),
            NoNetwork::OutOfRange(cause) => write!(f, "{cause}"),
            NoNetwork::Fault(fault) => write!(f, "{fault}"),
        }
    }
}

/// Flows and pressures with everything open.
pub fn all_open(house: &House) -> Result<AllOpen, NoNetwork> {
    let search = Search::new(house)?;
    let all = 0..house.emitters.len();
    let branches = all.map(|at| search.share(at));
    let branches: Vec<Share> = branches.collect::<Result<_, NoNetwork>>()?;
    let main_speed = search.main_speed()?;
    let [machine_flow] = search.over(Case::all, machine_flow)?;
    let [taken_by_shorts] = search.over(Case::share_of_shorts, |built, solution| {
        let around: f64 = built.shorts.iter().map(|link| solution.flows[*link]).sum();
        let all = solution.flows[PUMP];
        [Range::point(if all > 0.0 { around / all } else { 0.0 })]
    })?;
    let lowest = branches.iter().min_by(|one, other| {
        let by_end = one.outlet.low.total_cmp(&other.outlet.low);
        by_end.then_with(|| one.id.cmp(&other.id))
    });
    Ok(AllOpen {
        lowest: lowest.map(|share| (share.id.clone(), share.outlet)),
        branches,
        machine_flow,
        main_speed,
        taken_by_shorts,
        solutions: search.solutions.get(),
    })
}

/// What a point of connection is judged by with everything open. `weakest` is the height in m of the
/// weakest part above the ground floor.
pub fn with_all_open(house: &House, weakest: Range) -> Result<WithAllOpen, NoNetwork> {
    let search = Search::new(house)?;
    let main_speed = search.main_speed()?;
    let [machine_flow] = search.over(Case::all, machine_flow)?;
    let (feed, level) = (search.feed()?, house.machine.level);
    let head = Range::new(
        feed.low + level.low - weakest.high,
        feed.high + level.high - weakest.low,
    );
    Ok(WithAllOpen {
        main_speed,
        machine_flow,
        at_weakest: pascals(&search.water, head),
    })
}

/// Solves the cases of a house.
struct Search<'a> {
    house: &'a House,
    lay: Lay<'a>,
    water: Water,
    sludge: Sludge,
    viscosities: Vec<f64>,
    spots: &'static [Spot],
    /// The one solution of a house without a range, forward and back.
    exact: Option<[(Built, Solution); 2]>,
    solutions: Cell<usize>,
}

const BOTH: [End; 2] = [End::Most, End::Least];

impl<'a> Search<'a> {
    fn new(house: &'a House) -> Result<Search<'a>, NoNetwork> {
        if matches!(house.layout, Layout::Mixed | Layout::Underfloor) {
            return Err(NoNetwork::Layout(house.layout));
        }
        match house.emitters.len() {
            0 => return Err(NoNetwork::NoEmitter),
            count if count > MOST_OPEN => return Err(NoNetwork::TooMany),
            _ => {}
        }
        let water = Water::at(house.celsius)?;
        let Range { low, high } = water.viscosity;
        let mut search = Search {
            house,
            lay: Lay::of(house),
            water,
            sludge: Sludge::new(house.celsius)?,
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
            search.exact = Some([search.solve(&forward, low)?, search.solve(&back, low)?]);
        }
        Ok(search)
    }

    fn solve(&self, case: &Case, viscosity: f64) -> Result<(Built, Solution), NoNetwork> {
        let layout = self.house.layout;
        let built = build(&self.lay, &self.water, case).ok_or(NoNetwork::Layout(layout))?;
        let solution = solve(&built.network, viscosity)?;
        self.solutions.set(self.solutions.get() + 1);
        Ok((built, solution))
    }

    /// What is seen in the solutions of a sort of case, over every place of the others and every
    /// viscosity.
    fn over<const N: usize>(
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
        for viscosity in &self.viscosities {
            for spot in self.spots {
                for end in BOTH {
                    let (built, solution) = self.solve(&case(end, *spot), *viscosity)?;
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
    fn share(&self, at: usize) -> Result<Share, NoNetwork> {
        let (house, layout) = (self.house, self.house.layout);
        let emitter = &house.emitters[at];
        let case = |end, spot| Case::flow(layout, at, end, spot);
        let [flow, mut way_back] = self.over(case, |built, solution| {
            let flow = Range::point(flow_of(built, solution, at));
            [flow, self::way_back(layout, built, solution, at)]
        })?;
        for beside in BOTH {
            let case = |end, spot| Case::outlet(layout, at, end, beside, spot);
            let [back] = self.over(case, |built, solution| {
                [self::way_back(layout, built, solution, at)]
            })?;
            way_back = way_back.hull(back);
        }
        let speed = over_bore(flow, emitter.tails.bore);
        let [fine, coarse] = self.sludge.fates(&emitter.tails, speed)?;
        Ok(Share {
            id: emitter.id.clone(),
            flow,
            flow_back: self.flow_back(at, flow)?,
            speed,
            fine,
            coarse,
            outlet: pressure_at_outlet(house, &self.water, emitter, flow, way_back)?,
        })
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
        let case = |end, spot| Case {
            back: true,
            ..Case::flow(house.layout, at, end, spot)
        };
        let [back] = self.over(case, |built, solution| {
            [Range::point(flow_of(built, solution, at))]
        })?;
        Ok(if way == Way::Unknown {
            Range::new(0.0, back.high)
        } else {
            back
        })
    }

    /// Speed in the busiest main: at least the most that any has for certain.
    fn main_speed(&self) -> Result<Range, NoNetwork> {
        let mut busiest = Range::point(0.0);
        for at in 0..self.house.emitters.len() {
            let case = |end, spot| Case::main(at, end, spot);
            let [main] = self.over(case, |built, solution| {
                [Range::point(main_of(built, solution, at))]
            })?;
            busiest = Range::new(busiest.low.max(main.low), busiest.high.max(main.high));
        }
        Ok(over_bore(busiest, self.house.mains.bore))
    }

    /// Head in m above the tank's level where the mains begin, half of what hoses and joint lose being
    /// lost on the way there.
    ///
    /// A greater loss in hoses and joint raises the head at the pump and lowers it at the joint, so
    /// their middle may fall before it rises: it is greatest at one end of that loss, and no less than
    /// the middle of the two least heads.
    fn feed(&self) -> Result<Range, NoNetwork> {
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

fn machine_flow(_: &Built, solution: &Solution) -> [Range; 1] {
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

/// Head in m lost on the way back to the tank from where an emitter leaves the mains: half of what is
/// lost on the way there, since out and back are alike; on a loop up to all of it.
fn way_back(layout: Layout, built: &Built, solution: &Solution, at: usize) -> Range {
    let Some((_, node)) = built.emitters[at] else {
        return Range::point(0.0);
    };
    let (out, joint) = (solution.heads[built.outlet], solution.heads[built.joint]);
    match layout {
        Layout::OnePipe => Range::new(0.5 * (out - joint), 0.5 * (out - joint) + joint),
        _ => Range::point(0.5 * (out - solution.heads[node])),
    }
}
