//! Sums, differences, products and quotients, of quantities and of dates.

use super::describe::{advice_on_sign, described};
use super::literals::{by_the_day, literal_kinds};
use super::{Checker, NOTHING};
use crate::ast::{Expr, Form, Name, Operation};
use crate::node::{Node, Type};
use wetside_units::{Exact, Kind, UnitId};

/// One side of an operation: read, or a literal that may be of several kinds.
enum Side {
    Read(Node, Type),
    Open(Vec<Kind>),
}

impl Side {
    fn kinds(&self) -> Vec<Kind> {
        match self {
            Side::Read(_, Type::Quantity(kind)) => vec![*kind],
            Side::Read(..) => Vec::new(),
            Side::Open(kinds) => kinds.clone(),
        }
    }
}

impl Checker<'_> {
    pub(super) fn arithmetic(
        &mut self,
        operation: Operation,
        left: &Expr,
        right: &Expr,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let a = self.side(left);
        let a = match (a, operation) {
            (
                Side::Read(node, yields @ (Type::Date | Type::Moment)),
                Operation::Plus | Operation::Minus,
            ) => return self.moved(operation, left, (node, yields), right),
            (a, _) => a,
        };
        let b = self.side(right);
        let (a_kinds, b_kinds) = (a.kinds(), b.kinds());
        let pairs = a_kinds
            .iter()
            .flat_map(|x| b_kinds.iter().map(move |y| (*x, *y)));
        let fitting: Vec<(Kind, Kind, Kind)> = pairs
            .filter_map(|(x, y)| Some((x, y, operation.kind(x, y)?)))
            .collect();
        let as_wanted = fitting.iter().find(|(_, _, kind)| Some(*kind) == wanted);
        let Some(&(x, y, kind)) = as_wanted.or(fitting.first()) else {
            return self.no_sense(operation, left, right, a, b);
        };
        let (a, a_type) = self.settled(a, left, Some(x));
        let (b, b_type) = self.settled(b, right, Some(y));
        if a_type == Type::Unreadable || b_type == Type::Unreadable {
            return NOTHING;
        }
        (
            Node::Arithmetic(operation, Box::new(a), Box::new(b)),
            Type::Quantity(kind),
        )
    }

    fn side(&mut self, expr: &Expr) -> Side {
        match literal_kinds(expr) {
            // A unit that is none has no kind; reading it says so.
            Some(kinds) if !kinds.is_empty() => Side::Open(kinds),
            _ => {
                let (node, yields) = self.expr(expr, None);
                Side::Read(node, yields)
            }
        }
    }

    fn settled(&mut self, side: Side, expr: &Expr, kind: Option<Kind>) -> (Node, Type) {
        match side {
            Side::Read(node, yields) => (node, yields),
            Side::Open(_) => self.expr(expr, kind),
        }
    }

    fn no_sense(
        &mut self,
        operation: Operation,
        left: &Expr,
        right: &Expr,
        a: Side,
        b: Side,
    ) -> (Node, Type) {
        let (_, a) = self.settled(a, left, None);
        let (_, b) = self.settled(b, right, None);
        if a == Type::Unreadable || b == Type::Unreadable {
            return NOTHING;
        }
        let says = format!(
            "{} `{}` {} means nothing",
            described(&a),
            operation.sign(),
            described(&b)
        );
        let help = advice_on_sign(operation, &a, &b);
        self.fault("kind-mismatch", left.span.to(right.span), says, &help)
    }

    /// A day or moment moved by a time, in calendar months where it is written in months or years; or
    /// the time between two of them.
    fn moved(
        &mut self,
        operation: Operation,
        left: &Expr,
        from: (Node, Type),
        right: &Expr,
    ) -> (Node, Type) {
        let backwards = operation == Operation::Minus;
        let (by, yields) = self.expr(right, Some(Kind::Time));
        if let (Some(months), Type::Quantity(Kind::Time)) = (self.calendar_months(right), &yields) {
            let months = if backwards { -months } else { months };
            let limit = by.only_limit();
            return (Node::Months(Box::new(from.0), months, limit), from.1);
        }
        match yields {
            Type::Quantity(Kind::Time) => (
                Node::Arithmetic(operation, Box::new(from.0), Box::new(by)),
                from.1,
            ),
            Type::Date | Type::Moment if backwards => {
                let mut sides = [from, (by, yields)];
                by_the_day(&mut sides);
                let [(later, _), (earlier, _)] = sides;
                (
                    Node::Arithmetic(operation, Box::new(later), Box::new(earlier)),
                    Type::Quantity(Kind::Time),
                )
            }
            Type::Unreadable => NOTHING,
            other => {
                let says = format!(
                    "{} `{}` {} means nothing",
                    described(&from.1),
                    operation.sign(),
                    described(&other)
                );
                let help = match other {
                    Type::Date | Type::Moment => "subtract the earlier one from the later one",
                    _ => "add a length of time, as in `as_of + 12 months`",
                };
                self.fault("kind-mismatch", left.span.to(right.span), says, help)
            }
        }
    }

    /// Whole calendar months in a length of time that the rule or a limit writes out in months or
    /// years; nothing for any other.
    fn calendar_months(&self, expr: &Expr) -> Option<i32> {
        let (number, unit) = match &expr.form {
            Form::Measure {
                number,
                unit: Some(unit),
            } => (number.as_str(), unit.text.as_str()),
            Form::Limit(name) => self.written_limit(name)?,
            Form::Negate(inner) => return self.calendar_months(inner)?.checked_neg(),
            _ => return None,
        };
        let months = match UnitId::spelt(unit, Kind::Time)?.symbol() {
            "months" => Exact::ONE,
            "years" => Exact::from(12),
            _ => return None,
        };
        let months = Exact::parse(number)?.times(months)?;
        let whole = months.floor();
        (whole == months)
            .then(|| i32::try_from(whole.above()).ok())
            .flatten()
    }

    fn written_limit(&self, name: &Name) -> Option<(&str, &str)> {
        let limit = self
            .names
            .limits
            .iter()
            .find(|limit| limit.name == name.text)?;
        limit.written.split_once(' ')
    }
}
