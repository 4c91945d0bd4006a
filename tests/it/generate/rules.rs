//! Packs of made-up rules in the small vocabulary. The conditions are written as text, so that the
//! parser and the checker take part.

use super::Chance;
use super::surveys::{MARKS, SHADES};
use std::borrow::Cow;
use wetside_base::vocabulary::Vocabulary;
use wetside_engine::pack::{Pack, PackFiles, PackProblem, load};

/// Which forms of the language the rules use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Forms {
    /// Comparisons of one fact with fixed limits, joined: what sharpening is exact for.
    Plain,
    All,
}

/// The pack of these rules, each given by its conditions as lines of YAML.
pub(crate) fn pack_of(rules: &[String], vocabulary: &Vocabulary) -> (Pack, Vec<PackProblem>) {
    let head = "pack: made-up\nedition: \"1\"\ntitle: made-up rules\nscope: none\n\
                limits:\n  middle: {value: 4 m, kind: length, says: the middle, \
                source: {work: trade knowledge, standing: common practice, certainty: from memory}}\n";
    let table = "table: sizes\nsays: how large each shade is\nkeyed_by: thing.shade\n\
                 columns:\n  least: {kind: length, says: the least}\n  name: {kind: text, says: its name}\n\
                 rows:\n  red: {least: 2 m, name: first}\n  green: {least: 4 m, name: second}\n  blue: {least: unknown, name: unknown}\n";
    let about = "title: it is wrong\nclass: hazard\nstage: survey\n";
    let words = "says: it is wrong\ndo: mend it\nbecause: it is wrong\n\
                 source: {work: trade knowledge, standing: common practice, certainty: from memory}\n\
                 cases:\n  - {name: one, given: {}, then: undecided}\n";
    let mut files = vec![
        ("pack.yaml".to_string(), Cow::Borrowed(head)),
        ("tables/sizes.yaml".to_string(), Cow::Borrowed(table)),
    ];
    for (at, conditions) in rules.iter().enumerate() {
        files.push((
            format!("part/rule-{at}.yaml"),
            Cow::Owned(format!("{about}{conditions}{words}")),
        ));
    }
    load(
        &PackFiles {
            name: "made-up".to_string(),
            files,
        },
        vocabulary,
    )
}

/// A pack of made-up rules; one that is not sound is left out.
pub(crate) fn pack(
    count: usize,
    forms: Forms,
    vocabulary: &Vocabulary,
    chance: &mut Chance,
) -> Pack {
    let rules: Vec<String> = (0..count).map(|_| conditions(forms, chance)).collect();
    pack_of(&rules, vocabulary).0
}

/// The conditions of one rule, as lines of YAML.
pub(crate) fn conditions(forms: Forms, chance: &mut Chance) -> String {
    let mut writer = Writer {
        forms,
        elements: 0,
        chance,
    };
    let mut text = String::new();
    if writer.chance.once_in(3) {
        let ending = writer.ending();
        writer.elements = 1;
        let filter = if writer.chance.once_in(2) {
            format!(" where {}", writer.truth(1))
        } else {
            String::new()
        };
        text.push_str(&format!("for_each: b1 in boxes{filter}, {ending}\n"));
    }
    if writer.chance.once_in(2) {
        text.push_str(&format!("when: {}\n", writer.truth(2)));
    }
    text.push_str(&format!("must: {}\n", writer.truth(3)));
    text
}

/// Writes conditions; within lists the elements are called `b1`, `b2`.
struct Writer<'a> {
    forms: Forms,
    elements: usize,
    chance: &'a mut Chance,
}

impl Writer<'_> {
    fn all(&self) -> bool {
        self.forms == Forms::All
    }

    fn ending(&mut self) -> &'static str {
        self.chance.one_of(&["if any", "at least one"])
    }

    fn truth(&mut self, depth: usize) -> String {
        if depth == 0 {
            return self.comparison();
        }
        match self.chance.below(if self.all() { 9 } else { 6 }) {
            0 | 1 => format!("({} and {})", self.truth(depth - 1), self.truth(depth - 1)),
            2 | 3 => format!("({} or {})", self.truth(depth - 1), self.truth(depth - 1)),
            4 => format!("(not {})", self.truth(depth - 1)),
            6 => format!(
                "(if {} then {} else {})",
                self.truth(depth - 1),
                self.truth(depth - 1),
                self.truth(depth - 1)
            ),
            7 | 8 if self.elements < 2 => self.over_list(depth),
            _ => self.comparison(),
        }
    }

    fn over_list(&mut self, depth: usize) -> String {
        let ending = self.ending();
        let every = self.chance.once_in(2);
        self.elements += 1;
        let name = format!("b{}", self.elements);
        let filter = if self.chance.once_in(2) {
            format!(" where {}", self.truth(0))
        } else {
            String::new()
        };
        let body = self.truth(depth - 1);
        self.elements -= 1;
        if every {
            format!("(for every {name} in boxes{filter}, {ending}, {body})")
        } else {
            format!("(for some {name} in boxes{filter}, {body})")
        }
    }

    fn comparison(&mut self) -> String {
        match self.chance.below(if self.all() { 12 } else { 9 }) {
            0..=2 => {
                let sign = self.chance.one_of(&["<", "<=", ">", ">=", "is", "is not"]);
                format!("{} {sign} {}", self.length_fact(), self.limit())
            }
            3 | 4 => {
                let sign = self.chance.one_of(&["is", "is not"]);
                format!(
                    "{} {sign} '{}'",
                    self.word_fact(),
                    self.chance.one_of(&SHADES)
                )
            }
            5 => format!(
                "{} is one of ['{}', '{}']",
                self.word_fact(),
                self.chance.one_of(&SHADES),
                self.chance.one_of(&SHADES)
            ),
            6 => format!(
                "{} is {}",
                self.question(),
                self.chance.one_of(&["yes", "no"])
            ),
            7 => format!(
                "thing.marks {} ['{}', '{}']",
                self.chance.one_of(&["includes one of", "includes only"]),
                self.chance.one_of(&MARKS),
                self.chance.one_of(&MARKS)
            ),
            8 => self
                .chance
                .one_of(&[
                    "thing.marks is empty",
                    "thing.made < 2026-05-05",
                    "thing.height is between 2 m and 5 m",
                ])
                .to_string(),
            9 => self
                .chance
                .one_of(&[
                    "thing.made + 3 months < as_of",
                    "sizes[thing.shade].name is 'first'",
                    "as_of - thing.made > 30 days",
                    "thing.shade is thing.tone",
                ])
                .to_string(),
            10 => self.counted(),
            _ => {
                let sign = self.chance.one_of(&["<", "<=", ">", ">=", "is", "is not"]);
                format!("{} {sign} {}", self.length(2), self.length(1))
            }
        }
    }

    fn counted(&mut self) -> String {
        let sign = self.chance.one_of(&["<", "<=", ">", ">=", "is", "is not"]);
        let number = self.chance.below(4);
        if self.chance.once_in(2) {
            format!("count of boxes {sign} {number}")
        } else {
            format!(
                "(count of b9 in boxes where b9.shade is '{}') {sign} {number}",
                self.chance.one_of(&SHADES)
            )
        }
    }

    fn limit(&mut self) -> String {
        if self.chance.once_in(5) {
            "limit.middle".to_string()
        } else {
            format!("{} m", self.chance.below(10))
        }
    }

    fn length(&mut self, depth: usize) -> String {
        if depth == 0 {
            return if self.chance.once_in(2) {
                self.length_fact()
            } else {
                self.limit()
            };
        }
        let sign = self.chance.one_of(&["+", "-"]);
        match self.chance.below(7) {
            0 => format!(
                "({} {sign} {})",
                self.length(depth - 1),
                self.length(depth - 1)
            ),
            1 => format!(
                "{} of ({}, {})",
                self.chance.one_of(&["least", "greatest"]),
                self.length(depth - 1),
                self.length(depth - 1)
            ),
            2 => format!(
                "(if {} then {} else {})",
                self.truth(1),
                self.length(depth - 1),
                self.length(depth - 1)
            ),
            3 => format!(
                "({} of b8.width for b8 in boxes where {} otherwise 3 m)",
                self.chance.one_of(&["least", "greatest"]),
                format_args!("b8.shade is '{}'", self.chance.one_of(&SHADES))
            ),
            4 => format!(
                "(sum of b8.width for b8 in boxes where b8.sound is {})",
                self.chance.one_of(&["yes", "no"])
            ),
            5 => "sizes[thing.shade].least".to_string(),
            _ => self.length_fact(),
        }
    }

    fn element(&mut self) -> Option<usize> {
        (self.elements > 0 && self.chance.once_in(2)).then(|| 1 + self.chance.below(self.elements))
    }

    fn length_fact(&mut self) -> String {
        match self.element() {
            Some(at) => format!("b{at}.width"),
            None => self
                .chance
                .one_of(&["thing.height", "thing.depth"])
                .to_string(),
        }
    }

    fn word_fact(&mut self) -> String {
        match self.element() {
            Some(at) => format!("b{at}.shade"),
            None => self
                .chance
                .one_of(&["thing.shade", "thing.tone"])
                .to_string(),
        }
    }

    fn question(&mut self) -> String {
        match self.element() {
            Some(at) => format!("b{at}.sound"),
            None => "thing.dry".to_string(),
        }
    }
}
