//! What may vary from house to house: the table `houses.yaml`, and one value for another of it.
//!
//! Contract: data, and what a row makes of a value. Whether a house bears it is asked elsewhere.

use crate::draw::Draw;
use crate::fault::Answer;
use crate::survey::number;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;
use wetside_edit::yaml::in_yaml;
use wetside_units::UnitId;

/// What may vary.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Table {
    pub(super) ways: Vec<Way>,
    pub(super) odd: Odd,
    pub(super) open: Open,
    pub(super) names: Vec<Vec<String>>,
    pub(super) more: Vec<String>,
    pub(super) jobs: Vec<String>,
    made: BTreeSet<String>,
    units: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Way {
    pub(super) fields: Vec<String>,
    pub(super) only: Option<String>,
    pub(super) among: Option<Vec<String>>,
    pub(super) sold: Option<Vec<String>>,
    pub(super) by: Option<u32>,
    pub(super) steps: Option<u32>,
    #[serde(default)]
    pub(super) less: Answer,
    #[serde(default)]
    pub(super) together: Answer,
    #[serde(default)]
    pub(super) range: Answer,
}

/// What is unknown or left out: how many values, and of which fields.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Open {
    pub(super) values: usize,
    pub(super) fields: BTreeSet<String>,
}

/// What is seldom so: how many words of it are drawn, and among which.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Odd {
    pub(super) words: usize,
    pub(super) rows: Vec<Way>,
}

impl Table {
    /// Whether houses have a field unknown.
    pub(super) fn leaves_open(&self, field: &str) -> bool {
        self.open.fields.contains(field)
    }

    fn sizes<'t>(&'t self, field: &'t str) -> impl Iterator<Item = &'t Way> {
        let sold =
            move |way: &&Way| way.sold.is_some() && way.fields.iter().any(|one| one == field);
        self.ways.iter().filter(sold)
    }

    /// Whether a field has sizes, so that a number between them would show itself as noise.
    pub(super) fn has_sizes(&self, field: &str) -> bool {
        self.made.contains(field) || self.sizes(field).next().is_some()
    }

    /// Another of the sizes of a field; nothing where none is known.
    pub(super) fn other_size(&self, field: &str, old: &str, draw: &mut Draw) -> Option<String> {
        let other = self.sizes(field).find_map(|way| way.other(old, draw));
        other.filter(|other| other != old)
    }

    /// The units that people now and then write, as a survey spells them.
    pub(super) fn has_unit(&self, unit: UnitId) -> bool {
        self.units.iter().any(|one| one == unit.row().symbol)
    }

    /// The words that a field may have.
    pub(super) fn words(&self) -> impl Iterator<Item = (&String, &[String])> {
        let rows = self.ways.iter().chain(&self.odd.rows);
        rows.flat_map(|way| {
            let words = way.among.as_deref().unwrap_or_default();
            way.fields.iter().map(move |field| (field, words))
        })
    }
}

pub(super) fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        serde_yaml::from_str(include_str!("houses.yaml")).expect("a test reads it")
    });
    &TABLE
}

impl Way {
    /// Another value for one of this field; nothing where the row does not speak of such values.
    pub(super) fn other(&self, old: &str, draw: &mut Draw) -> Option<String> {
        if let Some(words) = &self.among {
            let plain = old.trim_matches('"');
            let known = words.iter().any(|word| word == plain);
            let word = &words[draw.below(words.len())];
            return known.then(|| in_yaml(word, true));
        }
        if let Some(sizes) = &self.sold {
            let at = sizes.iter().position(|size| size == old)?;
            let near = &sizes[at.saturating_sub(2)..sizes.len().min(at + 3)];
            return Some(near[draw.below(near.len())].clone());
        }
        let mut less_or_more = |most| match (up_or_down(most, draw), self.less) {
            (by, Answer::Yes) => -by.abs(),
            (by, Answer::No) => by,
        };
        if let Some(percent) = self.by {
            return number::times(old, 100 + less_or_more(percent));
        }
        let steps = less_or_more(self.steps?);
        match old.parse::<i64>() {
            // What counts things has no unit.
            Ok(count) => Some((count + steps).max(1).to_string()),
            Err(_) => number::moved(old, steps),
        }
    }
}

/// A number between one below nothing and the same above.
pub(super) fn up_or_down(most: u32, draw: &mut Draw) -> i64 {
    let each = draw.below(2 * most as usize + 1);
    i64::try_from(each).unwrap_or(0) - i64::from(most)
}

/// A number as the range in which it lies.
pub(super) fn in_a_range(text: &str) -> Option<String> {
    let (low, high) = (number::times(text, 94)?, number::times(text, 107)?);
    let (low, _) = low.split_once(' ')?;
    (!high.starts_with(low)).then(|| format!("{low} to {high}"))
}
