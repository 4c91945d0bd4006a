//! The files of a pack to a checked pack.

use super::link::Link;
use super::{
    AGREEMENTS, MOVED_FILE, PACK_FILE, Pack, PackFiles, PackProblem, agreements, head, moved,
    relations, rule, sheet, tables,
};
use crate::digest;
use std::borrow::Cow;
use std::sync::Arc;
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};
use wetside_base::suggest;
use wetside_base::vocabulary::Vocabulary;
use wetside_schemas::Which;

/// What rules have for problems where the head or a table, which are told first, could not be read whole.
const FOLLOWS: [&str; 7] = [
    "kind-mismatch",
    "no-choices",
    "unknown-column",
    "unknown-law",
    "unknown-limit",
    "unknown-list",
    "unknown-table",
];

/// Loads a pack. What has a problem is left out of the pack; every problem is reported.
pub fn load(files: &PackFiles, vocabulary: &Vocabulary) -> (Pack, Vec<PackProblem>) {
    let (pack, mut problems) = over(&Pack::default(), files, vocabulary);
    // A rule that is left out for its own fault would be missing for the links of others.
    if problems.is_empty() {
        problems = relations::check(&pack, vocabulary);
        problems.extend(unlocked(&pack, files));
    }
    (pack, problems)
}

/// The same for a layer over another pack: its own rules alone, with what both name. What it says of the rules
/// of that pack is not looked at here.
pub(crate) fn over(
    lower: &Pack,
    files: &PackFiles,
    vocabulary: &Vocabulary,
) -> (Pack, Vec<PackProblem>) {
    let mut problems = Vec::new();
    let Some((_, text)) = files.files.iter().find(|(path, _)| path == PACK_FILE) else {
        // It is the wrong folder, whatever else it holds.
        return (Pack::default(), vec![no_head(files)]);
    };
    let place = |path: &str| format!("{}/{path}", files.name);
    let read = |sheet: &mut sheet::Sheet<'_>| head::read(sheet, lower, vocabulary);
    let head = sheet::read(place(PACK_FILE), text, Which::Pack, read, &mut problems);
    let mut pack = head.unwrap_or_default();
    let mut ordered: Vec<_> = files.files.iter().collect();
    ordered.sort();
    pack.digest = whole_digest(&ordered);
    for (path, text) in &ordered {
        if let Some(name) = named(path, "tables/") {
            let read = |sheet: &mut sheet::Sheet<'_>| {
                Some((tables::read(sheet, name, vocabulary)?, sheet.digest()))
            };
            let table = sheet::read(place(path), text, Which::Table, read, &mut problems);
            if pack.tables.iter().any(|known| known.name == name) {
                problems.push(table_twice(files, path));
            } else if let Some((table, stamp)) = table {
                pack.stamps.insert(table.named(), stamp);
                pack.tables.push(table);
            }
        }
    }
    let of_head = problems.len();
    for (path, text) in ordered {
        let names = pack.names(vocabulary);
        if let Some(topic) = named(path, AGREEMENTS) {
            let read = |sheet: &mut sheet::Sheet<'_>| agreements::read(sheet, topic, names);
            let rows = sheet::read(place(path), text, Which::Agreements, read, &mut problems);
            pack.usual.extend(rows.into_iter().flatten());
        } else if path == MOVED_FILE && lower.name.is_empty() {
            let read = |sheet: &mut sheet::Sheet<'_>| moved::read(sheet, names);
            pack.moved = sheet::read(place(path), text, Which::Moved, read, &mut problems);
        } else if let Some(name) = rule_name(path) {
            let read = |sheet: &mut sheet::Sheet<'_>| rule::read(sheet, name, &pack, names);
            let rule = sheet::read(place(path), text, Which::Rule, read, &mut problems);
            let wrong = [name.0, name.1].into_iter().find(|name| !is_id(name));
            if let Some(wrong) = wrong.filter(|_| rule.is_some()) {
                problems.push(no_id(files, path, wrong));
            }
            pack.rules.extend(rule);
        } else if named(path, "tables/").is_none() && path != PACK_FILE {
            problems.push(misplaced(files, path));
        }
    }
    if of_head > 0 {
        let mut at = 0;
        problems.retain(|one| {
            at += 1;
            at <= of_head || !FOLLOWS.contains(&one.problem.kind)
        });
    }
    refuse_twins(&pack.rules, &mut problems);
    (pack, problems)
}

/// The digest of a pack: of the path and the content of each of its files, in the order of the paths.
fn whole_digest(ordered: &[&(String, Cow<'static, str>)]) -> String {
    let of = |(path, text): &&(String, Cow<'static, str>)| {
        let root = wetside_document::read(&Source::new("", text.as_ref())).root;
        [path.clone(), digest::of_node(&root, &[])]
    };
    let parts: Vec<String> = ordered.iter().flat_map(of).collect();
    digest::joined(parts.iter().map(String::as_str))
}

fn no_head(files: &PackFiles) -> PackProblem {
    let source = Arc::new(Source::new(files.name.clone(), String::new()));
    let says = "there is no `pack.yaml` in this folder";
    let deeper = files.files.iter().map(|(path, _)| path.as_str());
    let deeper = deeper.filter_map(|path| path.strip_suffix(PACK_FILE)?.strip_suffix('/'));
    let help = match deeper.min() {
        Some(folder) => format!(
            "a pack begins with `{PACK_FILE}`; there is one in `{}/{folder}`",
            files.name
        ),
        None => format!(
            "name the folder that holds `{PACK_FILE}`; a pack begins with it, and it names the pack, its edition and its limits"
        ),
    };
    PackProblem {
        problem: Problem::new("no-pack", Span::default(), says, help),
        source,
    }
}

/// `tables/protection.yaml` → `protection`
fn named<'a>(path: &'a str, folder: &str) -> Option<&'a str> {
    let name = path.strip_prefix(folder)?.strip_suffix(".yaml")?;
    (!name.contains('/')).then_some(name)
}

/// `drain/dump-too-hot.yaml` → `drain`, `dump-too-hot`
fn rule_name(path: &str) -> Option<(&str, &str)> {
    let (part, file) = path.split_once('/')?;
    let id = file.strip_suffix(".yaml")?;
    let holds_rules = !["tables", "agreements"].contains(&part);
    (holds_rules && !id.contains('/')).then_some((part, id))
}

/// Whether the name of a file can be that of a rule: lower-case words and numbers joined by `-`.
fn is_id(name: &str) -> bool {
    let plain = |word: &str| {
        let mut signs = word.chars();
        signs.all(|sign| sign.is_ascii_lowercase() || sign.is_ascii_digit())
    };
    name.split('-').all(|word| !word.is_empty() && plain(word))
}

fn no_id(files: &PackFiles, path: &str, name: &str) -> PackProblem {
    let says = format!("`{name}` is no name for a rule or its folder");
    let help = "both are words in lower case joined by `-`, as in `drain/hose-not-tied.yaml`; the file name is the rule's id";
    files.problem_of(path, "no-id", says, help)
}

fn misplaced(files: &PackFiles, path: &str) -> PackProblem {
    let says = format!("nothing is read from `{path}`");
    let help = "a pack holds `pack.yaml`, tables as `tables/<name>.yaml`, what is usual as `agreements/<topic>.yaml`, what is moved for the work as `moved.yaml` and rules as `<part>/<id>.yaml`";
    files.problem_of(path, "misplaced-file", says, help)
}

/// What is locked and is no rule of the pack.
pub(crate) fn unlocked(pack: &Pack, files: &PackFiles) -> Vec<PackProblem> {
    let lost = pack
        .locked
        .iter()
        .filter(|link| pack.rule(&link.rule).is_none());
    let problem = |link: &Link| {
        let ids = pack.rules.iter().map(|rule| rule.id.as_str());
        let help = suggest::help(&link.rule, ids, "name a rule by the name of its file");
        let says = format!("there is no rule `{}` to lock", link.rule);
        Problem::new("no-such-rule", link.span, says, help)
    };
    let head = Arc::new(files.source(PACK_FILE));
    PackProblem::each(&head, lost.map(problem)).collect()
}

fn table_twice(files: &PackFiles, path: &str) -> PackProblem {
    let says = "the pack that this layer builds on has a table of this name already";
    let help = "give this one another name, or say `extend_table` under `changes` of `pack.yaml`";
    files.problem_of(path, "name-taken", says, help)
}

/// Every rule of two packs of one name would count twice, and nobody could tell which is meant.
pub(crate) fn pack_twice(files: &PackFiles, name: &str) -> PackProblem {
    let says = format!("there is a pack `{name}` among the packs to judge by already");
    let help = "leave one of the two out, or give this one a name of its own; to judge by a changed copy of the pack that the program carries, leave that one out";
    files.problem_of_head("pack-twice", "pack", says, help)
}

/// Two rules of one name could not be told apart in a report.
fn refuse_twins(rules: &[rule::Rule], problems: &mut Vec<PackProblem>) {
    for (at, rule) in rules.iter().enumerate() {
        if let Some(twin) = rules[..at].iter().find(|other| other.id == rule.id) {
            let says = format!(
                "there is another rule `{}`, in the part `{}`",
                rule.id, twin.part
            );
            let source = Arc::new(rule.source());
            let problem = Problem::new(
                "id-twice",
                source.line_span(1),
                says,
                "give one of them another file name",
            );
            problems.push(PackProblem { source, problem });
        }
    }
}
