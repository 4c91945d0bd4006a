//! Literals, whose kind their surroundings decide, and values that no survey can change.

use super::Checker;
use super::describe::described;
use crate::ast::{Expr, Form, Name};
use crate::functions::DAY_OF;
use crate::node::{Node, Type};
use wetside_units::{Interval, Kind, UnitId, table};

impl Checker<'_> {
    /// Reads values that must be alike: a literal takes its kind from the first that is none.
    pub(super) fn alike(&mut self, exprs: &[&Expr], wanted: Option<Kind>) -> Vec<(Node, Type)> {
        let mut read: Vec<Option<(Node, Type)>> = Vec::new();
        let mut model: Option<Type> = None;
        for expr in exprs {
            read.push((!is_literal(expr)).then(|| {
                let value = self.expr(expr, kind_of(model.as_ref()).or(wanted));
                if value.1 != Type::Unreadable {
                    model.get_or_insert(value.1.clone());
                }
                value
            }));
        }
        let literals = exprs.iter().zip(read).map(|(expr, known)| {
            known.unwrap_or_else(|| {
                let value = match (&model, &expr.form) {
                    (Some(Type::Text), Form::Words(words)) => {
                        (Node::Text(words.clone()), Type::Text)
                    }
                    _ => self.expr(expr, kind_of(model.as_ref()).or(wanted)),
                };
                if value.1 != Type::Unreadable {
                    model.get_or_insert(value.1.clone());
                }
                value
            })
        });
        let mut all: Vec<(Node, Type)> = literals.collect();
        by_the_day(&mut all);
        all
    }

    /// Whether a value is of the sort that its neighbour is; a problem if not.
    pub(super) fn is_like(&mut self, found: &Type, like: &Type, expr: &Expr) -> bool {
        match (found, like) {
            (Type::Quantity(a), Type::Quantity(b)) if comparable(*a, *b) => true,
            (a, b) if a == b => true,
            (Type::Unreadable, _) | (_, Type::Unreadable) => false,
            _ => {
                let says = format!("expected {}, found {}", described(like), described(found));
                let help = "use a value of the same kind";
                self.fault("kind-mismatch", expr.span, says, help);
                false
            }
        }
    }
}

/// Beside a plain day a moment counts as its day.
pub(super) fn by_the_day(values: &mut [(Node, Type)]) {
    if values.iter().all(|(_, yields)| *yields != Type::Date) {
        return;
    }
    for (node, yields) in values {
        if *yields == Type::Moment {
            *node = Node::Call(DAY_OF, vec![std::mem::replace(node, Node::Nothing)]);
            *yields = Type::Date;
        }
    }
}

pub(super) fn kind_of(yields: Option<&Type>) -> Option<Kind> {
    match yields {
        Some(Type::Quantity(kind)) => Some(*kind),
        _ => None,
    }
}

/// A measure or words written out, with or without a sign.
pub(super) fn is_literal(expr: &Expr) -> bool {
    match &expr.form {
        Form::Measure { .. } | Form::Words(_) => true,
        Form::Negate(inner) => is_literal(inner),
        _ => false,
    }
}

/// Whether two kinds may be compared: the same, or numbers and counts of things.
pub(super) fn comparable(a: Kind, b: Kind) -> bool {
    let bare = |kind| matches!(kind, Kind::Number | Kind::Count);
    a == b || (bare(a) && bare(b))
}

/// The range of a node that no survey can change; nothing for any other.
pub(super) fn fixed(node: &Node) -> Option<Interval> {
    match node {
        Node::Quantity(range) | Node::Limit(_, range) => Some(*range),
        Node::Negate(inner) => Some(fixed(inner)?.negated()),
        Node::Arithmetic(operation, a, b) => operation.value(&fixed(a)?, &fixed(b)?),
        _ => None,
    }
}

/// The kinds that a measure may have by its unit.
///
/// A rule writes a point of temperature in degrees and a difference in kelvin, never the other way
/// round: `10 K` beside a temperature would be 263 degrees of frost.
pub(super) fn kinds_of(unit: Option<&Name>) -> Vec<Kind> {
    let Some(unit) = unit else {
        return vec![Kind::Number, Kind::Count, Kind::Acidity, Kind::Year];
    };
    let meant = |kind: &Kind, unit: UnitId| match kind {
        Kind::Temperature => unit.symbol() != "K",
        Kind::TemperatureDifference => unit.symbol() == "K",
        _ => true,
    };
    table::meanings(&unit.text)
        .flat_map(|unit| {
            unit.row()
                .kinds
                .iter()
                .copied()
                .filter(move |kind| meant(kind, unit))
        })
        .collect()
}

/// The kinds that a literal may take from its surroundings; nothing for any other expression.
pub(super) fn literal_kinds(expr: &Expr) -> Option<Vec<Kind>> {
    match &expr.form {
        Form::Measure { unit, .. } => Some(kinds_of(unit.as_ref())),
        Form::Negate(inner) => literal_kinds(inner),
        _ => None,
    }
}
