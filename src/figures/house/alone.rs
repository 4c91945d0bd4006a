//! Each branch with all others shut: its flow, speed and pressure, forward and reversed.
//!
//! Contract: the range of a flow holds the flow of every house within the ranges. A branch alone is
//! a series of pipes, perhaps with an easier way beside it, so its flow falls with the loss of every
//! part in series and rises with the loss of what lies beside it: two solutions, one with everything
//! against the branch and one with everything for it, are its least and its greatest flow. Speeds are
//! taken over pieces of the range of a bore, since a wider pipe has more flow and may have less speed.

use super::carry::{Fate, Grains};
use super::inside;
use super::lay;
use super::path::{End, Pump, Series, Water, settle, valve_loss};
use super::pressure;
use super::{Emitter, FloorHeating, House, Layout, State, Way};
use crate::figures::range::Range;
use crate::physics::OutOfRange;

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
    let one = |emitter: &Emitter| match emitter.off {
        true => Ok(None),
        false => branch(house, &water, &grains, emitter).map(Some),
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
        beside_shorts(house, &water, own).map(|flows| flows.own)
    };
    let flow = Range::new(at(End::Most)?, at(End::Least)?);
    Ok((flow, over_bore(flow, floor.bore)))
}

/// Flows of a branch, in m³/s.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Flows {
    own: f64,
    main: f64,
    machine: f64,
}

impl Flows {
    const NONE: Flows = Flows {
        own: 0.0,
        main: 0.0,
        machine: 0.0,
    };
}

/// A range of a bore is cut into so many pieces for the speed.
const PIECES: u32 = 4;

fn branch(
    house: &House,
    water: &Water,
    grains: &Grains,
    emitter: &Emitter,
) -> Result<Branch, OutOfRange> {
    let mut found: Option<(Ends, Range)> = None;
    for bore in pieces(emitter.tails.bore) {
        let mut part = emitter.clone();
        part.tails.bore = bore;
        let ends = ends(house, water, &part)?;
        let speed = over_bore(ends.own, bore);
        found = Some(match found {
            Some((all, speeds)) => (all.hull(ends), speeds.hull(speed)),
            None => (ends, speed),
        });
    }
    let nothing = Range::point(0.0);
    let (ends, speed) = found.unwrap_or((Ends::NONE, nothing));
    let flow = ends.own;
    let way = house.way.and(emitter.way);
    let back = |forward: Range| match way {
        Way::Both => forward,
        Way::ForwardOnly => nothing,
        Way::Unknown => Range::new(0.0, forward.high),
    };
    let main_speed = over_bore(ends.main, house.mains.bore);
    let inside = emitter.body.map(|body| inside::panel_speeds(flow, body));
    let rough = emitter.tails.roughness;
    Ok(Branch {
        id: emitter.id.clone(),
        flow,
        speed,
        flow_back: back(flow),
        speed_back: back(speed),
        way,
        main_flow: ends.main,
        main_speed,
        taken_by_shorts: ends.taken,
        change: inside::change(emitter, flow),
        rise: inside.map(|(rise, _)| rise),
        bottom: inside.map(|(_, bottom)| bottom),
        outlet: pressure::at_outlet(
            house,
            water,
            emitter,
            flow,
            way_back(house, water, emitter, &ends)?,
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
        _ => bore.low + (bore.high - bore.low) * f64::from(part) / f64::from(count),
    };
    (0..count).map(move |part| Range::new(at(part), at(part + 1)))
}

/// Speed of a flow in a bore, in m/s.
pub fn over_bore(flow: Range, bore: Range) -> Range {
    let area = |bore: f64| std::f64::consts::FRAC_PI_4 * bore * bore;
    Range::new(flow.low / area(bore.high), flow.high / area(bore.low))
}

/// The ranges that the two solutions give.
#[derive(Clone, Copy, Debug)]
struct Ends {
    own: Range,
    main: Range,
    machine: Range,
    taken: Range,
}

impl Ends {
    const NONE: Ends = Ends {
        own: Range::point(0.0),
        main: Range::point(0.0),
        machine: Range::point(0.0),
        taken: Range::point(0.0),
    };

    fn hull(self, other: Ends) -> Ends {
        Ends {
            own: self.own.hull(other.own),
            main: self.main.hull(other.main),
            machine: self.machine.hull(other.machine),
            taken: self.taken.hull(other.taken),
        }
    }
}

fn ends(house: &House, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    match house.layout {
        Layout::OnePipe => on_loop(house, water, emitter),
        Layout::Mixed => {
            let one = on_loop(house, water, emitter)?;
            Ok(one.hull(off_mains(house, water, emitter)?))
        }
        _ => off_mains(house, water, emitter),
    }
}

/// A branch off mains or a manifold.
fn off_mains(house: &House, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let tails = emitter.tails.length;
    let series = |end, of_main: f64, own: f64| {
        let mut series = Series::new(end, water);
        let main = lay::main_run(house, emitter, end, of_main);
        series.add(lay::main_pipe(house, main.plain, end))?;
        series.add(lay::stepped_pipe(house, &emitter.tails, main.stepped, end))?;
        lay::add_emitter(&mut series, emitter, own)?;
        beside_shorts(house, water, series)
    };
    let greatest = series(End::Least, tails.high, tails.low)?;
    // Longer tails leave less of the longest run to the mains: the worse of the two is one or the
    // other.
    let mut least = series(End::Most, tails.high, tails.high)?;
    if !tails.is_point() {
        let other = series(End::Most, tails.low, tails.low)?;
        if other.own < least.own {
            least = other;
        }
    }
    let own = Range::new(least.own, greatest.own);
    let (machine, taken) = machine_flows(house, &least, &greatest);
    Ok(Ends {
        own,
        main: own,
        machine,
        taken,
    })
}

/// What goes through the machine, and the share of it that the shorts take.
///
/// A short takes most of what there is where the branch has least. Where it may be shut, the lower
/// end is nothing.
fn machine_flows(house: &House, least: &Flows, greatest: &Flows) -> (Range, Range) {
    let share = |flows: &Flows| match flows.machine > 0.0 {
        true => ((flows.machine - flows.main) / flows.machine).clamp(0.0, 1.0),
        false => 0.0,
    };
    let machine = Range::new(
        least.main.min(least.machine),
        greatest.machine.max(least.machine),
    );
    if house.shorts.iter().all(|short| short.open == State::No) {
        return (machine, Range::point(0.0));
    }
    (machine, Range::new(share(greatest), share(least)))
}

/// The flow through a series that the machine feeds, beside whatever shorts are open.
///
/// The shorts stand against the series: at the end where it loses most they lose least.
fn beside_shorts(house: &House, water: &Water, mut own: Series) -> Result<Flows, OutOfRange> {
    let end = own.end();
    let around = short_factor(house, end);
    let pump = Pump::at(house, water, end);
    let mut common = Series::new(end, water);
    lay::add_common(&mut common, house)?;
    if common.is_shut() || (own.is_shut() && around <= 0.0) {
        return Ok(Flows::NONE);
    }
    let start = START * pump.most;
    if own.is_shut() {
        let machine = settle(pump.head, pump.most, start, |all| {
            Ok((all / around).powi(2) + common.loss(all)? + pump.fall(all))
        })?;
        return Ok(Flows {
            machine,
            ..Flows::NONE
        });
    }
    let mut machine = 0.0;
    let flow = settle(pump.head, pump.most, start, |flow| {
        let head = own.loss(flow)?;
        machine = flow + around * head.sqrt();
        Ok(head + common.loss(machine)? + pump.fall(machine))
    })?;
    Ok(Flows {
        own: flow,
        main: flow,
        machine,
    })
}

/// A branch takes about this share of the machine's greatest flow: where the search begins.
const START: f64 = 0.15;

/// What all shorts together pass, in m³/s at a head of 1 m.
fn short_factor(house: &House, end: End) -> f64 {
    let passes = |short: &super::Short| {
        let open = match end {
            End::Most => short.open.may_be_yes(),
            End::Least => !short.open.may_be_no(),
        };
        match open {
            true => 1.0 / valve_loss(end.up(short.valve)).sqrt(),
            false => 0.0,
        }
    };
    house.shorts.iter().map(passes).sum()
}

/// An emitter that bridges a piece of a one-pipe loop, everything else on the loop shut.
fn on_loop(house: &House, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let with = |end: End, piece_end: End, own_end: End| {
        on_loop_at(house, water, emitter, end, piece_end, own_end)
    };
    // The emitter has least where it loses most and the piece beside it least, and where the loop
    // has least flow; the loop has least where emitter and piece both lose most.
    let least = with(End::Most, End::Least, End::Most)?;
    let greatest = with(End::Least, End::Most, End::Least)?;
    let weakest = with(End::Most, End::Most, End::Most)?;
    let strongest = with(End::Least, End::Least, End::Least)?;
    let (machine, taken) = machine_flows(house, &weakest, &strongest);
    Ok(Ends {
        own: Range::new(least.own, greatest.own),
        main: Range::new(weakest.main, strongest.main),
        machine,
        taken,
    })
}

fn on_loop_at(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    end: End,
    piece_end: End,
    own_end: End,
) -> Result<Flows, OutOfRange> {
    let mut own = Series::new(own_end, water);
    lay::add_emitter(&mut own, emitter, own_end.up(emitter.tails.length))?;
    let blocked = match piece_end {
        End::Least => !house.mains.piece.may_be_no(),
        End::Most => house.mains.piece.may_be_yes(),
    };
    let (mut piece, mut rest) = (Series::new(piece_end, water), Series::new(end, water));
    piece.add(lay::piece(house, piece_end))?;
    rest.add(lay::rest_of_loop(house, end))?;
    let mut common = Series::new(end, water);
    lay::add_common(&mut common, house)?;
    let pump = Pump::at(house, water, end);
    let around = short_factor(house, end);
    if common.is_shut() || (own.is_shut() && blocked) {
        return Ok(Flows::NONE);
    }
    let mut flows = Flows::NONE;
    let mut total = |own: f64, through: f64, head: f64| {
        let main = own + through;
        let loop_head = head + rest.loss(main)?;
        let machine = main + around * loop_head.sqrt();
        flows = Flows { own, main, machine };
        Ok(loop_head + common.loss(machine)? + pump.fall(machine))
    };
    let start = START * pump.most;
    if own.is_shut() {
        settle(pump.head, pump.most, start, |through| {
            let head = piece.loss(through)?;
            total(0.0, through, head)
        })?;
        return Ok(flows);
    }
    let mut guess = start;
    settle(pump.head, pump.most, 0.3 * start, |flow| {
        let head = own.loss(flow)?;
        let through = match blocked {
            true => 0.0,
            false => piece.flow(head, guess)?,
        };
        guess = through.max(1e-3 * start);
        total(flow, through, head)
    })?;
    Ok(flows)
}

/// Head in m lost on the way back to the tank from where an emitter leaves the mains: half of what
/// hoses and mains lose, since out and back are alike. On a loop it may be nothing or nearly all of it.
fn way_back(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    ends: &Ends,
) -> Result<Range, OutOfRange> {
    let at = |end: End| -> Result<f64, OutOfRange> {
        let mut common = Series::new(end, water);
        lay::add_common(&mut common, house)?;
        let (mut main, mut share) = (Series::new(end, water), 0.5);
        match house.layout {
            Layout::OnePipe | Layout::Mixed if end == End::Most => {
                main.add(lay::rest_of_loop(house, end))?;
                share = 1.0;
            }
            Layout::OnePipe | Layout::Mixed => {}
            _ => {
                let tails = end.other().up(emitter.tails.length);
                let run = lay::main_run(house, emitter, end, tails);
                main.add(lay::main_pipe(house, run.plain, end))?;
                main.add(lay::stepped_pipe(house, &emitter.tails, run.stepped, end))?;
            }
        }
        let hoses = common.loss(end.up(ends.machine))?;
        Ok(0.5 * hoses + share * main.loss(end.up(ends.main))?)
    };
    Ok(Range::new(at(End::Least)?, at(End::Most)?))
}
