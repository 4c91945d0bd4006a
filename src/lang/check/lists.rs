//! List expressions: quantifiers, counts, sums, least and greatest.

use super::describe::described;
use super::literals::{by_the_day, kind_of};
use super::{Checker, NOTHING, Variable};
use crate::ast::{self, Expr, Fold, Form};
use crate::node::{Each, Node, Type};
use wetside_base::vocabulary::{self, Shape, Vocabulary};
use wetside_units::{Interval, Kind};

/// How deep list expressions may nest, a rule's own selection included: it bounds the cost of a rule.
const DEEPEST: usize = 2;

impl Checker<'_> {
    pub(super) fn list_form(&mut self, expr: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        let (Form::Every(each, ..)
        | Form::Some(each, _)
        | Form::Count(each)
        | Form::Fold(_, _, each, _)) = &expr.form
        else {
            return NOTHING;
        };
        let Some(head) = self.open(each) else {
            return NOTHING;
        };
        let (node, yields) = match &expr.form {
            Form::Every(_, when_empty, body) => (
                Node::Every(head, *when_empty, Box::new(self.truth(body))),
                Type::Truth,
            ),
            Form::Some(_, body) => (Node::Some(head, Box::new(self.truth(body))), Type::Truth),
            Form::Fold(fold, value, _, otherwise) => {
                return self.fold(*fold, value, head, otherwise.as_deref(), wanted);
            }
            _ => (Node::Count(head), Type::Quantity(Kind::Count)),
        };
        self.refuse_idle(each, &node);
        self.variables.pop();
        (node, yields)
    }

    /// What is asked of each thing and never names the thing comes out alike for all of them.
    fn refuse_idle(&mut self, each: &ast::Each, node: &Node) {
        let Some(name) = &each.variable else {
            return;
        };
        let own = self.variables.len() - 1;
        let mut named = self
            .problems
            .iter()
            .any(|one| one.span.start >= name.span.start);
        node.visit_routes(&mut |route| named |= route.variable == Some(own));
        if !named && !matches!(node, Node::Count(_)) {
            let says = format!("nothing is asked of `{}`", name.text);
            let help = format!(
                "ask one of its facts, as in `{}.id`, or take the list out",
                name.text
            );
            self.fault("not-asked", name.span, says, &help);
        }
    }

    /// Checks the head of a list expression and brings its element into scope, as the last variable.
    pub(super) fn open(&mut self, each: &ast::Each) -> Option<Each> {
        let (list, group) = self.list(&each.list)?;
        let names = [&each.variable, &each.after];
        if each.variable.is_some() && self.variables.len() >= DEEPEST {
            let says = format!("lists may nest {DEEPEST} deep, a rule's own selection included");
            self.fault("nested-too-deep", each.list_span(), says, "split the rule");
            return None;
        }
        names
            .into_iter()
            .flatten()
            .for_each(|name| self.refuse_hiding(name));
        let [name, before] = names.map(|name| name.as_ref().map(|name| name.text.clone()));
        if before.is_some() && before == name {
            let says = "an element and the one before it have the same name".to_string();
            let help = "give each its own name, as in `for every later after earlier in …`";
            self.fault("name-taken", each.list_span(), says, help);
        }
        self.variables.push(Variable {
            name: name.unwrap_or_default(),
            before,
            group,
        });
        let mut filter = each.filter.as_ref().map(|filter| self.truth(filter));
        // Between two listed elements one may stand that is not listed: then they are not neighbours.
        if each.after.is_some() {
            let whole = Node::Whole(list.clone());
            filter = Some(Node::And([whole].into_iter().chain(filter).collect()));
        }
        Some(Each {
            list,
            filter: filter.map(Box::new),
            paired: each.after.is_some(),
        })
    }

    /// A variable may not hide a group of the survey or another variable: a reader would be misled.
    fn refuse_hiding(&mut self, variable: &ast::Name) {
        let vocabulary = self.names.vocabulary;
        let hides_group = vocabulary.child(Vocabulary::ROOT, &variable.text).is_some();
        if hides_group || self.variable(&variable.text).is_some() {
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

    /// The variable that a name stands for, the innermost first, and whether it means the one before it.
    pub(super) fn variable(&self, name: &str) -> Option<(usize, bool)> {
        let before = |variable: &Variable| variable.before.as_deref() == Some(name);
        let is_it = |variable: &Variable| variable.name == name || before(variable);
        let at = self.variables.iter().rposition(is_it)?;
        Some((at, before(&self.variables[at])))
    }

    fn fold(
        &mut self,
        fold: Fold,
        value: &Expr,
        head: Each,
        otherwise: Option<&Expr>,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let (node, yields) = self.expr(value, wanted);
        self.variables.pop();
        let summed = match yields {
            Type::Unreadable => return NOTHING,
            Type::Quantity(kind) => kind.plus(kind) == Some(kind),
            Type::Date | Type::Moment => false,
            other => {
                let what = match fold {
                    Fold::Sum => "a quantity",
                    _ => "a quantity or a day",
                };
                let (word, found) = (fold.word(), described(&other));
                let says = format!("`{word} of` needs {what}, found {found}");
                let help = "name a measured fact of the element";
                return self.fault("kind-mismatch", value.span, says, help);
            }
        };
        if fold == Fold::Sum && !summed {
            let says = format!("{} cannot be summed", described(&yields));
            let help = "use `least of` or `greatest of`";
            return self.fault("kind-mismatch", value.span, says, help);
        }
        let possible = self.possible(&node);
        let mut sides = vec![(node, yields)];
        if let Some(expr) = otherwise {
            let wanted = kind_of(Some(&sides[0].1));
            sides.push(self.expr(expr, wanted));
            match (&sides[0].1, &sides[1].1) {
                // Where no moment is listed, a plain day stands for its beginning.
                (Type::Moment, Type::Date) => sides[1].1 = Type::Moment,
                _ => by_the_day(&mut sides),
            }
            if !self.is_like(&sides[1].1, &sides[0].1.clone(), expr) {
                return NOTHING;
            }
        }
        let mut sides = sides.into_iter();
        let Some((node, yields)) = sides.next() else {
            return NOTHING;
        };
        let fallback = sides.next().map(|(node, _)| Box::new(node));
        (
            Node::Fold(fold, Box::new(node), head, fallback, possible),
            yields,
        )
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
