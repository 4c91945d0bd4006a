//! A document to facts: the one place where a path of the survey gets its line.
//!
//! Contract: the tree of facts comes out complete whatever the document holds. What is there and
//! understood is known; what is missing, unknown or malformed is open and remembers which. A
//! malformed value gives one problem here and nothing further down the line. What stands around a
//! stretch that the document reader lost is never taken for absent.

use super::leaf;
use super::lost::may_have_held_more;
use super::{Content, Extent, Fact, FactId, Facts, Told, Why};
use crate::document::{Entry, Key, Node, Reading, Value};
use crate::problem::Problem;
use crate::source::{Source, Span};
use crate::suggest;
use crate::units::{Kind, Quantity};
use crate::vocabulary::{Field, FieldId, Shape, Vocabulary};

/// Reads a survey, or a part of one.
pub fn read(source: &Source, reading: &Reading, vocabulary: &Vocabulary) -> (Facts, Vec<Problem>) {
    let mut reader = Reader {
        source,
        reading,
        vocabulary,
        figures: vocabulary.figures(),
        facts: Facts::default(),
        problems: Vec::new(),
    };
    let edition = reading.root.get("survey").map(|entry| entry.key.span);
    let start = edition.unwrap_or_else(|| source.line_span(1));
    let root = reader
        .facts
        .reserve(1, &blank(Vocabulary::ROOT, FactId(0), start));
    let missing = Missing {
        why: Why::NotRecorded,
        span: start,
    };
    reader.fill(
        root,
        Vocabulary::ROOT,
        root,
        Some(&reading.root),
        start,
        &missing,
    );
    // One problem for one value: what the document reader refused is not refused again.
    let said = |problem: &Problem| {
        reading
            .problems
            .iter()
            .any(|known| known.span == problem.span)
    };
    let problems = reader
        .problems
        .into_iter()
        .filter(|problem| !said(problem))
        .collect();
    (reader.facts, problems)
}

struct Reader<'a> {
    source: &'a Source,
    reading: &'a Reading,
    vocabulary: &'a Vocabulary,
    /// The group that is worked out, which nobody may record.
    figures: Option<FieldId>,
    facts: Facts,
    problems: Vec<Problem>,
}

/// What holds for everything under a group that is not there: why, and the line to show.
#[derive(Clone)]
struct Missing {
    why: Why,
    span: Span,
}

fn blank(field: FieldId, parent: FactId, span: Span) -> Fact {
    Fact {
        field,
        parent,
        span,
        content: Content::Open(Why::NotRecorded),
    }
}

impl<'a> Reader<'a> {
    /// Fills one fact from the node that stands for it. `key` is the line to show for what is
    /// missing below; `missing` says what holds where there is no node at all.
    fn fill(
        &mut self,
        id: FactId,
        field: FieldId,
        parent: FactId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let vocabulary = self.vocabulary;
        match &vocabulary.field(field).shape {
            Shape::Group { .. } => self.group(id, field, parent, node, key, missing),
            Shape::List { element } => self.list(id, field, *element, parent, node, key, missing),
            Shape::Fact(what) => {
                let content = match node {
                    None => Content::Open(missing.why.clone()),
                    Some(node) => self.leaf(field, what, node, key),
                };
                let span = node.map_or(missing.span, |node| shown_value(self.source, node, key));
                self.facts.set(
                    id,
                    Fact {
                        field,
                        parent,
                        span,
                        content,
                    },
                );
            }
        }
    }

    fn leaf(
        &mut self,
        field: FieldId,
        what: &crate::vocabulary::Type,
        node: &Node,
        key: Span,
    ) -> Content {
        match leaf::value(self.source, self.vocabulary, field, what, node, key) {
            Ok(content) => content,
            Err(problem) => {
                self.problems.extend(problem);
                Content::Open(Why::Malformed)
            }
        }
    }

    fn group(
        &mut self,
        id: FactId,
        field: FieldId,
        parent: FactId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let (entries, missing) = self.entries(field, node, key, missing);
        let written = self.by_slot(field, entries);
        let count = u32::try_from(written.len()).unwrap_or(u32::MAX);
        let first = self.facts.reserve(count, &blank(field, id, missing.span));
        let span = node.map_or(missing.span, |node| shown(node, key));
        let content = Content::Group { first };
        self.facts.set(
            id,
            Fact {
                field,
                parent,
                span,
                content,
            },
        );
        let children = (first.0..).zip(self.vocabulary.children(field));
        for ((fact, child), entry) in children.zip(written) {
            let key = entry.map_or(missing.span, |entry| entry.key.span);
            let node = entry.map(|entry| &entry.value);
            self.fill(FactId(fact), child, id, node, key, &missing);
        }
    }

    /// The entries of a group's map, and what holds for the fields that are not among them.
    fn entries(
        &mut self,
        field: FieldId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) -> (&'a [Entry], Missing) {
        let here = |why| Missing { why, span: key };
        match node.map(|node| (&node.value, node)) {
            None => (&[], missing.clone()),
            Some((Value::Map(entries), node)) => {
                let why = match may_have_held_more(self.source, self.reading, node) {
                    true => Why::Malformed,
                    false => Why::NotRecorded,
                };
                (entries, here(why))
            }
            Some((Value::Scalar(scalar), _)) if scalar.text == "unknown" => {
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

    fn keys(&self, group: FieldId) -> String {
        suggest::either(self.names(group))
    }

    /// What may be written in a group.
    fn names(&self, group: FieldId) -> impl Iterator<Item = &'a str> + use<'a> {
        let vocabulary = self.vocabulary;
        let figures = vocabulary.figures();
        let children = vocabulary.children(group);
        children
            .filter(move |child| Some(*child) != figures)
            .map(|child| vocabulary.field(child).name.as_str())
    }

    /// What is written for each field of a group, in the order of the vocabulary. Keys that it does
    /// not have are refused, and so are figures.
    fn by_slot(&mut self, group: FieldId, entries: &'a [Entry]) -> Vec<Option<&'a Entry>> {
        let vocabulary = self.vocabulary;
        let mut written = vec![None; vocabulary.children(group).count()];
        for entry in entries {
            let problem = match vocabulary.child(group, &entry.key.text) {
                None => self.unknown_key(group, &entry.key),
                figures if figures == self.figures => figures_recorded(&entry.key),
                Some(child) => {
                    written[usize::from(vocabulary.field(child).slot)] = Some(entry);
                    continue;
                }
            };
            self.problems.push(problem);
        }
        written
    }

    fn unknown_key(&self, group: FieldId, key: &Key) -> Problem {
        let vocabulary = self.vocabulary;
        let place = match vocabulary.field(group).path.as_str() {
            "" => "a survey".to_string(),
            path => format!("`{path}`"),
        };
        let says = format!("{place} has no `{}`", key.text);
        let worked_out = |field: &Field| field.path.split('.').next() == Some(Vocabulary::FIGURES);
        let elsewhere = vocabulary.fields().find(|(_, field)| {
            field.name == key.text && !field.path.is_empty() && !worked_out(field)
        });
        let help = match (suggest::nearest(&key.text, self.names(group)), elsewhere) {
            (Some(word), _) => format!("did you mean `{word}`?"),
            (None, Some((_, field))) => {
                format!(
                    "there is a `{}`; check how far this line is set in",
                    field.path
                )
            }
            (None, None) => format!(
                "it has {}; put other remarks under `note`",
                self.keys(group)
            ),
        };
        Problem::new("unknown-key", key.span, says, help)
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the same six as for every fact, and the element"
    )]
    fn list(
        &mut self,
        id: FactId,
        field: FieldId,
        element: FieldId,
        parent: FactId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let found = self.listed(field, node, key);
        let listed = u32::try_from(found.items.len()).unwrap_or(u32::MAX);
        let first = self.facts.reserve(listed, &blank(element, id, key));
        let span = found.span.unwrap_or(missing.span);
        let extent = match (node, &missing.why) {
            (None, Why::Malformed) => Extent {
                told: Told::Malformed,
                ..found.extent
            },
            (None, Why::Unknown(_)) => Extent {
                told: Told::Unknown,
                ..found.extent
            },
            _ => found.extent,
        };
        let content = Content::List {
            first,
            listed,
            extent,
        };
        self.facts.set(
            id,
            Fact {
                field,
                parent,
                span,
                content,
            },
        );
        for (slot, item) in (0..).zip(found.items) {
            let missing = Missing {
                why: Why::NotRecorded,
                span: first_line(self.source, item.span),
            };
            let name = item
                .get("id")
                .map_or(missing.span, |entry| entry.value.span);
            self.fill(
                FactId(first.0 + slot),
                element,
                id,
                Some(item),
                name,
                &missing,
            );
        }
        self.check_ids(element, found.items);
    }

    /// The elements of a list in either of its forms, and what is told of its extent.
    fn listed(&mut self, field: FieldId, node: Option<&'a Node>, key: Span) -> Listed<'a> {
        let Some(node) = node else {
            return Listed::nothing(Told::NotRecorded, None);
        };
        match &node.value {
            Value::List(items) => Listed {
                items,
                extent: Extent {
                    least: count_of(items),
                    most: None,
                    told: Told::NotStated,
                },
                span: Some(key),
            },
            Value::Map(entries) => self.counted(field, node, entries, key),
            Value::Scalar(scalar) if scalar.text == "unknown" => {
                Listed::nothing(Told::Unknown, Some(node.span))
            }
            Value::Empty | Value::Broken => Listed::nothing(Told::Malformed, Some(key)),
            Value::Scalar(_) => {
                let name = &self.vocabulary.field(field).name;
                let says = format!("`{name}` is a list, and this is not");
                let help = "write how many there are as `count` and the things themselves as `items`, \
                            each with a dash and an `id`";
                self.problems
                    .push(Problem::new("list-expected", node.span, says, help));
                Listed::nothing(Told::Malformed, Some(node.span))
            }
        }
    }

    /// `{count: 9, items: [...]}`
    fn counted(
        &mut self,
        field: FieldId,
        node: &'a Node,
        entries: &'a [Entry],
        key: Span,
    ) -> Listed<'a> {
        for entry in entries
            .iter()
            .filter(|e| e.key.text != "count" && e.key.text != "items")
        {
            let list = &self.vocabulary.field(field).path;
            let says = format!("the list `{list}` has no `{}`", entry.key.text);
            let help = suggest::help(
                &entry.key.text,
                ["count", "items"],
                "a list has a `count` and its `items`, each item with a dash",
            );
            self.problems
                .push(Problem::new("unknown-key", entry.key.span, says, help));
        }
        let items = match node.get("items").map(|entry| (&entry.value.value, entry)) {
            Some((Value::List(items), _)) => items.as_slice(),
            Some((Value::Scalar(_) | Value::Map(_), entry)) => {
                let says =
                    "`items` holds the things of the list, and this is not a list".to_string();
                let help = "begin each of them with a dash, as in `- id: hall`";
                self.problems
                    .push(Problem::new("list-expected", entry.key.span, says, help));
                &[]
            }
            _ => &[],
        };
        let listed = count_of(items);
        let stated = node.get("count");
        let open = Extent {
            least: listed,
            most: None,
            told: Told::NotStated,
        };
        let extent = match stated {
            None => open,
            Some(entry) => self.extent(entry, listed).unwrap_or(open),
        };
        // A line that could not be read may have been an item.
        let extent = match may_have_held_more(self.source, self.reading, node) {
            true => Extent {
                most: None,
                ..extent
            },
            false => extent,
        };
        let span = stated.map_or(key, |entry| shown(&entry.value, entry.key.span));
        Listed {
            items,
            extent,
            span: Some(span),
        }
    }

    /// The extent that a stated count gives; nothing where it is unknown or was refused.
    fn extent(&mut self, entry: &Entry, listed: u32) -> Option<Extent> {
        let node = &entry.value;
        if node.is_faulty() || leaf::unknown(node).is_some() {
            return None;
        }
        let text = node.as_text().unwrap_or_default();
        let quantity = match Quantity::parse(text, Kind::Count) {
            Ok(quantity) => quantity,
            Err(fault) => {
                self.problems.push(Problem::new(
                    "not-a-quantity",
                    node.span,
                    fault.says,
                    fault.help,
                ));
                return None;
            }
        };
        let whole = |end: crate::units::End, up: bool| {
            let at = end.at()?;
            let at = if up { at.ceil() } else { at.floor() };
            u32::try_from(at.above()).ok()
        };
        let least = whole(quantity.range.low(), true).unwrap_or(0);
        let most = whole(quantity.range.high(), false);
        if most.is_some_and(|most| most < listed) {
            let says = format!("the count says `{text}`, but {listed} are listed");
            let help = "count them again: either an item is there twice, or the count is too low";
            self.problems
                .push(Problem::new("count-too-low", node.span, says, help));
            return None;
        }
        Some(Extent {
            least: least.max(listed),
            most,
            told: Told::Count,
        })
    }

    /// Every element has a name of its own, so that findings can call it by that.
    fn check_ids(&mut self, element: FieldId, items: &[Node]) {
        if self.vocabulary.child(element, "id").is_none() {
            return;
        }
        for (at, item) in items
            .iter()
            .enumerate()
            .filter(|(_, item)| !item.is_faulty())
        {
            let Some(entry) = item.get("id") else {
                let span = item
                    .entries()
                    .first()
                    .map_or(item.span, |entry| entry.key.span);
                let says = "this thing has no `id`".to_string();
                let help = "give it a short name of its own, as in `id: hall`";
                self.problems
                    .push(Problem::new("id-missing", span, says, help));
                continue;
            };
            let id = entry.value.as_text();
            let earlier = items[..at].iter().filter_map(|item| item.get("id"));
            let twin = earlier
                .into_iter()
                .find(|other| id.is_some() && other.value.as_text() == id);
            if let Some(twin) = twin {
                let says = format!(
                    "two things in this list are called `{}`",
                    id.unwrap_or_default()
                );
                let help = "give each its own name";
                let problem = Problem::new("id-twice", entry.value.span, says, help);
                self.problems
                    .push(problem.with(twin.value.span, "the other one"));
            }
        }
    }
}

fn figures_recorded(key: &Key) -> Problem {
    let says = "figures are worked out, not recorded";
    let help = "take these lines away: the tool works its figures out from what was measured, and a \
                reading belongs under the key of what was read";
    Problem::new("figures-recorded", key.span, says, help)
}

/// A list as found.
struct Listed<'a> {
    items: &'a [Node],
    extent: Extent,
    span: Option<Span>,
}

impl Listed<'_> {
    /// No elements, and no telling how many there are.
    fn nothing(told: Told, span: Option<Span>) -> Self {
        let extent = Extent {
            least: 0,
            most: None,
            told,
        };
        Listed {
            items: &[],
            extent,
            span,
        }
    }
}

fn count_of(items: &[Node]) -> u32 {
    u32::try_from(items.len()).unwrap_or(u32::MAX)
}

/// The span to show for a value: itself, unless it is a whole block or nothing at all.
fn shown(node: &Node, key: Span) -> Span {
    match node.value {
        Value::Scalar(_) => node.span,
        _ => key,
    }
}

/// The span to show for a fact: also a set or a reason, cut to its first line.
fn shown_value(source: &Source, node: &Node, key: Span) -> Span {
    match node.value {
        Value::List(_) | Value::Map(_) => first_line(source, node.span),
        _ => shown(node, key),
    }
}

/// A block cut to its first line.
pub(super) fn first_line(source: &Source, span: Span) -> Span {
    let line = source.line_span(source.line_of(span.start));
    Span {
        start: span.start,
        end: span.end.min(line.end).max(span.start),
    }
}
