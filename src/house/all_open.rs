//! Everything open at once: what each branch gets then, and the pressures.
//!
//! Contract: the range of a branch's flow is that over the cases of [`network`](crate::network), with
//! everything for it and everything against it, over the places of the other take-offs as `search` says,
//! and over the thickest and the thinnest water; pressures and shares have cases of their own. Draws out
//! of the ranges stay inside; between laminar and turbulent flow only to within the hundredth part that
//! the passage may turn by. Speeds are taken at the ends of bore and flow apart. A layout with a bridge
//! between two mains has no such ends; there is none among the layouts, and a mixed one has no network.
//! The floor is shut, as it should be while radiators are flushed.
//!
//! So many networks are solved for each branch, and each is as large as the house: the cost grows with
//! the square of the emitters. Of more than [`MOST_OPEN`](crate::MOST_OPEN) nothing is worked out, and the reason says so.

use crate::case::Case;
use crate::emitter::pascals;
use crate::model::House;
use crate::network::PUMP;
use crate::opened::{AllOpen, NoNetwork, Share, WithAllOpen};
use crate::range::Range;
use crate::search::{Search, machine_flow};

/// Flows and pressures with everything open.
pub fn all_open(house: &House) -> Result<AllOpen, NoNetwork> {
    let pumps = house.by_pump();
    let search = Search::new(house, &pumps)?;
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
    let pumps = house.by_pump();
    let search = Search::new(house, &pumps)?;
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
