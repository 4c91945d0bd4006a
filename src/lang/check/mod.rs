//! A condition against the vocabulary and the pack's own names, before any survey is read.
//!
//! Contract: the checker either yields a node without a wrong type in it or reports why not, at the
//! words concerned; it reports every fault that does not follow from another. Comparing two kinds of
//! quantity, a word with a field that has no such word, or a list with a value is a fault of the
//! pack. This module must not know surveys.

mod arithmetic;
mod bare;
mod choices;
mod compare;
mod describe;
mod lists;
mod literals;
mod paths;
mod tables;
mod values;

use super::ast::{Expr, Form, Name};
use super::names::Names;
use super::node::{Checked, Cuts, Each, Node, Route, Type};
use describe::{described, is_yes_or_no};
use serde::{Deserialize, Serialize};
use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_base::suggest;
use wetside_base::vocabulary::FieldId;
use wetside_units::Kind;

/// An element in scope.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Variable {
    pub name: String,
    /// The name of the element before it, where it has one.
    pub before: Option<String>,
    /// The group that it stands for.
    pub group: FieldId,
}

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
) -> (Option<(Each, Variable)>, Cuts, Vec<Problem>) {
    let mut checker = Checker::new(names, &[]);
    let opened = checker.open(each);
    let head = opened.map(|checked| {
        let variable = checker
            .variables
            .pop()
            .expect("opening a list names an element");
        (checked, variable)
    });
    (head, checker.cuts, checker.problems)
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
    problems: Vec<Problem>,
}

/// What stands in for an expression with a fault: nothing is ever evaluated with it.
const NOTHING: (Node, Type) = (Node::Nothing, Type::Unreadable);

impl<'a> Checker<'a> {
    fn new(names: Names<'a>, variables: &[Variable]) -> Checker<'a> {
        Checker {
            names,
            variables: variables.to_vec(),
            cuts: Cuts::default(),
            problems: Vec::new(),
        }
    }

    fn finish(self, node: Node, yields: Type) -> (Checked, Vec<Problem>) {
        let checked = Checked {
            node,
            yields,
            cuts: self.cuts,
        };
        (checked, self.problems)
    }

    fn fault(&mut self, kind: &'static str, span: Span, says: String, help: &str) -> (Node, Type) {
        self.problems.push(Problem::new(kind, span, says, help));
        NOTHING
    }

    /// The place of a name among those that there are; a problem if there is no such.
    fn named(
        &mut self,
        kind: &'static str,
        lacks: &str,
        name: &Name,
        offered: &[&str],
        otherwise: &str,
    ) -> Option<usize> {
        let found = offered.iter().position(|one| *one == name.text);
        if found.is_none() {
            let help = suggest::help(&name.text, offered.iter().copied(), otherwise);
            let says = format!("{lacks} `{}`", name.text);
            self.fault(kind, name.span, says, &help);
        }
        found
    }

    /// An expression that must be a truth.
    fn truth(&mut self, expr: &Expr) -> Node {
        let (node, yields) = self.expr(expr, None);
        match yields {
            Type::Truth | Type::Unreadable => node,
            Type::Word(ref words) if is_yes_or_no(words) && matches!(node, Node::Word(_)) => {
                let says = "an answer by itself asks nothing".to_string();
                let help = "write what is asked, as in `drain.traced is yes`; a `when` that always holds is left out";
                self.fault("not-a-condition", expr.span, says, help).0
            }
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
                let says = format!("expected a condition here, found {}", described(&other));
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
            Form::Holds(set, word) => self.holds(set, word),
            Form::Empty(set) => self.empty(set),
            Form::If(condition, then, Some(otherwise)) => {
                self.choice(condition, then, otherwise, wanted)
            }
            Form::If(condition, then, None) => {
                let unless = Node::Not(Box::new(self.truth(condition)));
                truth(Node::Or(vec![unless, self.truth(then)]))
            }
            Form::Every(..) | Form::Some(..) | Form::Count(_) | Form::Fold(..) => {
                self.list_form(expr, wanted)
            }
            _ => self.plain_value(expr, wanted),
        }
    }
}
