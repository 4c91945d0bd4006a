//! Figures: what an engineer cannot see, worked out from what a survey records.
//!
//! A figure is a field of the vocabulary under the group `figure`. Rules read it as they read a
//! recorded reading; it is known as a range, or open with the reason. One table has a row for each
//! figure: what it means, its formula, its inputs with their sources, and the function.
//!
//! Contract: [`derive`] fills the group once, after the facts have been read. A figure comes from
//! recorded facts and from conventions named in its row, never from a default that a survey could
//! contradict: so whoever records more narrows a figure and never moves it. Each figure remembers the
//! facts that it came from. Adding a figure is adding a row. This module must not know rules, packs,
//! findings or files.
//!
//! In the order of reading:
//! - [`table`]: what a row is
//! - [`range`] and [`view`]: facts to numbers
//! - [`work`]: numbers to figures
//! - [`list`]: figures of each thing in a list
//! - [`wanted`]: which of them somebody reads
//! - [`explain`]: all of them, and one with its numbers put in, for people (`words`: facts in words)
//! - [`house`]: the network of pipes behind the radiators
//! - the other files: the rows

mod ceiling;
mod dose;
mod emitters;
mod estimate;
pub mod explain;
mod heat;
pub mod house;
pub mod list;
mod log;
mod pressure;
pub mod range;
mod rinse;
mod supply;
pub mod table;
mod tank;
mod time;
pub mod view;
mod volume;
pub mod wanted;
mod water;
mod words;
pub mod work;

pub use explain::{Explained, Worked, all, explain};

use list::FigureList;
use table::{Figure, Yields};
use view::View;
pub use wanted::Wanted;
use wetside_base::facts::{FactId, Facts};
use wetside_base::vocabulary::{Plan, PlanShape, Vocabulary};
use wetside_units::{Interval, UnitId};

/// The figures of a survey under headings for people, each after those that it takes.
pub const GROUPS: [(&str, &[Figure]); 13] = [
    ("the water", volume::FIGURES),
    ("the water by its parts", estimate::FIGURES),
    ("cleaner and inhibitor", dose::FIGURES),
    ("the tank of the machine", tank::FIGURES),
    ("what counts as clean", water::FIGURES),
    ("the rinse", rinse::FIGURES),
    ("the readings of the rinse", log::FIGURES),
    ("pressures", pressure::FIGURES),
    ("heat", heat::FIGURES),
    ("how hot it may be", ceiling::FIGURES),
    ("electricity", supply::FIGURES),
    ("time", time::FIGURES),
    ("the best point of connection", house::best::FIGURES),
];

/// Every figure of a survey, each after those that it takes.
pub fn table() -> impl Iterator<Item = &'static Figure> {
    GROUPS.into_iter().flat_map(|(_, figures)| figures)
}

/// Every list of figures, worked out before the figures of the survey.
pub fn lists() -> impl Iterator<Item = &'static FigureList> {
    emitters::LISTS
        .iter()
        .chain(house::rows::LISTS)
        .chain(house::points::LISTS)
}

/// The figures as fields of a vocabulary, under one group.
pub fn fields() -> Vec<Plan> {
    let says = "What the tool works out from the survey. It is never recorded.";
    vec![Plan {
        name: Vocabulary::FIGURES.to_string(),
        says: says.to_string(),
        tier: None,
        asked_when: None,
        shape: PlanShape::Group(
            lists()
                .map(list::plan_list)
                .chain(table().map(plan))
                .collect(),
        ),
    }]
}

fn plan(figure: &Figure) -> Plan {
    let shape = match figure.yields {
        Yields::Quantity(kind) => PlanShape::Quantity {
            kind,
            possible: Interval::EVERYTHING,
            usual_unit: UnitId::usual(kind).symbol().to_string(),
        },
        Yields::Word(words) => {
            PlanShape::Choice(words.iter().map(|word| (*word).to_string()).collect())
        }
    };
    Plan {
        name: figure.name.to_string(),
        says: figure.says.to_string(),
        tier: None,
        asked_when: None,
        shape,
    }
}

/// Works out every figure and fills its fact. Nothing happens where the vocabulary has no figures.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary) {
    derive_wanted(facts, vocabulary, &Wanted::everything());
}

/// The same for what is wanted; the rest stays as if nobody had recorded it.
pub fn derive_wanted(facts: &mut Facts, vocabulary: &Vocabulary, wanted: &Wanted) {
    let Some(group) = group(facts, vocabulary) else {
        return;
    };
    for list in emitters::LISTS {
        if wanted.has(list.name) {
            list::derive(facts, vocabulary, group, list);
        }
    }
    if house::rows::LISTS.iter().any(|list| wanted.has(list.name)) {
        house::rows::derive(facts, vocabulary, group, wanted);
    }
    if house::points::LISTS
        .iter()
        .any(|list| wanted.has(list.name))
    {
        house::points::derive(facts, vocabulary, group, wanted);
    }
    for figure in table().filter(|figure| wanted.has(figure.name)) {
        let view = View { facts, vocabulary };
        let id = view.at(group, figure.name);
        let taken = work::take(&view, Facts::ROOT, figure);
        let content = work::content(&view, figure, &taken);
        facts.work_out(id, content, work::behind(&taken));
    }
}

/// The group of the figures.
fn group(facts: &Facts, vocabulary: &Vocabulary) -> Option<FactId> {
    let field = vocabulary.figures()?;
    Some(facts.child(Facts::ROOT, vocabulary.field(field).slot))
}
