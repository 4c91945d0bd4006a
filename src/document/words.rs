//! The words for what is wrong with a text. They are for someone who writes surveys, not for
//! someone who knows YAML.
//!
//! Contract: one function for each kind of problem; every piece of the writer's text is shown cut
//! to a readable length and without control characters. This module must not decide anything.

use super::node::Key;
use wetside_base::problem::Problem;
use wetside_base::shown::quoted;
use wetside_base::source::Span;

const QUOTE_IT: &str = "put the whole text in quotes";

fn at(text: &str, span: Span) -> String {
    quoted(&text[span.range()])
}

/// A key that is there already; `more` keys right behind it are there too.
pub(crate) fn duplicate_key(first: &Key, second: &Key, more: usize) -> Problem {
    let name = quoted(&second.text);
    let (says, help) = if more == 0 {
        let help = "keep one of the two; only the first is judged";
        (format!("{name} is written twice here"), help)
    } else {
        let keys = if more == 1 { "key" } else { "keys" };
        let help = "if these lines belong to another thing or part, write its dash or heading above \
                    them; else keep one of the two, of which only the first is judged";
        (
            format!("{name} is written twice here, and so are {more} {keys} after it"),
            help,
        )
    };
    Problem::new("duplicate-key", second.span, says, help).with(first.span, "the first is here")
}

pub(crate) fn anchor(text: &str, span: Span) -> Problem {
    Problem::new(
        "anchor",
        span,
        format!("{} gives this value a name to repeat it by", at(text, span)),
        format!("take it out and write the value wherever it applies; if it is text, {QUOTE_IT}"),
    )
}

pub(crate) fn alias(text: &str, span: Span) -> Problem {
    Problem::new(
        "alias",
        span,
        format!("{} stands for a value written elsewhere", at(text, span)),
        format!("write the value itself here; if it is text, {QUOTE_IT}"),
    )
}

pub(crate) fn merge_key(span: Span) -> Problem {
    Problem::new(
        "merge-key",
        span,
        "`<<` asks for lines written elsewhere",
        "write the lines themselves here, so that everyone sees what is meant",
    )
}

pub(crate) fn tag(text: &str, span: Span) -> Problem {
    Problem::new(
        "tag",
        span,
        format!("{} says how to read the value after it", at(text, span)),
        format!("take it out; if it is text, {QUOTE_IT}"),
    )
}

pub(crate) fn directive(text: &str, span: Span) -> Problem {
    Problem::new(
        "directive",
        span,
        format!("{} is an instruction to a program", at(text, span)),
        "take the line out; a document begins with its first key",
    )
}

pub(crate) fn second_document(text: &str, at: Span) -> Problem {
    let at = at.range();
    let end = text[at.start..]
        .find('\n')
        .map_or(text.len(), |n| at.start + n);
    let end = at.start + text[at.start..end].trim_end().len();
    Problem::new(
        "second-document",
        Span::new(at.start, end),
        "a second document begins here; it and all that follows is not judged",
        "keep one document in a file; put the other in a file of its own, or take out this line",
    )
}

const THREE_MEANINGS: &str = "if you do not know it, write `unknown`; if it was not looked at or \
                              does not apply, leave the key out; if it was forgotten, write it";

pub(crate) fn empty_value(text: &str, key: &Key, value: Span) -> Problem {
    let name = quoted(&key.text);
    if !value.is_empty() && value.len() < 5 {
        let says = format!("{name} has {}, which says nothing", at(text, value));
        return Problem::new("empty-value", value, says, THREE_MEANINGS);
    }
    if key.text.contains(':') && !text[key.span.range()].starts_with(['"', '\'']) {
        let says = format!("{name} has no space after its colon, so it is a key without a value");
        let help = format!("write a space after the colon; if it is text, {QUOTE_IT}");
        return Problem::new("colon-without-space", key.span, says, help);
    }
    Problem::new(
        "empty-value",
        key.span,
        format!("{name} has no value"),
        THREE_MEANINGS,
    )
}

pub(crate) fn empty_item(text: &str, value: Span) -> Problem {
    let (span, says) = if value.is_empty() {
        let dash = text[..value.start as usize].rfind('-').unwrap_or(0);
        let span = Span::new(dash, (dash + 1).min(text.len()));
        (span, String::from("this list item is empty"))
    } else {
        (
            value,
            format!("this list item is {}, which says nothing", at(text, value)),
        )
    };
    Problem::new(
        "empty-value",
        span,
        says,
        "if you do not know it, write `unknown`; if there is no such item, take the line out; \
         if it was forgotten, write it",
    )
}

pub(crate) fn truth_word(word: &str, span: Span) -> Problem {
    let instead = if word.eq_ignore_ascii_case("true") {
        "yes"
    } else {
        "no"
    };
    Problem::new(
        "truth-word",
        span,
        format!("{} is not a word for an answer here", quoted(word)),
        format!("write `{instead}`"),
    )
}

pub(crate) fn endless(word: &str, span: Span) -> Problem {
    Problem::new(
        "endless-number",
        span,
        format!("{} is no number that can be measured", quoted(word)),
        "write the number, or `unknown`",
    )
}

/// The first line after the first of a text that begins with a dash.
pub(crate) fn dashed_line(text: &str, span: Span) -> Option<Span> {
    let mut start = span.start as usize;
    text[span.range()].split_inclusive('\n').find_map(|line| {
        let from = start + line.len() - line.trim_start().len();
        let to = start + line.trim_end().len();
        start += line.len();
        let later = from > span.start as usize;
        (later && line.trim_start().starts_with('-')).then(|| Span::new(from, to))
    })
}

pub(crate) fn dash_in_text(text: &str, span: Span, line: Span) -> Problem {
    Problem::new(
        "dash-in-text",
        line,
        format!(
            "{} begins with a dash but goes on with the text above",
            at(text, line)
        ),
        "for a list, let every dash stand in the same column with a space after it; for a text of \
         several lines, put it in quotes",
    )
    .with(
        Span::new(span.start as usize, first_line_end(text, span)),
        "the text begins here",
    )
}

/// Plain text between brackets that goes on over the end of the line.
pub(crate) fn line_break_in_brackets(text: &str, span: Span) -> Problem {
    let shown = Span::new(span.start as usize, first_line_end(text, span));
    Problem::new(
        "comma-missing",
        shown,
        format!(
            "{} and the line below it read on as one text",
            at(text, shown)
        ),
        "write a comma between one value and the next; put a text of several lines in quotes",
    )
}

/// A comment after a plain text that looks like a part of it, such as `radiator #3`.
pub(crate) fn number_sign(text: &str, span: Span) -> Problem {
    let start = span.end as usize + 1;
    let line = text[start..].lines().next().unwrap_or("").trim_end();
    Problem::new(
        "number-sign",
        Span::new(start, start + line.len()),
        format!("{} is taken for a comment and is not read", quoted(line)),
        "if it belongs to the text before it, put the whole text in quotes; if it is a comment, \
         write a space after `#`",
    )
}

fn first_line_end(text: &str, span: Span) -> usize {
    let line = text[span.range()].lines().next().unwrap_or("");
    span.start as usize + line.trim_end().len()
}

pub(crate) fn odd_key(text: &str, span: Span) -> Problem {
    let (says, help) = if span.is_empty() {
        (
            String::from("there is no key before this colon"),
            "write the key, then a colon, a space and the value",
        )
    } else if text[..span.start as usize].ends_with("? ") {
        (
            format!("{} has a question mark before it", at(text, span)),
            "leave the question mark out: a key is a word, or text in quotes, and a colon",
        )
    } else if text[span.range()].starts_with(['[', '{']) {
        (
            String::from("a key cannot be in brackets"),
            "a key is a word, or text in quotes, on one line with its colon",
        )
    } else {
        (
            format!("{} is not a key", at(text, span)),
            "a key is a word, or text in quotes, on one line with its colon",
        )
    };
    let shown = Span::new(span.start as usize, first_line_end(text, span));
    Problem::new("odd-key", seen(text, shown), says, help)
}

/// A span with something in it to point at.
fn seen(text: &str, span: Span) -> Span {
    if !span.is_empty() {
        return span;
    }
    let start = span.start as usize;
    let next = text[start..]
        .chars()
        .next()
        .filter(|next| !next.is_whitespace());
    Span::new(start, start + next.map_or(0, char::len_utf8))
}

pub(crate) fn too_deep(span: Span, deepest: usize) -> Problem {
    Problem::new(
        "too-deep",
        span,
        format!("lists and keys are more than {deepest} deep in each other here"),
        "write it flatter; what is deeper is not read",
    )
}

pub(crate) fn too_many_values(span: Span, most: usize) -> Problem {
    Problem::new(
        "too-many-values",
        span,
        format!("this document holds more than {most} values; from here on it is not read"),
        "divide it into several files",
    )
}

pub(crate) fn too_large(most: usize) -> Problem {
    Problem::new(
        "too-large",
        Span::default(),
        format!(
            "this file is larger than {} MiB and is not read",
            most >> 20
        ),
        "check that it is the right file; a survey is a few pages of text",
    )
}

pub(crate) fn rest_not_read(span: Span) -> Problem {
    Problem::new(
        "rest-not-read",
        span,
        "there are too many faults to read on; from here on nothing is judged",
        "mend the faults above and check again",
    )
}

pub(crate) fn tab_indentation(span: Span, lines: usize) -> Problem {
    let says = match lines {
        1 => String::from("this line is set in with a tab"),
        2 => String::from("this line and one more are set in with tabs"),
        _ => format!("this line and {} more are set in with tabs", lines - 1),
    };
    let help = "set lines in with spaces only, two for each step; how far a tab goes is not the \
                same in every editor";
    Problem::new("tab-indentation", span, says, help)
}

pub(crate) fn hidden_character(character: char, span: Span) -> Problem {
    Problem::new(
        "hidden-character",
        span,
        format!(
            "there is a character here that cannot be seen, `{}`",
            character.escape_unicode()
        ),
        "delete it; it often comes with text copied from a message or a web page",
    )
}

pub(crate) fn odd_line_break(span: Span) -> Problem {
    Problem::new(
        "odd-line-break",
        span,
        "this line ends in a lone carriage return, which few editors show as a line break",
        "save the file with ordinary line breaks",
    )
}
