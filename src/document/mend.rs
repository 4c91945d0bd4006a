//! Where the parser gave up: which line gets the blame, what is said of it, and what has to be
//! blanked so that the rest can be read.
//!
//! Contract: one problem for each mistake, at the place that has to be changed; the least text
//! that can be given up is given up, and a key before it stays. This module must not know the
//! parser: only the sort of thing it gave up over, and where.

use std::ops::Range;

use super::blame;
use super::events::{Sort, Stop};
use super::lines::{self, Line};
use super::scan::{self, Setting};
use wetside_base::problem::Problem;

/// How to read on.
#[derive(Debug)]
pub(crate) struct Mending {
    pub problem: Problem,
    pub region: Range<usize>,
    /// Whether something has to stand in its place: in brackets, nothing is another mistake.
    pub stand_in: bool,
    /// Whether the region held something of the writer's that is now not read.
    pub loses: bool,
}

impl Mending {
    fn blank(problem: Problem, region: Range<usize>) -> Mending {
        Mending {
            problem,
            region,
            stand_in: false,
            loses: true,
        }
    }

    fn keeping(problem: Problem, region: Range<usize>) -> Mending {
        Mending {
            loses: false,
            ..Mending::blank(problem, region)
        }
    }

    fn stand_in(problem: Problem, region: Range<usize>) -> Mending {
        Mending {
            stand_in: true,
            ..Mending::blank(problem, region)
        }
    }
}

/// How to read on in `text` after `stop`.
pub(crate) fn mend(text: &str, stop: Stop) -> Mending {
    if let Sort::NotSetIn { end } = stop.sort {
        return Mending::blank(blame::not_set_in(text, stop.at), stop.at..end);
    }
    if let Some(mending) = items_under_a_value(text, stop) {
        return mending;
    }
    let line = Line::around(text, stop.at);
    match scan::setting(text, stop.at) {
        // It is the key before the brackets that does not line up.
        Setting::Brackets { outer, .. } if stop.sort == Sort::Entry && line.start < outer.start => {
            in_lines(text, stop)
        }
        Setting::Unclosed {
            outer,
            inner,
            end,
            mismatch,
        } => unclosed(text, outer, inner, end, mismatch),
        Setting::Brackets { outer, part } => in_brackets(text, stop, outer, &part),
        Setting::Block => in_lines(text, stop),
    }
}

/// List items under a key that has a value, which the parser takes for more of its text.
fn items_under_a_value(text: &str, stop: Stop) -> Option<Mending> {
    let line = Line::around(text, stop.at);
    let above = line.before(text)?;
    let has_value = above.key.is_some() && !above.value_range(text).is_empty();
    let opens = text[above.value..].starts_with(['[', '{', '"', '\'', '|', '>']);
    let under = line.dash.is_some() && line.indent > above.column();
    let taken_in = stop.sort == Sort::Colon && has_value && !opens && under;
    taken_in.then(|| misplaced(text, &line, Some(&above)))
}

/// Gives up the whole line at `at`: the last resort.
pub(crate) fn whole_line(text: &str, at: usize) -> Mending {
    let line = written_line(text, at);
    Mending::blank(blame::unreadable(text, &line), line.content..line.end)
}

fn written_line(text: &str, at: usize) -> Line {
    let line = Line::around(text, at);
    if line.is_written(text) {
        return line;
    }
    line.before(text).unwrap_or(line)
}

fn unclosed(text: &str, outer: usize, inner: usize, end: usize, mismatch: bool) -> Mending {
    let problem = blame::unclosed(text, inner, mismatch.then_some(end));
    if mismatch {
        return Mending::stand_in(problem, inner..end);
    }
    let line = Line::around(text, outer);
    let alone = line.content == outer;
    // A key that opens with a quote, or brackets with no key before them, might take in the rest.
    let end = if alone {
        block_end(text, &line, line.indent + 1)
    } else {
        end
    };
    Mending::blank(problem, outer..end.max(outer + 1))
}

fn in_brackets(text: &str, stop: Stop, outer: Range<usize>, part: &Range<usize>) -> Mending {
    let at = stop.at;
    let value = lines::part_value(text, part);
    match stop.sort {
        Sort::Comma if text[at..].starts_with(',') => {
            Mending::keeping(blame::stray_comma(at), at..at + 1)
        }
        Sort::CommentTooClose => comment_too_close(text, at),
        Sort::Tab => tab(text, at),
        Sort::TooDeep => Mending::blank(blame::too_deep(text, outer.start), outer),
        _ if value.is_empty() => Mending::blank(blame::brackets(text, &outer), outer),
        Sort::Comma | Sort::Colon => {
            Mending::stand_in(blame::colon_in_brackets(text, part, at), value)
        }
        Sort::AfterQuote => Mending::stand_in(blame::after_quote(text, &value, at), value),
        Sort::Escape => Mending::stand_in(blame::escape(text, at..value.end.max(at)), value),
        Sort::Character | Sort::DashInLine => {
            Mending::stand_in(blame::reserved(text, at..value.end.max(at)), value)
        }
        _ => Mending::blank(blame::brackets(text, &outer), outer),
    }
}

fn in_lines(text: &str, stop: Stop) -> Mending {
    let line = written_line(text, stop.at);
    let at = stop.at.clamp(line.start, line.end);
    let value = line.value.max(line.content);
    match stop.sort {
        Sort::Unclosed => unclosed(text, at, at, line.end, false),
        Sort::StrayBracket => stray_bracket(text, &line, at),
        Sort::Colon => colon(text, &line, at),
        Sort::Entry => entry(text, &line),
        Sort::NoColon => no_colon(text, &line),
        Sort::AfterQuote if line.key.is_none() && line.dash.is_none() => no_colon(text, &line),
        Sort::AfterQuote => Mending::blank(
            blame::after_quote(text, &line.value_range(text), at),
            value..line.end,
        ),
        Sort::Escape => {
            let end = scan::end_of_opened(text, at);
            Mending::blank(blame::escape(text, at..end), at..end)
        }
        Sort::BlockHeader => with_lines_below(text, &line, blame::reserved(text, value..line.end)),
        Sort::DashInLine => with_lines_below(text, &line, blame::list_in_line(text, &line)),
        Sort::CommentTooClose => comment_too_close(text, at),
        Sort::CommentInText => comment_in_text(text, &line, at),
        Sort::Tab => tab(text, at),
        Sort::Tag => {
            let word = text[at..line.end]
                .find([' ', '\t'])
                .map_or(line.end, |n| at + n);
            Mending::keeping(blame::tag(text, at..word), at..word)
        }
        Sort::Directive => Mending::keeping(blame::directive(text, &line), line.content..line.end),
        Sort::TooDeep => Mending::blank(
            blame::too_deep(text, at),
            at..block_end(text, &line, line.indent + 1),
        ),
        Sort::Character if at < line.end => {
            Mending::blank(blame::reserved(text, at..line.end), at..line.end)
        }
        _ => whole_line(text, line.content),
    }
}

fn comment_too_close(text: &str, at: usize) -> Mending {
    let end = Line::around(text, at).end;
    Mending::keeping(blame::comment_too_close(text, at..end), at..end)
}

fn comment_in_text(text: &str, line: &Line, at: usize) -> Mending {
    let next = line.next(text).filter(|next| next.is_written(text));
    match next {
        Some(next) if next.key.is_some() || next.dash.is_some() => {
            misplaced(text, &next, Some(line))
        }
        _ => Mending::keeping(blame::comment_in_text(text, line, at), at..line.end),
    }
}

fn tab(text: &str, at: usize) -> Mending {
    let line = written_line(text, at);
    let found = text[line.start..line.end]
        .find('\t')
        .map_or(line.content, |n| line.start + n);
    // Spaces in the place of tabs: blanking only these leaves the words.
    let rest = &text[found..line.end];
    let run = rest.len() - rest.trim_start_matches('\t').len();
    let region = if run > 0 {
        found..found + run
    } else {
        blame::character(text, found)
    };
    Mending::keeping(blame::tab(region.clone()), region)
}

fn stray_bracket(text: &str, line: &Line, at: usize) -> Mending {
    let run = text[at..line.end]
        .find(|c| !matches!(c, ']' | '}' | ' '))
        .map_or(line.end, |n| at + n);
    let run = at + text[at..run].trim_end().len();
    let region = at..run.max(at + 1);
    Mending {
        loses: at == line.value,
        ..Mending::blank(blame::stray_bracket(text, &region), region.clone())
    }
}

fn colon(text: &str, line: &Line, at: usize) -> Mending {
    let at_own_key = line
        .key
        .as_ref()
        .is_some_and(|key| key.end <= at && text[key.end..at].trim().is_empty());
    if !at_own_key {
        let value = line.value_range(text);
        return if line.key.is_some() && !value.is_empty() {
            Mending::blank(blame::colon_in_value(text, &value), line.value..line.end)
        } else {
            whole_line(text, line.content)
        };
    }
    let Some(before) = line.before(text) else {
        return whole_line(text, line.content);
    };
    if before.key.is_none() && before.dash.is_none() {
        let holder = before.before(text);
        let goes_on = holder.as_ref().is_some_and(|holder| {
            (holder.key.is_some() || holder.dash.is_some())
                && holder.value < holder.end
                && before.indent > holder.indent
        });
        if !goes_on {
            return no_colon(text, &before);
        }
        return misplaced(text, line, holder.as_ref());
    }
    misplaced(text, line, Some(&before))
}

/// A line, with those that go with it, that stands too far in or out.
fn misplaced(text: &str, line: &Line, other: Option<&Line>) -> Mending {
    let region = line.content..block_end(text, line, line.indent);
    Mending::blank(blame::indentation(text, line, other), region)
}

fn entry(text: &str, line: &Line) -> Mending {
    let glued = line.dash.is_none() && text[line.content..].starts_with('-');
    if glued || line.key.is_none() && line.dash.is_none() {
        return no_colon(text, line);
    }
    if text[line.content..].starts_with([',', ']', '}']) {
        let problem = blame::reserved(text, line.content..line.end);
        let end = block_end(text, line, line.indent + 1);
        return Mending::blank(problem, line.content..end);
    }
    let (mut above, mut first) = (line.before(text), None);
    let mut holder = None;
    while let Some(other) = above {
        if other.indent == line.indent {
            return if other.dash.is_some() == line.dash.is_some() {
                misplaced(text, line, Some(&other))
            } else {
                mixed(text, line, &other)
            };
        }
        if other.indent < line.indent {
            holder = Some(other.indent);
            break;
        }
        above = other.before(text);
        first = Some(other);
    }
    let Some(first) = first else {
        return misplaced(text, line, line.before(text).as_ref());
    };
    let first_is_astray = match holder {
        Some(indent) => {
            let step = usual_step(text);
            first.indent != indent + step && line.indent == indent + step
        }
        // The text begins further in than it goes on: the smaller part is the one that went astray.
        None => line.start - first.start <= text.len() - line.start,
    };
    if first_is_astray {
        let end = text[..line.start].trim_end().len();
        let problem = blame::indentation(text, &first, Some(line));
        Mending::blank(problem, first.content..end)
    } else if holder.is_some() {
        misplaced(text, line, line.before(text).as_ref())
    } else {
        misplaced(text, line, Some(&first))
    }
}

/// How far in the first line stands that is set in.
fn usual_step(text: &str) -> usize {
    let mut next = Some(Line::from(text, 0));
    while let Some(line) = next {
        if line.indent > 0 && line.is_written(text) {
            return line.indent;
        }
        next = line.next(text);
    }
    0
}

/// List items and keys side by side: the fewer are the ones that went astray, and of equals those
/// that come second.
fn mixed(text: &str, line: &Line, other: &Line) -> Mending {
    let astray = line.dash.is_some();
    let (mut above, mut first, mut same) = (Some(other.clone()), other.clone(), 0);
    while let Some(sibling) = above.filter(|sibling| sibling.indent >= line.indent) {
        above = sibling.before(text);
        if sibling.indent == line.indent {
            same += usize::from(sibling.dash.is_some() != astray);
            first = sibling;
        }
    }
    let (mut below, mut different, mut end) = (Some(line.clone()), 0, None);
    while let Some(sibling) = below {
        below = sibling.next(text);
        if !sibling.is_written(text) || sibling.indent > line.indent {
            continue;
        }
        let is_list = sibling.dash.is_some();
        if sibling.indent < line.indent || is_list != astray {
            end = end.or(Some(sibling.start));
        }
        if sibling.indent < line.indent {
            break;
        }
        same += usize::from(is_list != astray);
        different += usize::from(is_list == astray);
    }
    let (blamed, beside, region) = if different > same {
        (&first, line, first.content..line.start)
    } else {
        (line, other, line.content..end.unwrap_or(text.len()))
    };
    let end = region.start + text[region.clone()].trim_end().len();
    Mending::blank(blame::mixed(text, blamed, beside), region.start..end)
}

fn no_colon(text: &str, line: &Line) -> Mending {
    let start = if line.dash.is_some() {
        line.value
    } else {
        line.content
    };
    let end = block_end(text, line, line.indent + 1);
    Mending::blank(blame::no_colon(text, line), start..end)
}

/// Gives up a value with the lines that stand further in below it.
fn with_lines_below(text: &str, line: &Line, problem: Problem) -> Mending {
    let least = line.key.as_ref().map_or(line.indent, |_| line.column()) + 1;
    let end = block_end(text, line, least);
    Mending::blank(problem, line.value..end)
}

/// The end of the last of the lines from `line` on that stand at least so far in.
fn block_end(text: &str, line: &Line, least: usize) -> usize {
    let (mut end, mut next) = (line.end, line.next(text));
    while let Some(below) = next {
        if below.is_written(text) {
            if below.indent < least {
                break;
            }
            end = below.end;
        }
        next = below.next(text);
    }
    end
}
