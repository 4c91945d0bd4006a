//! The parser's events in our own words: the one file that knows the parser.
//!
//! Contract: gives the events of one text in order, with spans in bytes, and ends with the place
//! where the parser gave up, if it did. This module must not know the tree that is built of them.

use std::borrow::Cow;

use granit_parser::{ErrorKind, Parser, ScalarStyle, ScanError, StrInput, StructureStyle};

use super::node::Style;
use wetside_base::source::Span;

/// One step through a text.
pub(crate) struct Event<'t> {
    pub what: What<'t>,
    /// What was written; empty where nothing was. A block list begins at its first dash, or after
    /// it where it does not stand further in than its key; a block list or map ends at the next
    /// event.
    pub span: Span,
    /// Whether it goes on over more than one line.
    pub long: bool,
    /// The tag before it.
    pub tag: Option<Span>,
}

pub(crate) enum What<'t> {
    Document,
    Scalar {
        text: Cow<'t, str>,
        style: Style,
        /// Whether an anchor gives it a name.
        named: bool,
    },
    List {
        brackets: bool,
    },
    Map {
        brackets: bool,
    },
    /// The end of a list or map.
    End,
    /// The name that an anchor gives to what came before.
    Anchor,
    Alias,
}

/// Where the parser gave up, and over what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stop {
    pub sort: Sort,
    pub at: usize,
}

/// What the parser gave up over, as far as it matters to the mending.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
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

pub(crate) struct Events<'t> {
    text: &'t str,
    parser: Parser<'t, StrInput<'t>>,
}

impl<'t> Events<'t> {
    pub(crate) fn of(text: &'t str) -> Events<'t> {
        let options = granit_parser::options! {
            block_scalar_eof_without_line_feed: true,
            emit_anchor_events: true,
            emit_unresolved_aliases: true,
            disallow_directives: true,
        };
        Events {
            text,
            parser: Parser::new_from_str_with_options(text, options),
        }
    }

    /// The next event; nothing at the end.
    ///
    /// # Errors
    /// Where the parser gives up. Nothing comes after that.
    #[inline]
    pub(crate) fn next(&mut self) -> Result<Option<Event<'t>>, Stop> {
        use granit_parser::Event as Theirs;
        loop {
            let (event, span) = match self.parser.next_event() {
                None => return Ok(None),
                Some(Err(error)) => return Err(stop(&error, self.text)),
                Some(Ok(piece)) => piece,
            };
            let mut tagged = false;
            let what = match event {
                Theirs::Scalar(text, style, anchor, tag) => {
                    tagged = tag.is_some();
                    What::Scalar {
                        text,
                        style: our_style(style),
                        named: anchor > 0,
                    }
                }
                Theirs::SequenceStart(style, _, tag) => {
                    tagged = tag.is_some();
                    What::List {
                        brackets: style == StructureStyle::Flow,
                    }
                }
                Theirs::MappingStart(style, _, tag) => {
                    tagged = tag.is_some();
                    What::Map {
                        brackets: style == StructureStyle::Flow,
                    }
                }
                Theirs::SequenceEnd | Theirs::MappingEnd => What::End,
                Theirs::Anchor(..) => What::Anchor,
                Theirs::Alias(_) | Theirs::UnresolvedAlias(_) => What::Alias,
                Theirs::DocumentStart(..) => What::Document,
                _ => continue,
            };
            return Ok(Some(Event {
                what,
                span: place(&span),
                long: span.start.line() != span.end.line(),
                tag: tagged.then(|| span.tag_span().map_or(place(&span), |tag| place(&tag))),
            }));
        }
    }
}

fn our_style(style: ScalarStyle) -> Style {
    match style {
        ScalarStyle::Plain => Style::Plain,
        ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted => Style::Quoted,
        _ => Style::Block,
    }
}

fn place(span: &granit_parser::Span) -> Span {
    // A text in memory has byte offsets throughout; without them the start is the honest answer.
    let range = span.byte_range().unwrap_or(0..0);
    Span::new(range.start, range.end)
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
