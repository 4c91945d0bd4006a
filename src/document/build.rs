//! The parser's events to the tree: the one file that knows the parser.
//!
//! Contract: gives the tree of whatever the parser could read, the problems that do not end its
//! reading, and the place where it gave up, if it did. Spans are mended where the parser's own
//! differ from what [`Node`] promises. This module must not know how a text is mended.

use std::borrow::Cow;
use std::ops::Range;

use granit_parser::{
    ErrorKind, Event, Parser, ScalarStyle, ScanError, StrInput, StructureStyle, Tag,
};

use super::node::{Entry, Key, Node, Scalar, Style, Value};
use super::scan;
use super::words;
use crate::problem::Problem;
use crate::source::Span;

/// How deep lists and maps may be in each other.
pub const DEEPEST: usize = 32;
/// How many values a document may hold.
pub const MOST_VALUES: usize = 100_000;

pub struct Built {
    pub root: Node,
    pub problems: Vec<Problem>,
    /// Entries that are not in the tree, because their keys were refused, and what was not read.
    pub refused: Vec<Span>,
    pub stop: Option<Stop>,
}

/// Where the parser gave up, and over what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stop {
    pub sort: Sort,
    pub at: usize,
}

/// What the parser gave up over, as far as it matters to the mending.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    Unclosed,
    /// Brackets that end at `end` but go on under their key.
    NotSetIn {
        end: usize,
    },
    StrayBracket,
    /// A comma or the end was expected in brackets.
    Comma,
    Colon,
    /// A key or a list item was expected.
    Entry,
    NoColon,
    AfterQuote,
    Escape,
    BlockHeader,
    DashInLine,
    CommentTooClose,
    CommentInText,
    Tab,
    Tag,
    Directive,
    TooDeep,
    /// A character that may not stand there.
    Character,
    Other,
}

/// Builds the tree of `text`, in which the stretches `lost` were blanked.
pub fn build(text: &str, lost: &[Span]) -> Built {
    let options = granit_parser::options! {
        block_scalar_eof_without_line_feed: true,
        emit_anchor_events: true,
        emit_unresolved_aliases: true,
        disallow_directives: true,
    };
    let mut builder = Builder {
        text,
        lost,
        parser: Parser::new_from_str_with_options(text, options),
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

struct Builder<'t> {
    text: &'t str,
    lost: &'t [Span],
    parser: Parser<'t, StrInput<'t>>,
    problems: Vec<Problem>,
    refused: Vec<Span>,
    stop: Option<Stop>,
    ended: bool,
    depth: usize,
    /// How many of the open lists and maps are in brackets.
    brackets: usize,
    left: usize,
}

/// What a value stands in, with the place after the colon or dash.
#[derive(Clone, Copy)]
enum Holder<'a> {
    Root,
    List,
    Key(&'a Key),
}

type Piece<'t> = (Event<'t>, granit_parser::Span);

impl<'t> Builder<'t> {
    fn document(&mut self) -> Node {
        let mut root = None;
        while let Some((event, span)) = self.next() {
            match event {
                Event::DocumentStart(..) if root.is_some() => {
                    self.problems
                        .push(words::second_document(self.text, range(&span)));
                    break;
                }
                event if event.is_node() => root = Some(self.node(event, &span, Holder::Root)),
                _ => {}
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
    fn next(&mut self) -> Option<Piece<'t>> {
        while !self.ended {
            match self.parser.next_event()? {
                Ok((Event::Anchor(..), span)) => {
                    self.problems.push(words::anchor(self.text, place(&span)));
                }
                Ok(piece) => return Some(piece),
                Err(error) => self.give_up(stop(&error, self.text)),
            }
        }
        None
    }

    fn give_up(&mut self, stop: Stop) {
        self.stop = Some(stop);
        self.ended = true;
    }

    fn node(&mut self, event: Event<'t>, span: &granit_parser::Span, holder: Holder<'_>) -> Node {
        if self.left == 0 {
            self.problems
                .push(words::too_many_values(place(span), MOST_VALUES));
            self.refused
                .push(Span::new(range(span).start, self.text.len()));
            self.ended = true;
            return broken(place(span));
        }
        self.left -= 1;
        match event {
            Event::Scalar(_, ScalarStyle::Plain, anchor, tag)
                if range(span).is_empty() && (anchor > 0 || tag.is_some()) =>
            {
                self.refuse_tag(tag.as_deref(), span);
                broken(place(span))
            }
            Event::Scalar(text, style, _, tag) => {
                self.refuse_tag(tag.as_deref(), span);
                self.scalar(text, style, range(span), holder)
            }
            Event::SequenceStart(style, _, tag) => {
                self.refuse_tag(tag.as_deref(), span);
                self.collection(style, range(span), holder, Builder::list)
            }
            Event::MappingStart(style, _, tag) => {
                self.refuse_tag(tag.as_deref(), span);
                self.collection(style, range(span), holder, Builder::map)
            }
            _ => {
                self.problems.push(words::alias(self.text, place(span)));
                broken(place(span))
            }
        }
    }

    fn refuse_tag(&mut self, tag: Option<&Tag>, span: &granit_parser::Span) {
        if tag.is_some() {
            let at = span.tag_span().map_or(place(span), |tag| place(&tag));
            self.problems.push(words::tag(self.text, at));
        }
    }

    fn scalar(
        &mut self,
        text: Cow<'t, str>,
        style: ScalarStyle,
        at: Range<usize>,
        holder: Holder<'_>,
    ) -> Node {
        let style = match style {
            ScalarStyle::Plain => Style::Plain,
            ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted => Style::Quoted,
            _ => Style::Block,
        };
        if style == Style::Plain && is_null(&text) || style == Style::Block && text.is_empty() {
            return self.nothing(at, holder);
        }
        let at = if style == Style::Block {
            at.start..self.text[..at.end].trim_end().len().max(at.start)
        } else {
            at
        };
        let span = Span::new(at.start, at.end);
        if let Some(lost) = self.lost_at(at.start) {
            return broken(lost);
        }
        match style {
            Style::Plain if self.refuse_plain(&text, span) => return broken(span),
            Style::Quoted if self.opened_too_long(&at) => return broken(span),
            _ => {}
        }
        let text = text.into_owned();
        Node {
            span,
            value: Value::Scalar(Scalar { text, style }),
        }
    }

    /// Reports plain text that does not say what it seems to; true if it should not be used.
    fn refuse_plain(&mut self, text: &str, span: Span) -> bool {
        match text {
            "true" | "True" | "TRUE" | "false" | "False" | "FALSE" => {
                self.problems.push(words::truth_word(text, span));
            }
            _ if is_endless(text) => self.problems.push(words::endless(text, span)),
            _ if span.len() != text.len() => {
                if self.brackets > 0 {
                    self.problems
                        .push(words::line_break_in_brackets(self.text, span));
                    return true;
                }
                let dashed = words::dashed_line(self.text, span);
                self.problems
                    .extend(dashed.map(|line| words::dash_in_text(self.text, span, line)));
                return dashed.is_some();
            }
            _ => {}
        }
        self.problems.extend(words::number_sign(self.text, span));
        false
    }

    /// Gives up over brackets or quotes that took in what stands under them; the parser would
    /// not notice.
    fn opened_too_long(&mut self, at: &Range<usize>) -> bool {
        let long =
            self.text[at.clone()].contains('\n') && scan::takes_in_too_much(self.text, at.clone());
        if long {
            let quoted = self.text[at.start..].starts_with(['"', '\'']);
            let sort = if quoted {
                Sort::Unclosed
            } else {
                Sort::NotSetIn { end: at.end }
            };
            self.give_up(Stop { sort, at: at.start });
        }
        long
    }

    /// A value that is empty, was blanked, or is a word for nothing.
    fn nothing(&mut self, at: Range<usize>, holder: Holder<'_>) -> Node {
        let written = !at.is_empty() && !self.text[at.clone()].trim().is_empty();
        let after = match holder {
            _ if written => at.start,
            Holder::Root => at.start,
            Holder::Key(key) => after_colon(self.text, key.span.end as usize),
            Holder::List => self.text[..at.start]
                .rfind('-')
                .map_or(at.start, |dash| dash + 1),
        };
        if let Some(lost) = self.lost_instead(after, holder) {
            return broken(lost);
        }
        let span = Span::new(after, if written { at.end } else { after });
        match holder {
            Holder::Root => {}
            Holder::Key(key) => self.problems.push(words::empty_value(self.text, key, span)),
            Holder::List => self.problems.push(words::empty_item(self.text, span)),
        }
        Node {
            span,
            value: Value::Empty,
        }
    }

    /// The blanked text that stood where the parser found nothing.
    fn lost_instead(&self, after: usize, holder: Holder<'_>) -> Option<Span> {
        let next = self
            .lost
            .partition_point(|lost| (lost.start as usize) < after);
        let lost = *self.lost.get(next)?;
        let gap = &self.text[after..lost.start as usize];
        let column = |offset: u32| scan::column(self.text, offset as usize);
        let inside = !gap.contains('\n')
            || matches!(holder, Holder::Key(key) if column(lost.start) > column(key.span.start));
        (gap.trim().is_empty() && inside).then_some(lost)
    }

    fn collection(
        &mut self,
        style: StructureStyle,
        at: Range<usize>,
        holder: Holder<'_>,
        fill: fn(&mut Self) -> (Value, usize, usize),
    ) -> Node {
        if self.depth == DEEPEST {
            let span = Span::new(at.start, at.end);
            self.problems.push(words::too_deep(span, DEEPEST));
            self.skip();
            return broken(span);
        }
        let brackets = usize::from(style == StructureStyle::Flow);
        self.depth += 1;
        self.brackets += brackets;
        let (value, last, close) = fill(self);
        self.depth -= 1;
        self.brackets -= brackets;
        if brackets == 0 {
            let is_list = matches!(value, Value::List(_));
            let start = match holder {
                Holder::Key(_) if is_list => first_dash(self.text, at.start),
                _ => at.start,
            };
            let span = Span::new(start, last.max(at.start));
            return Node { span, value };
        }
        let at = at.start..close.max(last).max(at.end);
        if self.brackets == 0 && !self.ended {
            self.opened_too_long(&at);
        }
        let span = Span::new(at.start, at.end);
        Node { span, value }
    }

    /// The elements of a list, the end of the last, and the end of what closes the list.
    fn list(&mut self) -> (Value, usize, usize) {
        let (mut items, mut last, mut close) = (Vec::new(), 0, 0);
        while let Some((event, span)) = self.next() {
            if matches!(event, Event::SequenceEnd) {
                close = range(&span).end;
                break;
            }
            let item = self.node(event, &span, Holder::List);
            last = item.span.end as usize;
            items.push(item);
        }
        (Value::List(items), last, close)
    }

    /// The entries of a map, the end of the last, and the end of what closes the map.
    fn map(&mut self) -> (Value, usize, usize) {
        let (mut entries, mut last, mut close) = (Vec::new(), 0, 0);
        while let Some((event, span)) = self.next() {
            if matches!(event, Event::MappingEnd) {
                close = range(&span).end;
                break;
            }
            let (found, start) = (self.problems.len(), range(&span).start);
            let key = self.key(event, &span);
            let Some((event, span)) = self.next() else {
                break;
            };
            let kept = self.problems.len();
            let unnamed = Key {
                text: String::new(),
                span: place(&span),
            };
            let value = self.node(event, &span, Holder::Key(key.as_ref().unwrap_or(&unnamed)));
            last = last.max(value.span.end as usize);
            match key {
                Some(key) => entries.push(Entry { key, value }),
                None => {
                    self.refused.push(Span::new(start, value.span.end as usize));
                    // One problem for the key; what the value of a refused key lacks is no matter.
                    if kept > found && !self.ended {
                        self.problems.truncate(kept);
                    }
                }
            }
        }
        self.drop_repeats(&mut entries);
        (Value::Map(entries), last, close)
    }

    /// The key, or nothing when it was refused.
    fn key(&mut self, event: Event<'t>, span: &granit_parser::Span) -> Option<Key> {
        let at = range(span);
        let Event::Scalar(text, style, _, tag) = event else {
            self.problems.push(match event {
                Event::Alias(_) | Event::UnresolvedAlias(_) => words::alias(self.text, place(span)),
                _ => words::odd_key(self.text, place(span)),
            });
            if matches!(event, Event::SequenceStart(..) | Event::MappingStart(..)) {
                self.skip();
            }
            return None;
        };
        self.refuse_tag(tag.as_deref(), span);
        let plain = style == ScalarStyle::Plain;
        let odd = at.is_empty()
            || matches!(style, ScalarStyle::Literal | ScalarStyle::Folded)
            || self.text[..at.start].ends_with("? ")
            || self.text[at.clone()].contains('\n');
        if plain && text == "<<" {
            self.problems.push(words::merge_key(place(span)));
            return None;
        }
        if odd {
            self.problems.push(words::odd_key(self.text, place(span)));
            return None;
        }
        let key = Key {
            text: text.into_owned(),
            span: place(span),
        };
        Some(key).filter(|_| self.lost_at(at.start).is_none())
    }

    /// The unreadable stretch that something stands in for at `at`.
    fn lost_at(&self, at: usize) -> Option<Span> {
        let next = self.lost.partition_point(|lost| (lost.end as usize) <= at);
        let lost = *self.lost.get(next)?;
        (lost.start as usize <= at).then_some(lost)
    }

    /// Keeps the first entry under each key and reports the others.
    fn drop_repeats(&mut self, entries: &mut Vec<Entry>) {
        const FEW: usize = 16;
        let mut repeats: Vec<(usize, usize)> = Vec::new();
        if entries.len() <= FEW {
            for (at, entry) in entries.iter().enumerate().skip(1) {
                let same = |first: &Entry| first.key.text == entry.key.text;
                repeats.extend(entries[..at].iter().position(same).map(|first| (first, at)));
            }
        } else {
            let mut order: Vec<usize> = (0..entries.len()).collect();
            order.sort_by_key(|at| (&entries[*at].key.text, *at));
            for same in order.chunk_by(|a, b| entries[*a].key.text == entries[*b].key.text) {
                repeats.extend(same[1..].iter().map(|at| (same[0], *at)));
            }
        }
        if repeats.is_empty() {
            return;
        }
        repeats.sort_unstable_by_key(|(_, at)| *at);
        for (first, at) in &repeats {
            let (first, second) = (&entries[*first].key, &entries[*at].key);
            self.problems.push(words::duplicate_key(first, second));
        }
        let mut at = 0;
        entries.retain(|_| {
            at += 1;
            repeats
                .binary_search_by_key(&(at - 1), |(_, at)| *at)
                .is_err()
        });
    }

    /// Leaves out the rest of a list or map that was just begun.
    fn skip(&mut self) {
        let mut open = 1;
        while open > 0 {
            match self.next() {
                Some((Event::SequenceStart(..) | Event::MappingStart(..), _)) => open += 1,
                Some((Event::SequenceEnd | Event::MappingEnd, _)) => open -= 1,
                Some(_) => {}
                None => break,
            }
        }
    }
}

fn range(span: &granit_parser::Span) -> Range<usize> {
    // A text in memory has byte offsets throughout; without them the start is the honest answer.
    span.byte_range().unwrap_or(0..0)
}

fn place(span: &granit_parser::Span) -> Span {
    let range = range(span);
    Span::new(range.start, range.end)
}

fn broken(span: Span) -> Node {
    Node {
        span,
        value: Value::Broken,
    }
}

/// The words of YAML's core schema for nothing.
fn is_null(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}

/// The words of YAML's core schema for what is no number.
fn is_endless(text: &str) -> bool {
    let size = text.strip_prefix(['-', '+']).unwrap_or(text);
    matches!(size, ".inf" | ".Inf" | ".INF") || matches!(text, ".nan" | ".NaN" | ".NAN")
}

/// The place after the colon that follows a key.
fn after_colon(text: &str, key_end: usize) -> usize {
    let rest = &text[key_end..];
    let blanks = rest.len() - rest.trim_start_matches([' ', '\t']).len();
    key_end
        + if rest[blanks..].starts_with(':') {
            blanks + 1
        } else {
            0
        }
}

/// The dash of the first item of a list under a key. The parser starts a list that does not
/// stand further in than its key after that dash.
fn first_dash(text: &str, at: usize) -> usize {
    let line = &text[..at];
    let line = &line[line.rfind('\n').map_or(0, |n| n + 1)..];
    let blanks = line.trim_end_matches([' ', '\t']);
    if blanks.ends_with('-') {
        at - (line.len() - blanks.len()) - 1
    } else {
        at
    }
}

fn stop(error: &ScanError, text: &str) -> Stop {
    let at = error.marker().byte_offset().unwrap_or(text.len());
    Stop {
        sort: sort(error.kind()),
        at: at.min(text.len()),
    }
}

fn sort(kind: &ErrorKind) -> Sort {
    use ErrorKind as Kind;
    match kind {
        Kind::UnclosedFlowCollection { .. }
        | Kind::MismatchedFlowCollectionEnd { .. }
        | Kind::UnclosedQuotedScalar
        | Kind::InvalidQuotedScalarIndent
        | Kind::InvalidFlowScalarIndent
        | Kind::DocumentIndicatorInQuotedScalar => Sort::Unclosed,
        Kind::MisplacedFlowCollectionEnd => Sort::StrayBracket,
        Kind::ExpectedFlowMappingSeparator
        | Kind::ExpectedFlowSequenceSeparator
        | Kind::UnexpectedEofImplicitFlowMapping
        | Kind::UnexpectedEofFlowMapping
        | Kind::UnexpectedEofFlowSequence => Sort::Comma,
        Kind::MappingValueNotAllowed | Kind::InvalidColonPlacement => Sort::Colon,
        Kind::ExpectedBlockMappingKey
        | Kind::ExpectedBlockSequenceEntry
        | Kind::ExpectedDocumentStart
        | Kind::InvalidIndentation => Sort::Entry,
        Kind::SimpleKeyExpected | Kind::InvalidSimpleKey => Sort::NoColon,
        Kind::InvalidTrailingSingleQuotedScalar | Kind::InvalidTrailingDoubleQuotedScalar => {
            Sort::AfterQuote
        }
        Kind::UnknownQuotedScalarEscape
        | Kind::InvalidQuotedScalarHexEscape
        | Kind::InvalidLowSurrogateHexEscape
        | Kind::InvalidLowSurrogate
        | Kind::MissingLowSurrogate
        | Kind::UnpairedLowSurrogate
        | Kind::InvalidUnicodeEscape => Sort::Escape,
        Kind::InvalidBlockScalarHeader
        | Kind::ZeroBlockScalarIndent
        | Kind::TabAtBlockScalarStart
        | Kind::InvalidBlockScalarIndent => Sort::BlockHeader,
        Kind::BlockSequenceEntryNotAllowed | Kind::BlockEntryInFlowCollection => Sort::DashInLine,
        Kind::CommentNotSeparated => Sort::CommentTooClose,
        Kind::CommentInterceptedScalar => Sort::CommentInText,
        Kind::TabNotAllowed
        | Kind::TabInBlockIndentation
        | Kind::TabInIndentation
        | Kind::TabInPlainScalar => Sort::Tab,
        Kind::UndeclaredTagHandle => Sort::Tag,
        Kind::DirectiveDisallowed => Sort::Directive,
        Kind::RecursionLimitExceeded => Sort::TooDeep,
        Kind::UnexpectedCharacter { .. }
        | Kind::MappingKeyNotAllowed
        | Kind::MissingAnchorOrAliasName
        | Kind::UnclosedVerbatimTag
        | Kind::UnexpectedEofBlockMapping => Sort::Character,
        _ => Sort::Other,
    }
}
