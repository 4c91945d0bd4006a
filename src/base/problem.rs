//! Something wrong in a *file*, a survey or a pack, as opposed to in the heating system.
//!
//! Contract: a problem is data: a place, the words of its message and what to do. It holds no
//! colour and no layout, and it never ends the reading of a file: every reader returns what it
//! understood together with the problems it met.

use crate::source::Span;

/// One thing wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What sort of problem, in plain words joined by hyphens, such as `unknown-key`. Stable:
    /// tests and machine-readable output name problems by it.
    pub kind: &'static str,
    /// Where it is. Never a whole block: a key, a value, or the part of a value that is wrong.
    pub span: Span,
    /// What is wrong here, in the writer's own words: one lower-case sentence without a full stop.
    pub says: String,
    /// What was expected and what to do.
    pub help: String,
    /// Other places that the message speaks of.
    pub also: Vec<Label>,
}

/// A place with a few words about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    pub span: Span,
    pub words: String,
}

impl Problem {
    pub fn new(
        kind: &'static str,
        span: Span,
        says: impl Into<String>,
        help: impl Into<String>,
    ) -> Problem {
        Problem {
            kind,
            span,
            says: says.into(),
            help: help.into(),
            also: Vec::new(),
        }
    }

    /// The same problem, speaking of one more place.
    #[must_use]
    pub fn with(mut self, span: Span, words: impl Into<String>) -> Problem {
        self.also.push(Label {
            span,
            words: words.into(),
        });
        self
    }
}
