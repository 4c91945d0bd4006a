//! What stands in a rule beside its conditions: words, the place it points at and its source.

use super::rule::key;
use crate::pack::{Pack, Rule, in_file};
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::vocabulary::Vocabulary;
use wetside_document::Node;

pub(super) fn of(rule: &Rule, pack: &Pack, vocabulary: &Vocabulary) -> Vec<Problem> {
    let source = rule.source();
    let root = wetside_document::read(&source).root;
    let mut told = Vec::new();
    let texts = ["title", "says", "because", "caution"].into_iter();
    let texts = texts.filter_map(|key| Some(&root.get(key)?.value));
    let remedy = root.get("do").map(|entry| &entry.value);
    let by_phase = remedy.into_iter().flat_map(|remedy| {
        let each = remedy.entries().iter().map(|entry| &entry.value);
        each.chain([remedy])
    });
    for node in texts.chain(by_phase) {
        let text = node.as_text().unwrap_or_default().trim_end();
        if text.ends_with('.') && !text.ends_with("..") {
            let at = text.len() - 1;
            let span = in_file(&source, node, Span::new(at, at + 1));
            let (says, help) = ("the full stop comes with the report", "leave it out");
            told.push(Problem::new("full-stop", span, says, help));
        }
        let stray = stray_brace(text);
        told.extend(stray.map(|at| {
            let span = in_file(&source, node, Span::new(at, at + 1));
            let help = "write `{` before what is to be filled in, or take it out";
            Problem::new("stray-brace", span, "this brace closes nothing", help)
        }));
    }
    told.extend(points_elsewhere(rule, vocabulary));
    let cited = rule.words.cited.everywhere(&pack.laws);
    if cited.standing != "common practice" && cited.certainty == "no source" {
        let says = format!("it is said to be {}, and to have no source", cited.standing);
        let help = "name where it was read, or give it the standing that it has";
        told.push(Problem::new(
            "law-without-source",
            key(rule, "source"),
            says,
            help,
        ));
    }
    told.extend(unwritten(&root));
    told
}

/// A reason that only says again what is wrong or what to do, and words that are still to be written.
fn unwritten(root: &Node) -> Option<Problem> {
    let node = |key: &str| Some(&root.get(key)?.value);
    let text = |key: &str| Some(node(key)?.as_text()?.trim().to_lowercase());
    let because = text("because")?;
    let mut others = ["title", "says", "do"].into_iter();
    if let Some(twin) = others.find(|key| text(key).as_ref() == Some(&because)) {
        let says = format!("`because` says the same as `{twin}`");
        let help = "say what would go wrong otherwise";
        return Some(Problem::new(
            "said-twice",
            node("because")?.span,
            says,
            help,
        ));
    }
    let left = |key: &&str| {
        let mark = |word: &str| ["TODO", "FIXME", "TBC", "TBD", "XXX"].contains(&word);
        let Some(text) = node(key).and_then(Node::as_text) else {
            return false;
        };
        let says_nothing = !text.chars().any(char::is_alphabetic);
        says_nothing || text.split(|c: char| !c.is_alphanumeric()).any(mark)
    };
    let key = ["title", "says", "do", "because", "caution"]
        .into_iter()
        .find(left)?;
    let (says, help) = (
        "this is still to be written",
        "write it before anybody is judged by it",
    );
    Some(Problem::new("unwritten", node(key)?.span, says, help))
}

/// The first brace of a message that closes nothing.
fn stray_brace(text: &str) -> Option<usize> {
    let mut open = false;
    text.char_indices().find_map(|(at, c)| match c {
        '{' => {
            open = true;
            None
        }
        '}' if open => {
            open = false;
            None
        }
        '}' => Some(at),
        _ => None,
    })
}

/// A rule that reads no figure shows a line that it read, or one above or below it.
fn points_elsewhere(rule: &Rule, vocabulary: &Vocabulary) -> Option<Problem> {
    let pointed = &vocabulary.field(rule.point_at.as_ref()?.field).path;
    let conditions = rule.guards().chain([&rule.must.node]);
    let mut reads = wetside_lang::node::Reads::default();
    conditions.for_each(|node| node.note(&mut reads));
    reads
        .fields
        .extend(rule.selection.iter().map(|one| one.each.list.field));
    let near = |path: &str| {
        let under = |a: &str, b: &str| {
            a == b || a.strip_prefix(b).is_some_and(|rest| rest.starts_with('.'))
        };
        path.starts_with("figure.") || under(path, pointed) || under(pointed, path)
    };
    let mut paths = reads
        .fields
        .iter()
        .map(|field| vocabulary.field(*field).path.as_str());
    if paths.any(near) {
        return None;
    }
    let says = format!("no condition of this rule reads `{pointed}`");
    let help = "point at a field that decides, or leave it out";
    Some(Problem::new(
        "points-elsewhere",
        key(rule, "point_at"),
        says,
        help,
    ))
}
