//! Lists of a survey to facts: the elements named, and how many there are.
//!
//! Contract: a list is complete only where a count says so and agrees. A list without a count, with an
//! unknown one, or around a line that could not be read may hold more than it names.

use super::homes::OF_A_LIST;
use super::leaf;
use super::text::{first_line, may_have_held_more, shown};
use super::{Missing, Reader};
use std::collections::HashMap;
use wetside_base::facts::{Content, Extent, FactId, Told, Why};
use wetside_base::problem::Problem;
use wetside_base::shown::quoted;
use wetside_base::source::Span;
use wetside_base::vocabulary::FieldId;
use wetside_document::{Entry, Node, Value};
use wetside_units::{Kind, Quantity};

/// How many things are read of one list.
const MOST_THINGS: usize = 1000;

impl<'a> Reader<'a> {
    pub(super) fn list(
        &mut self,
        id: FactId,
        field: FieldId,
        element: FieldId,
        node: Option<&'a Node>,
        key: Span,
        missing: &Missing,
    ) {
        let mut found = self.listed(field, node, key);
        self.limit(field, &mut found);
        self.check_things(field, element, found.items);
        let listed = u32::try_from(found.items.len()).unwrap_or(u32::MAX);
        let first = self.facts.reserve(listed, element, id, key);
        let span = found.span.unwrap_or(missing.span);
        let mut extent = found.extent;
        match (node, &missing.why) {
            (None, Why::Malformed) => extent.told = Told::Malformed,
            (None, Why::Unknown(_)) => extent.told = Told::Unknown,
            _ => {}
        }
        let content = Content::List {
            first,
            listed,
            extent,
        };
        self.set(id, field, span, content);
        for (slot, item) in (0..).zip(found.items) {
            let missing = Missing {
                why: Why::NotRecorded,
                span: first_line(self.source, item.span),
            };
            let name = item
                .get("id")
                .map_or(missing.span, |entry| entry.value.span);
            self.fill(FactId(first.0 + slot), element, Some(item), name, &missing);
        }
        self.check_ids(element, found.items);
    }

    /// Leaves out what no house has; nobody can say then how much that is.
    fn limit(&mut self, field: FieldId, found: &mut Listed<'a>) {
        let Some(next) = found.items.get(MOST_THINGS) else {
            return;
        };
        let list = &self.vocabulary.field(field).path;
        let says = format!(
            "the list `{list}` holds more than {MOST_THINGS} things; from here on it is not read"
        );
        let help = "check that this is the right file; a house has no more of anything";
        let span = first_line(self.source, next.span);
        self.problems
            .push(Problem::new("too-many-things", span, says, help).reaching(next.span));
        found.items = &found.items[..MOST_THINGS];
        (found.extent.most, found.extent.told) = (None, Told::Malformed);
    }

    /// The elements of a list in either of its forms, and what is told of its extent.
    fn listed(&mut self, field: FieldId, node: Option<&'a Node>, key: Span) -> Listed<'a> {
        let Some(node) = node else {
            return Listed::nothing(Told::NotRecorded, None);
        };
        match &node.value {
            Value::List(items) => Listed {
                items,
                extent: open(count_of(items), Told::NotStated),
                span: Some(key),
            },
            Value::Map(entries) => self.counted(field, node, entries, key),
            Value::Scalar(scalar) if scalar.text == "unknown" => {
                Listed::nothing(Told::Unknown, Some(node.span))
            }
            Value::Empty | Value::Broken => Listed::nothing(Told::Malformed, Some(key)),
            Value::Scalar(scalar) => {
                let name = &self.vocabulary.field(field).name;
                let says = format!("`{name}` is a list, and this is not");
                let help = match scalar.text.to_lowercase().as_str() {
                    "none" | "no" | "nothing" | "nil" | "0" => {
                        "where there are none, write `{count: 0, items: []}`"
                    }
                    _ => {
                        "write how many there are as `count` and the things themselves as `items`, \
                         each with a dash and an `id`"
                    }
                };
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
        let mut at = 0;
        while let Some(entry) = entries.get(at) {
            at += if OF_A_LIST.contains(&entry.key.text.as_str()) {
                1
            } else {
                self.strays(field, entries, at, &mut [])
            };
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
        let known = stated.and_then(|entry| self.extent(entry, listed));
        let mut extent = known.unwrap_or(open(listed, Told::NotStated));
        // A line that could not be read may have been an item.
        if may_have_held_more(self.source, self.reading, node) {
            extent.most = None;
        }
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
            self.problems.extend(leaf::no_reason(node));
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
        let whole = |end: wetside_units::End, up: bool| {
            let at = end.at()?;
            let at = if up { at.ceil() } else { at.floor() };
            u32::try_from(at.above()).ok()
        };
        let least = whole(quantity.range.low(), true).unwrap_or(0);
        let most = whole(quantity.range.high(), false);
        if most.is_some_and(|most| most < listed) {
            let text = quoted(text);
            let says = format!("the count says {text}, but {listed} are listed");
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

    /// Every element is a group of facts. Where several are not, one problem shows all of them.
    fn check_things(&mut self, field: FieldId, element: FieldId, items: &[Node]) {
        let no_thing = |item: &&Node| !matches!(item.value, Value::Map(_)) && !item.is_faulty();
        let mut wrong = items.iter().filter(no_thing);
        let Some(first) = wrong.next() else {
            return;
        };
        let list = &self.vocabulary.field(field).path;
        let named = self.vocabulary.child(element, "id").is_some();
        let text = first.as_text().map(str::trim);
        let says = match text {
            Some(text) => format!("{} alone is no entry of the list `{list}`", quoted(text)),
            None => format!("this is no entry of the list `{list}`"),
        };
        let a_name = |text: &&str| !text.is_empty() && *text != "unknown" && text.len() < 40;
        let help = match text.filter(a_name) {
            Some(text) if named => format!(
                "each thing in the list has its facts, its name first, as in {}",
                quoted(&format!("- id: {text}"))
            ),
            _ if named => {
                "each thing in the list has its facts, its name first, as in `- id: hall`"
                    .to_string()
            }
            _ => format!(
                "each thing in the list has its facts: {}",
                self.keys(element)
            ),
        };
        let span = first_line(self.source, first.span);
        let problem = Problem::new("group-expected", span, says, help);
        let problem = wrong.fold(problem, |problem, other| {
            problem.with(first_line(self.source, other.span), "nor this")
        });
        self.problems.push(problem);
    }

    /// Every element has a name of its own, so that findings can call it by that.
    fn check_ids(&mut self, element: FieldId, items: &[Node]) {
        if self.vocabulary.child(element, "id").is_none() {
            return;
        }
        let mut named: HashMap<String, &Entry> = HashMap::new();
        for item in items
            .iter()
            .filter(|item| matches!(item.value, Value::Map(_)))
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
            if !entry.value.is_faulty() && id.is_none_or(|id| id.trim().is_empty()) {
                let says = "this `id` is no name".to_string();
                let help = "give the thing a short name of its own, as in `id: hall`";
                self.problems
                    .push(Problem::new("id-missing", entry.value.span, says, help));
                continue;
            }
            let Some(id) = id else { continue };
            // Conditions take a name for the same whatever its capitals.
            let plain = id.to_lowercase();
            match named.get(&plain) {
                None => _ = named.insert(plain, entry),
                Some(twin) => {
                    let says = format!("two things in this list are called {}", quoted(id));
                    let help = "give each its own name";
                    let problem = Problem::new("id-twice", entry.value.span, says, help);
                    self.problems
                        .push(problem.with(twin.value.span, "the other one"));
                }
            }
        }
    }
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
        Listed {
            items: &[],
            extent: open(0, told),
            span,
        }
    }
}

/// So many elements at least, and no telling how many more.
fn open(least: u32, told: Told) -> Extent {
    Extent {
        least,
        most: None,
        told,
    }
}

fn count_of(items: &[Node]) -> u32 {
    u32::try_from(items.len()).unwrap_or(u32::MAX)
}
