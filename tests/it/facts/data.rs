//! The files of facts: a sentence, its source and one check each.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;
use wetside_base::source::Source;
use wetside_document::Node;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Fact {
    pub fact: String,
    pub source: Basis,
    pub check: Check,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Basis {
    pub work: String,
    pub clause: Option<String>,
    pub certainty: String,
}

#[derive(Deserialize)]
#[serde(untagged)]
pub(super) enum Check {
    Limit(LimitCheck),
    Cells(CellsCheck),
    Rule(RuleCheck),
    Words(WordsCheck),
    Reading(ReadingCheck),
    Tube(TubeCheck),
    Figure(FigureCheck),
    Condition(ConditionCheck),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitCheck {
    pub limit: String,
    pub is: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CellsCheck {
    pub table: String,
    pub row: String,
    pub cells: BTreeMap<String, Text>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RuleCheck {
    pub rule: String,
    pub cases: Vec<CaseCheck>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordsCheck {
    pub rule: String,
    pub do_holds: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CaseCheck {
    /// Read from the file by the program's own reader; see [`given`].
    #[serde(rename = "given")]
    pub _given: serde_yaml::Value,
    pub as_of: Option<String>,
    pub then: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReadingCheck {
    pub reading: String,
    pub of: String,
    pub r#in: String,
    pub is: Text,
    pub within: Text,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TubeCheck {
    pub tube: Tube,
    pub metre_holds: String,
    pub within: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Tube {
    pub outside: String,
    pub wall: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FigureCheck {
    pub figure: String,
    pub of: Vec<f64>,
    pub is: f64,
    pub within: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ConditionCheck {
    pub condition: String,
}

/// A scalar as text, whichever type YAML takes it for.
#[derive(Deserialize)]
#[serde(untagged)]
pub(super) enum Text {
    Whole(i64),
    Number(f64),
    Words(String),
}

impl std::fmt::Display for Text {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Text::Whole(number) => write!(f, "{number}"),
            Text::Number(number) => write!(f, "{number}"),
            Text::Words(words) => f.write_str(words),
        }
    }
}

pub(super) struct FactFile {
    pub source: Source,
    pub facts: Vec<Fact>,
    pub root: Node,
}

pub(super) fn files() -> Vec<FactFile> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/facts");
    let entries = std::fs::read_dir(&folder).expect("the folder of facts can be read");
    let mut paths: Vec<_> = entries
        .map(|entry| entry.expect("an entry can be read").path())
        .collect();
    paths.sort();
    let file = |path: &Path| {
        let text = std::fs::read_to_string(path)
            .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        let name = format!(
            "tests/facts/{}",
            path.file_name().unwrap_or_default().display()
        );
        let facts = serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let source = Source::new(name, text);
        let reading = wetside_document::read(&source);
        assert_eq!(reading.problems, [], "{}", source.name);
        FactFile {
            facts,
            root: reading.root,
            source,
        }
    };
    paths.iter().map(|path| file(path)).collect()
}
