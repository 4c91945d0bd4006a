//! The files of a pack as they are written: one struct for one format.
//!
//! Contract: the keys are those of the schemas, which a test holds. Every key may be missing here, since
//! the check against the schema tells what must be there; so whatever else is written is read as well.

use serde::de::value::MapAccessDeserializer;
use serde::de::{Error, IgnoredAny, MapAccess, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;
use wetside_base::finding::Citation;
use wetside_document::{Entries, Placed};

pub(crate) type Text = Option<Placed<String>>;

/// The text as it is written.
pub(super) fn raw(text: &Text) -> &str {
    text.as_ref().map_or("", |text| &text.value)
}

/// The text itself, without the line break that a block of lines ends with.
pub(crate) fn own(text: &Text) -> String {
    raw(text).trim_end().to_string()
}

/// `pack.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct HeadFile {
    pub pack: Text,
    pub edition: Text,
    pub title: Text,
    pub scope: Text,
    pub phases: Option<Entries<PhaseFile>>,
    pub laws: Option<Entries<LawFile>>,
    pub limits: Option<Entries<LimitFile>>,
    pub words: Option<Entries<WordsFile>>,
    pub fields: Option<Entries<FieldFile>>,
    pub locked: Option<Vec<Placed<String>>>,
    pub builds_on: Option<Placed<BuildsOnFile>>,
    pub changes: Option<Vec<Placed<ChangeFile>>>,
}

/// The pack that a layer changes.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
pub(crate) struct BuildsOnFile {
    pub pack: Text,
    pub edition: Text,
}

/// One of the `changes` of a layer: one of the first six says what is done to what.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct ChangeFile {
    pub set_limit: Text,
    pub extend_table: Text,
    pub tighten: Text,
    pub replace: Text,
    pub reword: Text,
    pub retire: Text,
    /// The digest of what is changed, as the writer knew it.
    #[serde(rename = "as")]
    pub known_as: Text,
    pub from: Text,
    pub to: Text,
    pub must: Text,
    pub title: Text,
    pub says: Text,
    #[serde(rename = "do")]
    pub remedy: Option<Placed<Wording>>,
    pub caution: Text,
    pub columns: Option<Entries<ColumnFile>>,
    pub rows: Option<Placed<Entries<Entries<Text>>>>,
    pub cases: Option<Placed<Vec<CaseFile>>>,
    pub because: Text,
    pub by: Text,
    pub on: Text,
}

/// A field of the company's own.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct FieldFile {
    pub says: Text,
    pub tier: Text,
    pub kind: Text,
    pub words: Option<Vec<Placed<String>>>,
    pub unit: Text,
    pub least: Text,
    pub most: Text,
}

/// A list of words that rules name.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct WordsFile {
    #[serde(rename = "says")]
    _says: IgnoredAny,
    pub are: Option<Vec<Placed<String>>>,
}

/// One of the `phases` of a job.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct PhaseFile {
    pub says: Text,
    pub when: Text,
}

/// One of the `laws` of `pack.yaml`.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct LawFile {
    pub says: Text,
    pub by: Text,
    pub texts: Option<Vec<LawTextFile>>,
}

/// One text of a law, with the words and days it holds for.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct LawTextFile {
    pub holds_for: Option<Vec<Placed<String>>>,
    pub since: Text,
    pub until: Text,
    work: Text,
    clause: Text,
    standing: Text,
    certainty: Text,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct LimitFile {
    pub value: Text,
    pub from: Option<Entries<Text>>,
    pub kind: Text,
    pub says: Text,
    pub source: Option<SourceFile>,
}

/// Where a limit or rule comes from.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct SourceFile {
    pub law: Text,
    work: Text,
    clause: Text,
    standing: Text,
    certainty: Text,
}

/// `tables/<name>.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct TableFile {
    pub table: Text,
    #[serde(rename = "says")]
    _says: IgnoredAny,
    pub keyed_by: Text,
    pub columns: Option<Entries<ColumnFile>>,
    pub rows: Option<Placed<Entries<Entries<Text>>>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct ColumnFile {
    pub kind: Text,
    #[serde(rename = "says")]
    _says: IgnoredAny,
}

/// `agreements/<topic>.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct AgreementsFile {
    pub agreements: Text,
    #[serde(rename = "says")]
    _says: IgnoredAny,
    #[serde(rename = "source")]
    _source: IgnoredAny,
    pub usual: Option<Vec<UsualFile>>,
    pub rows: Option<Vec<AgreementFile>>,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct UsualFile {
    pub of: Text,
    pub least: Text,
    pub most: Text,
    pub when: Text,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct AgreementFile {
    pub id: Text,
    pub for_each: Text,
    pub when: Text,
    pub must: Text,
    pub says: Text,
    pub doubts: Option<Vec<Placed<String>>>,
    pub cases: Option<Vec<CaseFile>>,
}

/// `moved.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct MovedFile {
    #[serde(rename = "says")]
    _says: IgnoredAny,
    #[serde(rename = "source")]
    _source: IgnoredAny,
    pub signed: Option<SignedFile>,
    pub spoken: Option<SpokenFile>,
    pub moved: Option<Entries<ThingFile>>,
}

/// One sort of thing that is moved.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct ThingFile {
    pub for_each: Text,
    pub called: Text,
    pub when: Text,
    pub is_moved: Text,
    pub is_set: Text,
    pub is_back: Text,
    pub is_fitted: Text,
    pub found: Text,
    pub set: Text,
    pub restored: Text,
    #[serde(rename = "do")]
    pub does: Text,
    pub undo: Text,
    pub spoken: Option<Vec<Placed<String>>>,
    pub after: Option<Vec<Placed<String>>>,
}

/// Where people sign for what was moved.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct SignedFile {
    pub for_each: Text,
    pub of: Text,
    pub by: Text,
    pub at: Text,
    pub is_set: Text,
    pub is_back: Text,
}

/// How people speak in a note.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct SpokenFile {
    pub back: Option<Vec<Placed<String>>>,
    pub all: Option<Vec<Placed<String>>>,
    pub filler: Option<Vec<Placed<String>>>,
    pub reading: Option<ReadingFile>,
}

/// Where a reading goes.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct ReadingFile {
    pub into: Text,
    pub of: Text,
    pub at: Text,
    pub value: Text,
    pub warmth: Text,
    pub corrects: Text,
    pub baseline: Text,
    pub baseline_warmth: Text,
    pub clean: Text,
    pub left: Text,
    pub branches: Text,
    pub together: Option<Vec<Placed<String>>>,
    pub others: Option<Vec<Placed<String>>>,
}

/// `<part>/<id>.yaml`
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct RuleFile {
    pub title: Text,
    pub class: Text,
    pub stage: Text,
    pub until: Text,
    pub for_each: Text,
    pub when: Text,
    pub must: Text,
    pub point_at: Text,
    pub says: Text,
    #[serde(rename = "do")]
    pub remedy: Option<Placed<Wording>>,
    /// What the remedy leaves in another state: for the tests of a pack, which hold rules against each other.
    #[serde(rename = "moves")]
    _moves: IgnoredAny,
    pub explains: Option<Vec<Placed<String>>>,
    pub comes_before: Option<Vec<Placed<String>>>,
    pub because: Text,
    pub source: Option<SourceFile>,
    pub caution: Text,
    pub cases: Option<Placed<Vec<CaseFile>>>,
}

/// One of the `cases` of a rule, or of a row of agreements.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(crate) struct CaseFile {
    pub name: Text,
    /// Part of a survey: only its place, since the reader of surveys takes it from the document.
    pub given: Option<Placed<IgnoredAny>>,
    pub as_of: Text,
    /// One word, or a word for each element: only its place too.
    pub then: Option<Placed<IgnoredAny>>,
}

/// A text of a rule that may change while the job goes on: one text, or one for each phase from which it reads
/// otherwise.
#[derive(Clone)]
pub(crate) enum Wording {
    Always(String),
    From(Entries<Placed<String>>),
}

impl<'de> Deserialize<'de> for Wording {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Wording, D::Error> {
        deserializer.deserialize_any(WordingVisitor)
    }
}

struct WordingVisitor;

impl<'de> Visitor<'de> for WordingVisitor {
    type Value = Wording;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a text, or a text for each phase")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Wording, E> {
        Ok(Wording::Always(text.to_string()))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Wording, A::Error> {
        Entries::deserialize(MapAccessDeserializer::new(map)).map(Wording::From)
    }
}

impl SourceFile {
    pub(crate) fn citation(&self) -> Citation {
        citation(&self.work, &self.clause, &self.standing, &self.certainty)
    }
}

impl LawTextFile {
    pub(crate) fn citation(&self) -> Citation {
        citation(&self.work, &self.clause, &self.standing, &self.certainty)
    }
}

fn citation(work: &Text, clause: &Text, standing: &Text, certainty: &Text) -> Citation {
    Citation {
        work: own(work),
        clause: clause.as_ref().map(|clause| clause.value.clone()),
        standing: own(standing),
        certainty: own(certainty),
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
            (Which::Pack, "", keys_of::<HeadFile>()),
            (Which::Pack, "/$defs/phase", keys_of::<PhaseFile>()),
            (Which::Pack, "/$defs/law", keys_of::<LawFile>()),
            (Which::Pack, "/$defs/law_text", keys_of::<LawTextFile>()),
            (Which::Pack, "/$defs/limit", keys_of::<LimitFile>()),
            (Which::Pack, "/$defs/source", keys_of::<SourceFile>()),
            (Which::Pack, "/$defs/words", keys_of::<WordsFile>()),
            (Which::Pack, "/$defs/field", keys_of::<FieldFile>()),
            (Which::Pack, "/$defs/builds_on", keys_of::<BuildsOnFile>()),
            (Which::Pack, "/$defs/change", keys_of::<ChangeFile>()),
            (Which::Table, "", keys_of::<TableFile>()),
            (Which::Table, "/$defs/column", keys_of::<ColumnFile>()),
            (Which::Agreements, "", keys_of::<AgreementsFile>()),
            (Which::Agreements, "/$defs/row", keys_of::<AgreementFile>()),
            (Which::Agreements, "/$defs/usual", keys_of::<UsualFile>()),
            (Which::Moved, "", keys_of::<MovedFile>()),
            (Which::Moved, "/$defs/thing", keys_of::<ThingFile>()),
            (Which::Moved, "/$defs/signed", keys_of::<SignedFile>()),
            (Which::Moved, "/$defs/spoken", keys_of::<SpokenFile>()),
            (Which::Moved, "/$defs/reading", keys_of::<ReadingFile>()),
            (Which::Rule, "", keys_of::<RuleFile>()),
            (Which::Rule, "/$defs/source", keys_of::<SourceFile>()),
            (Which::Rule, "/$defs/case", keys_of::<CaseFile>()),
        ];
        for (which, place, keys) in shapes {
            let mut keys = keys.to_vec();
            keys.sort_unstable();
            assert_eq!(keys, named(which, place), "{which:?}{place}");
        }
    }
}
