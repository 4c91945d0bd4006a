//! A word of a fact that lacks its quotes, and a yes or no in the words of another language.

use super::Checker;
use super::describe::is_yes_or_no;
use crate::ast::{Expr, Form, Operation};
use wetside_base::suggest;
use wetside_base::vocabulary::{Shape, Vocabulary, WordId};

impl Checker<'_> {
    /// Whether this was meant for one of `words`, the words of the fact that it is held against; a
    /// problem says so. What names a fact or an element is left alone.
    pub(super) fn bare_word(&mut self, expr: &Expr, words: &[WordId]) -> bool {
        let Some(written) = written(expr).filter(|written| !self.is_named(written)) else {
            return false;
        };
        if is_yes_or_no(words) {
            let answer = match written.to_lowercase().as_str() {
                "true" | "yes" => "yes",
                "false" | "no" => "no",
                _ => return false,
            };
            let says = format!("`{written}` is not an answer in the rule language");
            let help =
                format!("write `{answer}`: a yes-or-no fact is asked with `is yes` or `is no`");
            self.fault("not-a-choice", expr.span, says, &help);
            return true;
        }
        let vocabulary = self.names.vocabulary;
        let offered = words.iter().map(|word| vocabulary.word(*word));
        let help = match suggest::nearest(&written, offered) {
            Some(word) if word == written => format!("put words in single quotes: `'{word}'`"),
            Some(word) => format!("put words in single quotes; did you mean `'{word}'`?"),
            None => return false,
        };
        let says = format!("`{written}` stands without quotes");
        self.fault("not-a-choice", expr.span, says, &help);
        true
    }

    /// Whether an element or a fact of the survey has this name.
    fn is_named(&self, name: &str) -> bool {
        let vocabulary = self.names.vocabulary;
        let fact = vocabulary.child(Vocabulary::ROOT, name);
        let is_fact = fact.is_some_and(|id| matches!(vocabulary.field(id).shape, Shape::Fact(_)));
        is_fact || self.variable(name).is_some()
    }
}

/// The one word that an expression is, hyphens included, if it is no more than that.
fn written(expr: &Expr) -> Option<String> {
    match &expr.form {
        Form::Path(names) => match names.as_slice() {
            [only] => Some(only.text.clone()),
            _ => None,
        },
        Form::Arithmetic(Operation::Minus, left, right)
            if left.span.end + 1 == right.span.start =>
        {
            Some(format!("{}-{}", written(left)?, written(right)?))
        }
        _ => None,
    }
}
