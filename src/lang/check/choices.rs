//! Words: membership, sets, and `if … then … else …`.

use super::describe::described;
use super::literals::comparable;
use super::{Checker, NOTHING};
use crate::ast::{Choices, Expr, Form, Inclusion, Name};
use crate::node::{Node, Type};
use wetside_base::suggest;
use wetside_base::vocabulary::{self, Shape, WordId};
use wetside_units::Kind;

impl Checker<'_> {
    pub(super) fn one_of(&mut self, value: &Expr, options: &Choices) -> (Node, Type) {
        let (node, yields) = self.expr(value, None);
        let words = match (&yields, options) {
            (Type::Word(words), _) => words,
            (Type::Text, Choices::Written(options)) => {
                return self.text_among(value, &node, options);
            }
            (Type::Unreadable, _) => return NOTHING,
            _ => {
                let found = described(&yields);
                let says =
                    format!("`is one of` needs a fact with a choice of words, found {found}");
                let help = match yields {
                    Type::Text => "write the texts in brackets",
                    Type::Set(_) => "ask a set with `includes one of`",
                    _ => "compare numbers and dates with `is between … and …`",
                };
                return self.fault("kind-mismatch", value.span, says, help);
            }
        };
        self.among(value, node, words, options, |node, chosen| {
            Node::OneOf(Box::new(node), chosen)
        })
    }

    fn text_among(&mut self, value: &Expr, node: &Node, options: &[Expr]) -> (Node, Type) {
        let mut asked = Vec::new();
        for option in options {
            match &option.form {
                Form::Words(text) => {
                    let text = Box::new(Node::Text(text.clone()));
                    asked.push(Node::Same(false, Box::new(node.clone()), text));
                }
                _ => return self.no_choice(option),
            }
        }
        if asked.is_empty() {
            return self.no_choices(value);
        }
        (Node::Or(asked), Type::Truth)
    }

    fn no_choices(&mut self, value: &Expr) -> (Node, Type) {
        let says = "there is no choice in these brackets".to_string();
        let help = "name at least one, as in `['house']`";
        self.fault("no-choices", value.span, says, help)
    }

    fn no_choice(&mut self, option: &Expr) -> (Node, Type) {
        let says = "a choice is a word in single quotes".to_string();
        let help = "write it as in `'open vented'`";
        self.fault("not-a-choice", option.span, says, help)
    }

    /// Holds a fact against those of its words that are meant; nothing where one is not its word.
    fn among(
        &mut self,
        expr: &Expr,
        node: Node,
        words: &[WordId],
        options: &Choices,
        held: impl FnOnce(Node, Vec<WordId>) -> Node,
    ) -> (Node, Type) {
        let known = self.problems.len();
        let (chosen, list) = match options {
            Choices::Written(options) => (self.chosen(options, words), None),
            Choices::Named(name) => self.listed(name, words),
        };
        if self.problems.len() > known {
            return NOTHING;
        }
        if chosen.is_empty() {
            return self.no_choices(expr);
        }
        self.cut_words(&node, &chosen);
        let asked = held(node, chosen);
        let asked = match list {
            Some(at) => Node::Listed(at, Box::new(asked)),
            None => asked,
        };
        (asked, Type::Truth)
    }

    /// The words of a list of the pack, all of which must be words of the fact.
    fn listed(&mut self, name: &Name, words: &[WordId]) -> (Vec<WordId>, Option<usize>) {
        let lists = self.names.lists;
        let offered: Vec<&str> = lists.iter().map(|list| list.name.as_str()).collect();
        let (lacks, otherwise) = (
            "the pack has no list of words",
            "name it in the `words` of pack.yaml",
        );
        let Some(at) = self.named("unknown-list", lacks, name, &offered, otherwise) else {
            return (Vec::new(), None);
        };
        let list = &lists[at];
        if let Some(stranger) = list.words.iter().find(|word| !words.contains(word)) {
            let word = self.names.vocabulary.word(*stranger);
            let says = format!(
                "`{word}` of the list `{}` is not one of the words of this fact",
                list.name
            );
            let help = "name a list of this fact's own words, or put the words in brackets";
            self.fault("not-a-choice", name.span, says, help);
        }
        (list.words.clone(), Some(at))
    }

    /// The options that are words of the choice; a problem for each that is not.
    fn chosen(&mut self, options: &[Expr], words: &[WordId]) -> Vec<WordId> {
        let mut chosen = Vec::new();
        for option in options {
            if let Form::Words(word) = &option.form {
                let id = self.choice_word(option, word, words);
                if id.is_some_and(|id| chosen.contains(&id)) {
                    let says = format!("`{word}` stands in these brackets twice");
                    self.fault("said-twice", option.span, says, "say each word once");
                }
                chosen.extend(id);
            } else {
                self.no_choice(option);
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
            let help = match word {
                "unknown" => super::paths::NOT_ASKED.to_string(),
                _ => suggest::help(word, offered, &all),
            };
            let says = format!("`{word}` is not one of the words of this fact");
            self.fault("not-a-choice", expr.span, says, &help);
        }
        found
    }

    pub(super) fn includes(
        &mut self,
        inclusion: Inclusion,
        set: &Expr,
        options: &Choices,
    ) -> (Node, Type) {
        let Some((node, words)) = self.set(set) else {
            return NOTHING;
        };
        self.among(set, node, &words, options, |node, chosen| {
            let bits = words
                .iter()
                .enumerate()
                .filter(|(_, word)| chosen.contains(word));
            let bits = bits.fold(0, |bits, (at, _)| bits | 1 << at);
            Node::Includes(inclusion, Box::new(node), bits)
        })
    }

    /// Whether a set has a word, which is written out or is itself a fact.
    pub(super) fn holds(&mut self, set: &Expr, word: &Expr) -> (Node, Type) {
        if let Form::Words(_) = word.form {
            let written = Choices::Written(vec![word.clone()]);
            return self.includes(Inclusion::OneOf, set, &written);
        }
        let Some((node, words)) = self.set(set) else {
            return NOTHING;
        };
        if self.bare_word(word, &words) {
            return NOTHING;
        }
        let (asked, yields) = self.expr(word, None);
        let may_be = match yields {
            Type::Word(may_be) => may_be,
            Type::Unreadable => return NOTHING,
            other => {
                let says = format!("a set includes words, found {}", described(&other));
                let help = "name a fact with one word, or write a word in single quotes";
                return self.fault("kind-mismatch", word.span, says, help);
            }
        };
        if !may_be.iter().any(|word| words.contains(word)) {
            return self.nothing_in_common(set.span.to(word.span));
        }
        self.cut_words(&node, &may_be);
        self.cut_words(&asked, &words);
        (
            Node::Holds(Box::new(node), Box::new(asked), words),
            Type::Truth,
        )
    }

    pub(super) fn empty(&mut self, set: &Expr) -> (Node, Type) {
        match self.set(set) {
            Some((node, _)) => (Node::Empty(Box::new(node)), Type::Truth),
            None => NOTHING,
        }
    }

    /// A fact that holds several words, and all that it can hold.
    fn set(&mut self, expr: &Expr) -> Option<(Node, Vec<WordId>)> {
        let (node, yields) = self.expr(expr, None);
        let Type::Set(field) = yields else {
            if yields != Type::Unreadable {
                let found = described(&yields);
                let says = format!("this needs a fact that holds several words, found {found}");
                let help = "use `is` for a fact with one word, `count of` for a list";
                self.fault("kind-mismatch", expr.span, says, help);
            }
            return None;
        };
        let words = match &self.names.vocabulary.field(field).shape {
            Shape::Fact(vocabulary::Type::Set(words)) => words.clone(),
            _ => Vec::new(),
        };
        Some((node, words))
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
