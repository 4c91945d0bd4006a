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
//! - [`explain`]: a figure with its numbers put in, for people
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
mod pressure;
pub mod range;
mod rinse;
mod supply;
pub mod table;
mod tank;
mod time;
pub mod view;
mod volume;
mod water;
pub mod work;

pub use explain::{Explained, Worked, all, explain};

use crate::facts::{FactId, Facts};
use crate::units::{Interval, UnitId};
use crate::vocabulary::{Plan, PlanShape, Vocabulary};
use list::FigureList;
use table::{Figure, Yields};
use view::View;

/// Every figure of a survey, each after those that it takes.
pub fn table() -> impl Iterator<Item = &'static Figure> {
    [
        volume::FIGURES,
        estimate::FIGURES,
        dose::FIGURES,
        tank::FIGURES,
        water::FIGURES,
        rinse::FIGURES,
        pressure::FIGURES,
        heat::FIGURES,
        ceiling::FIGURES,
        supply::FIGURES,
        time::FIGURES,
    ]
    .into_iter()
    .flatten()
}

/// Every list of figures, worked out before the figures of the survey.
pub fn lists() -> impl Iterator<Item = &'static FigureList> {
    emitters::LISTS.iter().chain(house::rows::LISTS)
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

/// Which figures somebody reads. Those of a row take nothing from those of a later row.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wanted {
    #[default]
    Nothing,
    /// All but the lists of the house: those take networks to solve, which costs more than all else.
    WithoutHouse,
    Everything,
}

impl Wanted {
    /// What a text of rules may read. A text that has the words in another sense, or could hide them
    /// behind an escape, wants them too, which does no harm.
    pub fn by(text: &str) -> Wanted {
        let mut words = text.match_indices(Vocabulary::FIGURES);
        let path = |(at, word): (usize, &str)| {
            let after = text[at + word.len()..].trim_start().strip_prefix('.');
            after.is_some_and(|name| {
                name.trim_start()
                    .starts_with(|c: char| c.is_ascii_lowercase())
            })
        };
        if text.contains('\\') {
            Wanted::Everything
        } else if !words.any(path) {
            Wanted::Nothing
        } else if house::rows::LISTS
            .iter()
            .any(|list| text.contains(list.name))
        {
            Wanted::Everything
        } else {
            Wanted::WithoutHouse
        }
    }
}

/// Works out every figure and fills its fact. Nothing happens where the vocabulary has no figures.
pub fn derive(facts: &mut Facts, vocabulary: &Vocabulary) {
    derive_wanted(facts, vocabulary, Wanted::Everything);
}

/// The same for what is wanted; the rest stays as if nobody had recorded it.
pub fn derive_wanted(facts: &mut Facts, vocabulary: &Vocabulary, wanted: Wanted) {
    let Some(group) = group(facts, vocabulary) else {
        return;
    };
    if wanted == Wanted::Nothing {
        return;
    }
    for list in emitters::LISTS {
        list::derive(facts, vocabulary, group, list);
    }
    if wanted == Wanted::Everything {
        house::rows::derive(facts, vocabulary, group);
    }
    for figure in table() {
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
