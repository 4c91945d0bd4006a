//! Values: measures and their kinds, dates, limits, signs, functions.

use super::describe::described;
use super::literals::kinds_of;
use super::{Checker, NOTHING};
use crate::ast::{Comparison, Expr, Fold, Form, Name};
use crate::functions::{FUNCTIONS, Function};
use crate::names::Limit;
use crate::node::{Node, Type};
use wetside_base::suggest;
use wetside_units::{Date, DateTime, Exact, Interval, Kind, Quantity, table};

impl Checker<'_> {
    pub(super) fn plain_value(&mut self, expr: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        match &expr.form {
            Form::Measure { number, unit } => self.measure(expr, number, unit.as_ref(), wanted),
            Form::Words(word) => self.word(word),
            Form::Date(text) => self.date(expr, text),
            Form::AsOf => (Node::AsOf, Type::Date),
            Form::Limit(name) => self.limit(name),
            Form::Path(names) => self.fact(names),
            Form::Cell { table, row, column } => self.cell(table, row, column),
            Form::Negate(inner) => self.negated(inner, wanted),
            Form::Arithmetic(operation, left, right) => {
                self.arithmetic(*operation, left, right, wanted)
            }
            Form::Pick(fold, among) => self.pick(*fold, among, wanted),
            Form::Call(name, arguments) => self.call(name, arguments),
            _ => NOTHING,
        }
    }

    fn word(&self, word: &str) -> (Node, Type) {
        match self.names.vocabulary.word_id(word) {
            Some(id) => (Node::Word(id), Type::Word(vec![id])),
            None => (Node::Text(word.to_string()), Type::Text),
        }
    }

    fn date(&mut self, expr: &Expr, text: &str) -> (Node, Type) {
        let (read, yields) = if text.contains('T') {
            (DateTime::parse(text), Type::Moment)
        } else {
            (Date::parse(text).map(DateTime::from), Type::Date)
        };
        match read {
            Ok(time) => {
                let seconds = Interval::exact(Exact::whole(time.seconds()));
                (Node::Quantity(seconds), yields)
            }
            Err(fault) => self.fault("not-a-date", expr.span, fault.says, &fault.help),
        }
    }

    fn measure(
        &mut self,
        expr: &Expr,
        number: &str,
        unit: Option<&Name>,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        let kinds = kinds_of(unit);
        if let (Some(unit), true) = (unit, kinds.is_empty()) {
            let says = format!("`{}` is not a unit", unit.text);
            let spellings = table::spellings().map(|(spelling, _)| spelling);
            let help = suggest::help(
                &unit.text,
                spellings,
                "the units are listed in docs/units.md",
            );
            return self.fault("unknown-unit", unit.span, says, &help);
        }
        let kind = match wanted {
            Some(kind) if kinds.contains(&kind) => kind,
            Some(kind) if unit.is_none() && !kind.is_bare() => {
                let says = format!("`{number}` has no unit, beside {}", kind.row().one);
                let size = Exact::parse(number).unwrap_or(Exact::ONE);
                let likely = table::UnitId::likely(kind, size).symbol();
                let help = format!("write the unit, as in `{number} {likely}`");
                return self.fault("unit-missing", expr.span, says, &help);
            }
            _ => kinds[0],
        };
        let written = match unit {
            Some(unit) => format!("{number} {}", unit.text),
            None => number.to_string(),
        };
        match Quantity::parse(&written, kind) {
            Ok(quantity) => (Node::Quantity(quantity.range), Type::Quantity(kind)),
            Err(fault) => self.fault("not-a-quantity", expr.span, fault.says, &fault.help),
        }
    }

    fn limit(&mut self, name: &Name) -> (Node, Type) {
        let limits = self.names.limits;
        let offered: Vec<&str> = limits.iter().map(|limit| limit.name.as_str()).collect();
        let (lacks, otherwise) = (
            "the pack has no limit",
            "name it in the `limits` of pack.yaml",
        );
        match self.named("unknown-limit", lacks, name, &offered, otherwise) {
            Some(at) => (by_day(at, &limits[at]), Type::Quantity(limits[at].kind)),
            None => NOTHING,
        }
    }

    fn negated(&mut self, inner: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        if let Form::Measure { number, unit } = &inner.form {
            let (node, yields) = self.expr(inner, wanted);
            let (Node::Quantity(range), Type::Quantity(kind)) = (&node, &yields) else {
                return (node, yields);
            };
            let unit = unit.as_ref().map_or("", |unit| unit.text.as_str());
            let negative = negative_number(number, unit, *kind, range);
            return (Node::Quantity(negative), yields);
        }
        let (node, yields) = self.expr(inner, wanted);
        match yields {
            Type::Quantity(kind) if kind.is_point() => {
                let says = format!("the opposite of {} means nothing", kind.row().one);
                let help = "subtract two of them instead";
                self.fault("kind-mismatch", inner.span, says, help)
            }
            Type::Quantity(_) => (Node::Negate(Box::new(node)), yields),
            Type::Unreadable => NOTHING,
            other => {
                let says = format!("`-` needs a quantity, found {}", described(&other));
                self.fault(
                    "kind-mismatch",
                    inner.span,
                    says,
                    "write `not` before a condition",
                )
            }
        }
    }

    fn pick(&mut self, fold: Fold, among: &[Expr], wanted: Option<Kind>) -> (Node, Type) {
        let exprs: Vec<&Expr> = among.iter().collect();
        let read = self.alike(&exprs, wanted);
        if read.iter().any(|(_, yields)| *yields == Type::Unreadable) {
            return NOTHING;
        }
        let fit = |yields: &Type| matches!(yields, Type::Quantity(_) | Type::Date | Type::Moment);
        let Some(first) = read.iter().map(|(_, yields)| yields.clone()).find(fit) else {
            let says = format!("`{} of` weighs quantities or days", fold.word());
            let span = among
                .first()
                .map_or_else(Default::default, |expr| expr.span);
            return self.fault("kind-mismatch", span, says, "give values of one kind");
        };
        for ((_, yields), expr) in read.iter().zip(among) {
            if !self.is_like(yields, &first, expr) {
                return NOTHING;
            }
        }
        let nodes = read.into_iter().map(|(node, _)| node).collect();
        (Node::Pick(fold, nodes), first)
    }

    fn call(&mut self, name: &Name, arguments: &[Expr]) -> (Node, Type) {
        let offered: Vec<&str> = FUNCTIONS.iter().map(|function| function.name).collect();
        let all = format!(
            "the functions are {}",
            suggest::either(offered.iter().copied())
        );
        let lacks = "there is no function";
        let Some(at) = self.named("unknown-function", lacks, name, &offered, &all) else {
            return NOTHING;
        };
        let function = &FUNCTIONS[at];
        if arguments.len() != function.arguments {
            let says = format!(
                "`{}` takes {}, found {}",
                function.name,
                match function.arguments {
                    1 => "one value".to_string(),
                    several => format!("{several} values"),
                },
                arguments.len()
            );
            return self.fault("wrong-count", name.span, says, &help_of(function));
        }
        let exprs: Vec<&Expr> = arguments.iter().collect();
        let (nodes, types): (Vec<Node>, Vec<Type>) = self.alike(&exprs, None).into_iter().unzip();
        match (function.yields)(&types) {
            _ if types.contains(&Type::Unreadable) => NOTHING,
            Ok(yields) => (Node::Call(at, nodes), yields),
            Err(expected) => {
                let found: Vec<String> = types.iter().map(described).collect();
                let says = format!(
                    "`{}` takes {expected}, found {}",
                    function.name,
                    found.join(" and ")
                );
                self.fault("kind-mismatch", name.span, says, &help_of(function))
            }
        }
    }
}

/// A limit, which on the day of judgement has its latest value; before its first day it may be anything.
fn by_day(at: usize, limit: &Limit) -> Node {
    let range = match limit.from.as_slice() {
        [] => limit.range,
        _ => Interval::EVERYTHING,
    };
    let earlier = Node::Limit(at, range);
    limit.from.iter().fold(earlier, |earlier, from| {
        let day = Box::new(Node::Quantity(Interval::exact(from.day)));
        let since = Node::Compare(Comparison::AtLeast, Box::new(Node::AsOf), day);
        let now = Node::Limit(at, from.range);
        Node::If(Box::new(since), Box::new(now), Box::new(earlier))
    })
}

/// What a function gives, with one use of it.
fn help_of(function: &Function) -> String {
    format!("it gives {}, as in `{}`", function.says, function.example.0)
}

/// `-5 °C` is five degrees below zero, not the opposite of 278.15 K: the sign belongs to the number
/// as written.
fn negative_number(number: &str, unit: &str, kind: Kind, positive: &Interval) -> Interval {
    let written = format!("-{number} {unit}");
    let read = Quantity::parse(written.trim_end(), kind);
    read.map_or(positive.negated(), |quantity| quantity.range)
}
