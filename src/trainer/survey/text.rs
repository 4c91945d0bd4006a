//! The text of a survey as the trainee may see it: comments, and what of them tells the answer.
//!
//! Contract: a comment is what stands behind a `#` that belongs to no value. Expectations, and
//! comments that begin with `trainer:`, are taken out, with their whole line where nothing else stands on it; every
//! other byte stays as it was. This module must not know rules.

use wetside_base::source::{Source, Span};
use wetside_document::{Node, read};

/// What begins a comment that is not for the trainee.
const FOR_TRAINERS: [&str; 6] = ["finds", "undecided", "problem", "gap", "verdict", "trainer"];

/// The comments of a survey in their order, each from its `#` to the end of the line.
fn comments(source: &Source, root: &Node) -> Vec<Span> {
    let mut values: Vec<Span> = Vec::new();
    root.walk(&mut |found| {
        values.extend(found.key.map(|key| key.span));
        values.extend(found.node.as_scalar().map(|_| found.node.span));
    });
    values.sort();
    let inside = |at: usize| {
        let after = values.partition_point(|span| span.start as usize <= at);
        after > 0 && values[after - 1].range().contains(&at)
    };
    let mut comments = Vec::new();
    for line in 1..=source.line_count() {
        let span = source.line_span(line);
        let text = source.slice(span);
        let opens = text.match_indices('#').find(|(at, _)| {
            let before = text[..*at].chars().next_back();
            before.is_none_or(char::is_whitespace) && !inside(span.start as usize + at)
        });
        comments
            .extend(opens.map(|(at, _)| Span::new(span.start as usize + at, span.end as usize)));
    }
    comments
}

/// The survey without what is not for the trainee.
pub fn for_trainee(source: &Source) -> String {
    rewritten(source, |comment| {
        let kept: Vec<&str> = comment
            .split('#')
            .skip(1)
            .filter(|part| !is_for_trainers(part))
            .collect();
        if kept.is_empty() {
            return String::new();
        }
        format!("#{}", kept.join("#")).trim_end().to_string()
    })
}

/// The survey without any comment.
pub fn without_comments(source: &Source) -> String {
    rewritten(source, |_| String::new())
}

/// Whether a line goes whole, since nothing stands on it but what is not for the trainee.
pub(crate) fn is_only_for_trainers(line: &str) -> bool {
    let line = line.trim();
    line.starts_with('#') && line.split('#').skip(1).all(is_for_trainers)
}

fn is_for_trainers(part: &str) -> bool {
    let word = part.trim_start().split_once(':').map(|(word, _)| word);
    word.is_some_and(|word| FOR_TRAINERS.contains(&word))
}

/// The text with every comment replaced; lines that held nothing else and now hold nothing go.
fn rewritten(source: &Source, replaced: impl Fn(&str) -> String) -> String {
    let root = read(source).root;
    let comments = comments(source, &root);
    let mut text = String::with_capacity(source.text.len());
    let mut at = 0;
    for comment in comments {
        let range = comment.range();
        let before = &source.text[at..range.start];
        let new = replaced(source.slice(comment));
        at = range.end;
        if !new.is_empty() {
            text.push_str(before);
            text.push_str(&new);
            continue;
        }
        text.push_str(before);
        let shown = text.trim_end_matches([' ', '\t']).len();
        text.truncate(shown);
        if text.is_empty() || text.ends_with('\n') {
            let rest = &source.text[at..];
            at += rest.len() - rest.strip_prefix('\r').unwrap_or(rest).len();
            at += usize::from(source.text[at..].starts_with('\n'));
        }
    }
    text.push_str(&source.text[at..]);
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn expectations_go_and_other_comments_stay() {
        let source = Source::new(
            "a",
            "# A house.\n# verdict: clear\na: \"# no comment\"   # kept   # finds: x\nb: c#d   # finds: y, z\n\n# trainer: easy\nnote: |\n  # text\n",
        );
        let wanted = "# A house.\na: \"# no comment\"   # kept\nb: c#d\n\nnote: |\n  # text\n";
        assert_eq!(for_trainee(&source), wanted);
        assert_eq!(
            without_comments(&source),
            "a: \"# no comment\"\nb: c#d\n\nnote: |\n  # text\n"
        );
    }
}
