//! The events of a text to the tree.
//!
//! Contract: gives the tree of whatever the parser could read, the problems that do not end its
//! reading, and the place where it gave up, if it did. Spans are mended where the parser's own
//! differ from what [`Node`] promises. This module must not know how a text is mended.

use compact_str::CompactString;

use super::events::{Event, Events, Stop, What};
use super::lines;
use super::node::{Entry, Key, Node, Style, Value};
use super::repeats::drop_repeats;
use super::words;
use wetside_base::problem::Problem;
use wetside_base::source::Span;

/// How deep lists and maps may be in each other.
pub(super) const DEEPEST: usize = 32;
/// How many values a document may hold.
pub const MOST_VALUES: usize = 100_000;

/// Room made for the entries of a map once it has one.
const USUAL_ENTRIES: usize = 8;

pub(crate) struct Built {
    pub root: Node,
    pub problems: Vec<Problem>,
    /// Entries that are not in the tree, because their keys were refused, and what was not read.
    pub refused: Vec<Span>,
    pub stop: Option<Stop>,
}

/// Builds the tree of `text`, in which the stretches `lost` were blanked.
pub(crate) fn build(text: &str, lost: &[Span]) -> Built {
    let mut builder = Builder {
        text,
        lost,
        events: Events::of(text),
        problems: Vec::new(),
        refused: Vec::new(),
        stop: None,
        ended: false,
        depth: 0,
        brackets: 0,
        left: MOST_VALUES,
    };
    let root = builder.document();
    Built {
        root,
        problems: builder.problems,
        refused: builder.refused,
        stop: builder.stop,
    }
}

pub(crate) struct Builder<'t> {
    pub(super) text: &'t str,
    pub(super) lost: &'t [Span],
    events: Events<'t>,
    pub(super) problems: Vec<Problem>,
    refused: Vec<Span>,
    stop: Option<Stop>,
    ended: bool,
    depth: usize,
    /// How many of the open lists and maps are in brackets.
    pub(super) brackets: usize,
    left: usize,
}

/// What a value stands in, with the place after the colon or dash.
#[derive(Clone, Copy)]
pub(crate) enum Holder<'a> {
    Root,
    List,
    Key(&'a Key),
}

impl<'t> Builder<'t> {
    fn document(&mut self) -> Node {
        let mut root = None;
        while let Some(event) = self.next() {
            match event.what {
                What::Document if root.is_some() => {
                    self.problems
                        .push(words::second_document(self.text, event.span));
                    break;
                }
                What::Document | What::End | What::Anchor => {}
                _ => root = Some(self.node(event, Holder::Root)),
            }
        }
        match (root, self.lost.first()) {
            (Some(root), _) => root,
            (None, Some(lost)) => broken(*lost),
            (None, None) => Node {
                span: Span::default(),
                value: Value::Empty,
            },
        }
    }

    /// The next event that makes part of the tree; nothing once the parser has given up.
    fn next(&mut self) -> Option<Event<'t>> {
        while !self.ended {
            match self.events.next() {
                Ok(Some(event)) if matches!(event.what, What::Anchor) => {
                    self.problems.push(words::anchor(self.text, event.span));
                }
                Ok(event) => return event,
                Err(stop) => self.give_up(stop),
            }
        }
        None
    }

    pub(super) fn give_up(&mut self, stop: Stop) {
        self.stop = Some(stop);
        self.ended = true;
    }

    fn node(&mut self, event: Event<'t>, holder: Holder<'_>) -> Node {
        let span = event.span;
        if self.left == 0 {
            self.problems
                .push(words::too_many_values(span, MOST_VALUES));
            self.refused
                .push(span.to(Span::new(self.text.len(), self.text.len())));
            self.ended = true;
            return broken(span);
        }
        self.left -= 1;
        self.refuse_tag(event.tag);
        match event.what {
            What::Scalar { named, .. } if span.is_empty() && (named || event.tag.is_some()) => {
                broken(span)
            }
            What::Scalar { text, style, .. } => self.scalar(text, style, span, event.long, holder),
            What::List { brackets } => self.collection(brackets, span, holder, Builder::list),
            What::Map { brackets } => self.collection(brackets, span, holder, Builder::map),
            _ => {
                self.problems.push(words::alias(self.text, span));
                broken(span)
            }
        }
    }

    fn refuse_tag(&mut self, tag: Option<Span>) {
        if let Some(tag) = tag {
            self.problems.push(words::tag(self.text, tag));
        }
    }

    fn collection(
        &mut self,
        brackets: bool,
        at: Span,
        holder: Holder<'_>,
        fill: fn(&mut Self, Span) -> (Value, Span),
    ) -> Node {
        if self.depth == DEEPEST {
            self.problems.push(words::too_deep(at, DEEPEST));
            self.skip();
            return broken(at);
        }
        self.depth += 1;
        self.brackets += usize::from(brackets);
        let (value, end) = fill(self, at);
        self.depth -= 1;
        self.brackets -= usize::from(brackets);
        let span = match (&value, holder) {
            (Value::List(_), Holder::Key(_)) if !brackets => {
                let dash = lines::first_dash(self.text, at.start as usize);
                Span::new(dash, dash.max(end.end as usize))
            }
            _ => at.to(end),
        };
        if brackets && self.brackets == 0 && !self.ended && self.text[span.range()].contains('\n') {
            self.opened_too_long(span);
        }
        Node { span, value }
    }

    /// The elements of a list, and where it ends: at its last element or its bracket.
    fn list(&mut self, at: Span) -> (Value, Span) {
        let (mut items, mut end) = (Vec::new(), at);
        while let Some(event) = self.next() {
            if matches!(event.what, What::End) {
                end = end_of(event.span, end);
                break;
            }
            let item = self.node(event, Holder::List);
            end = item.span;
            items.push(item);
        }
        (Value::List(items), end)
    }

    /// The entries of a map, and where it ends: at its last value or its bracket.
    fn map(&mut self, at: Span) -> (Value, Span) {
        let (mut entries, mut end) = (Vec::new(), at);
        while let Some(event) = self.next() {
            if matches!(event.what, What::End) {
                end = end_of(event.span, end);
                break;
            }
            let (found, start) = (self.problems.len(), event.span);
            let key = self.key(event);
            let Some(event) = self.next() else {
                break;
            };
            let kept = self.problems.len();
            let unnamed = Key {
                text: CompactString::default(),
                span: event.span,
            };
            let value = self.node(event, Holder::Key(key.as_ref().unwrap_or(&unnamed)));
            end = value.span;
            if let Some(key) = key {
                if entries.is_empty() {
                    entries.reserve(USUAL_ENTRIES);
                }
                entries.push(Entry { key, value });
            } else {
                self.refused.push(start.to(value.span));
                // One problem for the key; what the value of a refused key lacks is no matter.
                if kept > found && !self.ended {
                    self.problems.truncate(kept);
                }
            }
        }
        self.problems.extend(drop_repeats(&mut entries));
        (Value::Map(entries), end)
    }

    /// The key, or nothing when it was refused.
    fn key(&mut self, event: Event<'t>) -> Option<Key> {
        let span = event.span;
        let What::Scalar { text, style, .. } = event.what else {
            self.problems.push(match event.what {
                What::Alias => words::alias(self.text, span),
                _ => words::odd_key(self.text, span),
            });
            if matches!(event.what, What::List { .. } | What::Map { .. }) {
                self.skip();
            }
            return None;
        };
        self.refuse_tag(event.tag);
        if style == Style::Plain && text == "<<" {
            self.problems.push(words::merge_key(span));
            return None;
        }
        let asked = self.text[..span.start as usize].ends_with("? ");
        if span.is_empty() || style == Style::Block || event.long || asked {
            self.problems.push(words::odd_key(self.text, span));
            return None;
        }
        let key = Key {
            text: CompactString::from(text),
            span,
        };
        Some(key).filter(|_| self.lost_at(span.start).is_none())
    }

    /// The unreadable stretch that something stands in for at `at`.
    pub(super) fn lost_at(&self, at: u32) -> Option<Span> {
        let next = self.lost.partition_point(|lost| lost.end <= at);
        let lost = *self.lost.get(next)?;
        (lost.start <= at).then_some(lost)
    }

    /// Leaves out the rest of a list or map that was just begun.
    fn skip(&mut self) {
        let mut open = 1;
        while open > 0 {
            match self.next().map(|event| event.what) {
                Some(What::List { .. } | What::Map { .. }) => open += 1,
                Some(What::End) => open -= 1,
                Some(_) => {}
                None => break,
            }
        }
    }
}

/// What closes a list or map, if it is a bracket; else the end of the last thing in it.
fn end_of(close: Span, last: Span) -> Span {
    if close.is_empty() { last } else { close }
}

pub(crate) fn broken(span: Span) -> Node {
    Node {
        span,
        value: Value::Broken,
    }
}
