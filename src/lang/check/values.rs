//! Values: measures and their kinds, limits, tables, arithmetic, functions.

use super::{Checker, NOTHING};
use crate::lang::ast::{Expr, Fold, Form, Name, Operation};
use crate::lang::functions::FUNCTIONS;
use crate::lang::names::{Holds, Table};
use crate::lang::node::{Node, Type};
use crate::suggest;
use crate::units::{Date, Exact, Interval, Kind, Quantity, table};
use crate::vocabulary::{self, Shape, Vocabulary};

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
        match Date::parse(text) {
            Ok(date) => {
                let day = Interval::exact(Exact::from(i64::from(date.day_number())));
                (Node::Quantity(day), Type::Date)
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
                let usual = table::UnitId::usual(kind).symbol();
                let help = format!("write the unit, as in `{number} {usual}`");
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
        match limits.iter().position(|limit| limit.name == name.text) {
            Some(at) => {
                self.limits.push(at);
                (
                    Node::Limit(at, limits[at].range),
                    Type::Quantity(limits[at].kind),
                )
            }
            None => {
                let offered = limits.iter().map(|limit| limit.name.as_str());
                let help =
                    suggest::help(&name.text, offered, "name it in the `limits` of pack.yaml");
                let says = format!("the pack has no limit `{}`", name.text);
                self.fault("unknown-limit", name.span, says, &help)
            }
        }
    }

    fn cell(&mut self, name: &Name, row: &Expr, column: &Name) -> (Node, Type) {
        let tables = self.names.tables;
        let Some(at) = tables.iter().position(|table| table.name == name.text) else {
            let offered = tables.iter().map(|table| table.name.as_str());
            let help = suggest::help(
                &name.text,
                offered,
                "the pack's tables lie in its folder `tables`",
            );
            let says = format!("the pack has no table `{}`", name.text);
            return self.fault("unknown-table", name.span, says, &help);
        };
        let table = &tables[at];
        let Some(key) = self.row_key(row, table) else {
            return NOTHING;
        };
        let found = table
            .columns
            .iter()
            .position(|held| held.name == column.text);
        let Some(held) = found else {
            let offered = table.columns.iter().map(|held| held.name.as_str());
            let all = format!("it has {}", suggest::either(offered.clone()));
            let help = suggest::help(&column.text, offered, &all);
            let says = format!("the table `{}` has no column `{}`", table.name, column.text);
            return self.fault("unknown-column", column.span, says, &help);
        };
        self.tables.push(at);
        let yields = match table.columns[held].holds {
            Holds::Quantity(kind) => Type::Quantity(kind),
            Holds::YesOrNo => Type::Word(vec![Vocabulary::YES, Vocabulary::NO]),
            Holds::Text => Type::Text,
        };
        (Node::Cell(at, held, Box::new(key)), yields)
    }

    /// The word that picks a row: a fact whose words all have rows, or one of those words.
    fn row_key(&mut self, row: &Expr, table: &Table) -> Option<Node> {
        let rows: Vec<_> = table.rows.iter().map(|row| row.word).collect();
        if let Form::Words(word) = &row.form {
            return self.choice_word(row, word, &rows).map(Node::Word);
        }
        let (node, yields) = self.expr(row, None);
        match yields {
            Type::Word(words) if words.iter().all(|word| rows.contains(word)) => {
                self.cut_words(&node, &words);
                Some(node)
            }
            Type::Unreadable => None,
            _ => {
                let keyed_by = &self.names.vocabulary.field(table.keyed_by).path;
                let says = format!("the rows of `{}` are the words of `{keyed_by}`", table.name);
                self.fault(
                    "kind-mismatch",
                    row.span,
                    says,
                    &format!("write `{}[{keyed_by}]`", table.name),
                );
                None
            }
        }
    }

    fn negated(&mut self, inner: &Expr, wanted: Option<Kind>) -> (Node, Type) {
        let (node, yields) = self.expr(inner, wanted);
        match yields {
            Type::Quantity(kind) => match node {
                Node::Quantity(range) => (
                    Node::Quantity(self.negated_number(inner, kind, &range)),
                    yields,
                ),
                other if !kind.is_point() => (Node::Negate(Box::new(other)), yields),
                _ => {
                    let says = format!("the opposite of {} means nothing", kind.row().one);
                    self.fault(
                        "kind-mismatch",
                        inner.span,
                        says,
                        "subtract two of them instead",
                    )
                }
            },
            Type::Unreadable => NOTHING,
            other => {
                let says = format!("`-` needs a quantity, found {}", self.described(&other));
                self.fault(
                    "kind-mismatch",
                    inner.span,
                    says,
                    "write `not` before a condition",
                )
            }
        }
    }

    /// `-5 °C` is five degrees below zero, not the opposite of 278.15 K: the sign belongs to the
    /// number as written.
    fn negated_number(&self, inner: &Expr, kind: Kind, range: &Interval) -> Interval {
        let Form::Measure { number, unit } = &inner.form else {
            return range.negated();
        };
        let unit = unit.as_ref().map_or("", |unit| unit.text.as_str());
        let written = format!("-{number} {unit}");
        Quantity::parse(written.trim_end(), kind).map_or(range.negated(), |quantity| quantity.range)
    }

    fn arithmetic(
        &mut self,
        operation: Operation,
        left: &Expr,
        right: &Expr,
        wanted: Option<Kind>,
    ) -> (Node, Type) {
        if let Some(calendar) = self.calendar(operation, left, right) {
            return calendar;
        }
        let (a_kinds, b_kinds) = (literal_kinds(left), literal_kinds(right));
        let a = match a_kinds {
            Some(_) => None,
            None => Some(self.expr(left, None)),
        };
        let b = match b_kinds {
            Some(_) => None,
            None => Some(self.expr(right, None)),
        };
        if let (Some((a, Type::Date)), Some((b, Type::Date))) = (&a, &b) {
            return self.date_difference(operation, left, a.clone(), b.clone());
        }
        let options = |read: &Option<(Node, Type)>, kinds: Option<Vec<Kind>>| match read {
            Some((_, Type::Quantity(kind))) => vec![*kind],
            Some(_) => Vec::new(),
            None => kinds.unwrap_or_default(),
        };
        let (a_kinds, b_kinds) = (options(&a, a_kinds), options(&b, b_kinds));
        let pairs = a_kinds
            .iter()
            .flat_map(|x| b_kinds.iter().map(move |y| (*x, *y)));
        let fitting: Vec<(Kind, Kind, Kind)> = pairs
            .filter_map(|(x, y)| Some((x, y, combined(operation, x, y)?)))
            .collect();
        let as_wanted = fitting.iter().find(|(_, _, kind)| Some(*kind) == wanted);
        let Some(&(x, y, kind)) = as_wanted.or(fitting.first()) else {
            return self.no_sense(operation, left, right, a, b);
        };
        let a = a.map_or_else(|| self.expr(left, Some(x)).0, |(node, _)| node);
        let b = b.map_or_else(|| self.expr(right, Some(y)).0, |(node, _)| node);
        (joined(operation, a, b), Type::Quantity(kind))
    }

    fn no_sense(
        &mut self,
        operation: Operation,
        left: &Expr,
        right: &Expr,
        a: Option<(Node, Type)>,
        b: Option<(Node, Type)>,
    ) -> (Node, Type) {
        let a = a.unwrap_or_else(|| self.expr(left, None)).1;
        let b = b.unwrap_or_else(|| self.expr(right, None)).1;
        if a == Type::Unreadable || b == Type::Unreadable {
            return NOTHING;
        }
        let says = format!(
            "{} `{}` {} means nothing",
            self.described(&a),
            operation.sign(),
            self.described(&b)
        );
        let help = super::advice(&a, &b);
        self.fault("kind-mismatch", left.span.to(right.span), says, &help)
    }

    /// A date moved by a time, in calendar months where it is written in months or years.
    fn calendar(
        &mut self,
        operation: Operation,
        left: &Expr,
        right: &Expr,
    ) -> Option<(Node, Type)> {
        if !matches!(operation, Operation::Plus | Operation::Minus) || !self.is_date(left) {
            return None;
        }
        let written = match &right.form {
            Form::Measure {
                number,
                unit: Some(unit),
            } => Some((number.clone(), unit.text.clone())),
            Form::Limit(name) => self.written_limit(name),
            _ => None,
        };
        let backwards = operation == Operation::Minus;
        if let Some(months) = written
            .as_ref()
            .and_then(|(number, unit)| calendar_months(number, unit))
        {
            let (date, _) = self.expr(left, None);
            self.expr(right, Some(Kind::Time));
            let months = if backwards { -months } else { months };
            return Some((Node::Months(Box::new(date), months), Type::Date));
        }
        let known = self.problems.len();
        let (by, yields) = self.expr(right, Some(Kind::Time));
        match yields {
            Type::Quantity(Kind::Time) => {
                let (date, _) = self.expr(left, None);
                let by = if backwards {
                    Node::Negate(Box::new(by))
                } else {
                    by
                };
                Some((Node::Days(Box::new(date), Box::new(by)), Type::Date))
            }
            _ => {
                self.problems.truncate(known);
                None
            }
        }
    }

    fn is_date(&self, expr: &Expr) -> bool {
        match &expr.form {
            Form::Date(_) | Form::AsOf => true,
            Form::Arithmetic(Operation::Plus | Operation::Minus, left, right) => {
                self.is_date(left) && !self.is_date(right)
            }
            Form::Path(names) => {
                let vocabulary = self.names.vocabulary;
                let start = self
                    .variables
                    .iter()
                    .rfind(|(name, _)| *name == names[0].text);
                let (start, rest) = match start {
                    Some((_, element)) => (*element, &names[1..]),
                    None => (Vocabulary::ROOT, &names[..]),
                };
                let found = rest
                    .iter()
                    .try_fold(start, |at, name| vocabulary.child(at, &name.text));
                found.is_some_and(|field| {
                    matches!(
                        vocabulary.field(field).shape,
                        Shape::Fact(vocabulary::Type::Date)
                    )
                })
            }
            _ => false,
        }
    }

    fn written_limit(&self, name: &Name) -> Option<(String, String)> {
        let limit = self
            .names
            .limits
            .iter()
            .find(|limit| limit.name == name.text)?;
        let (number, unit) = limit.written.split_once(' ')?;
        Some((number.to_string(), unit.to_string()))
    }

    fn date_difference(
        &mut self,
        operation: Operation,
        left: &Expr,
        a: Node,
        b: Node,
    ) -> (Node, Type) {
        if operation == Operation::Minus {
            return (
                Node::Between(Box::new(a), Box::new(b)),
                Type::Quantity(Kind::Time),
            );
        }
        let says = format!("two dates cannot be joined by `{}`", operation.sign());
        self.fault(
            "kind-mismatch",
            left.span,
            says,
            "subtract the earlier date from the later one",
        )
    }

    fn pick(&mut self, fold: Fold, among: &[Expr], wanted: Option<Kind>) -> (Node, Type) {
        let sample = among
            .iter()
            .find(|expr| !is_literal(expr))
            .or(among.first());
        let Some(sample) = sample else { return NOTHING };
        let known = (
            self.problems.len(),
            self.fields.len(),
            self.limits.len(),
            self.tables.len(),
        );
        let (_, yields) = self.expr(sample, wanted);
        // The sample is read again below, in its place among the others.
        self.problems.truncate(known.0);
        self.fields.truncate(known.1);
        self.limits.truncate(known.2);
        self.tables.truncate(known.3);
        let kind = match &yields {
            Type::Quantity(kind) => Some(*kind),
            _ => None,
        };
        let mut nodes = Vec::new();
        for expr in among {
            let (node, found) = self.expr(expr, kind);
            let fits = match (&found, kind) {
                (Type::Unreadable, _) => return NOTHING,
                (_, Some(kind)) => self.is_of(&found, kind, expr),
                (found, None) => *found == Type::Date && yields == Type::Date,
            };
            if !fits {
                if kind.is_none() {
                    let says = format!(
                        "`{} of` weighs quantities or dates, found {}",
                        fold.word(),
                        self.described(&found)
                    );
                    self.fault("kind-mismatch", expr.span, says, "give values of one kind");
                }
                return NOTHING;
            }
            nodes.push(node);
        }
        (Node::Pick(fold, nodes), yields)
    }

    fn call(&mut self, name: &Name, arguments: &[Expr]) -> (Node, Type) {
        let Some(at) = FUNCTIONS
            .iter()
            .position(|function| function.name == name.text)
        else {
            let offered = FUNCTIONS.iter().map(|function| function.name);
            let all = format!("the functions are {}", suggest::either(offered.clone()));
            let help = suggest::help(&name.text, offered, &all);
            let says = format!("there is no function `{}`", name.text);
            return self.fault("unknown-function", name.span, says, &help);
        };
        let function = &FUNCTIONS[at];
        if arguments.len() != function.arguments {
            let says = format!(
                "`{}` takes {} values, found {}",
                function.name,
                function.arguments,
                arguments.len()
            );
            return self.fault("wrong-count", name.span, says, function.says);
        }
        let (mut nodes, mut kinds) = (Vec::new(), Vec::new());
        for argument in arguments {
            let (node, yields) = self.expr(argument, kinds.first().copied());
            match yields {
                Type::Quantity(kind) => kinds.push(kind),
                Type::Unreadable => return NOTHING,
                other => {
                    let says = format!(
                        "`{}` takes quantities, found {}",
                        function.name,
                        self.described(&other)
                    );
                    return self.fault("kind-mismatch", argument.span, says, function.says);
                }
            }
            nodes.push(node);
        }
        match (function.kind)(&kinds) {
            Ok(kind) => (Node::Call(at, nodes), Type::Quantity(kind)),
            Err(expected) => {
                let says = format!("`{}` takes {expected}", function.name);
                self.fault("kind-mismatch", name.span, says, function.says)
            }
        }
    }
}

/// A measure written out, with or without a sign.
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

/// The range of a node that no survey can change.
pub(super) fn fixed(node: &Node) -> Option<Interval> {
    match node {
        Node::Quantity(range) | Node::Limit(_, range) => Some(*range),
        _ => None,
    }
}

/// The kinds that a measure may have by its unit.
fn kinds_of(unit: Option<&Name>) -> Vec<Kind> {
    match unit {
        None => vec![Kind::Number, Kind::Count, Kind::Acidity, Kind::Year],
        Some(unit) => table::meanings(&unit.text)
            .flat_map(|unit| unit.row().kinds.iter().copied())
            .collect(),
    }
}

/// The kinds that a literal may take from its surroundings; nothing for any other expression.
fn literal_kinds(expr: &Expr) -> Option<Vec<Kind>> {
    match &expr.form {
        Form::Measure { unit, .. } => Some(kinds_of(unit.as_ref())),
        Form::Negate(inner) => literal_kinds(inner),
        _ => None,
    }
}

fn combined(operation: Operation, a: Kind, b: Kind) -> Option<Kind> {
    match operation {
        Operation::Plus => a.plus(b),
        Operation::Minus => a.minus(b),
        Operation::Times => a.times(b),
        Operation::Over => a.over(b),
    }
}

fn joined(operation: Operation, a: Node, b: Node) -> Node {
    let (a, b) = (Box::new(a), Box::new(b));
    match operation {
        Operation::Plus => Node::Plus(a, b),
        Operation::Minus => Node::Minus(a, b),
        Operation::Times => Node::Times(a, b),
        Operation::Over => Node::Over(a, b),
    }
}

/// Whole calendar months in `12 months` or `2 years`; nothing for other units.
fn calendar_months(number: &str, unit: &str) -> Option<i32> {
    let number: i32 = number.parse().ok()?;
    match unit {
        "month" | "months" => Some(number),
        "year" | "years" => number.checked_mul(12),
        _ => None,
    }
}
