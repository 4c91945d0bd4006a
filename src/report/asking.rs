//! Questions as an interview shows them, and as programs take them.
//!
//! Contract: plain lines that are only ever added to, so that they read the same on a narrow screen, through a
//! pipe and aloud. Words to choose from have numbers. As of the crate: nothing is decided here.

use super::Style;
use super::layout::written;
use super::pen::{Ink, Pen, closed, number, numbers, row, sentence};
use super::starter::offered;
use super::verdict::headline;
use serde::Serialize;
use wetside_base::facts::Facts;
use wetside_base::finding::{Class, Judgement, Verdict};
use wetside_base::problem::Problem;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_edit::Answer;
use wetside_engine::check::Ask;
use wetside_engine::interview::{Asks, Effect, Line, Question};
use wetside_engine::pack::Rule;

/// What can be typed beside an answer.
pub const COMMANDS: &str = "Answer by number, word or measure. ? why, u unknown (u and the reason), b back, s skip, q stop.";
/// The edition of the form for programs.
const EDITION: u32 = 1;
/// More words than these stand in a row and not one a line.
const MOST_LINES: usize = 12;
/// How many rules are told where somebody asks why.
const MOST_RULES: usize = 8;

/// The verdict so far, on one line.
pub fn so_far(judgement: &Judgement, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    pen.paragraph(0, &closed(&format!("So far: {}", headline(judgement))));
    pen.finish()
}

/// How the job goes on once its own stage is clear.
pub fn onward(name: &str, judgement: &Judgement, ask: &Ask) -> Option<String> {
    let clear = judgement.verdict == Verdict::Clear && ask.stage.is_none();
    let next = judgement.stage.next();
    clear.then(|| match next {
        Some(next) => format!("Next: wetside note {name} stage {next}"),
        None => format!("Next: wetside sheet {name} --into papers"),
    })
}

/// Words as a paragraph.
pub fn said(words: &str, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    pen.paragraph(0, words);
    pen.finish()
}

/// What a question asks after, in the words of the survey: `circuit, kind`.
pub fn named(question: &Question<'_>) -> String {
    question.name.replace('_', " ").replace('.', ", ")
}

/// A question with what can be answered, where one stands to see it, and what is written already.
pub fn question(
    facts: &Facts,
    vocabulary: &Vocabulary,
    question: &Question<'_>,
    progress: &str,
    now: Option<&str>,
    style: &Style,
) -> String {
    let field = vocabulary.field(question.field);
    let mut pen = Pen::new(*style);
    let place = vocabulary.place(question.field).unwrap_or_default();
    let name = named(question);
    pen.inked(0, &format!("{name} ({place}): {progress}"), Ink::Strong);
    match question.asks {
        Asks::Count => {
            pen.paragraph(0, &field.says);
            pen.paragraph(2, "How many are there? 0 if there are none.");
        }
        Asks::Names(count) => {
            pen.paragraph(0, &field.says);
            let many = number(
                count as usize,
                "is not named yet. Write its name.",
                "are not named yet. Write a name for each, with commas between.",
            );
            let key = vocabulary.key_of(question.field);
            let words = key.map_or("", |key| vocabulary.field(key).says.as_str());
            pen.paragraph(2, &format!("{many} {words}"));
        }
        Asks::Value => {
            pen.paragraph(0, &field.says);
            let things = question.things(facts, vocabulary);
            if things.len() > 1 {
                let words = format!(
                    "For {}: {}. One answer for all, `… except {}: …`, or e for each by itself.",
                    things.len(),
                    row(&things),
                    things[0]
                );
                pen.paragraph(0, &words);
            } else if let [only] = things.as_slice()
                && !question.name.contains(only)
            {
                pen.paragraph(0, &format!("Of {only}."));
            }
            choices(&mut pen, vocabulary, question);
        }
    }
    if let Some(now) = now {
        let asked_again = if question.rules.is_empty() {
            ""
        } else {
            ", which is not firm enough to decide what waits for it"
        };
        pen.paragraph(2, &format!("Written now: {now}{asked_again}"));
    }
    if let Some(waits) = waiting(&question.rules) {
        pen.paragraph(0, &format!("({waits} for it)"));
    }
    pen.finish()
}

/// The words with their numbers, or what a measure looks like.
fn choices(pen: &mut Pen, vocabulary: &Vocabulary, question: &Question<'_>) {
    let field = vocabulary.field(question.field);
    let Shape::Fact(kind) = &field.shape else {
        return;
    };
    let (words, set) = match kind {
        Type::Choice(words) => (words, false),
        Type::Set(words) => (words, true),
        _ => {
            if let Some(offered) = offered(vocabulary, field, kind) {
                let with = if offered.starts_with("a ") {
                    "with "
                } else {
                    ""
                };
                let offered = offered.replace('\u{a0}', " ");
                pen.paragraph(2, &closed(&format!("Answer {with}{offered}")));
            }
            return;
        }
    };
    let words: Vec<&str> = words.iter().map(|word| vocabulary.word(*word)).collect();
    if words.len() > MOST_LINES {
        let numbered = (1..).zip(&words).map(|(at, word)| format!("{at} {word}"));
        pen.paragraph(2, &numbered.collect::<Vec<_>>().join(", "));
    } else {
        for (at, word) in (1..).zip(words) {
            pen.hanging(2, &format!("{at} "), word, Ink::Usual);
        }
    }
    if set {
        pen.paragraph(2, "Any of these with commas between, or `none`.");
    }
}

/// `3 hazards and 1 step wait`.
fn waiting(rules: &[&Rule]) -> Option<String> {
    let of = |class: Class| rules.iter().filter(|rule| rule.class == class).count();
    let (hazards, steps) = (of(Class::Hazard), of(Class::Preparation));
    let parts = numbers(&[(hazards, "hazard", "hazards"), (steps, "step", "steps")]);
    let verb = if hazards + steps == 1 {
        "waits"
    } else {
        "wait"
    };
    (!parts.is_empty()).then(|| format!("{} {verb}", row(&parts)))
}

/// Why it is asked, and what each answer would do.
pub fn why(question: &Question<'_>, effects: &[Effect], style: &Style) -> String {
    let mut pen = Pen::new(*style);
    pen.paragraph(
        0,
        if question.rules.is_empty() {
            "Every survey is asked for this, or another question hangs on it."
        } else {
            "The answer helps to tell whether this is so here:"
        },
    );
    for rule in question.rules.iter().take(MOST_RULES) {
        let lead = format!("{}: ", rule.class.word());
        let (title, because) = (&rule.words.title, &rule.words.because);
        let words = format!("{} {}", sentence(title), sentence(because));
        pen.hanging(0, &lead, &words, Ink::Usual);
    }
    let more = question.rules.len().saturating_sub(MOST_RULES);
    if more > 0 {
        pen.paragraph(
            0,
            &format!("And {}.", number(more, "more rule", "more rules")),
        );
    }
    for effect in effects {
        let opens = number(effect.opens, "question", "questions");
        let parts = [
            (effect.settles, format!("settles {}", effect.settles)),
            (effect.breaks, format!("finds wrong {}", effect.breaks)),
            (effect.opens, format!("opens {opens}")),
        ];
        let parts = parts.into_iter().filter(|(count, _)| *count > 0);
        let does = match parts.map(|(_, does)| does).collect::<Vec<_>>().as_slice() {
            [] => "decides nothing by itself".to_string(),
            some => row(some),
        };
        let answers = if effect.answers.is_empty() {
            "An answer, at most".to_string()
        } else {
            effect.answers.join(", ")
        };
        pen.hanging(2, &format!("{answers}: "), &does, Ink::Usual);
    }
    pen.finish()
}

/// What is about to be written for several things: each answer once, with the things that it is for.
pub fn lines(lines: &[Line], style: &Style) -> String {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for line in lines {
        let thing = line.thing.clone().unwrap_or_default();
        let answer = match &line.answer {
            Answer::Text(text) => text.clone(),
            Answer::Words(words) if words.is_empty() => "none".to_string(),
            Answer::Words(words) => words.join(", "),
            Answer::Unknown(None) => "unknown".to_string(),
            Answer::Unknown(Some(why)) => format!("unknown ({why})"),
        };
        match all.iter_mut().find(|(said, _)| *said == answer) {
            Some((_, things)) => things.push(thing),
            None => all.push((answer, vec![thing])),
        }
    }
    let mut pen = Pen::new(*style);
    pen.paragraph(0, "To be written:");
    for (answer, things) in all {
        pen.hanging(2, &format!("{answer}: "), &row(&things), Ink::Usual);
    }
    pen.finish()
}

/// What is wrong with an answer, in the words of the reader.
pub fn refused(problem: &Problem, style: &Style) -> String {
    let mut pen = Pen::new(*style);
    pen.paragraph(0, &sentence(&problem.says));
    pen.paragraph(0, &sentence(&problem.help));
    pen.finish()
}

#[derive(Serialize)]
struct Document<'a> {
    ask: u32,
    questions: Vec<Asked<'a>>,
}

#[derive(Serialize)]
struct Asked<'a> {
    name: &'a str,
    /// `value`, `count` or `names`.
    asks: &'static str,
    place: Option<&'a str>,
    says: &'a str,
    /// The things of a list that it is asked of.
    things: Vec<String>,
    /// The words to choose from; none where it is a measure, a day or a text.
    words: Vec<&'a str>,
    several: bool,
    unit: Option<&'a str>,
    rules: Vec<&'a str>,
}

/// The questions for programs, in the order in which they are asked.
pub fn document(facts: &Facts, vocabulary: &Vocabulary, questions: &[Question<'_>]) -> String {
    let asked = |question| asked(facts, vocabulary, question);
    written(&Document {
        ask: EDITION,
        questions: questions.iter().map(asked).collect(),
    })
}

fn asked<'a>(facts: &Facts, vocabulary: &'a Vocabulary, question: &'a Question<'_>) -> Asked<'a> {
    let field = vocabulary.field(question.field);
    let (words, several, unit) = match &field.shape {
        Shape::Fact(Type::Choice(words)) => (words.as_slice(), false, None),
        Shape::Fact(Type::Set(words)) => (words.as_slice(), true, None),
        Shape::Fact(Type::Quantity { usual_unit, .. }) => {
            (&[][..], false, Some(usual_unit.as_str()))
        }
        _ => (&[][..], false, None),
    };
    Asked {
        name: &question.name,
        asks: match question.asks {
            Asks::Value => "value",
            Asks::Count => "count",
            Asks::Names(_) => "names",
        },
        place: vocabulary.place(question.field),
        says: &field.says,
        things: question.things(facts, vocabulary),
        words: words.iter().map(|word| vocabulary.word(*word)).collect(),
        several,
        unit,
        rules: question.rules.iter().map(|rule| rule.id.as_str()).collect(),
    }
}
