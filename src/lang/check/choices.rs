//! Words: membership, sets, and `if … then … else …`.

use super::describe::described;
use super::literals::comparable;
use super::{Checker, NOTHING};
use crate::ast::{Expr, Form, Inclusion};
use crate::node::{Node, Type};
use wetside_base::suggest;
use wetside_base::vocabulary::{self, FieldId, Shape, WordId};
use wetside_units::Kind;

impl Checker<'_> {
    pub(super) fn one_of(&mut self, value: &Expr, options: &[Expr]) -> (Node, Type) {
        let (node, yields) = self.expr(value, None);
        let Type::Word(words) = &yields else {
            if yields == Type::Unreadable {
                return NOTHING;
            }
            let says = format!(
                "`is one of` needs a fact with a choice of words, found {}",
                described(&yields)
            );
            let help = match yields {
                Type::Text => "compare a text with `is`, and join two comparisons with `or`",
                Type::Set(_) => "ask a set with `includes one of`",
                _ => "compare numbers and dates with `is between … and …`",
            };
            return self.fault("kind-mismatch", value.span, says, help);
        };
        let known = self.problems.len();
        let chosen = self.chosen(options, words);
        if chosen.is_empty() {
            return self.no_options(value, known);
        }
        self.cut_words(&node, &chosen);
        (Node::OneOf(Box::new(node), chosen), Type::Truth)
    }

    /// Brackets without a choice, unless each choice had a problem of its own.
    fn no_options(&mut self, value: &Expr, known: usize) -> (Node, Type) {
        if self.problems.len() > known {
            return NOTHING;
        }
        let says = "there is no choice in these brackets".to_string();
        self.fault(
            "no-choices",
            value.span,
            says,
            "name at least one, as in `['house']`",
        )
    }

    /// The options that are words of the choice; a problem for each that is not.
    fn chosen(&mut self, options: &[Expr], words: &[WordId]) -> Vec<WordId> {
        let mut chosen = Vec::new();
        for option in options {
            if let Form::Words(word) = &option.form {
                chosen.extend(self.choice_word(option, word, words))
            } else {
                let says = "a choice is a word in single quotes".to_string();
                self.fault(
                    "not-a-choice",
                    option.span,
                    says,
                    "write it as in `'open vented'`",
                );
            }
        }
        chosen
    }

    pub(super) fn choice_word(
        &mut self,
        expr: &Expr,
        word: &str,
        words: &[WordId],
    ) -> Option<WordId> {
        let vocabulary = self.names.vocabulary;
        let found = vocabulary.word_id(word).filter(|id| words.contains(id));
        if found.is_none() {
            let offered = words.iter().map(|id| vocabulary.word(*id));
            let all = format!("it can be {}", suggest::either(offered.clone()));
            let help = suggest::help(word, offered, &all);
            let says = format!("`{word}` is not one of the words of this fact");
            self.fault("not-a-choice", expr.span, says, &help);
        }
        found
    }

    pub(super) fn includes(
        &mut self,
        inclusion: Inclusion,
        set: &Expr,
        options: &[Expr],
    ) -> (Node, Type) {
        let (node, yields) = self.expr(set, None);
        let Type::Set(field) = yields else {
            return self.not_a_set(set, &yields);
        };
        let words = self.set_words(field);
        let known = self.problems.len();
        let chosen = self.chosen(options, &words);
        if chosen.is_empty() {
            return self.no_options(set, known);
        }
        self.cut_words(&node, &chosen);
        let bits = words
            .iter()
            .enumerate()
            .filter(|(_, word)| chosen.contains(word))
            .fold(0, |bits, (at, _)| bits | 1 << at);
        let set = Box::new(node);
        let node = match inclusion {
            Inclusion::OneOf => Node::IncludesOneOf(set, bits),
            Inclusion::Only => Node::IncludesOnly(set, bits),
        };
        (node, Type::Truth)
    }

    pub(super) fn empty(&mut self, set: &Expr) -> (Node, Type) {
        let (node, yields) = self.expr(set, None);
        match yields {
            Type::Set(_) => (Node::Empty(Box::new(node)), Type::Truth),
            other => self.not_a_set(set, &other),
        }
    }

    fn not_a_set(&mut self, expr: &Expr, found: &Type) -> (Node, Type) {
        if *found == Type::Unreadable {
            return NOTHING;
        }
        let says = format!(
            "this needs a fact that holds several words, found {}",
            described(found)
        );
        self.fault(
            "kind-mismatch",
            expr.span,
            says,
            "use `is` for a fact with one word, `count of` for a list",
        )
    }

    fn set_words(&self, field: FieldId) -> Vec<WordId> {
        match &self.names.vocabulary.field(field).shape {
            Shape::Fact(vocabulary::Type::Set(words)) => words.clone(),
            _ => Vec::new(),
        }
    }

    pub(super) fn choice(
        &mut self,
        condition: &Expr,
        then: &Expr,
        otherwise: &Expr,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let condition = self.truth(condition);
        let mut branches = self.alike(&[then, otherwise], wanted).into_iter();
        let (Some((a, a_type)), Some((b, b_type))) = (branches.next(), branches.next()) else {
            return NOTHING;
        };
        let yields = match (a_type, b_type) {
            (Type::Unreadable, _) | (_, Type::Unreadable) => return NOTHING,
            (Type::Word(x), Type::Word(y)) => Type::Word(merged(&x, &y)),
            (Type::Quantity(x), Type::Quantity(y)) if comparable(x, y) => {
                Type::Quantity(if x == y { x } else { Kind::Number })
            }
            (x, y) if x == y => x,
            (Type::Set(_), Type::Set(_)) => {
                let says = "the two branches are sets of different facts".to_string();
                let help = "ask each by itself, as in `if … then … includes … else … includes …`";
                return self.fault("kind-mismatch", otherwise.span, says, help);
            }
            (x, y) => {
                let says = format!(
                    "one branch is {}, the other {}",
                    described(&x),
                    described(&y)
                );
                let help = "both branches must be of the same kind";
                return self.fault("kind-mismatch", otherwise.span, says, help);
            }
        };
        (
            Node::If(Box::new(condition), Box::new(a), Box::new(b)),
            yields,
        )
    }
}

fn merged(x: &[WordId], y: &[WordId]) -> Vec<WordId> {
    let new = y.iter().filter(|word| !x.contains(word));
    x.iter().chain(new).copied().collect()
}
