//! A lost heading: lines that are set in under nothing, or go on where another list or text ended.
//!
//! The document reader sees each such line as a slip of its own. Whoever knows the keys of the format can
//! try which of those that are missing would make sense of the lines.
//!
//! Contract: one problem for the heading, at the first line below it, and whatever is wrong beside that.
//! The file stays faulty: nothing is judged by a guess.

use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_schemas::Which;

/// How many places are tried; a file with more of them has other troubles.
const MOST_PLACES: usize = 4;
/// The longest text that is read again and again.
const MOST_BYTES: usize = 32 << 10;

/// What is wrong with a file if a heading was lost; nothing where no heading would leave less wrong than
/// was `found`. `read` says what is wrong with a text.
pub(super) fn lost(
    source: &Source,
    which: Which,
    found: &[Problem],
    read: impl Fn(&str) -> Vec<Problem>,
) -> Option<Vec<Problem>> {
    let text = source.text.as_str();
    let mut least = found.len();
    let mut best = None;
    for (at, heading) in trials(text, which) {
        let after = read(&format!("{}{heading}{}", &text[..at], &text[at..]));
        if after.len() < least {
            least = after.len();
            best = Some((at, heading, after));
        }
        if least == 0 {
            break;
        }
    }
    let (at, heading, mut rest) = best?;
    for problem in &mut rest {
        let labels = problem.also.iter_mut().map(|label| &mut label.span);
        let spans = labels.chain([&mut problem.span]);
        spans.for_each(|span| *span = without(*span, at, heading.len()));
    }
    let line = source.line_span(source.line_of(Span::new(at, at).start));
    let indent = text[line.range()].len() - text[line.range()].trim_start().len();
    let place = Span::new(at + indent, line.end as usize);
    let heading = heading.trim_end();
    let says = format!("the line `{heading}` is missing above this");
    let help =
        format!("write `{heading}` at the left edge above it; what stands here belongs to it");
    rest.insert(0, Problem::new("key-missing", place, says, help));
    Some(rest)
}

/// Each place, with each line that could have stood there: a key that the file lacks, with a text or not.
fn trials(text: &str, which: Which) -> impl Iterator<Item = (usize, String)> {
    let keys = which.schema()["properties"].as_object();
    let keys = keys.into_iter().flat_map(|keys| keys.keys());
    let is_written = |key: &str| {
        let mut lines = text.lines();
        lines.any(|line| {
            line.strip_prefix(key)
                .is_some_and(|rest| rest.starts_with(':'))
        })
    };
    let lacking = keys.filter(|key| !is_written(key));
    let headings: Vec<String> = lacking
        .flat_map(|key| [format!("{key}:\n"), format!("{key}: >\n")])
        .collect();
    let places = if text.len() > MOST_BYTES {
        Vec::new()
    } else {
        places(text)
    };
    let places = places.into_iter().take(MOST_PLACES);
    places.flat_map(move |at| {
        headings
            .clone()
            .into_iter()
            .map(move |heading| (at, heading))
    })
}

/// Where a heading could be missing: before the first line that is set in below a key that has a value
/// already, and where a block turns from a list to keys or back.
fn places(text: &str) -> Vec<usize> {
    let mut places = Vec::new();
    let mut complete = true;
    let mut block = None;
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let content = line.trim();
        let (at, indent) = (start, line.len() - line.trim_start().len());
        start += line.len();
        let dash = content.starts_with("- ");
        if content.is_empty() || content.starts_with('#') {
            continue;
        }
        if indent == 0 && !dash {
            let value = content
                .split_once(':')
                .map_or("", |(_, value)| value.trim());
            complete = !value.is_empty() && !value.starts_with(['>', '|']);
            block = None;
        } else if block.is_none() {
            places.extend(complete.then_some(at));
            block = Some((indent, dash));
        } else if block == Some((indent, !dash)) {
            places.push(at);
            block = Some((indent, dash));
        }
    }
    places
}

/// A span of the text with a heading put in at a byte, in the text without it.
fn without(span: Span, at: usize, length: usize) -> Span {
    let back = |byte: u32| {
        let byte = byte as usize;
        if byte < at {
            byte
        } else {
            byte.saturating_sub(length).max(at)
        }
    };
    Span::new(back(span.start), back(span.end))
}
