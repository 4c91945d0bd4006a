//! One file of a pack while it is read: what is wrong with it is collected here.

use super::{PackProblem, heading};
use crate::digest;
use crate::schema;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::Arc;
use wetside_base::problem::{Label, Problem};
use wetside_base::source::{Source, Span};
use wetside_document::{Node, Placed, Style, Value};
use wetside_schemas::Which;
use wetside_units::{Date, DateTime, Exact, Kind, Quantity, QuantityFault};

pub(crate) struct Sheet<'d> {
    pub source: Arc<Source>,
    root: &'d Node,
    problems: Vec<Problem>,
}

/// Reads a file, holds it against its shape and gives it to `read`, which finds nothing only where there is
/// a problem.
pub(super) fn read<T>(
    name: String,
    text: &str,
    which: Which,
    read: impl Fn(&mut Sheet<'_>) -> Option<T>,
    problems: &mut Vec<PackProblem>,
) -> Option<T> {
    let source = Arc::new(Source::new(name, text));
    let (made, mut found) = attempt(source.clone(), which, &read);
    if !found.is_empty() {
        let again = |text: &str| attempt(Arc::new(Source::new("", text)), which, &read).1;
        found = heading::lost(&source, which, &found, again).unwrap_or(found);
    }
    problems.extend(PackProblem::each(&source, each_once(found)));
    made
}

fn attempt<T>(
    source: Arc<Source>,
    which: Which,
    read: &impl Fn(&mut Sheet<'_>) -> Option<T>,
) -> (Option<T>, Vec<Problem>) {
    let reading = wetside_document::read(&source);
    if reading.root.value == Value::Empty && reading.problems.is_empty() {
        let says = "nothing stands in this file";
        let help = "write what it is for, or take the file away; a rule that is only a comment judges nothing";
        let problem = Problem::new("empty-file", source.line_span(1), says, help);
        return (None, vec![problem]);
    }
    let mut sheet = Sheet {
        problems: reading.problems.clone(),
        root: &reading.root,
        source,
    };
    let of_shape = schema::check::problems(which, &sheet.source, &reading);
    sheet.problems.extend(of_shape);
    let made = read(&mut sheet);
    if made.is_none() && sheet.is_sound() {
        let says = "nothing could be made of this file";
        let help = "see the description of its keys in the schema";
        sheet.report("does-not-fit", sheet.source.line_span(1), says, help);
    }
    (made, sheet.problems)
}

/// What is wrong in the same words at several places is told at the first, and the others beside it.
fn each_once(found: Vec<Problem>) -> Vec<Problem> {
    let mut told: Vec<Problem> = Vec::new();
    let mut places = BTreeMap::new();
    for problem in found {
        let next = told.len();
        let place = *places
            .entry((problem.kind, problem.says.clone(), problem.help.clone()))
            .or_insert(next);
        if place == next {
            told.push(problem);
        } else {
            told[place].also.push(Label {
                span: problem.span,
                words: "and here".to_string(),
            });
        }
    }
    told
}

impl<'d> Sheet<'d> {
    /// A file whose shape was looked at before.
    pub(crate) fn new(source: Arc<Source>, root: &'d Node) -> Sheet<'d> {
        Sheet {
            source,
            root,
            problems: Vec::new(),
        }
    }

    pub(crate) fn into_problems(self) -> Vec<PackProblem> {
        PackProblem::each(&self.source, self.problems).collect()
    }

    /// The whole file in its typed shape. What does not fit the type was told by the check against the
    /// schema; should that have said nothing, it is told here.
    pub(super) fn typed<T: Deserialize<'d>>(&mut self) -> Option<T> {
        match wetside_document::typed(self.root) {
            Ok(typed) => Some(typed),
            Err(misfit) => {
                if self.is_sound() {
                    self.problems.push(misfit);
                }
                None
            }
        }
    }

    pub(crate) fn report(
        &mut self,
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.problems.push(Problem::new(kind, span, says, help));
    }

    /// A quantity of a kind; nothing where it is none, which is told.
    pub(super) fn quantity(&mut self, written: &Placed<String>, kind: Kind) -> Option<Quantity> {
        let read = Quantity::parse(&written.value, kind);
        let told = |fault: QuantityFault| {
            self.report("not-a-quantity", written.span, fault.says, fault.help);
        };
        read.map_err(told).ok()
    }

    /// The first second of a day; nothing where it is none, which is told.
    pub(super) fn day(&mut self, written: &Placed<String>) -> Option<Exact> {
        let told = |fault: QuantityFault| {
            self.report("not-a-date", written.span, fault.says, fault.help);
        };
        let day = Date::parse(&written.value).map_err(told).ok()?;
        Some(Exact::whole(DateTime::from(day).seconds()))
    }

    /// Takes over the problems of a condition that begins at a byte of a text; says whether there are none.
    pub(super) fn adopt(&mut self, text: &Placed<String>, at: u32, problems: Vec<Problem>) -> bool {
        let sound = problems.is_empty();
        for mut problem in problems {
            problem.span = self.place(text, problem.span.moved(at));
            for Label { span, .. } in &mut problem.also {
                *span = self.place(text, span.moved(at));
            }
            self.problems.push(problem);
        }
        sound
    }

    /// Where a part of a text stands in the file.
    pub(super) fn place(&self, text: &Placed<String>, part: Span) -> Span {
        let node = self.root.at(text.span);
        node.map_or(text.span, |node| in_file(&self.source, node, part))
    }

    /// The keys of what stands at a place, with theirs.
    pub(super) fn keys_at(&self, span: Span) -> Vec<(String, Span)> {
        let entries = self.root.at(span).map_or(&[][..], Node::entries);
        let keys = entries.iter().map(|entry| &entry.key);
        keys.map(|key| (key.text.to_string(), key.span)).collect()
    }

    /// The digest of each thing under a key of the file, by its name with a word before it.
    pub(super) fn stamps(&self, key: &str, word: &str) -> impl Iterator<Item = (String, String)> {
        let held = self.root.get(key).into_iter();
        let held = held.flat_map(|held| held.value.entries());
        held.map(move |one| {
            let name = format!("{word}.{}", one.key.text);
            (name, digest::of_node(&one.value, &[]))
        })
    }

    /// The digest of the whole file.
    pub(super) fn digest(&self) -> String {
        digest::of_node(self.root, &[])
    }

    pub(super) fn problem_count(&self) -> usize {
        self.problems.len()
    }

    fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }
}

/// The bytes of the file under `within`, a span of a value's own text. A condition may be folded over lines or
/// stand in quotes, so its bytes are not those of the file; the characters that are not space are the same.
pub fn in_file(source: &Source, node: &Node, within: Span) -> Span {
    let Some(scalar) = node.as_scalar() else {
        return node.span;
    };
    let raw = source.slice(node.span);
    let skip = match scalar.style {
        Style::Quoted => 1,
        Style::Plain | Style::Block => 0,
    };
    let body = raw.get(skip..).unwrap_or_default();
    let start = nth_solid(body, solids(&scalar.text, within.start));
    let last = within.end.saturating_sub(1).max(within.start);
    let end = nth_solid(body, solids(&scalar.text, last));
    match (start, end) {
        (Some((from, _)), Some((_, to))) => {
            let base = node.span.start as usize + skip;
            Span::new(base + from, base + to)
        }
        _ => node.span,
    }
}

/// How many characters other than space stand before a byte of the text.
fn solids(text: &str, before: u32) -> usize {
    let before = (before as usize).min(text.len());
    let solid = text.char_indices().take_while(|(at, _)| *at < before);
    solid.filter(|(_, c)| !c.is_whitespace()).count()
}

/// The bytes of the n-th character that is not space.
fn nth_solid(text: &str, n: usize) -> Option<(usize, usize)> {
    let mut solid = text.char_indices().filter(|(_, c)| !c.is_whitespace());
    solid.nth(n).map(|(at, c)| (at, at + c.len_utf8()))
}
