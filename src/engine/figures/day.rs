//! The day from door to door: the stages of the plan, and how long all of them take.
//!
//! Contract: the rows of one figure are the stages of the plan, in the order of the work; whatever speaks
//! of the time of a job reads them here. A stage that nobody can tell may take any time, so the day is
//! never taken for shorter than it is.

use super::emitters::{self, elements};
use super::house::branches;
use super::list;
use super::survey::{self, ControlKind, HeatedBy, HotWater};
use super::table::{Figure, Input, NO_SOURCE, Origin, figures, gathered, usual};
use super::view::{Gathered, View};
use super::work;
use wetside_base::facts::{FactId, Facts};
use wetside_house::convention::{self, Convention};
use wetside_house::{Layout, Range, turn_time};
use wetside_units::Kind;

/// The figure of each branch that the day takes.
pub(super) const OF_BRANCHES: &str = "change_time";
/// Those of the survey.
pub(super) const OF_SURVEY: [&str; 4] = [WATER, FLOW, RINSE_TIME, HEAT_UP];
const WATER: &str = "flush_volume";
const FLOW: &str = "rinse_flow";
const RINSE_TIME: &str = "rinse_time";
const HEAT_UP: &str = "heat_up_time";
pub(super) const NAME: &str = "time_on_site";

/// A stage of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    pub says: &'static str,
    /// In s; without an upper end where it may take any time.
    pub time: Range,
    /// Fresh water in m³.
    pub water: Range,
}

/// Names of the stages that something else is told of.
pub const TURNS: &str = "one branch at a time";
pub const WARMING: &str = "waiting for the water to warm";
pub const CLEANING: &str = "cleaner round, all open";
const FIRST_DUMP: &str = "dump of the first black water";
pub(super) const RINSE: &str = "rinse, one dilution at the end";

pub(super) const FIGURES: &[Figure] = figures! {
    "time_on_site": Time,
        "How long the job takes from the door to the door, without unforeseen work: all stages of the plan.";
        "t = Σ t of the stages", NO_SOURCE;
        [
            stage("t_safe", "making safe", |view, root| {
                of_valves(view, root, &convention::MAKING_SAFE, &convention::EACH_OPENED)
            }),
            by("t_join", "setting up and connecting", &convention::CONNECTING),
            by("t_round", "plain water round, all open", &convention::FIRST_ROUND),
            stage("t_dump", FIRST_DUMP, first_dump),
            stage("t_warm", WARMING, warming),
            stage("t_open", CLEANING, cleaning),
            stage("t_each", TURNS, turns),
            stage("t_sides", "coil, bypass and header sides", sides),
            stage("t_loops", "floor loops, one at a time", loops),
            by("t_again", "all open again", &convention::ALL_OPEN),
            stage("t_acid", "neutralising the acid", neutralising),
            stage("t_rinse", RINSE, |view, _| view.amount(view.figures(), RINSE_TIME)),
            by("t_proof", "samples and readings", &convention::PROOF),
            by("t_dose", "inhibitor in, and round until it is tested", &convention::DOSING),
            stage("t_back", "putting back and venting", |view, root| {
                of_valves(view, root, &convention::RESTORING, &convention::EACH_SET_BACK)
            }),
            stage("t_fill", "filling", filling),
            by("t_hot", "hot run, every joint looked at again", &convention::HOT_RUN),
        ]
        => { |safe, join, round, dump, warm, open, each, sides, loops, again, acid, rinse, proof, dose, back, fill, hot| {
            [safe, join, round, dump, warm, open, each, sides, loops, again, acid, rinse, proof, dose, back, fill, hot]
                .iter()
                .sum::<f64>()
        } };
};

const fn by(symbol: &'static str, says: &'static str, convention: &Convention) -> Input {
    usual(symbol, says, Kind::Time, convention)
}

const fn stage(
    symbol: &'static str,
    says: &'static str,
    gather: fn(&View<'_>, FactId) -> Gathered,
) -> Input {
    gathered(symbol, says, Kind::Time, gather)
}

/// The stages that take any time, in the order of the work. `turns` is what the branches take in theirs,
/// where more is known of it than rules may go by.
pub(crate) fn stages(view: &View<'_>, turns: Option<Range>) -> Vec<Stage> {
    let [day] = FIGURES else { return Vec::new() };
    let taken = work::take(view, Facts::ROOT, day);
    let water = |name| view.range(view.figure(name)).unwrap_or(Range::FROM_NOTHING);
    let all = day.inputs.iter().zip(taken).filter_map(|(input, taken)| {
        let says = match input.origin {
            Origin::Convention { says, .. } | Origin::Gathered { says, .. } => says,
            Origin::Fact(_) | Origin::Figure(_) => return None,
        };
        let time = match (says, turns) {
            (TURNS, Some(turns)) => turns,
            _ => taken.range.ok()?,
        };
        let water = match says {
            FIRST_DUMP => water(WATER),
            RINSE => water("rinse_water"),
            _ => Range::point(0.0),
        };
        Some(Stage { says, time, water })
    });
    let takes = |stage: &Stage| stage.time.high > 0.0 || stage.says == WARMING;
    all.filter(takes).collect()
}

/// One change of all water that goes round, at the flow that lasts.
fn first_dump(view: &View<'_>, _: FactId) -> Gathered {
    let [water, flow] = [WATER, FLOW].map(|name| view.figure(name));
    over(view, water, flow)
}

/// The water that is filled again when all is back, as fast as the tap gives it.
fn filling(view: &View<'_>, root: FactId) -> Gathered {
    let mut all = over(
        view,
        view.at(root, survey::MEASURED_VOLUME),
        view.at(root, survey::TAP_FLOW),
    );
    let again = convention::FILLED_AGAIN.range;
    all.range = all.range.map(|all| all.product(again));
    all
}

/// A volume at a flow, in s.
fn over(view: &View<'_>, water: FactId, flow: FactId) -> Gathered {
    let any = Range::FROM_NOTHING;
    let (held, rate) = (view.range_or(water, any), view.range_or(flow, any));
    let over = |water: f64, flow: f64| {
        if flow > 0.0 {
            water / flow
        } else {
            f64::INFINITY
        }
    };
    let time = Range::new(over(held.low, rate.high), over(held.high, rate.low));
    let low = if time.low.is_finite() { time.low } else { 0.0 };
    Gathered::of(Range::new(low, time.high), vec![water, flow])
}

/// What is done once for the house, and again at the valves of each emitter and each floor loop.
fn of_valves(view: &View<'_>, root: FactId, once: &Convention, each: &Convention) -> Gathered {
    let mut all = emitters::count(view, root);
    let (loops, facts) = floor_loops(view, root);
    all.range = all
        .range
        .map(|count| once.range.plus(count.plus(loops).product(each.range)));
    all.facts.extend(facts);
    all
}

/// How many loops the floor has.
fn floor_loops(view: &View<'_>, root: FactId) -> (Range, Vec<FactId>) {
    let fitted = view.choice(root, &survey::FLOOR_FITTED);
    let loops = Gathered::if_there(fitted, || view.amount(root, survey::FLOOR_LOOPS));
    (loops.range.unwrap_or(Range::FROM_NOTHING), loops.facts)
}

/// The round of cleaner, where there is any.
fn cleaning(view: &View<'_>, root: FactId) -> Gathered {
    let round = convention::ALL_OPEN.range;
    Gathered::if_there(view.choice(root, &survey::CLEANER), || {
        Gathered::of(round, Vec::new())
    })
}

/// How long the water has been warming when nobody waits for it any longer.
pub(super) fn waited(view: &View<'_>, root: FactId) -> Gathered {
    let mut round = cleaning(view, root);
    let longest = convention::LONGEST_WAIT.range;
    round.range = round.range.map(|round| round.plus(longest));
    round
}

/// What warming takes beyond the round of cleaner, during which it goes on; nobody waits for it without
/// end. Nothing where nothing heats the water: it is then flushed as cold as it comes.
fn warming(view: &View<'_>, root: FactId) -> Gathered {
    let (id, by) = view.choice(root, &survey::HEAT_BY);
    if by == Some(HeatedBy::Nothing) {
        return Gathered::nothing(vec![id]);
    }
    let all = view.amount(view.figures(), HEAT_UP);
    let takes = match by {
        Some(_) => all.range.unwrap_or(Range::FROM_NOTHING),
        None => Range::FROM_NOTHING,
    };
    let longest = convention::LONGEST_WAIT.range;
    let cleaning = cleaning(view, root);
    let round = cleaning.range.unwrap_or(Range::FROM_NOTHING);
    let beyond = |takes: f64, round: f64, longest: f64| (takes - round).clamp(0.0, longest);
    let time = Range::new(
        beyond(takes.low, round.high, longest.low),
        beyond(takes.high, round.low, longest.high),
    );
    Gathered::of(time, [all.facts, cleaning.facts, vec![id]].concat())
}

/// Every emitter in its turn, those that are counted and not named among them.
fn turns(view: &View<'_>, root: FactId) -> Gathered {
    let (layout_id, layout) = view.choice(root, &survey::LAYOUT);
    let list = view.at(root, survey::EMITTERS);
    let mut facts = vec![list, layout_id];
    let listed = list::pairs(view, &branches::LIST);
    let (_, mut all) = unnamed(view, layout, listed.len());
    for (_, element) in listed {
        let change = view.at(element, OF_BRANCHES);
        facts.push(change);
        all = all.plus(turn_time(
            layout,
            view.range_or(change, Range::FROM_NOTHING),
        ));
    }
    Gathered::of(all, facts)
}

/// The emitters beyond so many that are named: how many there are, and what they take.
pub(crate) fn unnamed(view: &View<'_>, layout: Option<Layout>, named: usize) -> (Range, Range) {
    let all = emitters::count(view, Facts::ROOT).range;
    let all = all.unwrap_or(Range::FROM_NOTHING);
    let named = named as f64;
    let left = Range::new((all.low - named).max(0.0), (all.high - named).max(0.0));
    let each = turn_time(layout, Range::FROM_NOTHING);
    let time = if left.high > 0.0 {
        left.product(each)
    } else {
        left
    };
    (left, time)
}

/// The coil of a cylinder, bypasses, and the sides of headers.
fn sides(view: &View<'_>, root: FactId) -> Gathered {
    let (kind, hot_water) = view.choice(root, &survey::HOT_WATER);
    let coils = match hot_water {
        Some(HotWater::Coil) => Range::point(1.0),
        Some(HotWater::NoCoil) => Range::point(0.0),
        Some(HotWater::SingleFeed | HotWater::Store) | None => Range::new(0.0, 1.0),
    };
    let list = view.at(root, survey::CONTROLS);
    let (listed, more) = elements(view, list);
    let mut facts = vec![kind, list];
    let mut sides = Range::new(0.0, if more { f64::INFINITY } else { 0.0 });
    for element in listed {
        let (id, kind) = view.choice(element, &survey::CONTROL_KIND);
        facts.push(id);
        sides = sides.plus(match kind {
            Some(ControlKind::Bypass | ControlKind::Header) => Range::point(1.0),
            Some(ControlKind::Check | ControlKind::Other) => Range::point(0.0),
            None => Range::new(0.0, 1.0),
        });
    }
    let of_coils = coils.product(convention::EACH_CIRCUIT.range);
    let of_sides = sides.product(convention::EACH_SIDE.range);
    Gathered::of(of_coils.plus(of_sides), facts)
}

fn loops(view: &View<'_>, root: FactId) -> Gathered {
    let (loops, facts) = floor_loops(view, root);
    Gathered::of(loops.product(convention::EACH_LOOP.range), facts)
}

fn neutralising(view: &View<'_>, root: FactId) -> Gathered {
    let acid = view.choice(root, &survey::ACID);
    let time = convention::NEUTRALISING.range;
    Gathered::if_there(acid, || Gathered::of(time, Vec::new()))
}
