//! Each branch with all others shut: its flow, speed and pressure, forward and reversed.
//!
//! Contract: the range of a flow holds the flow of every house within the ranges. A branch alone is
//! a series of pipes, perhaps with an easier way beside it, so its flow falls with the loss of every
//! part in series and rises with the loss of what lies beside it: two solutions, one with everything
//! against the branch and one with everything for it, are its least and its greatest flow. Speeds are
//! taken over pieces of the range of a bore, since a wider pipe has more flow and may have less speed.

use super::carry::{Fate, Grains};
use super::ends::{self, Ends};
use super::inside;
use super::lay::{self, Lay};
use super::path::{End, Series, Water};
use super::pressure;
use super::{Emitter, FloorHeating, House, Way};
use crate::figures::range::Range;
use wetside_physics::OutOfRange;

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
    /// Upward speed in a panel radiator, in m/s, and speed along its bottom at the inlet.
    pub rise: Option<Range>,
    pub bottom: Option<Range>,
    /// Gauge pressure in Pa at the top of the emitter's outlet while the machine runs.
    pub outlet: Range,
    /// Speed in the mains over three times the sinking speed of the coarser grains: above 1 a riser
    /// lifts them.
    pub riser: Range,
    /// What becomes of the finer and of the coarser grains in its tails, forward.
    pub fine: Fate,
    pub coarse: Fate,
}

/// Every emitter's branch, in the order of the house; nothing for one that is taken off.
pub fn branches(house: &House) -> Result<Vec<Option<Branch>>, OutOfRange> {
    let water = Water::at(house.celsius)?;
    let grains = Grains::new(house.celsius)?;
    let lay = Lay::of(house);
    let one = |emitter: &Emitter| match emitter.off {
        true => Ok(None),
        false => branch(&lay, &water, &grains, emitter).map(Some),
    };
    house.emitters.iter().map(one).collect()
}

/// Flow through the longest loop of the floor alone, in m³/s, and its speed in m/s.
pub fn floor_loop(house: &House, floor: &FloorHeating) -> Result<(Range, Range), OutOfRange> {
    let water = Water::at(house.celsius)?;
    let at = |end| {
        let mut own = Series::new(end, &water);
        let main = lay::floor_main(house, floor, end);
        own.add(lay::main_pipe(house, main, end))?;
        lay::add_loop(&mut own, floor)?;
        ends::beside_shorts(house, &water, own, end.other()).map(|flows| flows.own)
    };
    let flow = Range::new(at(End::Most)?, at(End::Least)?);
    Ok((flow, over_bore(flow, floor.bore)))
}

/// A range of a bore is cut into so many pieces for the speed.
const PIECES: u32 = 4;

fn branch(
    lay: &Lay<'_>,
    water: &Water,
    grains: &Grains,
    emitter: &Emitter,
) -> Result<Branch, OutOfRange> {
    let house = lay.house;
    let mut found: Option<(Ends, Range)> = None;
    for bore in pieces(emitter.tails.bore) {
        let mut part = emitter.clone();
        part.tails.bore = bore;
        let here = ends::ends(lay, water, &part)?;
        let speed = over_bore(here.own, bore);
        found = Some(match found {
            Some((all, speeds)) => (all.hull(here), speeds.hull(speed)),
            None => (here, speed),
        });
    }
    let nothing = Range::point(0.0);
    let (all, speed) = found.unwrap_or((Ends::NONE, nothing));
    let flow = all.own;
    let way = house.way.and(emitter.way);
    let back = |forward: Range| match way {
        Way::Both => forward,
        Way::ForwardOnly => nothing,
        Way::Unknown => Range::new(0.0, forward.high),
    };
    let main_speed = over_bore(all.main, house.mains.bore);
    let inside = emitter.body.map(|body| inside::panel_speeds(flow, body));
    let rough = emitter.tails.roughness;
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
        change: inside::change(emitter, flow),
        rise: inside.map(|(rise, _)| rise),
        bottom: inside.map(|(_, bottom)| bottom),
        outlet: pressure::at_outlet(
            house,
            water,
            emitter,
            flow,
            ends::way_back(lay, water, emitter, &all)?,
        )?,
        riser: super::carry::riser_margin(grains, main_speed)?,
        fine: grains.fine(emitter.tails.bore, rough, speed)?,
        coarse: grains.coarse(emitter.tails.bore, rough, speed)?,
    })
}

fn pieces(bore: Range) -> impl Iterator<Item = Range> {
    let count = if bore.is_point() { 1 } else { PIECES };
    let at = move |part: u32| match part {
        0 => bore.low,
        _ if part == count => bore.high,
        _ => bore.low * (bore.high / bore.low).powf(f64::from(part) / f64::from(count)),
    };
    (0..count).map(move |part| Range::new(at(part), at(part + 1)))
}

/// Speed of a flow in a bore, in m/s.
pub fn over_bore(flow: Range, bore: Range) -> Range {
    let area = |bore: f64| std::f64::consts::FRAC_PI_4 * bore * bore;
    Range::new(flow.low / area(bore.high), flow.high / area(bore.low))
}
