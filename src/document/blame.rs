//! The words for what the parser gave up over.
//!
//! Contract: as in `words`: one function for each kind of problem, no decision but the choice of
//! words and of the stretch to point at.

use std::ops::Range;

use super::lines::Line;
use super::words;
use wetside_base::problem::Problem;
use wetside_base::shown::quoted;
use wetside_base::source::Span;

fn span(range: Range<usize>) -> Span {
    Span::new(range.start, range.end)
}

fn cut(text: &str, range: &Range<usize>) -> String {
    quoted(&text[range.clone()])
}

/// The character at `at`.
pub(crate) fn character(text: &str, at: usize) -> Range<usize> {
    at..at + text[at..].chars().next().map_or(0, char::len_utf8)
}

/// A stretch without the blanks at its end and without further lines.
fn first_line(text: &str, range: Range<usize>) -> Range<usize> {
    let line = text[range.clone()].lines().next().unwrap_or("");
    range.start..range.start + line.trim_end().len()
}

/// What a line says: its key, or all of it.
fn name_of(line: &Line) -> Range<usize> {
    line.key.clone().unwrap_or(line.content..line.end)
}

pub(crate) fn unclosed(text: &str, open: usize, closer: Option<usize>) -> Problem {
    let opener = text[open..].chars().next().unwrap_or('"');
    let line_end = text[open..].find('\n').map_or(text.len(), |n| open + n);
    let shown = first_line(text, open..closer.unwrap_or(line_end).min(line_end));
    if let '"' | '\'' = opener {
        return Problem::new(
            "unclosed-quote",
            span(shown.clone()),
            format!("the quote that opens {} is not closed", cut(text, &shown)),
            format!(
                "write `{opener}` where the text ends; a text that goes on over several lines has \
                 to stand further in than its key"
            ),
        );
    }
    let (name, right) = if opener == '[' {
        ("bracket", ']')
    } else {
        ("brace", '}')
    };
    let problem = Problem::new(
        "unclosed-bracket",
        span(shown.clone()),
        format!("the {name} that opens {} is not closed", cut(text, &shown)),
        format!(
            "write `{right}` where it ends; what goes on over several lines has to stand further \
             in than its key"
        ),
    );
    match closer {
        Some(at) => problem.with(
            span(at..at + 1),
            format!("`{right}` is missing before this"),
        ),
        None => problem,
    }
}

/// Brackets that are closed, but hold a line that does not stand further in than their key.
pub(crate) fn not_set_in(text: &str, open: usize) -> Problem {
    let shown = first_line(text, open..text.len());
    Problem::new(
        "brackets-not-set-in",
        span(shown.clone()),
        format!("what {} opens goes on under its key", cut(text, &shown)),
        "let the lines between brackets stand further in than the key that they belong to",
    )
}

pub(crate) fn stray_bracket(text: &str, at: &Range<usize>) -> Problem {
    Problem::new(
        "stray-bracket",
        span(at.clone()),
        format!("{} closes nothing", cut(text, at)),
        "take it out, or write the bracket that opens it; if it is text, put it in quotes",
    )
}

pub(crate) fn stray_comma(at: usize) -> Problem {
    Problem::new(
        "stray-comma",
        span(at..at + 1),
        "there is nothing before this comma",
        "take the comma out, or write what is missing",
    )
}

pub(crate) fn brackets(text: &str, outer: &Range<usize>) -> Problem {
    let shown = first_line(text, outer.clone());
    Problem::new(
        "unreadable",
        span(shown.clone()),
        format!(
            "what is in these brackets cannot be read: {}",
            cut(text, &shown)
        ),
        "between brackets stand values with commas between them; between braces, `key: value` \
         with commas between; text with other signs goes in quotes",
    )
}

pub(crate) fn colon_in_value(text: &str, value: &Range<usize>) -> Problem {
    let reason = text[value.clone()].strip_prefix("unknown: ");
    let help = match reason {
        Some(reason) => format!("the reason of an unknown goes in braces: `{{unknown: {reason}}}`"),
        None => {
            "put the whole value in quotes, or write it without the colon; keys that belong to \
                 this key go on lines of their own below it, further in"
                .to_string()
        }
    };
    Problem::new(
        "colon-in-value",
        span(value.clone()),
        format!(
            "{} holds a colon with a space after it, as if it were a key",
            cut(text, value)
        ),
        help,
    )
}

pub(crate) fn colon_in_brackets(text: &str, part: &Range<usize>, at: usize) -> Problem {
    let written = text[part.clone()].trim();
    let start = written.as_ptr() as usize - text.as_ptr() as usize;
    let shown = start..start + written.len();
    Problem::new(
        "comma-missing",
        span(first_line(text, shown.clone())),
        format!(
            "{} has a second colon before the next comma",
            cut(text, &shown)
        ),
        "write a comma between one `key: value` and the next; put a text with a colon in quotes",
    )
    .with(span(character(text, at)), "the second colon")
}

pub(crate) fn after_quote(text: &str, value: &Range<usize>, at: usize) -> Problem {
    let value = value.start.min(at)..value.end.max(at);
    Problem::new(
        "text-after-quote",
        span(first_line(text, value.clone())),
        format!(
            "there is more text after the closing quote in {}",
            cut(text, &value)
        ),
        "put the whole value in quotes; a quote inside single quotes is written twice",
    )
}

pub(crate) fn escape(text: &str, value: Range<usize>) -> Problem {
    Problem::new(
        "backslash",
        span(first_line(text, value.clone())),
        format!(
            "a backslash in {} is followed by no known sign",
            cut(text, &value)
        ),
        "use single quotes, in which a backslash is only a backslash, or write it twice",
    )
}

/// A value that begins with a character that has another meaning there.
pub(crate) fn reserved(text: &str, value: Range<usize>) -> Problem {
    let shown = first_line(text, value);
    let sign = text[shown.start..].chars().next().unwrap_or(' ');
    let help = match sign {
        '>' | '<' => "write `at least`, `at most`, `more than` or `less than`, or put it in quotes",
        '|' => "put the text in quotes, or begin it on the next line, further in",
        _ => "put the whole text in quotes",
    };
    let sign = match sign {
        '`' => String::from("a backtick"),
        sign => quoted(sign.encode_utf8(&mut [0; 4])),
    };
    Problem::new(
        "reserved-sign",
        span(shown.clone()),
        format!(
            "{} begins with {sign}, which has another meaning there",
            cut(text, &shown)
        ),
        help,
    )
}

pub(crate) fn list_in_line(text: &str, line: &Line) -> Problem {
    let value = line.value_range(text);
    Problem::new(
        "list-in-line",
        span(value.clone()),
        format!(
            "{} begins like a list item, on the line of its key",
            cut(text, &value)
        ),
        "begin each list item on a line of its own under the key; if it is text, put it in quotes",
    )
}

pub(crate) fn comment_too_close(text: &str, comment: Range<usize>) -> Problem {
    let shown = first_line(text, comment);
    Problem::new(
        "comment-without-space",
        span(shown.clone()),
        format!("there is no space before the comment {}", cut(text, &shown)),
        "write a space before `#`",
    )
}

pub(crate) fn comment_in_text(text: &str, line: &Line, at: usize) -> Problem {
    let shown = first_line(text, at..line.end);
    Problem::new(
        "comment-in-text",
        span(shown.clone()),
        format!("the text goes on below the comment {}", cut(text, &shown)),
        "put the comment on a line above the text; if `#` belongs to the text, put it in quotes",
    )
}

pub(crate) fn tab(at: Range<usize>) -> Problem {
    words::tab_indentation(span(at), 1)
}

pub(crate) fn tag(text: &str, word: Range<usize>) -> Problem {
    words::tag(text, span(word))
}

pub(crate) fn directive(text: &str, line: &Line) -> Problem {
    words::directive(text, span(first_line(text, line.content..line.end)))
}

pub(crate) fn too_deep(text: &str, at: usize) -> Problem {
    words::too_deep(span(character(text, at)), super::build::DEEPEST)
}

/// A line that stands too far in or out, and a line that it might have lined up with.
pub(crate) fn indentation(text: &str, line: &Line, other: Option<&Line>) -> Problem {
    let shown = first_line(text, name_of(line));
    let name = cut(text, &shown);
    let help = "let every key of the same part begin in the same column, and what belongs to a \
                key stand two spaces further in, below it";
    let Some(other) = other else {
        let says = format!("{name} does not line up with any line above");
        return Problem::new("indentation", span(shown), says, help);
    };
    let above = first_line(text, name_of(other));
    let name_above = cut(text, &above);
    let has_value = other.value < other.end;
    let says = if other.start < line.start && line.column() > other.column() && has_value {
        format!("{name} stands further in than {name_above}, which has a value already")
    } else {
        format!("{name} does not line up with the lines around it")
    };
    let words = match other.indent {
        0 => String::from("this stands at the margin"),
        1 => String::from("this stands 1 space in"),
        spaces => format!("this stands {spaces} spaces in"),
    };
    Problem::new("indentation", span(shown), says, help).with(span(above), words)
}

pub(crate) fn mixed(text: &str, line: &Line, other: &Line) -> Problem {
    let shown = first_line(text, name_of(line));
    let name = cut(text, &shown);
    let says = if line.dash.is_some() {
        format!("{name} is a list item between keys")
    } else {
        format!("{name} is a key between list items")
    };
    Problem::new(
        "mixed-list",
        span(shown),
        says,
        "a list stands under a key of its own, further in; its items all begin with a dash",
    )
    .with(
        span(first_line(text, name_of(other))),
        "what it stands beside",
    )
}

/// A line that is neither `key: value` nor a list item.
pub(crate) fn no_colon(text: &str, line: &Line) -> Problem {
    let start = if line.dash.is_some() {
        line.value
    } else {
        line.content
    };
    let shown = first_line(
        text,
        start..super::lines::end_of_plain(text, start, line.end),
    );
    let written = &text[shown.clone()];
    let name = cut(text, &shown);
    let (kind, says, help) = if written.starts_with('-') {
        (
            "dash-without-space",
            format!("{name} has no space after its dash"),
            "write a space after the dash of a list item",
        )
    } else if written.contains(":\u{a0}") {
        (
            "colon-without-space",
            format!("{name} has a character after its colon that only looks like a space"),
            "type the space again; it often comes with text copied from a web page",
        )
    } else if written.starts_with(':') {
        (
            "odd-key",
            format!("{name} has no key before its colon"),
            "write the key, then a colon, a space and the value",
        )
    } else if written.contains(':') {
        (
            "colon-without-space",
            format!("{name} has no space after its colon"),
            "write a space after the colon, between key and value",
        )
    } else {
        (
            "colon-missing",
            format!("{name} is no key with a value"),
            "write `key: value`, with a colon and a space; if it belongs to the text above, let it \
             stand further in than the key of that text",
        )
    };
    Problem::new(kind, span(shown), says, help)
}

pub(crate) fn unreadable(text: &str, line: &Line) -> Problem {
    let shown = first_line(text, line.content..line.end);
    Problem::new(
        "unreadable",
        span(shown.clone()),
        format!("{} cannot be read here", cut(text, &shown)),
        "write `key: value`, or a list item with a dash and a space; put a text with other signs \
         in quotes",
    )
}
