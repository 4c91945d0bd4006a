//! What stands in a rule beside its conditions: words, the place it points at, its source and its cases.

use super::found::key;
use crate::digest;
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
        let stray = node.as_text().and_then(stray_brace);
        told.extend(stray.map(|at| {
            let span = in_file(&source, node, Span::new(at, at + 1));
            let help = "write `{` before what is to be filled in, or take it out";
            Problem::new("stray-brace", span, "this brace closes nothing", help)
        }));
    }
    told.extend(points_elsewhere(rule, vocabulary));
    let cited = rule.words.cited.everywhere(&pack.laws);
    if cited.standing == "law" && cited.certainty == "no source" {
        let says = "it is said to be law, and to have no source";
        let help = "name where the law was read, or give it the standing that it has";
        told.push(Problem::new(
            "law-without-source",
            key(rule, "source"),
            says,
            help,
        ));
    }
    told.extend(twin_cases(&root));
    told
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

/// Cases of one name, and cases that ask the same.
fn twin_cases(root: &Node) -> Vec<Problem> {
    let cases = root
        .get("cases")
        .map_or(&[][..], |cases| cases.value.items());
    let name = |case: &Node| {
        case.get("name")
            .and_then(|entry| Some(entry.value.as_text()?.to_string()))
    };
    let mut told = Vec::new();
    for (at, case) in cases.iter().enumerate() {
        let asks = |case: &Node| digest::of_node(case, &["name", "then"]);
        if let Some(twin) = cases[..at].iter().find(|other| asks(other) == asks(case)) {
            let says = format!(
                "the case `{}` asks the same",
                name(twin).unwrap_or_default()
            );
            let help = "take one of the two out, or let it show something else";
            told.push(Problem::new("equal-cases", case.span, says, help));
        } else if cases[..at].iter().any(|other| name(other) == name(case)) {
            let says = "another case has this name";
            let help = "let each name say what its case shows";
            told.push(Problem::new("name-twice", case.span, says, help));
        }
    }
    told
}
