//! The flows of a branch alone: two solutions, with everything against it and everything for it.
//!
//! Contract: see [`alone`](super::alone). On a one-pipe loop the piece of main beside the emitter
//! stands against it too, and the flow of the loop has two solutions of its own.

use super::lay::{self, Lay};
use super::path::{End, Pump, Series, Water, settle, valve_loss};
use super::{Emitter, House, Layout};
use crate::figures::range::Range;
use wetside_physics::OutOfRange;

/// Flows of a branch, in m³/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flows {
    pub own: f64,
    pub main: f64,
    pub machine: f64,
}

impl Flows {
    const NONE: Flows = Flows {
        own: 0.0,
        main: 0.0,
        machine: 0.0,
    };
}

/// The share that shorts take beside what loses `head` m per (m³/s)².
fn share(house: &House, shorts: End, head: f64) -> f64 {
    let around = short_factor(house, shorts) * head.sqrt();
    match around.is_finite() {
        true => around / (1.0 + around),
        false => 1.0,
    }
}

/// The ranges that the two solutions give.
#[derive(Clone, Copy, Debug)]
pub struct Ends {
    /// Through the branch itself, the mains up to it, and the machine, in m³/s.
    pub own: Range,
    pub main: Range,
    pub machine: Range,
    /// Share of the machine's flow that shorts take.
    pub taken: Range,
}

impl Ends {
    pub const NONE: Ends = Ends {
        own: Range::point(0.0),
        main: Range::point(0.0),
        machine: Range::point(0.0),
        taken: Range::point(0.0),
    };

    pub fn hull(self, other: Ends) -> Ends {
        Ends {
            own: self.own.hull(other.own),
            main: self.main.hull(other.main),
            machine: self.machine.hull(other.machine),
            taken: self.taken.hull(other.taken),
        }
    }
}

/// The flows of a branch alone.
pub fn ends(lay: &Lay<'_>, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let house = lay.house;
    match house.layout {
        Layout::OnePipe => on_loop(house, water, emitter),
        Layout::Mixed => {
            let one = on_loop(house, water, emitter)?;
            Ok(one.hull(off_mains(lay, water, emitter)?))
        }
        _ => off_mains(lay, water, emitter),
    }
}

/// A branch off mains or a manifold.
fn off_mains(lay: &Lay<'_>, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let house = lay.house;
    let tails = emitter.tails.length;
    let series = |end, of_main: f64, own: f64| {
        let mut series = Series::new(end, water);
        let main = lay.main_run(emitter, end, of_main);
        series.add(lay::main_pipe(house, main.plain, end))?;
        series.add(lay::stepped_pipe(house, &emitter.tails, main.stepped, end))?;
        lay::add_emitter(&mut series, emitter, own)?;
        Ok::<Series, OutOfRange>(series)
    };
    let solve = |end, of_main: f64, own: f64, shorts| {
        beside_shorts(house, water, series(end, of_main, own)?, shorts)
    };
    let greatest = solve(End::Least, tails.high, tails.low, End::Most)?;
    // Longer tails leave less of the longest run to the mains: the worse of the two is one or the
    // other.
    let worse = |shorts| {
        let long = solve(End::Most, tails.high, tails.high, shorts)?;
        if tails.is_point() {
            return Ok(long);
        }
        let short = solve(End::Most, tails.low, tails.low, shorts)?;
        Ok::<Flows, OutOfRange>(if short.own < long.own { short } else { long })
    };
    let least = worse(End::Least)?;
    let own = Range::new(least.own, greatest.own);
    let mut ends = Ends {
        own,
        main: own,
        machine: Range::new(least.machine, greatest.machine),
        taken: Range::point(0.0),
    };
    if !house.shorts.is_empty() {
        // The machine's own flow is greatest and least where the shorts lean as the branch does.
        let most = solve(End::Least, tails.high, tails.low, End::Least)?;
        ends.machine = Range::new(worse(End::Most)?.machine, most.machine);
        let mut easy = series(End::Least, tails.high, tails.low)?;
        let mut hard = series(End::Most, tails.low, tails.high)?;
        ends.taken = Range::new(
            share(house, End::Most, easy.resistance(own, End::Least)),
            share(house, End::Least, hard.resistance(own, End::Most)),
        );
    }
    Ok(ends)
}

/// The flow through a series that the machine feeds, beside whatever shorts are open.
///
/// `shorts` is the end at which they are taken: where they lose least, whatever may be open is.
pub fn beside_shorts(
    house: &House,
    water: &Water,
    mut own: Series,
    shorts: End,
) -> Result<Flows, OutOfRange> {
    let end = own.end();
    let around = short_factor(house, shorts);
    let pump = Pump::at(house, water, end);
    let mut common = Series::new(end, water);
    lay::add_common(&mut common, house)?;
    if common.is_shut() || (own.is_shut() && around <= 0.0) {
        return Ok(Flows::NONE);
    }
    let start = START * pump.most;
    if own.is_shut() {
        let machine = settle(pump.head, pump.most, start, |all| {
            (all / around).powi(2) + common.loss(all) + pump.fall(all)
        });
        return Ok(Flows {
            machine,
            ..Flows::NONE
        });
    }
    let mut machine = 0.0;
    let flow = settle(pump.head, pump.most, start, |flow| {
        let head = own.loss(flow);
        machine = flow + around * head.sqrt();
        head + common.loss(machine) + pump.fall(machine)
    });
    own.check(flow)?;
    common.check(machine)?;
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
            End::Least => short.open.may_be_yes(),
            End::Most => !short.open.may_be_no(),
        };
        match open {
            true => 1.0 / valve_loss(end.down(short.valve)).sqrt(),
            false => 0.0,
        }
    };
    house.shorts.iter().map(passes).sum()
}

/// The ends at which a branch on a loop is taken.
#[derive(Clone, Copy)]
struct OnLoop {
    /// Machine, hoses and the rest of the loop.
    rest: End,
    piece: End,
    own: End,
    shorts: End,
}

/// An emitter that bridges a piece of a one-pipe loop, everything else on the loop shut.
fn on_loop(house: &House, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let solve = |rest: End, piece: End, shorts: End| {
        let own = rest;
        let at = OnLoop {
            rest,
            piece,
            own,
            shorts,
        };
        on_loop_at(house, water, emitter, at)
    };
    let (least, most) = (End::Least, End::Most);
    // The emitter has least where it loses most and the piece beside it least, and where the loop
    // has least flow; the loop has least where emitter and piece both lose most.
    let own = Range::new(
        solve(most, least, least)?.own,
        solve(least, most, most)?.own,
    );
    let (weakest, strongest) = (solve(most, most, least)?, solve(least, least, most)?);
    let mut ends = Ends {
        own,
        main: Range::new(weakest.main, strongest.main),
        machine: Range::new(weakest.machine, strongest.machine),
        taken: Range::point(0.0),
    };
    if !house.shorts.is_empty() {
        let machine = |end| solve(end, end, end).map(|flows| flows.machine);
        ends.machine = Range::new(machine(most)?, machine(least)?);
        let held = |end| loop_resistance(house, water, emitter, &ends, end);
        ends.taken = Range::new(
            share(house, most, held(least)?),
            share(house, least, held(most)?),
        );
    }
    Ok(ends)
}

/// What a loop loses at most or at least, in m per (m³/s)² of its flow: the rest of it, and the
/// emitter beside its piece.
fn loop_resistance(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    ends: &Ends,
    end: End,
) -> Result<f64, OutOfRange> {
    let [mut rest, mut own, mut piece] = [(); 3].map(|()| Series::new(end, water));
    rest.add(lay::rest_of_loop(house, end))?;
    lay::add_emitter(&mut own, emitter, end.up(emitter.tails.length))?;
    piece.add(lay::piece(house, end))?;
    let through = Range::new(
        (ends.main.low - ends.own.high).max(0.0),
        (ends.main.high - ends.own.low).max(0.0),
    );
    let blocked = match end {
        End::Least => !house.mains.piece.may_be_no(),
        End::Most => house.mains.piece.may_be_yes(),
    };
    let mut passes = 1.0 / own.resistance(ends.own, end).sqrt();
    if !blocked {
        passes += 1.0 / piece.resistance(through, end).sqrt();
    }
    Ok(rest.resistance(ends.main, end) + 1.0 / (passes * passes))
}

fn on_loop_at(
    house: &House,
    water: &Water,
    emitter: &Emitter,
    at: OnLoop,
) -> Result<Flows, OutOfRange> {
    let mut own = Series::new(at.own, water);
    lay::add_emitter(&mut own, emitter, at.own.up(emitter.tails.length))?;
    let blocked = match at.piece {
        End::Least => !house.mains.piece.may_be_no(),
        End::Most => house.mains.piece.may_be_yes(),
    };
    let (mut piece, mut rest) = (Series::new(at.piece, water), Series::new(at.rest, water));
    piece.add(lay::piece(house, at.piece))?;
    rest.add(lay::rest_of_loop(house, at.rest))?;
    let mut common = Series::new(at.rest, water);
    lay::add_common(&mut common, house)?;
    let pump = Pump::at(house, water, at.rest);
    let around = short_factor(house, at.shorts);
    if common.is_shut() || (own.is_shut() && blocked) {
        return Ok(Flows::NONE);
    }
    let mut flows = Flows::NONE;
    let mut total = |own: f64, through: f64, head: f64| {
        let main = own + through;
        let loop_head = head + rest.loss(main);
        let machine = main + around * loop_head.sqrt();
        flows = Flows { own, main, machine };
        loop_head + common.loss(machine) + pump.fall(machine)
    };
    let start = START * pump.most;
    if own.is_shut() {
        settle(pump.head, pump.most, start, |through| {
            let head = piece.loss(through);
            total(0.0, through, head)
        });
        rest.check(flows.main)?;
        return Ok(flows);
    }
    let mut guess = start;
    settle(pump.head, pump.most, 0.3 * start, |flow| {
        let head = own.loss(flow);
        let through = match blocked {
            true => 0.0,
            false => piece.flow(head, guess),
        };
        guess = through.max(1e-3 * start);
        total(flow, through, head)
    });
    own.check(flows.own)?;
    rest.check(flows.main)?;
    common.check(flows.machine)?;
    Ok(flows)
}

/// Head in m lost on the way back to the tank from where an emitter leaves the mains: half of what
/// hoses and mains lose, since out and back are alike. On a loop it may be nothing or nearly all of it.
pub fn way_back(
    lay: &Lay<'_>,
    water: &Water,
    emitter: &Emitter,
    ends: &Ends,
) -> Result<Range, OutOfRange> {
    let house = lay.house;
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
                let run = lay.main_run(emitter, end, tails);
                main.add(lay::main_pipe(house, run.plain, end))?;
                main.add(lay::stepped_pipe(house, &emitter.tails, run.stepped, end))?;
            }
        }
        let hoses = common.loss(end.up(ends.machine));
        Ok(0.5 * hoses + share * main.loss(end.up(ends.main)))
    };
    Ok(Range::new(at(End::Least)?, at(End::Most)?))
}
