//! List expressions: quantifiers, counts, sums, least and greatest.

use super::describe::described;
use super::literals::comparable;
use super::{Checker, NOTHING};
use crate::ast::{self, Expr, Fold, Form};
use crate::node::{Each, Node, Type};
use wetside_base::vocabulary::{self, FieldId, Shape};
use wetside_units::{Interval, Kind};

/// How deep list expressions may nest, a rule's own selection included: it bounds the cost of a rule.
const DEEPEST: usize = 2;

impl Checker<'_> {
    pub(super) fn list_form(&mut self, expr: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        match &expr.form {
            Form::Every(each, when_empty, body) => {
                let Some(head) = self.open(each) else {
                    return NOTHING;
                };
                let body = Box::new(self.truth(body));
                self.variables.pop();
                (Node::Every(head, *when_empty, body), Type::Truth)
            }
            Form::Some(each, body) => {
                let Some(head) = self.open(each) else {
                    return NOTHING;
                };
                let body = Box::new(self.truth(body));
                self.variables.pop();
                (Node::Some(head, body), Type::Truth)
            }
            Form::Count(each) => {
                let Some(head) = self.open(each) else {
                    return NOTHING;
                };
                self.variables.pop();
                (Node::Count(head), Type::Quantity(Kind::Count))
            }
            Form::Fold(fold, value, each, otherwise) => {
                self.fold(*fold, value, each, otherwise.as_deref(), wanted)
            }
            _ => NOTHING,
        }
    }

    /// Checks the head of a list expression and brings its element into scope, as the last variable.
    pub(super) fn open(&mut self, each: &ast::Each) -> Option<Each> {
        let (list, element) = self.list(&each.list)?;
        let name = each
            .variable
            .as_ref()
            .map_or(String::new(), |name| name.text.clone());
        if each.variable.is_some() && self.variables.len() >= DEEPEST {
            let says = format!("lists may nest {DEEPEST} deep, a rule's own selection included");
            self.fault("nested-too-deep", each.list_span(), says, "split the rule");
            return None;
        }
        if let Some(variable) = &each.variable {
            self.refuse_hiding(variable);
        }
        self.variables.push((name, element));
        let filter = each
            .filter
            .as_ref()
            .map(|filter| Box::new(self.truth(filter)));
        Some(Each { list, filter })
    }

    /// A variable may not hide a group of the survey or another variable: a reader would be misled.
    fn refuse_hiding(&mut self, variable: &ast::Name) {
        let hides_group = self
            .names
            .vocabulary
            .child(FieldId(0), &variable.text)
            .is_some();
        let hides_variable = self
            .variables
            .iter()
            .any(|(name, _)| *name == variable.text);
        if hides_group || hides_variable {
            let taken_by = if hides_group {
                "the survey has a fact or group of this name"
            } else {
                "another element in scope has this name"
            };
            let says = format!("the name `{}` is already taken: {taken_by}", variable.text);
            let help = "give the element another name";
            self.fault("name-taken", variable.span, says, help);
        }
    }

    fn fold(
        &mut self,
        fold: Fold,
        value: &Expr,
        each: &ast::Each,
        otherwise: Option<&Expr>,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let Some(head) = self.open(each) else {
            return NOTHING;
        };
        let (node, yields) = self.expr(value, wanted);
        self.variables.pop();
        let kind = match yields {
            Type::Quantity(kind) => kind,
            Type::Unreadable => return NOTHING,
            other => {
                let says = format!(
                    "`{} of` needs a quantity, found {}",
                    fold.word(),
                    described(&other)
                );
                return self.fault(
                    "kind-mismatch",
                    value.span,
                    says,
                    "name a measured fact of the element",
                );
            }
        };
        if fold == Fold::Sum && kind.plus(kind) != Some(kind) {
            let says = format!("a sum of values of the kind {} means nothing", kind.name());
            return self.fault(
                "kind-mismatch",
                value.span,
                says,
                "use `least of` or `greatest of`",
            );
        }
        let fallback = match otherwise {
            Some(expr) => {
                let (node, yields) = self.expr(expr, Some(kind));
                if !self.is_of(&yields, kind, expr) {
                    return NOTHING;
                }
                Some(Box::new(node))
            }
            None => None,
        };
        let possible = self.possible(&node);
        (
            Node::Fold(fold, Box::new(node), head, fallback, possible),
            Type::Quantity(kind),
        )
    }

    /// Whether a value is of the kind that its neighbour is; a problem if not.
    pub(super) fn is_of(&mut self, yields: &Type, kind: Kind, expr: &Expr) -> bool {
        match yields {
            Type::Quantity(found) if comparable(*found, kind) => true,
            Type::Unreadable => false,
            other => {
                let says = format!("expected {}, found {}", kind.row().one, described(other));
                self.fault(
                    "kind-mismatch",
                    expr.span,
                    says,
                    "use a value of the same kind",
                );
                false
            }
        }
    }

    /// What a value can be for an element that nobody listed.
    fn possible(&self, node: &Node) -> Interval {
        let Node::Fact(route) = node else {
            return Interval::EVERYTHING;
        };
        match &self.names.vocabulary.field(route.field).shape {
            Shape::Fact(vocabulary::Type::Quantity { possible, .. }) => *possible,
            _ => Interval::EVERYTHING,
        }
    }
}
