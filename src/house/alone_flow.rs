//! The flows of a branch alone: two solutions, with everything against it and everything for it.
//!
//! Contract: the ranges hold the flows of every house within those of the house; `alone` says why.

use crate::mains::{self, Lay};
use crate::model::{Emitter, FloorHeating, House, Layout};
use crate::range::Range;
use crate::series::{End, Pump, Series, Water, settle, valve_loss};
use wetside_physics::OutOfRange;
use wetside_physics::friction::Run;
use wetside_units::truth::Truth;

/// The ranges that the solutions give.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ends {
    /// Through the branch itself, the mains up to it, and the machine, in m³/s.
    pub own: Range,
    pub main: Range,
    pub machine: Range,
    /// Share of the machine's flow that shorts take.
    pub taken: Range,
}

impl Ends {
    pub(crate) const NONE: Ends = Ends {
        own: Range::point(0.0),
        main: Range::point(0.0),
        machine: Range::point(0.0),
        taken: Range::point(0.0),
    };

    pub(crate) fn hull(self, other: Ends) -> Ends {
        Ends {
            own: self.own.hull(other.own),
            main: self.main.hull(other.main),
            machine: self.machine.hull(other.machine),
            taken: self.taken.hull(other.taken),
        }
    }
}

/// The flows of a branch alone.
pub(crate) fn ends(lay: &Lay<'_>, water: &Water, emitter: &Emitter) -> Result<Ends, OutOfRange> {
    let of = Asked {
        lay,
        house: lay.house,
        water,
        emitter,
    };
    match lay.house.layout {
        Layout::OnePipe => of.on_loop(),
        Layout::Mixed => Ok(of.on_loop()?.hull(of.off_mains()?)),
        _ => of.off_mains(),
    }
}

/// Flow through the longest loop of the floor alone, in m³/s.
pub(crate) fn loop_of_floor(
    house: &House,
    water: &Water,
    floor: &FloorHeating,
) -> Result<Range, OutOfRange> {
    let at = |end: End| {
        let main = mains::main_pipe(house, mains::floor_main(house, floor, end), end);
        let own = Series::of(end, water, [main, mains::floor_pipe(floor, end)])?;
        let beside = Beside {
            own: Some(own),
            piece: None,
        };
        solve(house, water, Corner::of(end, end.other()), None, beside).map(|flows| flows.own)
    };
    Ok(Range::new(at(End::Most)?, at(End::Least)?))
}

/// The branch that is asked about.
struct Asked<'a> {
    lay: &'a Lay<'a>,
    house: &'a House,
    water: &'a Water,
    emitter: &'a Emitter,
}

impl Asked<'_> {
    /// A branch off mains or a manifold: mains and emitter as one series, which a shut valve breaks.
    ///
    /// `of_main` is the length of tails that is taken off the longest run, `own` that of its own.
    fn series(&self, end: End, of_main: f64, own: f64) -> Result<Option<Series>, OutOfRange> {
        let main = self.lay.main_run(self.emitter, end, of_main);
        let main = mains::main_pipes(self.house, main, &self.emitter.tails, end);
        let Some(own) = mains::emitter_pipe(self.emitter, own, end, end) else {
            return Ok(None);
        };
        Series::of(end, self.water, main.into_iter().chain([own])).map(Some)
    }

    fn off_mains(&self) -> Result<Ends, OutOfRange> {
        let tails = self.emitter.tails.length;
        let solve = |end, of_main: f64, own: f64, shorts| {
            let beside = Beside {
                own: self.series(end, of_main, own)?,
                piece: None,
            };
            solve(
                self.house,
                self.water,
                Corner::of(end, shorts),
                None,
                beside,
            )
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
        if !self.house.shorts.is_empty() {
            // The machine's own flow is greatest and least where the shorts lean as the branch does.
            let most = solve(End::Least, tails.high, tails.low, End::Least)?;
            ends.machine = Range::new(worse(End::Most)?.machine, most.machine);
            let held = |end, of_main, tails| -> Result<f64, OutOfRange> {
                let series = self.series(end, of_main, tails)?;
                Ok(series.map_or(f64::INFINITY, |mut series| series.resistance(own)))
            };
            ends.taken = Range::new(
                taken(
                    self.house,
                    End::Most,
                    held(End::Least, tails.high, tails.low)?,
                ),
                taken(
                    self.house,
                    End::Least,
                    held(End::Most, tails.low, tails.high)?,
                ),
            );
        }
        Ok(ends)
    }

    /// An emitter that bridges a piece of a one-pipe loop, everything else on the loop shut.
    fn on_loop(&self) -> Result<Ends, OutOfRange> {
        let solve = |end: End, piece: End, shorts: End| {
            let rest = Series::of(end, self.water, [mains::rest_of_loop(self.house, 1, end)])?;
            let beside = self.beside(end, piece)?;
            solve(
                self.house,
                self.water,
                Corner::of(end, shorts),
                Some(rest),
                beside,
            )
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
        if !self.house.shorts.is_empty() {
            let machine = |end| solve(end, end, end).map(|flows| flows.machine);
            ends.machine = Range::new(machine(most)?, machine(least)?);
            ends.taken = Range::new(
                taken(self.house, most, self.loop_resistance(&ends, least)?),
                taken(self.house, least, self.loop_resistance(&ends, most)?),
            );
        }
        Ok(ends)
    }

    /// The emitter on a loop, and the piece of main beside it unless that is blocked.
    fn beside(&self, end: End, piece: End) -> Result<Beside, OutOfRange> {
        let blocked = match piece {
            End::Least => self.house.mains.piece == Truth::Yes,
            End::Most => self.house.mains.piece != Truth::No,
        };
        let series = |end: End, run: Run| Series::of(end, self.water, [run]);
        let length = end.up(self.emitter.tails.length);
        let own = mains::emitter_pipe(self.emitter, length, end, end);
        let under = (!blocked).then(|| mains::piece(self.house, piece));
        Ok(Beside {
            own: own.map(|run| series(end, run)).transpose()?,
            piece: under.map(|run| series(piece, run)).transpose()?,
        })
    }

    /// What a loop loses at most or at least, in m per (m³/s)² of its flow: the rest of it, and the
    /// emitter beside its piece.
    fn loop_resistance(&self, ends: &Ends, end: End) -> Result<f64, OutOfRange> {
        let mut rest = Series::of(end, self.water, [mains::rest_of_loop(self.house, 1, end)])?;
        let through = Range::new(
            (ends.main.low - ends.own.high).max(0.0),
            (ends.main.high - ends.own.low).max(0.0),
        );
        let mut beside = self.beside(end, end)?;
        let passes = |series: &mut Option<Series>, flows: Range| {
            let series = series.as_mut();
            series.map_or(0.0, |series| 1.0 / series.resistance(flows).sqrt())
        };
        let passes = passes(&mut beside.own, ends.own) + passes(&mut beside.piece, through);
        Ok(rest.resistance(ends.main) + 1.0 / (passes * passes))
    }
}

/// The ways between the two ends of a branch: itself, unless a valve in it is shut, and on a loop the
/// piece of main beside it, unless that is blocked.
pub(crate) struct Beside {
    pub own: Option<Series>,
    pub piece: Option<Series>,
}

/// The ends at which what all branches share is taken.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner {
    pub pump: End,
    /// Hoses, joint and heat source.
    pub common: End,
    /// The ways round: where they lose least, whatever may be open is.
    pub shorts: End,
}

impl Corner {
    fn of(end: End, shorts: End) -> Corner {
        Corner {
            pump: end,
            common: end,
            shorts,
        }
    }
}

/// Flows of a branch in m³/s, and heads in m.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Flows {
    pub own: f64,
    pub main: f64,
    pub machine: f64,
    /// What the pump makes, what hoses, joint and heat source lose of it, and what the branch does.
    pub made: f64,
    pub common: f64,
    pub branch: f64,
}

/// A branch takes about this share of the machine's greatest flow: where the search begins.
const START: f64 = 0.15;

/// The flows that the machine drives through a branch, beside whatever shorts are open: through the
/// `rest` of its loop if it stands on one, and through itself and what is `beside` it.
pub(crate) fn solve(
    house: &House,
    water: &Water,
    at: Corner,
    mut rest: Option<Series>,
    mut beside: Beside,
) -> Result<Flows, OutOfRange> {
    let of_common = mains::common(&house.machine, &house.joint, at.common);
    let mut common = Series::of(at.common, water, of_common)?;
    let pump = Pump::at(&house.machine, water, at.pump);
    let around = short_factor(house, at.shorts);
    let start = START * pump.most;
    // Where nothing is open the pump stands at its shut-off.
    let mut flows = Flows {
        made: pump.head,
        ..Flows::default()
    };
    if beside.own.is_none() && beside.piece.is_none() && around <= 0.0 {
        return Ok(flows);
    }
    let mut guess = start;
    // What is sought is the flow of the branch; where a valve in it is shut, that beside it.
    let mut lost = |flow: f64| {
        let (own, through, head) = match (&mut beside.own, &mut beside.piece) {
            (Some(own), piece) => {
                let head = own.loss(flow);
                let through = piece.as_mut().map_or(0.0, |piece| piece.flow(head, guess));
                guess = through.max(1e-3 * start);
                (flow, through, head)
            }
            (None, Some(piece)) => (0.0, flow, piece.loss(flow)),
            (None, None) => (0.0, 0.0, (flow / around).powi(2)),
        };
        let main = own + through;
        let branch = head;
        let head = branch + rest.as_mut().map_or(0.0, |rest| rest.loss(main));
        let machine = main + around * head.sqrt();
        let (lost, fall) = (common.loss(machine), pump.fall(machine));
        flows = Flows {
            own,
            main,
            machine,
            made: pump.head - fall,
            common: lost,
            branch,
        };
        head + lost + fall
    };
    settle(pump.head, pump.most, start, &mut lost);
    let checked = [(&beside.own, flows.own), (&rest, flows.main)];
    for (series, flow) in checked {
        series
            .as_ref()
            .map_or(Ok(()), |series| series.check(flow))?;
    }
    common.check(flows.machine)?;
    Ok(flows)
}

/// What all shorts together pass, in m³/s at a head of 1 m.
fn short_factor(house: &House, end: End) -> f64 {
    let open = house.shorts.iter().filter(|short| match end {
        End::Least => short.open != Truth::No,
        End::Most => short.open == Truth::Yes,
    });
    open.map(|short| 1.0 / valve_loss(end.down(short.valve)).sqrt())
        .sum()
}

/// The share that shorts take beside what loses `head` m per (m³/s)².
fn taken(house: &House, shorts: End, head: f64) -> f64 {
    let around = short_factor(house, shorts) * head.sqrt();
    if around.is_finite() {
        around / (1.0 + around)
    } else {
        1.0
    }
}
