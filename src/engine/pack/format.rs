//! The files of a pack as they are written: one struct for one format.
//!
//! Contract: the keys are those of the schemas, which a test holds. Every key may be missing here, since
//! the check against the schema tells what must be there; so whatever else is written is read as well.

use serde::Deserialize;
use serde::de::{Deserializer, Error, IgnoredAny, MapAccess, Visitor};
use std::fmt;
use wetside_base::finding::Citation;
use wetside_document::{Entries, Placed};

pub(crate) type Text<'d> = Option<Placed<&'d str>>;

/// The text itself, without the line break that a block of lines ends with.
pub(crate) fn own(text: &Text<'_>) -> String {
    text.map_or("", |text| text.value.trim_end()).to_string()
}

/// `pack.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct HeadFile<'d> {
    #[serde(borrow)]
    pub pack: Text<'d>,
    #[serde(borrow)]
    pub edition: Text<'d>,
    #[serde(borrow)]
    pub title: Text<'d>,
    #[serde(borrow)]
    pub scope: Text<'d>,
    #[serde(borrow)]
    pub limits: Option<Entries<'d, LimitFile<'d>>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct LimitFile<'d> {
    #[serde(borrow)]
    pub value: Text<'d>,
    #[serde(borrow)]
    pub kind: Text<'d>,
    #[serde(borrow)]
    pub says: Text<'d>,
    #[serde(borrow)]
    pub source: Option<SourceFile<'d>>,
}

/// Where a limit or rule comes from.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct SourceFile<'d> {
    #[serde(borrow)]
    work: Text<'d>,
    #[serde(borrow)]
    clause: Text<'d>,
    #[serde(borrow)]
    standing: Text<'d>,
    #[serde(borrow)]
    certainty: Text<'d>,
}

/// `tables/<name>.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct TableFile<'d> {
    #[serde(borrow)]
    pub table: Text<'d>,
    #[serde(rename = "says")]
    _says: IgnoredAny,
    #[serde(borrow)]
    pub keyed_by: Text<'d>,
    #[serde(borrow)]
    pub columns: Option<Entries<'d, ColumnFile<'d>>>,
    #[serde(borrow)]
    pub rows: Option<Placed<Entries<'d, Entries<'d, Text<'d>>>>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct ColumnFile<'d> {
    #[serde(borrow)]
    pub kind: Text<'d>,
    #[serde(rename = "says")]
    _says: IgnoredAny,
}

/// `<part>/<id>.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct RuleFile<'d> {
    #[serde(borrow)]
    pub title: Text<'d>,
    #[serde(borrow)]
    pub class: Text<'d>,
    #[serde(borrow)]
    pub stage: Text<'d>,
    #[serde(borrow)]
    pub for_each: Text<'d>,
    #[serde(borrow)]
    pub when: Text<'d>,
    #[serde(borrow)]
    pub must: Text<'d>,
    #[serde(borrow)]
    pub point_at: Text<'d>,
    #[serde(borrow)]
    pub says: Text<'d>,
    #[serde(borrow, rename = "do")]
    pub remedy: Text<'d>,
    #[serde(borrow)]
    pub because: Text<'d>,
    #[serde(borrow)]
    pub source: Option<SourceFile<'d>>,
    #[serde(borrow)]
    pub caution: Text<'d>,
    #[serde(borrow)]
    pub cases: Option<Placed<Vec<CaseFile<'d>>>>,
}

/// One of the `cases` of a rule.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct CaseFile<'d> {
    #[serde(borrow)]
    pub name: Text<'d>,
    /// Part of a survey; only its place, since the reader of surveys takes it from the document.
    pub given: Option<Placed<IgnoredAny>>,
    #[serde(borrow)]
    pub as_of: Text<'d>,
    #[serde(borrow)]
    pub then: Option<Placed<Then<'d>>>,
}

/// The words of an outcome: of the rule as a whole, or of each element by its id.
#[derive(Clone)]
pub(crate) enum Then<'d> {
    Whole(&'d str),
    Elements(Vec<(&'d str, &'d str)>),
}

impl<'de: 'd, 'd> Deserialize<'de> for Then<'d> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Then<'d>, D::Error> {
        deserializer.deserialize_any(ThenVisitor)
    }
}

struct ThenVisitor;

impl<'de> Visitor<'de> for ThenVisitor {
    type Value = Then<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an outcome, or one for each element")
    }

    fn visit_borrowed_str<E: Error>(self, word: &'de str) -> Result<Then<'de>, E> {
        Ok(Then::Whole(word))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Then<'de>, A::Error> {
        let mut elements = Vec::new();
        while let Some(element) = map.next_entry()? {
            elements.push(element);
        }
        Ok(Then::Elements(elements))
    }
}

impl SourceFile<'_> {
    pub fn citation(&self) -> Citation {
        Citation {
            work: own(&self.work),
            clause: self.clause.map(|clause| clause.value.to_string()),
            standing: own(&self.standing),
            certainty: own(&self.certainty),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wetside_document::keys_of;
    use wetside_schemas::Which;

    /// The keys that a schema names at a place.
    fn named(which: Which, place: &str) -> Vec<String> {
        let schema = which.read();
        let keys = schema.pointer(&format!("{place}/properties"));
        let keys = keys
            .and_then(|keys| keys.as_object())
            .expect("keys are named there");
        let mut keys: Vec<String> = keys.keys().cloned().collect();
        keys.sort();
        keys
    }

    #[test]
    fn the_structs_have_the_keys_of_the_schemas() {
        let shapes = [
            (Which::Pack, "", keys_of::<HeadFile<'_>>()),
            (Which::Pack, "/$defs/limit", keys_of::<LimitFile<'_>>()),
            (Which::Pack, "/$defs/source", keys_of::<SourceFile<'_>>()),
            (Which::Table, "", keys_of::<TableFile<'_>>()),
            (Which::Table, "/$defs/column", keys_of::<ColumnFile<'_>>()),
            (Which::Rule, "", keys_of::<RuleFile<'_>>()),
            (Which::Rule, "/$defs/source", keys_of::<SourceFile<'_>>()),
            (Which::Rule, "/$defs/case", keys_of::<CaseFile<'_>>()),
        ];
        for (which, place, keys) in shapes {
            let mut keys = keys.to_vec();
            keys.sort_unstable();
            assert_eq!(keys, named(which, place), "{which:?}{place}");
        }
    }
}
