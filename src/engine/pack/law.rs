//! The laws of a pack: which text holds, by where the house stands and by the day.
//!
//! A rule or a limit cites a work, or a law of its pack by name. One law has several texts, each for some
//! words of a field of the survey and for a span of days. Contract: where the survey or the day leaves
//! more than one text possible, all of them are cited, each with the words it holds for; where none is
//! left, the citation says that none was found, and never cites the text of somewhere else.

use super::format::{LawFile, LawTextFile, SourceFile, Text, own};
use super::sheet::Sheet;
use serde::{Deserialize, Serialize};
use wetside_base::finding::Citation;
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Type, Vocabulary, WordId};
use wetside_document::Placed;
use wetside_units::{End, Interval};

/// One law by its name in the pack.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Law {
    name: String,
    /// What it is about.
    says: String,
    /// The field whose word says which text holds.
    by: String,
    texts: Vec<LawText>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
struct LawText {
    holds_for: Vec<String>,
    /// From its first to its last day, as day numbers.
    days: Interval,
    /// Both in words, for where several texts are cited.
    whereabouts: String,
    citation: Citation,
}

/// What a rule or limit cites: a work, or a law with the clause that is common to its texts.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Cited {
    /// Its place among the laws of the pack.
    law: Option<usize>,
    citation: Citation,
}

/// How sure a source is, the surest first.
const CERTAINTIES: [&str; 4] = ["read", "second-hand", "from memory", "no source"];

impl Cited {
    /// Reads the `source` of a rule or limit.
    pub(super) fn read(sheet: &mut Sheet<'_>, file: Option<&SourceFile>, laws: &[Law]) -> Cited {
        let Some(file) = file else {
            return Cited::default();
        };
        let law = file.law.as_ref().and_then(|name| {
            let found = laws.iter().position(|law| law.name == name.value);
            if found.is_none() {
                let names = laws.iter().map(|law| law.name.as_str());
                let otherwise = "a law is one of the `laws` in `pack.yaml`";
                let help = suggest::help(&name.value, names, otherwise);
                let says = format!("the pack has no law `{}`", name.value);
                sheet.report("unknown-law", name.span, says, help);
            }
            found
        });
        Cited {
            law,
            citation: file.citation(),
        }
    }

    /// What is cited where `word_of` knows the words of fields, on one of some days.
    pub fn of<'w>(
        &self,
        laws: &[Law],
        word_of: impl Fn(&str) -> Option<&'w str>,
        days: Interval,
    ) -> Citation {
        let Some(law) = self.law.map(|at| &laws[at]) else {
            return self.citation.clone();
        };
        let word = word_of(&law.by);
        let holds = |text: &&LawText| {
            word.is_none_or(|word| text.holds_for.iter().any(|one| one == word))
                && text.days.intersect(&days).is_some()
        };
        let texts: Vec<&LawText> = law.texts.iter().filter(holds).collect();
        match texts[..] {
            [] => law.not_found(word),
            [one] if word.is_some() => one.cited(&self.citation),
            _ => all(&texts, &self.citation),
        }
    }

    /// Whether it is this of the laws.
    pub(super) fn cites(&self, law: usize) -> bool {
        self.law == Some(law)
    }

    /// Whether it is law that stands behind it, anywhere and on any day.
    pub(super) fn is_law(&self, laws: &[Law]) -> bool {
        let of_law = self.law.iter().flat_map(|at| &laws[*at].texts);
        let mut all = of_law.map(|text| &text.citation).chain([&self.citation]);
        all.any(|one| one.standing == "law")
    }

    /// What is cited of no survey: the texts of all places and days.
    pub fn everywhere(&self, laws: &[Law]) -> Citation {
        self.of(laws, |_| None, Interval::EVERYTHING)
    }
}

impl Law {
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    fn not_found(&self, word: Option<&str>) -> Citation {
        let place = word.map_or(String::new(), |word| format!(" for `{word}`"));
        Citation {
            work: format!(
                "no text was found{place} on {}; ask what holds there",
                self.says
            ),
            clause: None,
            standing: String::new(),
            certainty: "no source".to_string(),
        }
    }
}

impl LawText {
    /// The text with the clause of whoever cites it, unless it counts its clauses otherwise, and with the
    /// work that is cited beside it; no surer than either.
    fn cited(&self, by: &Citation) -> Citation {
        let weaker = rank(&self.citation).max(rank(by));
        let own = self.citation.clone();
        let beside = Some(&by.work).filter(|work| !work.is_empty());
        let beside = beside.map_or(String::new(), |work| format!("; {work}"));
        Citation {
            work: own.work + &beside,
            clause: own.clause.or_else(|| by.clause.clone()),
            certainty: weaker.map_or(own.certainty, |rank| CERTAINTIES[rank].to_string()),
            ..own
        }
    }
}

/// Where how sure a citation is stands among [`CERTAINTIES`].
fn rank(one: &Citation) -> Option<usize> {
    CERTAINTIES.iter().position(|word| *word == one.certainty)
}

/// Several texts as one citation, each with the words it holds for, and with its weight where that differs.
fn all(texts: &[&LawText], by: &Citation) -> Citation {
    let each: Vec<Citation> = texts.iter().map(|text| text.cited(by)).collect();
    let weakest = each.iter().max_by_key(|one| rank(one)).cloned();
    let same_clause = each.iter().all(|one| one.clause == each[0].clause);
    let same_standing = each.iter().all(|one| one.standing == each[0].standing);
    let work = |(text, one): (&&LawText, &Citation)| {
        let clause = one.clause.as_ref().filter(|_| !same_clause);
        let clause = clause.map_or(String::new(), |clause| format!(", {clause}"));
        let standing = match one.certainty.as_str() {
            _ if same_standing => String::new(),
            "no source" => format!(": {}", one.standing),
            certainty => format!(": {}, {certainty}", one.standing),
        };
        format!("{}{clause} ({}{standing})", one.work, text.whereabouts)
    };
    let works: Vec<String> = texts.iter().zip(&each).map(work).collect();
    let common = weakest.filter(|_| same_standing);
    Citation {
        work: works.join("; "),
        clause: each[0].clause.clone().filter(|_| same_clause),
        ..common.unwrap_or_default()
    }
}

/// Reads one of the `laws` of `pack.yaml`; nothing where its field is none that can decide.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    file: &LawFile,
    vocabulary: &Vocabulary,
) -> Option<Law> {
    let by = file.by.as_ref()?;
    let Some(words) = choices(vocabulary, &by.value) else {
        let says = format!("`{}` is not a field with a choice of words", by.value);
        let help = "name the field that says which text holds, as in `premises.nation`";
        sheet.report("unknown-fact", by.span, says, help);
        return None;
    };
    let offered: Vec<&str> = words.iter().map(|word| vocabulary.word(*word)).collect();
    let mut texts: Vec<LawText> = Vec::new();
    for file in file.texts.iter().flatten() {
        let Some(text) = read_text(sheet, file, &offered) else {
            continue;
        };
        for word in file.holds_for.iter().flatten() {
            let both = |other: &&LawText| {
                other.holds_for.contains(&word.value) && other.days.intersect(&text.days).is_some()
            };
            if let Some(other) = texts.iter().find(both) {
                let says = format!(
                    "`{}` has another text on the same days: {}",
                    word.value, other.citation.work
                );
                let help =
                    "let `until` of the one end before `since` of the other, or name the word once";
                sheet.report("holds-twice", word.span, says, help);
            }
        }
        texts.push(text);
    }
    Some(Law {
        name: name.value.clone(),
        says: own(&file.says),
        by: by.value.clone(),
        texts,
    })
}

fn choices<'a>(vocabulary: &'a Vocabulary, path: &str) -> Option<&'a [WordId]> {
    match &vocabulary.field(vocabulary.find(path)?).shape {
        Shape::Fact(Type::Choice(words)) => Some(words),
        _ => None,
    }
}

fn read_text(sheet: &mut Sheet<'_>, file: &LawTextFile, offered: &[&str]) -> Option<LawText> {
    let holds_for = file.holds_for.as_ref()?;
    for word in holds_for {
        if !offered.contains(&word.value.as_str()) {
            let otherwise = "a text holds for words of the field that `by` names";
            let help = suggest::help(&word.value, offered.iter().copied(), otherwise);
            let says = format!("`{}` is not a word of that field", word.value);
            sheet.report("not-a-choice", word.span, says, help);
        }
    }
    let mut end = |text: &Text| {
        let day = text.as_ref().and_then(|text| sheet.day(text));
        day.map_or(End::Unbounded, End::Closed)
    };
    let days = Interval::new(end(&file.since), end(&file.until));
    let Some(days) = days else {
        let span = file.until.as_ref()?.span;
        let says = "this text ends before it begins";
        let help = "`since` is its first day and `until` its last";
        sheet.report("empty-span", span, says, help);
        return None;
    };
    let holds_for: Vec<String> = holds_for.iter().map(|word| word.value.clone()).collect();
    let ends = [("since", &file.since), ("until", &file.until)];
    let ends = ends.into_iter().filter(|(_, day)| day.is_some());
    let ends = ends.map(|(word, day)| format!("{word} {}", own(day)));
    Some(LawText {
        days,
        whereabouts: holds_for
            .iter()
            .cloned()
            .chain(ends)
            .collect::<Vec<_>>()
            .join(", "),
        holds_for,
        citation: file.citation(),
    })
}
