//! Each branch with all others shut: its flow, speed and pressure, forward and reversed.
//!
//! Contract: the range of a flow holds the flow of every house within the ranges. A branch alone is
//! a series of pipes, perhaps with an easier way beside it, so its flow falls with the loss of every
//! part in series and rises with the loss of what lies beside it: two solutions, one with everything
//! against the branch and one with everything for it, are its least and its greatest flow. On a
//! one-pipe loop the piece of main beside the emitter stands against it too, and the flow of the loop
//! has two solutions of its own. Speeds are taken over pieces of the range of a bore, since a wider
//! pipe has more flow and may have less speed.

use crate::alone_flow::{Ends, ends, loop_of_floor};
use crate::carry::{Fate, Sludge};
use crate::emitter::{change, over_bore, pressure_at_outlet, rise_speed};
use crate::mains::Lay;
use crate::model::{Emitter, FloorHeating, House, Way};
use crate::outlet::{over, way_back};
use crate::range::Range;
use crate::series::Water;
use wetside_physics::OutOfRange;

/// Among so many kinds of emitters one that is alike is looked for.
const MOST_KINDS: usize = 32;

/// A branch with all others shut.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    /// The emitter's id.
    pub id: String,
    /// In m³/s.
    pub flow: Range,
    /// In its tails, in m/s.
    pub speed: Range,
    /// The same with the machine reversed: none where a one-way valve is in the way.
    pub flow_back: Range,
    pub speed_back: Range,
    pub way: Way,
    /// In the mains between the connection and the branch, in m³/s and m/s.
    pub main_flow: Range,
    pub main_speed: Range,
    /// Share of the machine's flow that goes round the branch by shorts.
    pub taken_by_shorts: Range,
    /// Time for the water of emitter and tails to go through once, in s; without end if nothing flows.
    pub change: Range,
    /// Upward speed in a panel radiator, in m/s.
    pub rise: Option<Range>,
    /// Gauge pressure in Pa at the top of the emitter's outlet while the machine runs.
    pub outlet: Range,
    /// Speed in the mains over three times the sinking speed of the coarser grains: above 1 a riser
    /// lifts them.
    pub riser: Range,
    /// What becomes of the finer and of the coarser grains in its tails, forward.
    pub fine: Fate,
    pub coarse: Fate,
}

/// Every emitter's branch, in the order of the house.
pub fn branches(house: &House) -> Result<Vec<Branch>, OutOfRange> {
    let pumps = house.by_pump();
    let parts = Parts::of(house, &pumps)?;
    let mut kinds: Vec<(Emitter, Branch)> = Vec::new();
    let one_of = |emitter: &Emitter| {
        let id = emitter.id.clone();
        let nameless = Emitter {
            id: String::new(),
            ..emitter.clone()
        };
        // Many emitters of a house are alike but for their names, and each takes many solutions.
        if let Some((_, alike)) = kinds.iter().find(|(kind, _)| *kind == nameless) {
            return Ok(Branch {
                id,
                ..alike.clone()
            });
        }
        let branch = parts.branch(&nameless)?;
        if kinds.len() < MOST_KINDS {
            kinds.push((nameless, branch.clone()));
        }
        Ok(Branch { id, ..branch })
    };
    house.emitters.iter().map(one_of).collect()
}

/// The branch of one emitter, by its place in the house.
pub fn branch(house: &House, at: usize) -> Result<Branch, OutOfRange> {
    Parts::of(house, &house.by_pump())?.branch(&house.emitters[at])
}

/// Flow through the longest loop of the floor alone, in m³/s, and its speed in m/s.
pub fn floor_loop(house: &House, floor: &FloorHeating) -> Result<(Range, Range), OutOfRange> {
    let water = Water::at(house.celsius, house.antifreeze.as_ref())?;
    let pumps = house.by_pump();
    let flows = pumps
        .iter()
        .map(|house| loop_of_floor(house, &water, floor));
    let flow = over(flows)?;
    Ok((flow, over_bore(flow, floor.bore)))
}

/// What all branches of a house have in common.
struct Parts<'a> {
    house: &'a House,
    /// With each of the pumps that it may have.
    lays: Vec<Lay<'a>>,
    water: Water,
    sludge: Sludge,
}

impl<'a> Parts<'a> {
    fn of(house: &'a House, pumps: &'a [House]) -> Result<Parts<'a>, OutOfRange> {
        Ok(Parts {
            house,
            lays: pumps.iter().map(Lay::of).collect(),
            water: Water::at(house.celsius, house.antifreeze.as_ref())?,
            sludge: Sludge::new(house.celsius, house.antifreeze.as_ref())?,
        })
    }

    fn branch(&self, emitter: &Emitter) -> Result<Branch, OutOfRange> {
        let (house, water) = (self.house, &self.water);
        let (all, speed, back_to_tank) = self.flows(emitter)?;
        let flow = all.own;
        let way = house.way.and(emitter.way);
        let back = |forward: Range| match way {
            Way::Both => forward,
            Way::ForwardOnly => Range::point(0.0),
            Way::Unknown => Range::new(0.0, forward.high),
        };
        let main_speed = over_bore(all.main, house.mains.bore);
        let [fine, coarse] = self.sludge.fates(&emitter.tails, speed)?;
        Ok(Branch {
            id: emitter.id.clone(),
            flow,
            speed,
            flow_back: back(flow),
            speed_back: back(speed),
            way,
            main_flow: all.main,
            main_speed,
            taken_by_shorts: all.taken,
            change: change(emitter, flow),
            rise: emitter.body.map(|body| rise_speed(flow, body)),
            outlet: pressure_at_outlet(house, water, emitter, back_to_tank),
            riser: self.sludge.riser_margin(main_speed)?,
            fine,
            coarse,
        })
    }

    /// The flows of a branch, the speed in its tails, and what the way back from it loses in Pa.
    fn flows(&self, emitter: &Emitter) -> Result<(Ends, Range, Range), OutOfRange> {
        let mut part = emitter.clone();
        let mut found: Option<(Ends, Range, Range)> = None;
        let bores = || pieces(emitter.tails.bore);
        for (lay, bore) in self
            .lays
            .iter()
            .flat_map(|lay| bores().map(move |bore| (lay, bore)))
        {
            part.tails.bore = bore;
            let here = ends(lay, &self.water, &part)?;
            let speed = over_bore(here.own, bore);
            let back = way_back(lay, &self.water, &part)?;
            found = Some(match found {
                Some((all, speeds, backs)) => {
                    (all.hull(here), speeds.hull(speed), backs.hull(back))
                }
                None => (here, speed, back),
            });
        }
        let nothing = Range::point(0.0);
        Ok(found.unwrap_or((Ends::NONE, nothing, nothing)))
    }
}

/// A range of a bore is cut into so many pieces for the speed.
const PIECES: u32 = 4;

fn pieces(bore: Range) -> impl Iterator<Item = Range> {
    let count = if bore.is_point() { 1 } else { PIECES };
    let at = move |part: u32| match part {
        0 => bore.low,
        _ if part == count => bore.high,
        _ => bore.low * (bore.high / bore.low).powf(f64::from(part) / f64::from(count)),
    };
    (0..count).map(move |part| Range::new(at(part), at(part + 1)))
}
