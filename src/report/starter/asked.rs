//! The questions of an interview as lines of a survey to fill in.
//!
//! Contract: as of the starter; only what is asked stands there, each thing of a list under what it is told from the
//! others by.

use super::write::{Only, Starter};
use wetside_base::facts::Facts;
use wetside_base::vocabulary::{Shape, Vocabulary};
use wetside_engine::interview::{Asks, Question};

const HEAD_OF_QUESTIONS: &str = "What is to be found out. Write the answer in the place of `unknown`, or the \
                                 reason why it is not known as `{unknown:\u{a0}why}`. Lines behind `##` explain.";

/// The questions of an interview as lines of a survey to fill in, comments broken to so many columns.
pub fn questions(
    facts: &Facts,
    vocabulary: &Vocabulary,
    questions: &[Question<'_>],
    width: usize,
) -> String {
    let mut only = Only::default();
    for question in questions {
        let things = question.told_apart(facts, vocabulary);
        if question.asks != Asks::Value {
            only.lists.push(question.field);
        } else if things.is_empty() {
            only.fields.push(question.field);
        }
        let mut list = question.field;
        while !matches!(vocabulary.field(list).shape, Shape::List { .. })
            && let Some(above) = vocabulary.field(list).parent
        {
            list = above;
        }
        for thing in things {
            let of_list = only.things.entry(list).or_default();
            match of_list.iter_mut().find(|(other, _)| *other == thing) {
                Some((_, fields)) => fields.push(question.field),
                None => of_list.push((thing, vec![question.field])),
            }
        }
    }
    Starter::asking(vocabulary, only, HEAD_OF_QUESTIONS, width)
}
