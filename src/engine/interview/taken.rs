//! Answers that were filled in elsewhere, such as on a printed list, into a survey.
//!
//! Contract: what the filled text knows is written, and what it gives a reason for not knowing; a bare `unknown`
//! says nothing new. Things of lists are the same where they are told from the others by the same words, and
//! come to the list where it has none such. What the survey says already is left as it is written.

use super::answer::{Line, written};
use super::told_apart;
use crate::read;
use wetside_base::facts::{Content, FactId, Facts, Told, Value, Why, element_name, fact_name};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_edit::{Answer, Place};

/// A survey with answers from elsewhere, and how many they were.
#[derive(Clone, Debug)]
pub struct Taken {
    pub source: Source,
    pub answers: usize,
}

/// Takes the answers of a filled list, or of any part of a survey, into a survey.
///
/// # Errors
/// The first problem of the filled text with its place there, or what stands in the way in the survey.
pub fn taken(source: &Source, filled: &Source, vocabulary: &Vocabulary) -> Result<Taken, Problem> {
    let reading = wetside_document::read(filled);
    let (theirs, problems) = read::read(filled, &reading, vocabulary);
    if let Some(problem) = reading.problems.into_iter().chain(problems).next() {
        return Err(problem);
    }
    let from = From {
        filled,
        theirs: &theirs,
        vocabulary,
    };
    let lists = from.lists(&facts(source, vocabulary));
    let listed = written(source, vocabulary, &lists)?;
    let values = from.values(&listed, &facts(&listed, vocabulary))?;
    Ok(Taken {
        source: written(&listed, vocabulary, &values)?,
        answers: lists.len() + values.len(),
    })
}

fn facts(source: &Source, vocabulary: &Vocabulary) -> Facts {
    read::survey(source, &wetside_document::read(source), vocabulary).0
}

/// Whether an answer is known, and not roughly.
fn is_settled(facts: &Facts, fact: FactId) -> bool {
    match &facts.fact(fact).content {
        Content::Known(Value::Quantity(value)) => value.range.single().is_some(),
        Content::Known(Value::Time(time)) => time.single().is_some(),
        Content::Known(_) => true,
        _ => false,
    }
}

struct From<'a> {
    filled: &'a Source,
    theirs: &'a Facts,
    vocabulary: &'a Vocabulary,
}

impl From<'_> {
    /// How many things the lists have, and those that the survey does not list.
    fn lists(&self, ours: &Facts) -> Vec<Line> {
        let mut lines = Vec::new();
        for (list, held) in self.theirs.all() {
            let (Content::List { extent, .. }, Some(own)) = (&held.content, self.same(ours, list))
            else {
                continue;
            };
            let place = Place::of(ours, self.vocabulary, own);
            let counted = extent.told == Told::Count && ours.extent(own) != Some(extent);
            if counted {
                let count = Answer::Text(self.slice(list));
                lines.push(Line::at(place.clone().key("count"), None, count));
            }
            let Some(key) = self.vocabulary.key_of(held.field) else {
                continue;
            };
            let field = self.vocabulary.field(key);
            for thing in self.theirs.elements(list) {
                let name = self.theirs.child(thing, field.slot);
                if let (None, Some(answer)) = (self.same(ours, thing), self.answer(name)) {
                    let line = Line::at(place.clone(), Some(self.slice(name)), answer);
                    lines.push(line.beginning_with(&field.name));
                }
            }
        }
        lines
    }

    /// The values that the survey does not have.
    ///
    /// # Errors
    /// The first that would take the place of another which is more than rough: a list may be older than the survey.
    fn values(&self, source: &Source, ours: &Facts) -> Result<Vec<Line>, Problem> {
        let mut lines = Vec::new();
        for (fact, _) in self.theirs.all() {
            let Some((answer, own)) = self.answer(fact).zip(self.same(ours, fact)) else {
                continue;
            };
            let told = |facts: &Facts, of| format!("{:?}", facts.fact(of).content);
            if told(ours, own) == told(self.theirs, fact) {
                continue;
            }
            if is_settled(ours, own) {
                let span = ours.fact(own).span;
                let says = format!(
                    "`{}` is recorded as `{}` on line {} of the survey",
                    fact_name(ours, self.vocabulary, own),
                    source.slice(span),
                    source.line_of(span.start)
                );
                let help = "take the line out of the list, or say the answer in a note that ends with `instead`";
                let span = self.theirs.fact(fact).span;
                return Err(Problem::new("recorded-otherwise", span, says, help));
            }
            let place = Place::of(ours, self.vocabulary, own);
            lines.push(Line::at(place, None, answer));
        }
        Ok(lines)
    }

    /// The fact of the survey that stands where one of the filled list does.
    fn same(&self, ours: &Facts, fact: FactId) -> Option<FactId> {
        if fact == Facts::ROOT {
            return Some(fact);
        }
        let held = self.theirs.fact(fact);
        let parent = self.same(ours, held.parent)?;
        if let Content::List { .. } = self.theirs.fact(held.parent).content {
            let of = |facts: &Facts, thing| match told_apart(facts, self.vocabulary, thing) {
                says if says.is_empty() => Err(element_name(facts, self.vocabulary, thing)),
                says => Ok(says),
            };
            let named = of(self.theirs, fact);
            let mut things = ours.elements(parent);
            return things.find(|own| of(ours, *own) == named);
        }
        Some(ours.child(parent, self.vocabulary.field(held.field).slot))
    }

    fn slice(&self, fact: FactId) -> String {
        let written = self.filled.slice(self.theirs.fact(fact).span);
        written.trim_matches(['"', '\'']).to_string()
    }

    fn answer(&self, fact: FactId) -> Option<Answer> {
        let held = self.theirs.fact(fact);
        let Shape::Fact(kind) = &self.vocabulary.field(held.field).shape else {
            return None;
        };
        Some(match (&held.content, kind) {
            (Content::Open(Why::Unknown(Some(why))), _) => Answer::Unknown(Some(why.clone())),
            (Content::Known(Value::Word(word)), _) => {
                Answer::Text(self.vocabulary.word(*word).to_string())
            }
            (Content::Known(Value::Text(text)), _) => Answer::Text(text.clone()),
            (Content::Known(Value::Set { has, .. }), Type::Set(words)) => {
                let chosen = (0..).zip(words).filter(|(at, _)| has & (1 << at) != 0);
                let chosen = chosen.map(|(_, word)| self.vocabulary.word(*word).to_string());
                Answer::Words(chosen.collect())
            }
            (Content::Known(_), _) => Answer::Text(self.slice(fact)),
            _ => return None,
        })
    }
}
