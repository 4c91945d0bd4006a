//! Which marks are drawn in one frame.

use crate::Style;
use crate::signs::{columns, shown};
use wetside_base::problem::Label;
use wetside_base::source::{Source, Span};

/// Columns kept free for the words beside a mark, where they need so many.
pub(super) const LEAST_ROOM: usize = 20;
/// Columns of a line that stand in front of the words, however long these are.
const LEAST_SHOWN: usize = 3;
/// Columns between the mark's middle and its words.
pub(super) const LEAD: usize = 4;

/// A mark brought within one line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct LineMark {
    pub line: usize,
    /// Bytes of the source; may be empty.
    pub span: Span,
    pub words: String,
    pub first: bool,
}

/// Marks that go into one frame, in the order of the file.
pub(super) type Group = Vec<LineMark>;

/// All marks in groups: the one that holds the first mark, then the others from the top down.
pub(super) fn groups(
    source: &Source,
    first: &Label,
    others: &[Label],
    style: &Style,
) -> Vec<Group> {
    let mut marks = vec![within_line(source, first, true)];
    for other in others {
        let mark = within_line(source, other, false);
        let twin = marks
            .iter_mut()
            .find(|known| known.span == mark.span && known.line == mark.line);
        match twin {
            Some(twin) => join_words(&mut twin.words, &mark.words),
            None => marks.push(mark),
        }
    }
    marks.sort_by_key(|mark| (mark.line, mark.span, !mark.first));
    let mut groups: Vec<Group> = Vec::new();
    for mark in marks {
        match groups.last_mut() {
            Some(group) if goes_with(source, group, &mark, style) => group.push(mark),
            _ => groups.push(vec![mark]),
        }
    }
    // A stable sort: the rest stays in the order of the file.
    groups.sort_by_key(|group| !group.iter().any(|mark| mark.first));
    groups
}

fn join_words(words: &mut String, more: &str) {
    if words.is_empty() {
        words.push_str(more);
    } else if !more.is_empty() && words.as_str() != more {
        words.push_str("; ");
        words.push_str(more);
    }
}

/// The mark on its first line that holds anything, without the spaces around it.
fn within_line(source: &Source, mark: &Label, first: bool) -> LineMark {
    let length = Span::new(source.text.len(), source.text.len()).end;
    let floor = |offset: u32| {
        let mut at = offset.min(length) as usize;
        while !source.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let (start, end) = (
        floor(mark.span.start),
        floor(mark.span.end.max(mark.span.start)),
    );
    let lead = source.text[start..end].len() - source.text[start..end].trim_start().len();
    let start = if lead == end - start {
        start
    } else {
        start + lead
    };
    let offset = Span::new(start, start).start;
    let line = source.line_of(offset).min(source.line_count());
    let whole = source.line_span(line).range();
    let start = start.clamp(whole.start, whole.end);
    let end = end.clamp(start, whole.end);
    let kept = source.text[start..end].trim_end().len();
    LineMark {
        line,
        span: Span::new(start, start + kept),
        words: mark.words.clone(),
        first,
    }
}

fn goes_with(source: &Source, group: &Group, mark: &LineMark, style: &Style) -> bool {
    let Some(last) = group.last() else {
        return false;
    };
    match mark.line - last.line {
        // What a reader sees first is the first mark, so nothing goes before it in its frame.
        _ if mark.first => false,
        // Two marks share a line only where neither hides the other and the line need not be cut.
        0 => {
            let clear = last.span.end <= mark.span.start && !last.span.is_empty();
            clear && fits(source, last, style) && fits(source, mark, style)
        }
        // A single line between is shown, since it tells more than the break of a frame.
        1 | 2 => true,
        _ => false,
    }
}

/// Whether the mark's line fits uncut, with room for the mark's words beside it.
fn fits(source: &Source, mark: &LineMark, style: &Style) -> bool {
    let line = source.line_span(mark.line);
    let room = room(mark.line, style.width);
    // A character takes at most four bytes: a longer line is not even measured.
    if line.len() > 4 * room {
        return false;
    }
    let text = |span: Span| columns(&shown(source.slice(span), style.ascii));
    let middle = text(Span {
        start: line.start,
        end: mark.span.start,
    }) + text(mark.span) / 2;
    text(line) <= room && middle + aside(&mark.words, style.ascii, room) <= room
}

/// Columns that the words beside a mark cannot do without: [`LEAST_ROOM`], or more where one word is
/// longer, since a path of the survey is never broken; but never so many that nothing of the line is
/// left to stand in front of them.
pub(super) fn aside(words: &str, ascii: bool, room: usize) -> usize {
    let words = shown(words, ascii);
    if words.is_empty() {
        return 0;
    }
    let longest = words.split(' ').map(columns).max().unwrap_or_default();
    let least = columns(&words).min(LEAST_ROOM).max(longest);
    (LEAD + least).min(room.saturating_sub(LEAST_SHOWN))
}

/// Columns for the text of a line behind its number.
pub(super) fn room(line: usize, width: usize) -> usize {
    let digits = line.to_string().len();
    width.saturating_sub(digits + 4).max(LEAST_ROOM + LEAD)
}
