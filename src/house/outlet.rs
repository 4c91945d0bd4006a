//! The pressure that the way back to the tank holds up at an emitter's outlet, with all others shut.
//!
//! Contract: flow and pressure come from one solution. Out and back are alike, so half of what the pump
//! makes less what the emitter's own valves and fittings lose is lost on the way back. That rises with what
//! hoses, joint, mains and tails lose, for the flow falls and the pump makes more of it; it falls with what
//! valves and fittings lose; and it rises with the pump: one set of ends gives the least, one the greatest. Where
//! something passes the branch by, none of this has a sign: the range is then the widest that can be, from
//! nothing to half of what the pump makes.

use crate::alone_flow::{Beside, Corner, solve};
use crate::mains::{self, Lay};
use crate::model::{Emitter, Layout};
use crate::range::Range;
use crate::series::{End, Series, Water};
use wetside_physics::{GRAVITY, OutOfRange};
use wetside_units::truth::Truth;

/// In Pa.
pub(crate) fn way_back(
    lay: &Lay<'_>,
    water: &Water,
    emitter: &Emitter,
) -> Result<Range, OutOfRange> {
    let heads = match lay.house.layout {
        Layout::OnePipe => on_loop(lay, water, emitter)?,
        Layout::Mixed => off_mains(lay, water, emitter)?.hull(on_loop(lay, water, emitter)?),
        _ => off_mains(lay, water, emitter)?,
    };
    Ok(in_pascals(water, heads))
}

/// Pressure in Pa of what a way loses in m.
pub(crate) fn in_pascals(water: &Water, heads: Range) -> Range {
    heads.product(water.density).times(GRAVITY)
}

const BOTH: [End; 2] = [End::Least, End::Most];

/// In m: half of what the pump makes less what valves and fittings lose.
fn off_mains(lay: &Lay<'_>, water: &Water, emitter: &Emitter) -> Result<Range, OutOfRange> {
    let tails = emitter.tails.length;
    // What the pump makes, and what of it is not lost in own valves and fittings.
    let at = |end: End, valves: End| -> Result<(f64, f64), OutOfRange> {
        let main = lay.main_run(emitter, end, end.other().up(tails));
        let main = mains::main_pipes(lay.house, main, &emitter.tails, end);
        let own = mains::emitter_pipe(emitter, end.up(tails), end, valves);
        let corner = Corner {
            pump: end.other(),
            common: end,
            shorts: End::Most,
        };
        let series = own.map(|own| Series::of(end, water, main.into_iter().chain([own])));
        let beside = Beside {
            own: series.transpose()?,
            piece: None,
        };
        let flows = solve(lay.house, water, corner, None, beside)?;
        // Where a valve is shut nothing flows, and nothing is lost on the way back but in the hoses.
        let rest = own.map_or(flows.common, |own| {
            flows.made - mains::fittings_loss(&own) * flows.own.powi(2)
        });
        Ok((flows.made, rest))
    };
    let shorts = &lay.house.shorts;
    if shorts.iter().all(|short| short.open == Truth::No) {
        let [least, most] = BOTH.map(|end| at(end, end.other()));
        return Ok(Range::new(0.5 * least?.1, 0.5 * most?.1));
    }
    // Beside a way round no input has a sign of its own: nothing is lost on the way back, or half of what the
    // pump makes where everything stands most against it.
    Ok(Range::new(0.0, 0.5 * at(End::Most, End::Most)?.0))
}

/// In m: on a loop all that lies behind the emitter is way back, from nothing to the whole of it.
fn on_loop(lay: &Lay<'_>, water: &Water, emitter: &Emitter) -> Result<Range, OutOfRange> {
    let house = lay.house;
    let at = |pump: End, common: End, own: End, piece: End, shorts: End| {
        let rest = Series::of(End::Most, water, [mains::rest_of_loop(house, 1, End::Most)])?;
        let length = own.up(emitter.tails.length);
        let run = mains::emitter_pipe(emitter, length, own, own);
        let blocked = match piece {
            End::Least => house.mains.piece == Truth::Yes,
            End::Most => house.mains.piece != Truth::No,
        };
        let under = (!blocked).then(|| mains::piece(house, piece));
        let series = |end: End, run| Series::of(end, water, [run]);
        let beside = Beside {
            own: run.map(|run| series(own, run)).transpose()?,
            piece: under.map(|run| series(piece, run)).transpose()?,
        };
        let corner = Corner {
            pump,
            common,
            shorts,
        };
        solve(house, water, corner, Some(rest), beside)
    };
    let (least, most) = (End::Least, End::Most);
    let mut ends = Vec::new();
    for piece in BOTH {
        let last = at(most, least, most, piece, most)?;
        // A freer emitter lets more through the loop, so that more is lost there and less is made.
        let each = BOTH.map(|common| BOTH.map(|shorts| BOTH.map(|own| (common, shorts, own))));
        for (common, shorts, own) in each.into_iter().flatten().flatten() {
            let first = at(least, common, own, piece, shorts)?;
            // Where all of the loop is shut nothing comes to the outlet.
            let high = if first.main > 0.0 {
                first.made - 0.5 * first.common - 0.5 * first.branch
            } else {
                0.0
            };
            ends.push(Ok(Range::new(0.5 * last.common, high)));
        }
    }
    over(ends)
}

/// The hull of all.
pub(crate) fn over(
    ends: impl IntoIterator<Item = Result<Range, OutOfRange>>,
) -> Result<Range, OutOfRange> {
    let mut all = ends.into_iter();
    let first = all.next().unwrap_or(Ok(Range::point(0.0)))?;
    all.try_fold(first, |hull, one| Ok(hull.hull(one?)))
}
