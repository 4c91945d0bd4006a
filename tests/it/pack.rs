//! The pack that the program carries: sound, proved by its own cases, and of one manner throughout.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;
use wetside_base::finding::{Citation, Class};
use wetside_engine::cases;
use wetside_engine::check::Packs;
use wetside_engine::pack::{self, Pack, PackProblem, Rule};

fn packs() -> &'static Packs {
    static PACKS: OnceLock<Packs> = OnceLock::new();
    PACKS.get_or_init(wetside_rules::packs)
}

fn built_in() -> &'static Pack {
    &packs().packs[0]
}

fn listed(problems: &[PackProblem]) -> String {
    let line = |found: &PackProblem| {
        let place = found.source.place(found.problem.span.start);
        format!(
            "{}:{place}: {}; {}\n",
            found.source.name, found.problem.says, found.problem.help
        )
    };
    problems.iter().map(line).collect()
}

#[test]
fn it_loads_without_a_problem() {
    let (_, problems) = pack::load(&wetside_rules::files(), &Packs::none().vocabulary);
    assert!(problems.is_empty(), "{}", listed(&problems));
}

#[test]
fn every_case_of_every_rule_passes() {
    let done = cases::run(built_in(), "gb-domestic", &packs().vocabulary);
    assert!(done.problems.is_empty(), "{}", listed(&done.problems));
    assert_eq!(
        (done.rules, done.passed),
        (built_in().rules.len(), done.cases)
    );
}

/// The cases of what is usual are run as those of the rules are, and one that is wrong is told at its line.
#[test]
fn every_case_of_what_is_usual_passes_or_is_told() {
    let mut files = wetside_rules::files();
    let vocabulary = &packs().vocabulary;
    let done = cases::usual::run(built_in(), &files, vocabulary);
    assert!(done.problems.is_empty(), "{}", listed(&done.problems));
    assert!(done.cases > 40 && done.passed == done.cases);

    let tables = files.files.iter_mut();
    let mut changed = 0;
    for (_, text) in tables.filter(|(path, _)| path == "agreements/together.yaml") {
        changed += text.matches("then: holds").count();
        *text = text.replace("then: holds", "then: breaks").into();
    }
    let done = cases::usual::run(built_in(), &files, vocabulary);
    assert!(changed > 0);
    assert_eq!(
        (done.problems.len(), done.cases - done.passed),
        (changed, changed)
    );
}

#[test]
fn every_limit_and_table_is_used() {
    let texts: Vec<String> = built_in()
        .rules
        .iter()
        .map(|rule| rule.source().text)
        .collect();
    let limits = built_in()
        .limits
        .iter()
        .map(|entry| format!("limit.{}", entry.limit.name));
    let unused: Vec<String> = limits
        .filter(|name| !texts.iter().any(|text| names(text, name)))
        .collect();
    assert_eq!(unused, [] as [String; 0]);
    for table in &built_in().tables {
        let used = texts
            .iter()
            .any(|text| text.contains(&format!("{}[", table.name)));
        assert!(used, "no rule looks into the table `{}`", table.name);
    }
}

/// Whether the text holds this name and not only a longer one that begins with it.
fn names(text: &str, name: &str) -> bool {
    text.match_indices(name).any(|(at, _)| {
        let next = text[at + name.len()..].chars().next();
        !next.is_some_and(|next| next.is_alphanumeric() || next == '_')
    })
}

#[test]
fn rules_are_short_and_named_in_words() {
    for rule in &built_in().rules {
        let lines = rule.source().text.lines().count();
        assert!(lines <= 60, "{}: {lines} lines", rule.id);
        let in_words =
            |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_lowercase());
        let words: Vec<&str> = rule.id.split('-').collect();
        assert!(
            words.len() >= 2 && words.iter().all(|word| in_words(word)),
            "{}",
            rule.id
        );
    }
}

#[test]
fn there_are_rules_enough_in_every_part() {
    let mut parts: BTreeMap<&str, usize> = BTreeMap::new();
    for rule in &built_in().rules {
        *parts.entry(&rule.part).or_default() += 1;
    }
    let hazards = built_in()
        .rules
        .iter()
        .filter(|rule| rule.class == Class::Hazard)
        .count();
    assert!(
        built_in().rules.len() >= 90 && hazards >= 45,
        "{hazards} hazards"
    );
    assert!(parts.values().all(|rules| *rules >= 3), "{parts:?}");
}

#[test]
fn no_two_rules_have_one_title() {
    let titles: BTreeSet<&str> = built_in()
        .rules
        .iter()
        .map(|rule| rule.words.title.as_str())
        .collect();
    assert_eq!(titles.len(), built_in().rules.len());
}

#[test]
fn sources_are_named_in_one_manner() {
    let limits = built_in()
        .limits
        .iter()
        .map(|entry| (entry.limit.name.as_str(), &entry.cited));
    let rules = built_in()
        .rules
        .iter()
        .map(|rule: &Rule| (rule.id.as_str(), &rule.words.cited));
    let wrong: Vec<String> = limits
        .chain(rules)
        .filter_map(|(name, cited)| {
            let citation = cited.everywhere(&built_in().laws);
            fault_of(&citation).map(|fault| format!("{name}: {fault}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is wrong with the way a source is named.
fn fault_of(citation: &Citation) -> Option<&'static str> {
    let is = |work: &str, standing: &str, certainty: &str| {
        citation.work != work || (citation.standing == standing && citation.certainty == certainty)
    };
    let clause = citation.clause.as_deref().unwrap_or_default();
    let spoken = format!("{} {clause}", citation.work);
    if !is("common practice", "common practice", "no source") {
        Some("common practice has that standing and no source")
    } else if !is("trade knowledge", "common practice", "from memory") {
        Some("trade knowledge is common practice, from memory")
    } else if citation.certainty == "no source" && citation.standing != "common practice" {
        Some("what has no source can only be common practice")
    } else if spoken.contains("no source") || spoken.contains("general trade knowledge") {
        Some("the certainty says that there is no source")
    } else if holds_private_code(&spoken) {
        Some("a document is named by its own name")
    } else {
        None
    }
}

/// Whether words hold a letter and a number in place of a document's name, such as stand in notes:
/// a single capital before one or two digits that is not part of a published name.
pub(crate) fn holds_private_code(words: &str) -> bool {
    // Interpretations of the water industry, a table of the Regulators' Specification, alloy tempers, a booklet of Northern Ireland.
    let published = ["B09", "B11", "B22", "B54", "E03", "F1", "I22"];
    let pieces = words.split(|c: char| !(c.is_alphanumeric() || c == '.'));
    pieces
        .filter(|piece| !published.contains(piece))
        .any(|piece| {
            let mut characters = piece.chars();
            let capital = characters
                .next()
                .is_some_and(|first| first.is_ascii_uppercase());
            let digits = characters.as_str();
            capital
                && matches!(digits.len(), 1 | 2)
                && digits.chars().all(|digit| digit.is_ascii_digit())
        })
}
