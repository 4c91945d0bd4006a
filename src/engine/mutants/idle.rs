//! Parts of a rule's conditions that do nothing: without them every outcome is the same.

use super::change::{parts, with_parts, without_part};
use super::{Bench, KEYS};
use wetside_base::source::Span;
use wetside_lang::ast::{Expr, Form};

/// A part of a condition that does nothing.
pub(crate) struct IdlePart {
    /// The key under which the condition stands.
    pub key: &'static str,
    /// Where the part stands in the text of the condition.
    pub span: Span,
}

impl Bench<'_> {
    /// The parts that do nothing, and how many were tried. Of two of which either could go, one is told; one that
    /// could go only with another is not.
    pub(super) fn idle_parts(&self) -> (Vec<IdlePart>, usize) {
        let whole = self.exprs();
        let mut exprs = whole.clone();
        let mut idle: Vec<IdlePart> = Vec::new();
        let mut tried = 0;
        for at in 0..KEYS.len() {
            loop {
                let mut parts = removable(at, exprs[at].as_ref()).into_iter();
                let alone = removable(at, whole[at].as_ref());
                let found = parts.find(|(span, rest)| {
                    let mut by_itself = alone.iter().filter(|(other, _)| other == span);
                    tried += 1;
                    self.does_nothing(&exprs, at, rest)
                        && by_itself.any(|(_, rest)| self.does_nothing(&whole, at, rest))
                });
                let Some((span, rest)) = found else { break };
                let key = KEYS[at];
                idle.push(IdlePart { key, span });
                exprs[at] = rest;
            }
        }
        (idle, tried)
    }

    /// Whether every outcome stays where one of the conditions is this.
    fn does_nothing(&self, exprs: &[Option<Expr>; 3], at: usize, rest: &Option<Expr>) -> bool {
        let mut exprs = exprs.clone();
        exprs[at].clone_from(rest);
        let other = self.judging_by(&exprs, self.names());
        other.is_some_and(|other| self.never_differs(&other))
    }
}

/// The parts of one condition, from the outside in, each with what is left without it.
fn removable(at: usize, expr: Option<&Expr>) -> Vec<(Span, Option<Expr>)> {
    let Some(expr) = expr else {
        return Vec::new();
    };
    let whole = (KEYS[at] == "when").then_some((expr.span, None));
    let parts = without(expr).into_iter();
    let parts = parts.map(|(span, rest)| (span, Some(rest)));
    // What a table says may be another thing tomorrow.
    let all = whole.into_iter().chain(parts);
    all.filter(|(span, _)| !looks_up(&mut expr.clone(), *span))
        .collect()
}

/// Whether a part of an expression looks something up.
fn looks_up(expr: &mut Expr, span: Span) -> bool {
    let inside = span.start <= expr.span.start && expr.span.end <= span.end;
    inside && matches!(expr.form, Form::Cell { .. })
        || parts(&mut expr.form)
            .into_iter()
            .any(|(_, part)| looks_up(part, span))
}

/// The expression without each of its parts in turn, from the outside in, with the place of the part.
fn without(expr: &Expr) -> Vec<(Span, Expr)> {
    let with = |form: Form| Expr {
        span: expr.span,
        form,
    };
    let mut all = match &expr.form {
        Form::And(held) | Form::Or(held) => {
            let left = |at: usize| {
                let (part, form) = without_part(&expr.form, held, at);
                (part.span, with(form))
            };
            (0..held.len()).map(left).collect()
        }
        Form::If(_, then, Some(otherwise)) => vec![
            (then.span, with(otherwise.form.clone())),
            (otherwise.span, with(then.form.clone())),
        ],
        _ => Vec::new(),
    };
    all.extend(with_parts(expr, |_, part| without(part)));
    all
}
