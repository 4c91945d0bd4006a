//! Every small change of a condition: the slips that a writer of rules could make.
//!
//! Contract: each change is of the parsed condition; whoever checks it again finds out whether it means
//! anything. The matches over the forms are exhaustive, so that a form that is added to the language
//! forces a decision here. This file must not know rules or cases.

use super::turned::{moved, negated, others, word_of};
use wetside_base::vocabulary::{self, Shape};
use wetside_lang::ast::{Choices, Each, Expr, Form, Inclusion, Name};
use wetside_lang::check::{self, Variable};
use wetside_lang::names::{Limit, Names};
use wetside_lang::node::Type;
use wetside_units::datetime::SECONDS_A_DAY;
use wetside_units::{DateTime, Kind, Quantity};

/// Something changed, with the change in plain words.
pub(super) type Change<T> = (String, T);

/// The text of a condition, and what it may name.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub text: &'a str,
    pub names: Names<'a>,
}

impl Ground<'_> {
    /// Every change of an expression; `scope` holds the elements that it may name.
    pub(super) fn changes(&self, expr: &Expr, scope: &[Variable]) -> Vec<Change<Expr>> {
        let span = expr.span;
        let own = self.own(expr, scope).into_iter();
        let own = own.map(|(says, form)| (says, Expr { span, form }));
        let mut inside = scope.to_vec();
        let mut form = expr.form.clone();
        inside.extend(head_mut(&mut form).and_then(|each| self.element(each, scope)));
        let within = with_parts(expr, |in_list, part| {
            self.changes(part, if in_list { &inside } else { scope })
        });
        own.chain(within).collect()
    }

    /// The name that a list expression gives to an element, with what that is.
    fn element(&self, each: &Each, scope: &[Variable]) -> Option<Variable> {
        let (list, _) = check::place(&each.list, self.names, scope);
        let Shape::List { element } = self.names.vocabulary.field(list?.field).shape else {
            return None;
        };
        let name = |name: &Name| name.text.clone();
        Some(Variable {
            name: name(each.variable.as_ref()?),
            before: each.after.as_ref().map(name),
            group: element,
        })
    }

    fn written(&self, expr: &Expr) -> String {
        let text = self.text.get(expr.span.range()).unwrap_or_default();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The changes of the outermost form alone.
    fn own(&self, expr: &Expr, scope: &[Variable]) -> Vec<Change<Form>> {
        let written = self.written(expr);
        let opposite = |form: Form| (format!("with the opposite of `{written}`"), form);
        let own = match &expr.form {
            Form::Measure { .. } | Form::Date(_) => self.literal(expr),
            Form::Words(_) | Form::AsOf | Form::Limit(_) | Form::Path(_) | Form::Cell { .. } => {
                vec![]
            }
            Form::Negate(_) | Form::Call(..) | Form::Unreadable => vec![],
            Form::Arithmetic(..) | Form::Compare(..) | Form::If(_, _, Some(_)) => vec![],
            Form::Not(inner) => vec![opposite(inner.form.clone())],
            Form::Between(..) | Form::Empty(_) => vec![opposite(negated(expr))],
            Form::OneOf(..) | Form::Includes(..) | Form::Holds(..) => {
                let lists = self.lists(&expr.form, scope).into_iter();
                let lists = lists.map(|(says, form)| (format!("{says} in `{written}`"), form));
                lists.chain([opposite(negated(expr))]).collect()
            }
            Form::And(parts) | Form::Or(parts) | Form::Pick(_, parts) => {
                self.without_one(parts, &expr.form)
            }
            Form::If(condition, then, None) => {
                vec![(
                    format!("without `if {}`", self.written(condition)),
                    then.form.clone(),
                )]
            }
            Form::Every(each, ..)
            | Form::Some(each, _)
            | Form::Count(each)
            | Form::Fold(_, _, each, _) => self.unfiltered(each, &expr.form).into_iter().collect(),
        };
        let others = others(&expr.form).into_iter();
        let others = others.map(|(now, form)| (format!("with {now} in `{written}`"), form));
        own.into_iter().chain(others).collect()
    }

    /// A number or a day moved.
    fn literal(&self, expr: &Expr) -> Vec<Change<Form>> {
        let says = |now: &str| format!("with `{now}` in place of `{}`", self.written(expr));
        match &expr.form {
            Form::Measure { number, unit } => {
                let symbol = unit.as_ref().map_or("", |unit| unit.text.as_str());
                let moved = moved(number, symbol, unit.is_none()).into_iter();
                let form = |(number, text): (String, String)| {
                    let says = says(format!("{number} {text}").trim_end());
                    let unit = unit.clone().map(|unit| Name { text, ..unit });
                    (says, Form::Measure { number, unit })
                };
                moved.map(form).collect()
            }
            Form::Date(text) => {
                let day = DateTime::parse(&format!("{text}T00:00")).ok();
                let beside = |by: i64| DateTime::from_seconds(day?.seconds() + by * SECONDS_A_DAY);
                let days = [-1, 1].into_iter().filter_map(beside);
                let days = days.map(|day| day.date().to_string());
                days.map(|day| (says(&day), Form::Date(day))).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Each part left out in turn.
    fn without_one(&self, parts: &[Expr], form: &Form) -> Vec<Change<Form>> {
        let without = |at: usize| {
            let (part, form) = without_part(form, parts, at);
            (format!("without `{}`", self.written(&part)), form)
        };
        (0..parts.len()).map(without).collect()
    }

    fn unfiltered(&self, each: &Each, form: &Form) -> Option<Change<Form>> {
        let says = format!("without `where {}`", self.written(each.filter.as_deref()?));
        let mut form = form.clone();
        if let Some(each) = head_mut(&mut form) {
            each.filter = None;
        }
        Some((says, form))
    }

    /// Each word of a list taken out in turn, and each other word of the field put in.
    fn lists(&self, form: &Form, scope: &[Variable]) -> Vec<Change<Form>> {
        let (value, held) = match form {
            Form::OneOf(value, choices) | Form::Includes(_, value, choices) => {
                (value, self.chosen(choices))
            }
            Form::Holds(set, word) => (set, word_of(word).into_iter().collect()),
            _ => return Vec::new(),
        };
        let with = |words: &[&str]| {
            let words = words.iter().map(|word| Expr {
                span: value.span,
                form: Form::Words((*word).to_string()),
            });
            let choices = Choices::Written(words.collect());
            match form {
                Form::OneOf(..) => Form::OneOf(value.clone(), choices),
                Form::Includes(inclusion, ..) => Form::Includes(*inclusion, value.clone(), choices),
                _ => Form::Includes(Inclusion::OneOf, value.clone(), choices),
            }
        };
        let change = |word: &str| {
            let rest: Vec<&str> = held
                .iter()
                .copied()
                .filter(|other| *other != word)
                .collect();
            if rest.len() < held.len() {
                (!rest.is_empty()).then(|| (format!("with `{word}` left out"), with(&rest)))
            } else {
                let longer = [held.as_slice(), &[word]].concat();
                (!held.is_empty()).then(|| (format!("with `{word}` added"), with(&longer)))
            }
        };
        self.words_of(value, scope)
            .into_iter()
            .filter_map(change)
            .collect()
    }

    /// The words that a value can be, or hold.
    fn words_of(&self, value: &Expr, scope: &[Variable]) -> Vec<&str> {
        let vocabulary = self.names.vocabulary;
        let words = match check::value(value, self.names, scope).0.yields {
            Type::Word(words) => words,
            Type::Set(field) => match &vocabulary.field(field).shape {
                Shape::Fact(vocabulary::Type::Set(words)) => words.clone(),
                _ => Vec::new(),
            },
            _ => Vec::new(),
        };
        words.iter().map(|word| vocabulary.word(*word)).collect()
    }

    /// The words that are written in brackets, or under a name of the pack.
    fn chosen<'w>(&'w self, choices: &'w Choices) -> Vec<&'w str> {
        match choices {
            Choices::Written(words) => words.iter().filter_map(word_of).collect(),
            Choices::Named(name) => {
                let list = self.names.lists.iter().find(|list| list.name == name.text);
                let words = list.into_iter().flat_map(|list| &list.words);
                words
                    .map(|word| self.names.vocabulary.word(*word))
                    .collect()
            }
        }
    }

    /// The limits of the pack with one of them moved.
    pub(super) fn limits(&self, at: usize) -> Vec<Change<Vec<Limit>>> {
        let limit = &self.names.limits[at];
        let whole = limit.from.is_empty().then_some((None, &limit.written));
        let by_day = limit.from.iter().enumerate();
        let by_day = by_day.map(|(place, from)| (Some(place), &from.written));
        let values = whole.into_iter().chain(by_day);
        let changes = values.flat_map(|(place, was)| {
            let (number, unit) = was.split_once(' ').unwrap_or((was, ""));
            let bare = unit.is_empty() && limit.kind != Kind::Acidity;
            moved(number, unit, bare)
                .into_iter()
                .filter_map(move |(number, unit)| {
                    let written = format!("{number} {unit}").trim_end().to_string();
                    let range = Quantity::parse(&written, limit.kind).ok()?.range;
                    let name = &limit.name;
                    let says = format!("with {written} in place of {was} for `limit.{name}`");
                    let mut limits = self.names.limits.to_vec();
                    match place {
                        None => (limits[at].range, limits[at].written) = (range, written),
                        Some(place) => limits[at].from[place].range = range,
                    }
                    Some((says, limits))
                })
        });
        changes.collect()
    }
}

/// One of several parts, and what is left of their form without it.
pub(super) fn without_part(form: &Form, parts: &[Expr], at: usize) -> (Expr, Form) {
    let mut rest = parts.to_vec();
    let part = rest.remove(at);
    let form = match form {
        _ if rest.len() == 1 => rest.remove(0).form,
        Form::And(_) => Form::And(rest),
        Form::Pick(fold, _) => Form::Pick(*fold, rest),
        _ => Form::Or(rest),
    };
    (part, form)
}

/// The whole expression for everything that `of` makes of one of its parts, of which it is told whether it may
/// name an element of the list.
pub(super) fn with_parts<T>(
    expr: &Expr,
    of: impl Fn(bool, &Expr) -> Vec<(T, Expr)>,
) -> Vec<(T, Expr)> {
    let mut all = Vec::new();
    let mut whole = expr.clone();
    for at in 0..parts(&mut whole.form).len() {
        let (in_list, part) = parts(&mut whole.form).swap_remove(at);
        let kept = part.clone();
        for (what, changed) in of(in_list, &kept) {
            *parts(&mut whole.form).swap_remove(at).1 = changed;
            all.push((what, whole.clone()));
        }
        *parts(&mut whole.form).swap_remove(at).1 = kept;
    }
    all
}

/// The list that a form walks through.
pub(super) fn head_mut(form: &mut Form) -> Option<&mut Each> {
    match form {
        Form::Every(each, ..)
        | Form::Some(each, _)
        | Form::Count(each)
        | Form::Fold(_, _, each, _) => Some(each),
        _ => None,
    }
}

/// The expressions in a form, and of each whether it may name an element of the list.
pub(super) fn parts(form: &mut Form) -> Vec<(bool, &mut Expr)> {
    let (inside, outside): (Vec<&mut Expr>, Vec<&mut Expr>) = match form {
        Form::Measure { .. } | Form::Words(_) | Form::Date(_) | Form::AsOf => (vec![], vec![]),
        Form::Limit(_) | Form::Path(_) | Form::Unreadable => (vec![], vec![]),
        Form::Cell { row: inner, .. }
        | Form::Negate(inner)
        | Form::Empty(inner)
        | Form::Not(inner) => (vec![], vec![inner]),
        // The words of a list are changed with the list.
        Form::OneOf(inner, _) | Form::Includes(_, inner, _) => (vec![], vec![inner]),
        Form::Arithmetic(_, a, b) | Form::Compare(_, a, b) | Form::Holds(a, b) => {
            (vec![], vec![a, b])
        }
        Form::Between(a, b, c) => (vec![], vec![a, b, c]),
        Form::If(a, b, c) => (
            vec![],
            [a, b]
                .into_iter()
                .chain(c)
                .map(|part| &mut **part)
                .collect(),
        ),
        Form::And(parts) | Form::Or(parts) | Form::Pick(_, parts) | Form::Call(_, parts) => {
            (vec![], parts.iter_mut().collect())
        }
        Form::Every(each, _, body) | Form::Some(each, body) => {
            (filter(each).chain([&mut **body]).collect(), vec![])
        }
        Form::Count(each) => (filter(each).collect(), vec![]),
        Form::Fold(_, value, each, otherwise) => (
            filter(each).chain([&mut **value]).collect(),
            otherwise.as_deref_mut().into_iter().collect(),
        ),
    };
    let inside = inside.into_iter().map(|part| (true, part));
    inside
        .chain(outside.into_iter().map(|part| (false, part)))
        .collect()
}

fn filter(each: &mut Each) -> impl Iterator<Item = &mut Expr> {
    each.filter.as_deref_mut().into_iter()
}
