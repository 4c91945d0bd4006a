//! The figures of each branch, as a list beside the recorded emitters.
//!
//! Contract: `figure.branches` has an element for each recorded emitter, worked out once for all of
//! them. Rules read its fields as recorded ones; each is known as a range or open with the reason, and
//! remembers every fact that was looked at, the emitter's own first.

use super::alone::{self, Branch};
use super::carry::Fate;
use super::convention::{self, Convention};
use super::read;
use crate::figures::list::{self, FigureList};
use crate::figures::range::Range;
use crate::figures::table::{
    Figure, Input, Refused, Runs, Source, Work, Yields, convention as input_by, fact, gathered,
    source,
};
use crate::figures::view::{Gathered, View};
use crate::figures::wanted::Wanted;
use wetside_base::facts::{Content, FactId, Facts, Value, Why, each_once};
use wetside_base::vocabulary::Vocabulary;
use wetside_physics::sludge::Carriage;
use wetside_units::{Kind, Quantity};

/// What becomes of grains in a pipe.
const FATES: &[&str] = &["left", "rolled", "partly carried", "carried"];

pub const LISTS: &[FigureList] = &[FigureList {
    name: "branches",
    says: "Each emitter's branch in its turn: on the wall, its valves opened, all other branches shut.",
    of: "emitters",
    fields: &[
        row(
            "alone_flow",
            Yields::Quantity(Kind::VolumeFlow),
            "The flow through it.",
            "q where H_0 (1 − (q/q_0)^n) = h(hoses) + h(mains) + h(tails, emitter, valves)",
        ),
        row(
            "alone_speed",
            Yields::Quantity(Kind::Velocity),
            "The speed of the water in its tails.",
            "v = q/(π d²/4)",
        ),
        row(
            "reversed_speed",
            Yields::Quantity(Kind::Velocity),
            "The speed in its tails with the machine reversed: nothing where a one-way valve may shut.",
            "v, or 0 where the way back is shut",
        ),
        row(
            "main_speed",
            Yields::Quantity(Kind::Velocity),
            "The speed in the mains that lead to it.",
            "v = q_main/(π D²/4)",
        ),
        row(
            "taken_by_shorts",
            Yields::Quantity(Kind::Share),
            "The share of the machine's flow that passes it by, through bypass, store, buffer or header.",
            "s = 1 − q_main/q_machine",
        ),
        row(
            "change_time",
            Yields::Quantity(Kind::Time),
            "How long the water of emitter and tails takes to go through once.",
            "t = (V + L π d²/4)/q",
        ),
        row(
            "outlet_pressure",
            Yields::Quantity(Kind::GaugePressure),
            "The pressure at the top of its outlet while the machine runs; below 0 it draws air in.",
            "p = ρ g (level in the tank + losses on the way back − height)",
        ),
        row(
            "rise_speed",
            Yields::Quantity(Kind::Velocity),
            "The upward speed inside a panel radiator. It lifts nothing that sinks faster.",
            "v = q/(n b s), s the thickness of the water, 4 to 7 mm (from memory)",
        ),
        row(
            "fine_sludge",
            Yields::Word(FATES),
            "What becomes of fine magnetite of 50 µm in its tails.",
            "w/(0.41 v √(f/8)) to 1.2 carried, to 2.5 partly; rolled from 0.05 g d (s − 1) on",
        ),
        row(
            "coarse_sludge",
            Yields::Word(FATES),
            "What becomes of coarse magnetite of 100 µm in its tails.",
            "w/(0.41 v √(f/8)) to 1.2 carried, to 2.5 partly; rolled from 0.05 g d (s − 1) on",
        ),
        row(
            "riser_margin",
            Yields::Quantity(Kind::Number),
            "The speed in the mains over three times the sinking speed of coarse magnetite: a riser \
             lifts it from 1 on.",
            "m = v_main/(3 w)",
        ),
    ],
}];

pub(super) const LAW: Source = source(
    "energy balance; Darcy and Weisbach, Colebrook and White; the mains by a convention for the layout",
    "from memory",
);
const INPUTS: &[Input] = &[
    fact("d", "tails.bore", Runs::Either),
    fact("L", "tails.length", Runs::Down),
    SHUT_OFF,
    RATED_FLOW,
    MAIN_BORE,
    LONGEST_RUN,
    CURVE,
    usual(
        "k",
        "what its plate may be off by, as a factor",
        Kind::Number,
        &convention::PLATE,
        Runs::Up,
    ),
    usual(
        "d_h",
        "bore of its hoses",
        Kind::Length,
        &convention::HOSE_BORE,
        Runs::Up,
    ),
    usual(
        "ζ_m",
        "fittings in each metre of main",
        Kind::Number,
        &convention::FITTINGS,
        Runs::Down,
    ),
    usual(
        "ζ",
        "fittings of the tails with the emitter",
        Kind::Number,
        &convention::TAIL_FITTINGS,
        Runs::Down,
    ),
];

pub(super) const SHUT_OFF: Input = gathered(
    "p_0",
    "pressure of the machine against a shut valve",
    Kind::GaugePressure,
    shut_off,
    Runs::Up,
);
pub(super) const RATED_FLOW: Input = gathered(
    "q_0",
    "its greatest flow",
    Kind::VolumeFlow,
    rated_flow,
    Runs::Up,
);
pub(super) const MAIN_BORE: Input =
    gathered("D", "bore of the mains", Kind::Length, main_bore, Runs::Up);
pub(super) const LONGEST_RUN: Input = gathered(
    "M",
    "longest run, out and back",
    Kind::Length,
    longest_run,
    Runs::Down,
);
pub(super) const CURVE: Input = usual(
    "n",
    "shape of the pump's curve, from a line to a parabola",
    Kind::Number,
    &convention::CURVE,
    Runs::Up,
);

/// An input by a convention of the house.
pub(super) const fn usual(
    symbol: &'static str,
    says: &'static str,
    kind: Kind,
    by: &Convention,
    runs: Runs,
) -> Input {
    let ends = (by.range.low, by.range.high);
    input_by(symbol, says, kind, ends, by.source, runs)
}

const fn row(
    name: &'static str,
    yields: Yields,
    says: &'static str,
    formula: &'static str,
) -> Figure {
    Figure {
        name,
        yields,
        says,
        formula,
        source: LAW,
        inputs: INPUTS,
        work: Work::Bounded {
            at: |_| Err(elsewhere()),
            bounds: |_| Err(elsewhere()),
            method: "two solutions of the branch, with everything for it and everything against it; \
                     speeds over pieces of a bore that is not known",
        },
    }
}

/// These figures come from a whole house at once, not from the numbers of one row.
pub(super) fn elsewhere() -> Refused {
    Refused::from("it is worked out for all branches at once")
}

pub(super) fn shut_off(view: &View<'_>, _: FactId) -> Gathered {
    of_survey(view, "machine.shut_off_pressure")
}

pub(super) fn rated_flow(view: &View<'_>, _: FactId) -> Gathered {
    of_survey(view, "machine.rated_flow")
}

pub(super) fn main_bore(view: &View<'_>, _: FactId) -> Gathered {
    of_survey(view, "circuit.main_bore")
}

pub(super) fn longest_run(view: &View<'_>, _: FactId) -> Gathered {
    of_survey(view, "circuit.longest_run")
}

fn of_survey(view: &View<'_>, path: &str) -> Gathered {
    let id = view.at(Facts::ROOT, path);
    Gathered {
        range: view.range(id),
        facts: vec![id],
    }
}

/// Works out every branch and fills the facts that are wanted of it.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary, group: FactId, wanted: &Wanted) {
    for branches in LISTS {
        let asked = |figure: &&Figure| wanted.has_of_elements(branches.name, figure.name);
        let asked: Vec<&Figure> = branches.fields.iter().filter(asked).collect();
        let pairs = list::lay_out(facts, vocabulary, group, branches);
        if pairs.is_empty() {
            continue;
        }
        let view = View { facts, vocabulary };
        let found = found(&view);
        for (nth, (_, element)) in pairs.into_iter().enumerate() {
            let (branch, behind) = found.of(nth);
            for figure in &asked {
                let view = View { facts, vocabulary };
                let id = view.at(element, figure.name);
                let content = match &branch {
                    Ok(branch) => content(vocabulary, branch, figure),
                    Err(why) => Err(why.clone()),
                };
                let content = content.unwrap_or_else(|why| Content::Open(Why::NotWorkedOut(why.0)));
                facts.work_out(id, content, behind.clone());
            }
        }
    }
}

/// All branches, or why there are none, with the facts behind them.
struct Found {
    branches: Result<Vec<Option<Branch>>, Refused>,
    common: Vec<FactId>,
    own: Vec<Vec<FactId>>,
}

impl Found {
    fn of(&self, nth: usize) -> (Result<&Branch, Refused>, Vec<FactId>) {
        let own = self.own.get(nth).map_or(&[][..], Vec::as_slice);
        let behind = each_once(own.iter().chain(&self.common).copied());
        let branch = match &self.branches {
            Ok(all) => all.get(nth).and_then(Option::as_ref).ok_or_else(elsewhere),
            Err(why) => Err(why.clone()),
        };
        (branch, behind)
    }
}

fn found(view: &View<'_>) -> Found {
    match read::house(view, false) {
        Ok(reading) => Found {
            branches: alone::branches(&reading.house).map_err(Refused::from),
            common: reading.common,
            own: reading.own,
        },
        Err(none) => Found {
            branches: Err(none.why),
            common: none.facts,
            own: Vec::new(),
        },
    }
}

/// What is known of one figure of a branch.
fn content(vocabulary: &Vocabulary, branch: &Branch, figure: &Figure) -> Result<Content, Refused> {
    let Yields::Quantity(kind) = figure.yields else {
        return word(vocabulary, branch, figure.name);
    };
    let range = quantity(branch, figure.name)?;
    let interval = range.to_interval(kind);
    let interval = interval.ok_or_else(|| Refused::from("its numbers are too large"))?;
    Ok(Content::Known(Value::Quantity(Box::new(
        Quantity::computed(kind, interval),
    ))))
}

pub(super) fn quantity(branch: &Branch, name: &str) -> Result<Range, Refused> {
    Ok(match name {
        "alone_flow" => branch.flow,
        "alone_speed" => branch.speed,
        "reversed_speed" => branch.speed_back,
        "main_speed" => branch.main_speed,
        "taken_by_shorts" => branch.taken_by_shorts,
        "change_time" => branch.change,
        "outlet_pressure" => branch.outlet,
        "riser_margin" => branch.riser,
        "rise_speed" => branch.rise.ok_or_else(|| {
            Refused::from("panels and length are not known, or it is no panel radiator")
        })?,
        _ => return Err(elsewhere()),
    })
}

fn word(vocabulary: &Vocabulary, branch: &Branch, name: &str) -> Result<Content, Refused> {
    let fate = match name {
        "fine_sludge" => branch.fine,
        _ => branch.coarse,
    };
    let Some(known) = fate.known() else {
        let Fate { worst, best } = fate;
        let (worst, best) = (words(worst), words(best));
        return Err(Refused(format!(
            "it may be anything from `{worst}` to `{best}`"
        )));
    };
    let word = vocabulary.word_id(words(known));
    word.map(|word| Content::Known(Value::Word(word)))
        .ok_or_else(elsewhere)
}

/// What becomes of a grain, in a word.
pub fn words(carriage: Carriage) -> &'static str {
    match carriage {
        Carriage::Settles => FATES[0],
        Carriage::Rolls => FATES[1],
        Carriage::Partly => FATES[2],
        Carriage::Suspended => FATES[3],
    }
}
