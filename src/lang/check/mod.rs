//! A condition against the vocabulary and the pack's own names, before any survey is read.
//!
//! Contract: the checker either yields a node without a wrong type in it or reports why not, at the
//! words concerned; it reports every fault that does not follow from another. Comparing two kinds of
//! quantity, a word with a field that has no such word, or a list with a value is a fault of the
//! pack. This module must not know surveys.

mod lists;
mod paths;
mod values;

use super::ast::{Comparison, Expr, Form, Inclusion};
use super::names::Names;
use super::node::{Checked, Cuts, Each, Node, Route, Type};
use crate::problem::Problem;
use crate::source::Span;
use crate::suggest;
use crate::units::Kind;
use crate::vocabulary::{self, FieldId, Shape, Vocabulary, WordId};

/// A variable in scope: its name and the group it stands for.
pub type Variable = (String, FieldId);

/// Checks a condition; `variables` are those already in scope, such as a rule's own element.
pub fn condition(expr: &Expr, names: Names<'_>, variables: &[Variable]) -> (Checked, Vec<Problem>) {
    let mut checker = Checker::new(names, variables);
    let node = checker.truth(expr);
    checker.finish(node, Type::Truth)
}

/// Checks an expression that may be of any type, such as a blank in a message.
pub fn value(expr: &Expr, names: Names<'_>, variables: &[Variable]) -> (Checked, Vec<Problem>) {
    let mut checker = Checker::new(names, variables);
    let (node, yields) = checker.expr(expr, None);
    checker.finish(node, yields)
}

/// Checks the head of a selection and yields the variable that it brings into scope.
pub fn each(
    each: &super::ast::Each,
    names: Names<'_>,
) -> (Option<(Each, Variable)>, Checked, Vec<Problem>) {
    let mut checker = Checker::new(names, &[]);
    let opened = checker.open(each);
    let head = opened.map(|checked| {
        let variable = checker
            .variables
            .pop()
            .expect("opening a list names an element");
        (checked, variable)
    });
    let (checked, problems) = checker.finish(Node::And(Vec::new()), Type::Truth);
    (head, checked, problems)
}

/// Finds the place that a path names: a fact, a group or a list.
pub fn place(
    path: &[super::ast::Name],
    names: Names<'_>,
    variables: &[Variable],
) -> (Option<Route>, Vec<Problem>) {
    let mut checker = Checker::new(names, variables);
    let route = checker.route(path);
    (route, checker.problems)
}

struct Checker<'a> {
    names: Names<'a>,
    variables: Vec<Variable>,
    cuts: Cuts,
    limits: Vec<usize>,
    tables: Vec<usize>,
    fields: Vec<FieldId>,
    problems: Vec<Problem>,
}

/// What stands in for an expression with a fault: nothing is ever evaluated with it.
const NOTHING: (Node, Type) = (Node::And(Vec::new()), Type::Unreadable);

impl<'a> Checker<'a> {
    fn new(names: Names<'a>, variables: &[Variable]) -> Checker<'a> {
        Checker {
            names,
            variables: variables.to_vec(),
            cuts: Cuts::default(),
            limits: Vec::new(),
            tables: Vec::new(),
            fields: Vec::new(),
            problems: Vec::new(),
        }
    }

    fn finish(self, node: Node, yields: Type) -> (Checked, Vec<Problem>) {
        let checked = Checked {
            node,
            yields,
            cuts: self.cuts,
            limits: self.limits,
            tables: self.tables,
            fields: self.fields,
        };
        (checked, self.problems)
    }

    fn fault(&mut self, kind: &'static str, span: Span, says: String, help: &str) -> (Node, Type) {
        self.problems.push(Problem::new(kind, span, says, help));
        NOTHING
    }

    /// An expression that must be a truth.
    fn truth(&mut self, expr: &Expr) -> Node {
        let (node, yields) = self.expr(expr, None);
        match yields {
            Type::Truth | Type::Unreadable => node,
            Type::Word(ref words) if is_yes_or_no(words) => {
                self.fault(
                    "not-a-condition",
                    expr.span,
                    "a yes-or-no fact is not yet a condition".to_string(),
                    "say which answer is meant: `… is yes` or `… is no`",
                )
                .0
            }
            other => {
                let says = format!(
                    "expected a condition here, found {}",
                    self.described(&other)
                );
                self.fault(
                    "not-a-condition",
                    expr.span,
                    says,
                    "compare it with something, as in `circuit.kind is 'sealed'`",
                )
                .0
            }
        }
    }

    fn truths(&mut self, exprs: &[Expr]) -> Vec<Node> {
        exprs.iter().map(|expr| self.truth(expr)).collect()
    }

    /// Any expression; `wanted` is the kind that its surroundings ask for, if they do.
    fn expr(&mut self, expr: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        let truth = |node| (node, Type::Truth);
        match &expr.form {
            Form::Unreadable => NOTHING,
            Form::Not(inner) => truth(Node::Not(Box::new(self.truth(inner)))),
            Form::And(parts) => truth(Node::And(self.truths(parts))),
            Form::Or(parts) => truth(Node::Or(self.truths(parts))),
            Form::Compare(comparison, left, right) => self.compare(*comparison, left, right),
            Form::Between(value, low, high) => self.between(value, low, high),
            Form::OneOf(value, options) => self.one_of(value, options),
            Form::Includes(inclusion, set, options) => self.includes(*inclusion, set, options),
            Form::Empty(set) => self.empty(set),
            Form::If(condition, then, otherwise) => self.choice(condition, then, otherwise, wanted),
            Form::Every(..) | Form::Some(..) | Form::Count(_) | Form::Fold(..) => {
                self.list_form(expr, wanted)
            }
            _ => self.plain_value(expr, wanted),
        }
    }

    fn compare(&mut self, comparison: Comparison, left: &Expr, right: &Expr) -> (Node, Type) {
        // A literal takes its kind from the other side, so the other side is read first.
        let ((a, a_type), (b, b_type)) = if values::is_literal(left) && !values::is_literal(right) {
            let b = self.expr(right, None);
            (self.beside(left, &b.1), b)
        } else {
            let a = self.expr(left, None);
            let b = self.beside(right, &a.1);
            (a, b)
        };
        let boxed = (Box::new(a), Box::new(b));
        match (&a_type, &b_type) {
            (Type::Unreadable, _) | (_, Type::Unreadable) => NOTHING,
            (Type::Quantity(x), Type::Quantity(y)) if values::comparable(*x, *y) => {
                self.cut(&boxed.0, &boxed.1);
                (Node::Compare(comparison, boxed.0, boxed.1), Type::Truth)
            }
            (Type::Date, Type::Date) => (Node::Compare(comparison, boxed.0, boxed.1), Type::Truth),
            (Type::Word(x), Type::Word(y)) => self.same_words(comparison, left, right, boxed, x, y),
            (Type::Text, Type::Text) => self.same(comparison, left, boxed),
            _ => {
                let says = format!(
                    "{} cannot be compared with {}",
                    self.described(&a_type),
                    self.described(&b_type)
                );
                self.fault(
                    "kind-mismatch",
                    left.span.to(right.span),
                    says,
                    &advice(&a_type, &b_type),
                )
            }
        }
    }

    /// Reads one side of a comparison, its literals in the light of the other side's type.
    fn beside(&mut self, expr: &Expr, other: &Type) -> (Node, Type) {
        match (other, &expr.form) {
            (Type::Quantity(kind), _) => self.expr(expr, Some(*kind)),
            (Type::Word(words), Form::Words(word)) => match self.choice_word(expr, word, words) {
                Some(id) => (Node::Word(id), Type::Word(vec![id])),
                None => NOTHING,
            },
            (Type::Text, Form::Words(word)) => (Node::Text(word.clone()), Type::Text),
            _ => self.expr(expr, None),
        }
    }

    fn same_words(
        &mut self,
        comparison: Comparison,
        left: &Expr,
        right: &Expr,
        sides: (Box<Node>, Box<Node>),
        x: &[WordId],
        y: &[WordId],
    ) -> (Node, Type) {
        if !x.iter().any(|word| y.contains(word)) {
            return self.fault(
                "never-the-same",
                left.span.to(right.span),
                "these two facts have no word in common".to_string(),
                "compare facts that can hold the same words",
            );
        }
        self.cut_words(&sides.0, y);
        self.cut_words(&sides.1, x);
        self.same(comparison, left, sides)
    }

    fn same(
        &mut self,
        comparison: Comparison,
        left: &Expr,
        sides: (Box<Node>, Box<Node>),
    ) -> (Node, Type) {
        match comparison {
            Comparison::Is => (Node::Same(false, sides.0, sides.1), Type::Truth),
            Comparison::IsNot => (Node::Same(true, sides.0, sides.1), Type::Truth),
            other => {
                let says = format!("`{}` compares numbers and dates, not words", other.sign());
                self.fault("kind-mismatch", left.span, says, "write `is` or `is not`")
            }
        }
    }

    fn between(&mut self, value: &Expr, low: &Expr, high: &Expr) -> (Node, Type) {
        let (node, yields) = self.expr(value, None);
        let (below, below_type) = self.beside(low, &yields);
        let (above, above_type) = self.beside(high, &yields);
        let fits = |other: &Type| match (&yields, other) {
            (Type::Quantity(a), Type::Quantity(b)) => values::comparable(*a, *b),
            (Type::Date, Type::Date) => true,
            _ => false,
        };
        if [&yields, &below_type, &above_type].contains(&&Type::Unreadable) {
            return NOTHING;
        }
        if !fits(&below_type) || !fits(&above_type) {
            let says = format!(
                "{} cannot lie between {} and {}",
                self.described(&yields),
                self.described(&below_type),
                self.described(&above_type)
            );
            let help = "give two limits of the same kind as the value";
            return self.fault("kind-mismatch", value.span.to(high.span), says, help);
        }
        self.cut(&node, &below);
        self.cut(&node, &above);
        (
            Node::Within(Box::new(node), Box::new(below), Box::new(above)),
            Type::Truth,
        )
    }

    fn one_of(&mut self, value: &Expr, options: &[Expr]) -> (Node, Type) {
        let (node, yields) = self.expr(value, None);
        let Type::Word(words) = &yields else {
            if yields == Type::Unreadable {
                return NOTHING;
            }
            let says = format!(
                "`is one of` needs a fact with a choice of words, found {}",
                self.described(&yields)
            );
            return self.fault(
                "kind-mismatch",
                value.span,
                says,
                "compare numbers with `is between … and …`",
            );
        };
        let chosen = self.chosen(options, words);
        if chosen.is_empty() {
            return self.no_options(value);
        }
        self.cut_words(&node, &chosen);
        (Node::OneOf(Box::new(node), chosen), Type::Truth)
    }

    fn no_options(&mut self, value: &Expr) -> (Node, Type) {
        if !self.problems.is_empty() {
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
            match &option.form {
                Form::Words(word) => chosen.extend(self.choice_word(option, word, words)),
                _ => {
                    let says = "a choice is a word in single quotes".to_string();
                    self.fault(
                        "not-a-choice",
                        option.span,
                        says,
                        "write it as in `'open vented'`",
                    );
                }
            }
        }
        chosen
    }

    fn choice_word(&mut self, expr: &Expr, word: &str, words: &[WordId]) -> Option<WordId> {
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

    fn includes(&mut self, inclusion: Inclusion, set: &Expr, options: &[Expr]) -> (Node, Type) {
        let (node, yields) = self.expr(set, None);
        let Type::Set(field) = yields else {
            return self.not_a_set(set, &yields);
        };
        let words = self.set_words(field);
        let chosen = self.chosen(options, &words);
        if chosen.is_empty() {
            return self.no_options(set);
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

    fn empty(&mut self, set: &Expr) -> (Node, Type) {
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
            self.described(found)
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

    fn choice(
        &mut self,
        condition: &Expr,
        then: &Expr,
        otherwise: &Expr,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let condition = self.truth(condition);
        let (a, a_type) = self.expr(then, wanted);
        let wanted = match a_type {
            Type::Quantity(kind) => Some(kind),
            _ => wanted,
        };
        let (b, b_type) = self.expr(otherwise, wanted);
        let yields = match (a_type, b_type) {
            (Type::Unreadable, _) | (_, Type::Unreadable) => return NOTHING,
            (Type::Word(x), Type::Word(y)) => Type::Word(merged(&x, &y)),
            (x, y) if x == y => x,
            (x, y) => {
                let says = format!(
                    "one branch is {}, the other {}",
                    self.described(&x),
                    self.described(&y)
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

    /// Notes where a comparison with a fixed number cuts the range of a fact.
    fn cut(&mut self, a: &Node, b: &Node) {
        for (fact, fixed) in [(a, b), (b, a)] {
            if let (Node::Fact(route), Some(range)) = (fact, values::fixed(fixed)) {
                let ends = [range.low().at(), range.high().at()];
                let points = ends.into_iter().flatten().map(|point| (route.field, point));
                self.cuts.points.extend(points);
            }
        }
    }

    fn cut_words(&mut self, node: &Node, words: &[WordId]) {
        if let Node::Fact(route) = node {
            let cut = words.iter().map(|word| (route.field, *word));
            self.cuts.words.extend(cut);
        }
    }

    /// A type in words, for messages.
    fn described(&self, yields: &Type) -> String {
        match yields {
            Type::Truth => "a condition".to_string(),
            Type::Quantity(kind) => kind.row().one.to_string(),
            Type::Date => "a date".to_string(),
            Type::Word(words) if is_yes_or_no(words) => "a yes or no".to_string(),
            Type::Word(_) => "a choice of words".to_string(),
            Type::Set(_) => "a set of words".to_string(),
            Type::Text => "a text".to_string(),
            Type::Unreadable => "something unreadable".to_string(),
        }
    }
}

fn is_yes_or_no(words: &[WordId]) -> bool {
    words
        .iter()
        .all(|word| *word == Vocabulary::YES || *word == Vocabulary::NO)
}

fn merged(x: &[WordId], y: &[WordId]) -> Vec<WordId> {
    let new = y.iter().filter(|word| !x.contains(word));
    x.iter().chain(new).copied().collect()
}

/// What to do about two sides that cannot be compared.
fn advice(a: &Type, b: &Type) -> String {
    let (Type::Quantity(a), Type::Quantity(b)) = (a, b) else {
        return "compare a fact with a value of its own type".to_string();
    };
    match (a, b) {
        (Kind::Temperature, Kind::TemperatureDifference)
        | (Kind::TemperatureDifference, Kind::Temperature) => {
            "a point on the scale is written in °C, a difference in K".to_string()
        }
        (Kind::GaugePressure, Kind::PressureDifference)
        | (Kind::PressureDifference, Kind::GaugePressure) => {
            "subtract two gauge pressures, or add the difference to one of them".to_string()
        }
        _ => format!(
            "{} and {} are different things; compare like with like",
            a.row().one,
            b.row().one
        ),
    }
}
