//! An expression back to text, in the one form that this project writes.
//!
//! Contract: parsing what is printed gives the same expression, places apart. Brackets appear only
//! where the order of binding needs them.

use super::ast::{Each, Expr, Form, Inclusion, Operation, WhenEmpty, dotted};

/// How tightly a form binds; a looser one inside a tighter place needs brackets.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Binding {
    Open,
    Or,
    And,
    Not,
    Compared,
    Sum,
    Product,
    Signed,
    Closed,
}

/// The text of an expression.
pub fn print(expr: &Expr) -> String {
    let mut out = String::new();
    write(expr, Binding::Open, &mut out);
    out
}

fn binding(form: &Form) -> Binding {
    match form {
        Form::If(..) | Form::Every(..) | Form::Some(..) | Form::Count(_) | Form::Fold(..) => {
            Binding::Open
        }
        Form::Or(_) => Binding::Or,
        Form::And(_) => Binding::And,
        Form::Not(_) => Binding::Not,
        Form::Compare(..)
        | Form::Between(..)
        | Form::OneOf(..)
        | Form::Includes(..)
        | Form::Empty(_) => Binding::Compared,
        Form::Arithmetic(Operation::Plus | Operation::Minus, ..) => Binding::Sum,
        Form::Arithmetic(Operation::Times | Operation::Over, ..) => Binding::Product,
        Form::Negate(_) => Binding::Signed,
        _ => Binding::Closed,
    }
}

fn write(expr: &Expr, place: Binding, out: &mut String) {
    let brackets = binding(&expr.form) < place;
    if brackets {
        out.push('(');
    }
    form(&expr.form, out);
    if brackets {
        out.push(')');
    }
}

fn form(form: &Form, out: &mut String) {
    match form {
        Form::Measure { number, unit } => {
            out.push_str(number);
            if let Some(unit) = unit {
                out.push(' ');
                out.push_str(&unit.text);
            }
        }
        Form::Words(word) if word == "yes" || word == "no" => out.push_str(word),
        Form::Words(word) => {
            out.push('\'');
            out.push_str(word);
            out.push('\'');
        }
        Form::Date(date) => out.push_str(date),
        Form::AsOf => out.push_str("as_of"),
        Form::Limit(name) => {
            out.push_str("limit.");
            out.push_str(&name.text);
        }
        Form::Path(names) => out.push_str(&dotted(names)),
        Form::Cell { table, row, column } => {
            out.push_str(&table.text);
            out.push('[');
            write(row, Binding::Sum, out);
            out.push_str("].");
            out.push_str(&column.text);
        }
        Form::Unreadable => out.push('?'),
        Form::Pick(fold, among) => {
            out.push_str(fold.word());
            out.push_str(" of (");
            series(among, Binding::Open, ", ", out);
            out.push(')');
        }
        Form::Call(name, arguments) => {
            out.push_str(&name.text);
            out.push('(');
            series(arguments, Binding::Open, ", ", out);
            out.push(')');
        }
        Form::Every(..) | Form::Some(..) | Form::Count(_) | Form::Fold(..) => list_form(form, out),
        _ => joined(form, out),
    }
}

fn joined(form: &Form, out: &mut String) {
    match form {
        Form::Negate(inner) => {
            out.push('-');
            write(inner, Binding::Closed, out);
        }
        Form::Arithmetic(operation, left, right) => {
            let (here, after) = match operation {
                Operation::Plus | Operation::Minus => (Binding::Sum, Binding::Product),
                Operation::Times | Operation::Over => (Binding::Product, Binding::Signed),
            };
            write(left, here, out);
            out.push_str(&format!(" {} ", operation.sign()));
            write(right, after, out);
        }
        Form::Compare(comparison, left, right) => {
            write(left, Binding::Sum, out);
            out.push_str(&format!(" {} ", comparison.sign()));
            write(right, Binding::Sum, out);
        }
        Form::Between(value, low, high) => {
            write(value, Binding::Sum, out);
            out.push_str(" is between ");
            write(low, Binding::Sum, out);
            out.push_str(" and ");
            write(high, Binding::Sum, out);
        }
        Form::OneOf(value, options) => {
            write(value, Binding::Sum, out);
            out.push_str(" is one of ");
            bracketed(options, out);
        }
        Form::Includes(inclusion, set, options) => {
            write(set, Binding::Sum, out);
            match inclusion {
                Inclusion::OneOf => out.push_str(" includes one of "),
                Inclusion::Only => out.push_str(" includes only "),
            }
            bracketed(options, out);
        }
        Form::Empty(set) => {
            write(set, Binding::Sum, out);
            out.push_str(" is empty");
        }
        Form::Not(inner) => {
            out.push_str("not ");
            write(inner, Binding::Not, out);
        }
        Form::And(parts) => series(parts, Binding::Not, " and ", out),
        Form::Or(parts) => series(parts, Binding::And, " or ", out),
        Form::If(condition, then, otherwise) => {
            out.push_str("if ");
            write(condition, Binding::Or, out);
            out.push_str(" then ");
            write(then, Binding::Or, out);
            out.push_str(" else ");
            write(otherwise, Binding::Open, out);
        }
        _ => {}
    }
}

fn list_form(form: &Form, out: &mut String) {
    match form {
        Form::Every(each, when_empty, body) => {
            out.push_str("for every ");
            head(each, out);
            out.push_str(match when_empty {
                WhenEmpty::Acceptable => ", if any, ",
                WhenEmpty::Broken => ", at least one, ",
            });
            write(body, Binding::Open, out);
        }
        Form::Some(each, body) => {
            out.push_str("for some ");
            head(each, out);
            out.push_str(", ");
            write(body, Binding::Open, out);
        }
        Form::Count(each) => {
            out.push_str("count of ");
            head(each, out);
        }
        Form::Fold(fold, value, each, otherwise) => {
            out.push_str(fold.word());
            out.push_str(" of ");
            write(value, Binding::Sum, out);
            out.push_str(" for ");
            head(each, out);
            if let Some(otherwise) = otherwise {
                out.push_str(" otherwise ");
                write(otherwise, Binding::Sum, out);
            }
        }
        _ => {}
    }
}

fn head(each: &Each, out: &mut String) {
    if let Some(variable) = &each.variable {
        out.push_str(&variable.text);
        out.push_str(" in ");
    }
    out.push_str(&dotted(&each.list));
    if let Some(filter) = &each.filter {
        out.push_str(" where ");
        write(filter, Binding::Or, out);
    }
}

fn bracketed(options: &[Expr], out: &mut String) {
    out.push('[');
    series(options, Binding::Sum, ", ", out);
    out.push(']');
}

fn series(parts: &[Expr], place: Binding, between: &str, out: &mut String) {
    for (at, part) in parts.iter().enumerate() {
        if at > 0 {
            out.push_str(between);
        }
        write(part, place, out);
    }
}
