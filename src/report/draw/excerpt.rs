//! A few lines of a file, fit to be drawn: safe signs, cut to the room, marks moved along.
//!
//! Contract: an excerpt is small and whole, so the drawing library never searches the file: its cost
//! grows neither with the file nor with the length of a line. Line numbers are those of the file.
//! Every mark keeps at least one column to stand under.

use super::group::{Group, LEAD, LEAST_ROOM, LineMark, aside, room};
use crate::Style;
use crate::pen::wrap;
use crate::signs::{columns, push, shown};
use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use std::ops::Range;
use wetside_base::source::{Source, Span};

/// Bytes of a line that are looked at on either side of where a mark begins.
const REACH: u32 = 1000;

#[derive(Debug)]
pub(super) struct Excerpt {
    text: String,
    /// The first line's number, from 1.
    first_line: usize,
    line_count: usize,
    pub marks: Vec<Placed>,
}

/// A mark within the text of the excerpt, in bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    pub start: usize,
    pub end: usize,
    /// Broken into lines; none for a mark without words.
    pub words: Vec<String>,
    pub first: bool,
}

impl Excerpt {
    /// The lines of a group of marks; above the first mark also the line that is its heading.
    pub(super) fn new(source: &Source, group: &Group, style: &Style) -> Excerpt {
        let top = group.first().map_or(1, |mark| mark.line);
        let last_line = group.last().map_or(1, |mark| mark.line);
        let above = group.iter().any(|mark| mark.first) && heads(source, top);
        let first_line = if above { top - 1 } else { top };
        let mut excerpt = Excerpt {
            text: String::new(),
            first_line,
            line_count: last_line + 1 - first_line,
            marks: Vec::new(),
        };
        for line in first_line..=last_line {
            if line > first_line {
                excerpt.text.push('\n');
            }
            let marks: Vec<&LineMark> = group.iter().filter(|mark| mark.line == line).collect();
            let page = Page {
                ascii: style.ascii,
                room: room(last_line, style.width),
            };
            excerpt.add_line(source, source.line_span(line), &marks, page);
        }
        excerpt
    }

    fn add_line(&mut self, source: &Source, line: Span, marks: &[&LineMark], page: Page) {
        let stretch = stretch(source, line, marks);
        let signs = signs(source, stretch, page.ascii);
        let cut_before = stretch.start > line.start;
        let shift = marks
            .iter()
            .map(|mark| page.shift(&signs, mark, cut_before))
            .max();
        let from = shift.unwrap_or_default();
        let led = cut_before || from > 0;
        let to = page.last(&signs, from, led, stretch.end < line.end);
        let start = self.text.len();
        if led {
            self.text.push_str(page.cut());
        }
        let mut edges = Vec::with_capacity(to - from + 1);
        for sign in &signs[from..to] {
            edges.push(self.text.len());
            self.text.push_str(&sign.text);
        }
        edges.push(self.text.len());
        if to < signs.len() || stretch.end < line.end {
            self.text.push_str(page.cut());
        }
        for mark in marks {
            let edge = |offset: u32| {
                let sign = signs.partition_point(|sign| sign.at < offset);
                edges[sign.clamp(from, to) - from]
            };
            self.place(
                start,
                edge(mark.span.start)..edge(mark.span.end),
                mark,
                page,
            );
        }
    }

    /// Sets one mark; an empty one at the end of its line gets a space to stand under, since the
    /// drawing library leaves it out otherwise.
    fn place(&mut self, start: usize, at: Range<usize>, mark: &LineMark, page: Page) {
        let mut at = at;
        if at.is_empty() {
            if at.start == self.text.len() {
                self.text.push(' ');
            }
            at.end = at.start
                + self.text[at.start..]
                    .chars()
                    .next()
                    .map_or(1, char::len_utf8);
        }
        let before = columns(&self.text[start..at.start]);
        at.end = at.start + self.fitting(&at, before, mark, page);
        let middle = before + columns(&self.text[at.clone()]) / 2;
        let words = shown(&mark.words, page.ascii);
        self.marks.push(Placed {
            start: at.start,
            end: at.end,
            words: beside(&words, page.room.saturating_sub(middle + LEAD)),
            first: mark.first,
        });
    }

    /// The bytes of a mark that can be underlined: its words hang from its middle, so of a mark as wide
    /// as the page only the beginning is.
    fn fitting(&self, at: &Range<usize>, before: usize, mark: &LineMark, page: Page) -> usize {
        let aside = aside(&mark.words, page.ascii, page.room);
        if aside == 0 {
            return at.len();
        }
        let most = 2 * page.room.saturating_sub(before + aside) + 1;
        let marked = &self.text[at.clone()];
        let ends = marked
            .char_indices()
            .map(|(start, sign)| start + sign.len_utf8());
        let fitting = ends.take_while(|end| columns(&marked[..*end]) <= most);
        let first = marked.chars().next().map_or(0, char::len_utf8);
        fitting.last().unwrap_or(first)
    }
}

/// Whether the line above this one is set less far in, as the heading of a group is.
fn heads(source: &Source, line: usize) -> bool {
    if line < 2 {
        return false;
    }
    let text = |line: usize| source.slice(source.line_span(line));
    let inset = |line: usize| text(line).len() - text(line).trim_start().len();
    !text(line - 1).trim().is_empty() && inset(line - 1) < inset(line)
}

/// What one character of a line becomes.
struct Sign {
    at: u32,
    text: String,
    columns: usize,
}

/// The part of a line worth looking at: all of it, or the surroundings of its first mark.
fn stretch(source: &Source, line: Span, marks: &[&LineMark]) -> Span {
    let middle = marks
        .iter()
        .map(|mark| mark.span.start)
        .min()
        .unwrap_or(line.start);
    let boundary =
        |offset: u32| (offset..=line.end).find(|at| source.text.is_char_boundary(*at as usize));
    let end = boundary(line.end.min(middle.saturating_add(REACH))).unwrap_or(line.end);
    let start = line.start.max(middle.saturating_sub(REACH));
    Span {
        start: boundary(start).unwrap_or(line.start),
        end,
    }
}

fn signs(source: &Source, stretch: Span, ascii: bool) -> Vec<Sign> {
    let sign = |(offset, character): (usize, char)| {
        let mut text = String::new();
        match character {
            '\t' => text.push_str("    "),
            other => push(&mut text, other, ascii),
        }
        let at = stretch.start + Span::new(offset, offset).start;
        Sign {
            at,
            columns: columns(&text),
            text,
        }
    };
    source.slice(stretch).char_indices().map(sign).collect()
}

/// The room that lines are cut to.
#[derive(Clone, Copy)]
struct Page {
    ascii: bool,
    room: usize,
}

impl Page {
    fn cut(self) -> &'static str {
        if self.ascii { "..." } else { "…" }
    }

    /// How many signs to cut in front so that the mark, and some words beside it, find room.
    fn shift(self, signs: &[Sign], mark: &LineMark, led: bool) -> usize {
        let start = signs.partition_point(|sign| sign.at < mark.span.start);
        let end = signs
            .partition_point(|sign| sign.at < mark.span.end)
            .max(start);
        let sum = |signs: &[Sign]| signs.iter().map(|sign| sign.columns).sum::<usize>();
        let (before, marked) = (sum(&signs[..start]), sum(&signs[start..end]));
        let aside = aside(&mark.words, self.ascii, self.room);
        let needed = (before + marked / 2 + aside).max(before + marked);
        let lead = if led { columns(self.cut()) } else { 0 };
        if needed + lead <= self.room {
            return 0;
        }
        let mut over = needed + columns(self.cut()) - self.room;
        let mut shift = 0;
        while over > 0 && shift < start {
            over = over.saturating_sub(signs[shift].columns);
            shift += 1;
        }
        shift
    }

    /// The sign after the last that finds room.
    fn last(self, signs: &[Sign], from: usize, led: bool, more: bool) -> usize {
        let cut = columns(self.cut());
        let mut left = self.room.saturating_sub(if led { cut } else { 0 });
        let all = signs[from..].iter().map(|sign| sign.columns).sum::<usize>();
        if all <= left && !more {
            return signs.len();
        }
        left = left.saturating_sub(cut);
        let mut to = from;
        while to < signs.len() && signs[to].columns <= left {
            left -= signs[to].columns;
            to += 1;
        }
        to
    }
}

impl SourceCode for Excerpt {
    /// The whole excerpt, whatever part is asked for: it is one frame by construction.
    fn read_span<'a>(
        &'a self,
        _span: &SourceSpan,
        _before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let whole = SourceSpan::new(0.into(), self.text.len());
        Ok(Box::new(MietteSpanContents::new(
            self.text.as_bytes(),
            whole,
            self.first_line - 1,
            0,
            self.line_count,
        )))
    }
}

/// Words broken to go beside a mark, never narrower than a word or two.
fn beside(words: &str, room: usize) -> Vec<String> {
    if words.is_empty() {
        Vec::new()
    } else {
        wrap(words, room.max(LEAST_ROOM))
    }
}
