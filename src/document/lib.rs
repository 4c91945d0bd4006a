//! The document reader: text to values, each with its place, and everything wrong with the text.
//!
//! Contract: one reader for surveys, packs and answer sheets. It gives the span of every key and
//! of every value, reports all problems at once and refuses nothing as a whole: whatever could be
//! understood is in the tree. The same text gives the same reading, and the work is bounded
//! whatever the text. This module must not know what the words of a document mean.
//!
//! The documents are YAML 1.2 (the specification of 2021, revision 1.2.2) with less allowed, so
//! that a text has one meaning that everyone sees on the page: one document a file, no anchors,
//! aliases, merge keys, tags or directives, no key twice in one map, no value left empty, keys
//! that are words or quoted text. `yes`, `no`, `on` and `off` are text, as YAML 1.2 has it. Texts that could be
//! taken for two things are refused too: a list item that reads on as text, a quote that takes in the
//! next key, a `#3` that would be a comment.
//!
//! After a mistake that a parser stops at, the reader blanks what cannot be read in a copy of the
//! text, so that every place stays where it is, and reads again:
//! `events` (the parser's, in our words) → `build` (a tree of them) → `mend` (where it stopped: whom
//! to blame, what to blank) → `build` again, at most [`MOST_MENDINGS`] times.

mod blame;
mod build;
mod characters;
mod copy;
mod core_words;
mod decode;
mod events;
mod lines;
mod mend;
mod node;
mod repeats;
mod scalars;
mod scan;
mod typed;
mod words;

pub use build::MOST_VALUES;
pub use core_words::{CoreWord, core_word};
pub use decode::decode;
pub use node::{Entry, Found, Key, Node, Scalar, Style, Value};
pub use typed::{Entries, Placed, keys_of, typed};

use build::{Built, build};
use copy::WorkingCopy;
use events::Stop;

use wetside_base::problem::{Problem, told};
use wetside_base::source::{Source, Span};

/// The most bytes that a text may have.
const MOST_BYTES: usize = 8 << 20;
/// How many mistakes that stop the parser are mended in one text.
pub const MOST_MENDINGS: usize = 40;
/// How many bytes are read again in all, so that a huge text is not read over and over.
const MOST_READ_AGAIN: usize = 8 << 20;

/// What a text holds and what is wrong with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The whole document; [`Value::Empty`] when the text holds nothing but comments.
    pub root: Node,
    /// In the order of their places.
    pub problems: Vec<Problem>,
    /// The stretches of text that could not be read, in order. A problem was reported for each.
    /// What seems to be missing from a map or list around one of them may have been written there.
    pub lost: Vec<Span>,
}

impl Reading {
    /// Whether part of the text under `span` could not be read.
    pub fn lost_within(&self, span: Span) -> bool {
        let next = self.lost.partition_point(|lost| lost.end <= span.start);
        self.lost
            .get(next)
            .is_some_and(|lost| lost.start < span.end)
    }

    /// The first unreadable stretch that begins at `at` or later.
    pub fn first_lost_from(&self, at: u32) -> Option<Span> {
        let next = self.lost.partition_point(|lost| lost.start < at);
        self.lost.get(next).copied()
    }
}

/// Reads a text. Every fault of the text is a problem in the reading; none ends it.
pub fn read(source: &Source) -> Reading {
    let text = source.text.as_str();
    if text.len() > MOST_BYTES {
        let root = Node {
            span: Span::default(),
            value: Value::Broken,
        };
        return Reading {
            root,
            problems: vec![words::too_large(MOST_BYTES)],
            lost: Vec::new(),
        };
    }
    let mut copy = WorkingCopy::new(text);
    let (problems, tabbed) = characters::clean(&mut copy);
    let mut mender = Mender {
        copy,
        problems,
        tabbed,
    };
    let built = mender.build_and_mend();
    mender
        .copy
        .lose(built.refused.iter().map(|refused| refused.range()));
    let mut problems = mender.problems;
    problems.extend(built.problems);
    Reading {
        root: built.root,
        problems: told(problems),
        lost: mender.copy.lost().to_vec(),
    }
}

struct Mender<'a> {
    copy: WorkingCopy<'a>,
    problems: Vec<Problem>,
    /// The starts of the lines that a tab sets in. Where they should stand is anyone's guess, so
    /// no more is said about it.
    tabbed: Vec<usize>,
}

impl Mender<'_> {
    fn build_and_mend(&mut self) -> Built {
        let most = (MOST_READ_AGAIN / self.copy.text().len().max(1)).min(MOST_MENDINGS);
        let mut mended = 0;
        loop {
            let built = build(self.copy.text(), self.copy.lost());
            let Some(stop) = built.stop else {
                return built;
            };
            if mended == most || !self.mend(stop) {
                return self.leave_the_rest(stop);
            }
            mended += 1;
        }
    }

    /// Blanks everything from the line that stopped the parser on.
    fn leave_the_rest(&mut self, stop: Stop) -> Built {
        let text = self.copy.text();
        let blamed = mend::mend(text, stop).problem.span.start as usize;
        let line = lines::Line::around(text, blamed.min(stop.at));
        let rest = line.start..text.len();
        let span = Span::new(line.content, line.end.max(line.content));
        self.problems.push(words::rest_not_read(span));
        self.copy.blank(rest.clone());
        self.copy.lose([rest]);
        build(self.copy.text(), self.copy.lost())
    }

    /// Blanks what the parser stopped at. False when there is nothing left to blank.
    fn mend(&mut self, stop: Stop) -> bool {
        let mending = mend::mend(self.copy.text(), stop);
        if self.apply(mending) {
            return true;
        }
        let mending = mend::whole_line(self.copy.text(), stop.at);
        self.apply(mending)
    }

    fn apply(&mut self, mending: mend::Mending) -> bool {
        let region = mending.region.clone();
        let changed = if mending.stand_in {
            self.copy.stand_in(region)
        } else {
            self.copy.blank(region)
        };
        if !changed {
            return false;
        }
        if !self.said_before(&mending) {
            self.problems.push(mending.problem);
        }
        if mending.loses {
            self.copy.lose([mending.region]);
        }
        true
    }

    /// Whether the mistake follows from one that was reported.
    fn said_before(&self, mending: &mend::Mending) -> bool {
        let span = mending.problem.span;
        let tabbed = |at: usize| {
            let line = lines::Line::around(self.copy.text(), at);
            self.tabbed.binary_search(&line.start).is_ok()
        };
        let also = &mending.problem.also;
        tabbed(mending.region.start)
            || also.iter().any(|label| tabbed(label.span.start as usize))
            || self
                .copy
                .lost()
                .iter()
                .any(|lost| lost.start < span.end && span.start < lost.end)
    }
}
