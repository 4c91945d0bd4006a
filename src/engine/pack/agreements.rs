//! Tables of what the answers of a survey agree on: beside the schema what must hold, in a pack what usually does.
//!
//! Contract: the tables beside the schema are part of the program, so a faulty one stops whoever makes the
//! vocabulary ready, which is first the build. A pack can neither change them nor leave them out.

use super::format::{AgreementFile, AgreementsFile, UsualFile, own};
use super::rule::{Selection, condition, guards, read_selection};
use super::sheet::{self, Sheet};
use serde::{Deserialize, Serialize};
use wetside_base::vocabulary::{Shape, Vocabulary};
use wetside_document::Placed;
use wetside_lang::check::Variable;
use wetside_lang::names::Names;
use wetside_lang::node::{Checked, Node, Reads};
use wetside_schemas::{AGREED, Which};

/// One row: where `must` surely does not hold, the answers behind it contradict each other.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Agreement {
    pub id: String,
    /// The elements that are judged apart, if it selects any.
    pub selection: Option<Selection>,
    pub when: Option<Checked>,
    pub must: Checked,
    /// Why the answers cannot all be right, as the end of a sentence.
    pub says: String,
    /// The fields whose answers are in doubt then, with all below them; without any, every answer that
    /// decided it.
    pub doubts: Vec<String>,
}

impl Agreement {
    /// What decides whether it is asked at all.
    pub fn guards(&self) -> impl Iterator<Item = &Node> {
        guards(self.selection.as_ref(), self.when.as_ref())
    }

    /// What it reads of a survey.
    pub fn reads(&self) -> Reads {
        let mut reads = Reads::default();
        let list = self.selection.iter().map(|one| one.each.list.field);
        reads.fields.extend(list);
        self.guards()
            .chain([&self.must.node])
            .for_each(|node| node.note(&mut reads));
        reads
    }
}

/// What the answers of every survey must agree on.
///
/// # Panics
/// When a table is faulty, with the place; a test reads them, so no user meets this.
pub(crate) fn agreed(vocabulary: &Vocabulary) -> Vec<Agreement> {
    let mut problems = Vec::new();
    let names = Names::of(vocabulary);
    let mut rows = Vec::new();
    for (file, text) in AGREED {
        let topic = file.trim_end_matches(".yaml");
        let read = |sheet: &mut Sheet<'_>| read(sheet, topic, names);
        let name = format!("schemas/agreements/{file}");
        let read = sheet::read(name, text, Which::Agreements, read, &mut problems);
        rows.extend(read);
    }
    if let Some(wrong) = problems.first() {
        let place = wrong.source.place(wrong.problem.span.start);
        panic!(
            "{}:{place}: {}; {}",
            wrong.source.name, wrong.problem.says, wrong.problem.help
        );
    }
    rows.into_iter().flatten().collect()
}

/// Reads one table.
pub(super) fn read(sheet: &mut Sheet<'_>, name: &str, names: Names<'_>) -> Option<Vec<Agreement>> {
    let file: AgreementsFile = sheet.typed()?;
    let topic = file.agreements?;
    if topic.value != name {
        let says = format!("the topic is called `{}`, its file `{name}`", topic.value);
        let help = "give the file the topic's name";
        sheet.report("name-differs", topic.span, says, help);
    }
    let mut all = Vec::new();
    for usual in file.usual.iter().flatten() {
        all.extend(usual_row(usual, names.vocabulary).and_then(|row| row_of(sheet, &row, names)));
    }
    for row in file.rows.iter().flatten() {
        all.extend(row_of(sheet, row, names));
    }
    Some(all)
}

/// The row that says of a field what is usual. In a list the element is called `thing`.
fn usual_row(file: &UsualFile, vocabulary: &Vocabulary) -> Option<AgreementFile> {
    let of = file.of.as_ref()?;
    let written = |value: String| {
        Some(Placed {
            value,
            ..of.clone()
        })
    };
    let mut lists = vocabulary
        .fields()
        .filter(|(_, field)| matches!(field.shape, Shape::List { .. }));
    let within = lists.find_map(|(_, list)| {
        let inner = of.value.strip_prefix(&list.path)?.strip_prefix('.')?;
        Some((
            format!("thing in {}, if any", list.path),
            format!("thing.{inner}"),
        ))
    });
    let (for_each, value) = within.map_or((None, of.value.clone()), |(list, value)| {
        (Some(list), value)
    });
    let (must, says) = match (&file.least, &file.most) {
        (Some(least), Some(most)) => (
            format!("{value} is between {} and {}", least.value, most.value),
            format!("usual is {} to {}", least.value, most.value),
        ),
        (Some(least), None) => (
            format!("{value} >= {}", least.value),
            format!("usual is {} or more", least.value),
        ),
        (None, most) => {
            let most = &most.as_ref()?.value;
            (
                format!("{value} <= {most}"),
                format!("usual is {most} or less"),
            )
        }
    };
    // What a row of its own would say; the rest is empty.
    Some(AgreementFile {
        id: written(format!("usual-{}", of.value)),
        for_each: for_each.and_then(written),
        when: file.when.clone(),
        must: written(must),
        says: written(says),
        doubts: Some(vec![of.clone()]),
        cases: None,
    })
}

fn row_of(sheet: &mut Sheet<'_>, file: &AgreementFile, names: Names<'_>) -> Option<Agreement> {
    let known = sheet.problem_count();
    let selection = file.for_each.as_ref();
    let selection = selection.and_then(|text| read_selection(sheet, text, names));
    let variables: Vec<Variable> = selection.iter().map(|one| one.variable.clone()).collect();
    let when = file.when.as_ref();
    let when = when.and_then(|text| condition(sheet, text, names, &variables));
    let must = condition(sheet, file.must.as_ref()?, names, &variables);
    let doubts = file.doubts.as_deref().unwrap_or_default();
    let sound = sheet.problem_count() == known;
    let row = sound.then_some(Agreement {
        id: own(&file.id),
        selection,
        when,
        must: must?,
        says: own(&file.says),
        doubts: doubts.iter().map(|doubt| doubt.value.clone()).collect(),
    })?;
    doubts
        .iter()
        .for_each(|doubt| refuse_unread(sheet, doubt, &row, names.vocabulary));
    Some(row)
}

/// Whoever doubts what is not read has misspelt a field.
fn refuse_unread(
    sheet: &mut Sheet<'_>,
    doubt: &Placed<String>,
    row: &Agreement,
    vocabulary: &Vocabulary,
) {
    let within =
        |field: &wetside_base::vocabulary::FieldId| vocabulary.is_within(*field, &doubt.value);
    if !row.reads().fields.iter().any(within) {
        let says = format!("no condition of this row reads `{}`", doubt.value);
        let help = "name fields that `when` or `must` read";
        sheet.report("unknown-fact", doubt.span, says, help);
    }
}
