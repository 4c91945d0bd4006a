//! A document to facts: the one place where a path of the survey gets its line.
//!
//! Contract: the tree of facts comes out complete whatever the document holds. What is there and
//! understood is known; what is missing, unknown or malformed is open and remembers which. A
//! malformed value gives one problem here and nothing further down the line; so does a misspelt key,
//! whose field counts as malformed. What stands around a stretch that the document reader lost is
//! never taken for absent.

mod homes;
mod leaf;
mod lists;
mod strays;
mod text;

use homes::{Homes, OF_A_LIST};
use std::cell::OnceCell;
use std::collections::HashSet;
use text::{first_line, may_have_held_more, shown, shown_value};
use wetside_base::facts::{self, Content, Fact, FactId, Facts, Why};
use wetside_base::problem::{Label, Problem, told};
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_base::vocabulary::{FieldId, Shape, Vocabulary};
use wetside_document::{Entry, Key, Node, Reading, Value};

/// Reads a whole survey, which says by `survey` what it is; with everything that is wrong in its text.
pub fn survey(
    source: &Source,
    reading: &Reading,
    vocabulary: &Vocabulary,
) -> (Facts, Vec<Problem>) {
    let reader = Reader::of(source, reading, vocabulary);
    let mut problems = reading.problems.clone();
    problems
        .iter_mut()
        .for_each(|problem| reader.name_home(problem));
    if let Some(problem) = no_survey(source, reading) {
        problems.push(problem)
    } else {
        // Of an edition under a misspelt key a problem speaks already.
        if !is_malformed(&reader.facts, vocabulary, "survey") {
            problems.extend(edition_missing(&reading.root));
        }
        problems.extend(reader.problems);
    }
    (reader.facts, told(problems))
}

/// Reads a survey, or a part of one; with what is wrong beside what the document reader says.
pub fn read(source: &Source, reading: &Reading, vocabulary: &Vocabulary) -> (Facts, Vec<Problem>) {
    let reader = Reader::of(source, reading, vocabulary);
    (reader.facts, told(reader.problems))
}

/// After so many problems in one survey no more of its values is read.
const MOST_FAULTS: usize = 1000;

pub(super) struct Reader<'a> {
    pub(super) source: &'a Source,
    pub(super) reading: &'a Reading,
    pub(super) vocabulary: &'a Vocabulary,
    /// The group that is worked out, which nobody may record.
    figures: Option<FieldId>,
    pub(super) facts: Facts,
    pub(super) problems: Vec<Problem>,
    /// Where keys belong, once that is asked.
    homes: OnceCell<Homes<'a>>,
    /// What a key elsewhere may have been meant for.
    astray: Vec<FieldId>,
}

/// What holds for everything under a group that is not there: why, and the line to show.
#[derive(Clone)]
pub(super) struct Missing {
    pub(super) why: Why,
    pub(super) span: Span,
}

/// What is written for one field of a group.
#[derive(Clone, Copy)]
enum Written<'a> {
    Not,
    Here(&'a Entry),
    /// Under a key that was probably meant for it, on this line.
    Misspelt(Span),
}

impl<'a> Reader<'a> {
    fn of(source: &'a Source, reading: &'a Reading, vocabulary: &'a Vocabulary) -> Reader<'a> {
        let mut reader = Reader {
            source,
            reading,
            vocabulary,
            figures: vocabulary.figures(),
            facts: Facts::of(vocabulary.fields().count()),
            problems: Vec::new(),
            homes: OnceCell::new(),
            astray: Vec::new(),
        };
        let edition = reading.root.get("survey").map(|entry| entry.key.span);
        let span = edition.unwrap_or_else(|| source.line_span(1));
        let root = reader.facts.reserve(1, Vocabulary::ROOT, FactId(0), span);
        let why = Why::NotRecorded;
        let (field, node) = (Vocabulary::ROOT, Some(&reading.root));
        reader.fill(root, field, node, span, &Missing { why, span });
        reader.mark_astray();
        // One problem for one value: what the document reader refused is not refused again.
        let said: HashSet<Span> = reading.problems.iter().map(|one| one.span).collect();
        reader.problems.retain(|one| !said.contains(&one.span));
        reader
    }

    /// Fills one fact, blank so far, from the node that stands for it. `key` is the line to show for what is
    /// missing below; `missing` says what holds where there is no node at all.
    pub(super) fn fill(
        &mut self,
        id: FactId,
        field: FieldId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let vocabulary = self.vocabulary;
        match &vocabulary.field(field).shape {
            Shape::Group { .. } => self.group(id, field, node, key, missing),
            Shape::List { element } => self.list(id, field, *element, node, key, missing),
            Shape::Fact(what) => {
                let content = match node {
                    None => Content::Open(missing.why.clone()),
                    Some(node) => self.leaf(field, what, node, key),
                };
                let span = node.map_or(missing.span, |node| shown_value(self.source, node, key));
                self.set(id, field, span, content);
            }
        }
    }

    /// Fills a blank fact.
    pub(super) fn set(&mut self, id: FactId, field: FieldId, span: Span, content: Content) {
        let fact = Fact {
            field,
            span,
            content,
            ..*self.facts.fact(id)
        };
        self.facts.set(id, fact);
    }

    fn leaf(
        &mut self,
        field: FieldId,
        what: &wetside_base::vocabulary::Type,
        node: &Node,
        key: Span,
    ) -> Content {
        if self.gives_up(node.span) {
            return Content::Open(Why::Malformed);
        }
        match leaf::value(self.source, self.vocabulary, field, what, node, key) {
            Ok(content) => {
                self.note_read_as(&content, node);
                content
            }
            Err(problem) => {
                self.problems.extend(problem);
                Content::Open(Why::Malformed)
            }
        }
    }

    /// Notes a word of the trade that was read as one of ours, so that its writer can see which.
    fn note_read_as(&mut self, content: &Content, node: &Node) {
        let Content::Known(facts::Value::Word(word)) = content else {
            return;
        };
        let (written, ours) = (node.as_text(), self.vocabulary.word(*word));
        let Some(written) = written.filter(|written| *written != ours) else {
            return;
        };
        let words = format!("`{written}` is read as `{ours}`");
        if !self.facts.read_as.iter().any(|one| one.words == words) {
            let span = node.span;
            self.facts.read_as.push(Label { span, words });
        }
    }

    /// Whether there were so many problems that no more is read; said once, at the first place left out.
    fn gives_up(&mut self, at: Span) -> bool {
        if self.problems.len() < MOST_FAULTS {
            return false;
        }
        if self.problems.len() == MOST_FAULTS {
            let says = "there are too many faults to read on; what is not read counts as not known";
            let help = "mend the faults that are told and check again";
            let span = first_line(self.source, at);
            self.problems
                .push(Problem::new("rest-not-read", span, says, help));
        }
        true
    }

    fn group(
        &mut self,
        id: FactId,
        field: FieldId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let parent = self.facts.fact(id).parent;
        let listed = matches!(self.facts.fact(parent).content, Content::List { .. });
        let (entries, missing) = self.entries(field, node, key, missing, listed);
        let written = self.by_slot(field, entries);
        let count = u32::try_from(written.len()).unwrap_or(u32::MAX);
        let first = self.facts.reserve(count, field, id, missing.span);
        let span = node.map_or(missing.span, |node| shown(node, key));
        self.set(id, field, span, Content::Group { first });
        let children = (first.0..).zip(self.vocabulary.children(field));
        for ((fact, child), written) in children.zip(written) {
            let fact = FactId(fact);
            match written {
                Written::Here(entry) => {
                    let (node, key) = (Some(&entry.value), entry.key.span);
                    self.fill(fact, child, node, key, &missing);
                }
                Written::Not => self.fill(fact, child, None, missing.span, &missing),
                Written::Misspelt(span) => {
                    let why = Why::Malformed;
                    self.fill(fact, child, None, span, &Missing { why, span });
                }
            }
        }
    }

    /// The entries of a group's map, and what holds for the fields that are not among them.
    fn entries(
        &mut self,
        field: FieldId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
        listed: bool,
    ) -> (&'a [Entry], Missing) {
        let here = |why| Missing { why, span: key };
        match node.map(|node| (&node.value, node)) {
            None => (&[], missing.clone()),
            Some((Value::Map(entries), node)) => {
                let why = if may_have_held_more(self.source, self.reading, node) {
                    Why::Malformed
                } else {
                    Why::NotRecorded
                };
                (entries, here(why))
            }
            // Of what is no entry of a list, the list has spoken.
            Some((Value::Scalar(_) | Value::List(_), _)) if listed => (&[], here(Why::Malformed)),
            Some((Value::Scalar(scalar), node)) if scalar.text == "unknown" => {
                self.problems.push(self.group_unknown(field, node.span));
                (&[], here(Why::Unknown(None)))
            }
            Some((Value::Empty | Value::Broken, _)) => (&[], here(Why::Malformed)),
            Some((_, node)) => {
                let name = &self.vocabulary.field(field).name;
                let says = format!("`{name}` is a group of facts, and this is not");
                let help = format!(
                    "write its facts below it, each on a line of its own: {}",
                    self.keys(field)
                );
                let problem = Problem::new(
                    "group-expected",
                    first_line(self.source, node.span),
                    says,
                    help,
                );
                self.problems.push(problem);
                (&[], here(Why::Malformed))
            }
        }
    }

    /// A word for a whole group would hide which of its facts somebody tried to find.
    fn group_unknown(&self, field: FieldId, span: Span) -> Problem {
        let says = match self.vocabulary.field(field).name.as_str() {
            "" => "a survey holds many facts, and `unknown` does not say which".to_string(),
            name => format!("`{name}` holds several facts, and `unknown` does not say which"),
        };
        let help = format!(
            "write `unknown` beside each that nobody knows: {}",
            self.keys(field)
        );
        Problem::new("group-unknown", span, says, help)
    }

    pub(super) fn keys(&self, group: FieldId) -> String {
        suggest::either(self.names(group))
    }

    /// What may be written in a group.
    fn names(&self, group: FieldId) -> impl Iterator<Item = &'a str> + use<'a> {
        let vocabulary = self.vocabulary;
        let figures = vocabulary.figures();
        let children = vocabulary.children(group);
        let of_a_list = OF_A_LIST.into_iter();
        let is_list = matches!(vocabulary.field(group).shape, Shape::List { .. });
        children
            .filter(move |child| Some(*child) != figures)
            .map(|child| vocabulary.field(child).name.as_str())
            .chain(of_a_list.filter(move |_| is_list))
    }

    /// What is written for each field of a group, in the order of the vocabulary. Keys that it does
    /// not have are refused, and so are figures.
    fn by_slot(&mut self, group: FieldId, entries: &'a [Entry]) -> Vec<Written<'a>> {
        let vocabulary = self.vocabulary;
        let mut written = vec![Written::Not; vocabulary.children(group).count()];
        let mut at = 0;
        while let Some(entry) = entries.get(at) {
            at += match vocabulary.child(group, &entry.key.text) {
                None => self.strays(group, entries, at, &mut written),
                figures if figures == self.figures => {
                    self.problems.push(figures_recorded(&entry.key));
                    1
                }
                Some(child) => {
                    let slot = vocabulary.field(child).slot;
                    written[usize::from(slot)] = Written::Here(entry);
                    1
                }
            };
        }
        written
    }
}

/// A file that is empty, or holds something else than keys: that is one problem.
fn no_survey(source: &Source, reading: &Reading) -> Option<Problem> {
    let (span, says) = match reading.root.value {
        Value::Map(_) => return None,
        Value::Empty => (source.line_span(1), "this file holds no survey"),
        _ if !reading.problems.is_empty() => return None,
        _ => (reading.root.span, "this is no survey"),
    };
    let help = "a survey is lines of `key: value` under headings such as `job:`; begin from one that \
                `wetside new` writes";
    Some(Problem::new("no-survey", span, says, help))
}

/// Whether a single fact at the root could not be read.
fn is_malformed(facts: &Facts, vocabulary: &Vocabulary, name: &str) -> bool {
    let field = vocabulary.child(Vocabulary::ROOT, name);
    field.is_some_and(|field| {
        let fact = facts.child(Facts::ROOT, vocabulary.field(field).slot);
        matches!(facts.fact(fact).content, Content::Open(Why::Malformed))
    })
}

/// Without its edition nobody can tell what a survey's words mean.
fn edition_missing(root: &Node) -> Option<Problem> {
    let Value::Map(entries) = &root.value else {
        return None;
    };
    let span = match root.get("survey") {
        Some(entry) if leaf::unknown(&entry.value).is_some() => entry.value.span,
        Some(_) => return None,
        None => entries.first().map_or(root.span, |entry| entry.key.span),
    };
    let says = "the survey does not say which edition of these words it is written in";
    let help = "write `survey: 1` as its first line";
    Some(Problem::new("edition-missing", span, says, help))
}

fn figures_recorded(key: &Key) -> Problem {
    let says = "figures are worked out, not recorded";
    let help = "take these lines away: the tool works its figures out from what was measured, and a \
                reading belongs under the key of what was read";
    Problem::new("figures-recorded", key.span, says, help)
}
