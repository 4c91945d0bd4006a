//! Every small change of a condition: the slips that a writer of rules could make.
//!
//! Contract: each change is of the parsed condition; whoever checks it again finds out whether it means
//! anything. The matches over the forms are exhaustive, so that a form that is added to the language
//! forces a decision here. This file must not know rules or cases.

use wetside_base::vocabulary::{self, Shape};
use wetside_lang::ast::{Comparison, Each, Expr, Fold, Form, Inclusion, Operation, WhenEmpty};
use wetside_lang::check::{self, Variable};
use wetside_lang::names::{Limit, Names};
use wetside_lang::node::Type;
use wetside_units::{Date, Exact, Kind, Quantity};

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
        let mut all: Vec<_> = own
            .map(|(says, form)| (says, Expr { span, form }))
            .collect();
        let mut inside = scope.to_vec();
        inside.extend(head(&expr.form).and_then(|each| self.element(each, scope)));
        let mut whole = expr.clone();
        for at in 0..parts(&mut whole.form).len() {
            let (in_list, part) = parts(&mut whole.form).swap_remove(at);
            let scope = if in_list { &inside } else { scope };
            let kept = part.clone();
            for (says, changed) in self.changes(&kept, scope) {
                *parts(&mut whole.form).swap_remove(at).1 = changed;
                all.push((says, whole.clone()));
            }
            *parts(&mut whole.form).swap_remove(at).1 = kept;
        }
        all
    }

    /// The name that a list expression gives to an element, with what that is.
    fn element(&self, each: &Each, scope: &[Variable]) -> Option<Variable> {
        let (list, _) = check::place(&each.list, self.names, scope);
        let Shape::List { element } = self.names.vocabulary.field(list?.field).shape else {
            return None;
        };
        Some((each.variable.as_ref()?.text.clone(), element))
    }

    fn written(&self, expr: &Expr) -> String {
        let text = self.text.get(expr.span.range()).unwrap_or_default();
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The changes of the outermost form alone.
    fn own(&self, expr: &Expr, scope: &[Variable]) -> Vec<Change<Form>> {
        let written = self.written(expr);
        let instead = |now: &str, form: Form| (format!("with {now} in `{written}`"), form);
        let opposite = || vec![(format!("with the opposite of `{written}`"), negated(expr))];
        match &expr.form {
            Form::Words(_) | Form::AsOf | Form::Limit(_) | Form::Path(_) | Form::Cell { .. } => {
                vec![]
            }
            Form::Negate(_) | Form::Call(..) | Form::Unreadable => vec![],
            Form::Measure { number, unit } => {
                let bare = unit.is_none();
                let moved = moved(number, unit.as_ref().map(|unit| unit.text.as_str()), bare);
                let moved = moved.into_iter().map(|(number, symbol)| {
                    let unit = unit.clone().map(|unit| wetside_lang::ast::Name {
                        text: symbol.clone(),
                        ..unit
                    });
                    let says = format!(
                        "with `{}` in place of `{written}`",
                        format!("{number} {symbol}").trim_end()
                    );
                    (says, Form::Measure { number, unit })
                });
                moved.collect()
            }
            Form::Date(day) => {
                let day = Date::parse(day).ok();
                let beside = |days: i32| Date::from_day_number(day?.day_number() + days);
                let moved = [-1, 1].into_iter().filter_map(beside);
                moved
                    .map(|day| instead(&format!("`{day}`"), Form::Date(day.to_string())))
                    .collect()
            }
            Form::Arithmetic(operation, a, b) => {
                let other = match operation {
                    Operation::Plus => Operation::Minus,
                    Operation::Minus => Operation::Plus,
                    Operation::Times => Operation::Over,
                    Operation::Over => Operation::Times,
                };
                vec![instead(
                    &format!("`{}`", other.sign()),
                    Form::Arithmetic(other, a.clone(), b.clone()),
                )]
            }
            Form::Compare(comparison, a, b) => {
                let turned = turned(*comparison).iter();
                turned
                    .map(|other| {
                        instead(
                            &format!("`{}`", other.sign()),
                            Form::Compare(*other, a.clone(), b.clone()),
                        )
                    })
                    .collect()
            }
            Form::Between(..) | Form::Empty(_) => opposite(),
            Form::OneOf(value, options) => {
                let lists = self.lists(value, options, scope).into_iter();
                let lists =
                    lists.map(|(says, list)| instead(&says, Form::OneOf(value.clone(), list)));
                lists.chain(opposite()).collect()
            }
            Form::Includes(inclusion, set, options) => {
                let other = match inclusion {
                    Inclusion::OneOf => Inclusion::Only,
                    Inclusion::Only => Inclusion::OneOf,
                };
                let named = if other == Inclusion::Only {
                    "`includes only`"
                } else {
                    "`includes one of`"
                };
                let turned = instead(named, Form::Includes(other, set.clone(), options.clone()));
                let lists = self.lists(set, options, scope).into_iter();
                let lists = lists.map(|(says, list)| {
                    instead(&says, Form::Includes(*inclusion, set.clone(), list))
                });
                lists.chain([turned]).chain(opposite()).collect()
            }
            Form::Not(inner) => vec![(
                format!("with the opposite of `{written}`"),
                inner.form.clone(),
            )],
            Form::And(parts) => {
                let turned = instead("`or` in place of `and`", Form::Or(parts.clone()));
                self.without_one(parts, Form::And)
                    .into_iter()
                    .chain([turned])
                    .collect()
            }
            Form::Or(parts) => {
                let turned = instead("`and` in place of `or`", Form::And(parts.clone()));
                self.without_one(parts, Form::Or)
                    .into_iter()
                    .chain([turned])
                    .collect()
            }
            Form::If(condition, a, b) => {
                vec![instead(
                    "the two branches exchanged",
                    Form::If(condition.clone(), b.clone(), a.clone()),
                )]
            }
            Form::Every(each, when_empty, body) => {
                let (other, named) = match when_empty {
                    WhenEmpty::Acceptable => (WhenEmpty::Broken, "`at least one`"),
                    WhenEmpty::Broken => (WhenEmpty::Acceptable, "`if any`"),
                };
                let same = |each| Form::Every(each, *when_empty, body.clone());
                vec![
                    instead(named, Form::Every(each.clone(), other, body.clone())),
                    instead("`for some`", Form::Some(each.clone(), body.clone())),
                ]
                .into_iter()
                .chain(self.unfiltered(each, same))
                .collect()
            }
            Form::Some(each, body) => {
                let every = Form::Every(each.clone(), WhenEmpty::Acceptable, body.clone());
                let filter = self.unfiltered(each, |each| Form::Some(each, body.clone()));
                [instead("`for every`", every)]
                    .into_iter()
                    .chain(filter)
                    .collect()
            }
            Form::Count(each) => self.unfiltered(each, Form::Count).into_iter().collect(),
            Form::Fold(fold, value, each, otherwise) => {
                let form = |fold, each| Form::Fold(fold, value.clone(), each, otherwise.clone());
                let turned = other_end(*fold).map(|other| {
                    instead(&format!("`{}`", other.word()), form(other, each.clone()))
                });
                turned
                    .into_iter()
                    .chain(self.unfiltered(each, |each| form(*fold, each)))
                    .collect()
            }
            Form::Pick(fold, among) => {
                let turned = other_end(*fold).map(|other| {
                    instead(
                        &format!("`{}`", other.word()),
                        Form::Pick(other, among.clone()),
                    )
                });
                self.without_one(among, |rest| Form::Pick(*fold, rest))
                    .into_iter()
                    .chain(turned)
                    .collect()
            }
        }
    }

    /// Each part left out in turn.
    fn without_one(&self, parts: &[Expr], form: impl Fn(Vec<Expr>) -> Form) -> Vec<Change<Form>> {
        let without = |at: usize| {
            let mut rest = parts.to_vec();
            let says = format!("without `{}`", self.written(&rest.remove(at)));
            let form = if rest.len() == 1 {
                rest.remove(0).form
            } else {
                form(rest)
            };
            (says, form)
        };
        (0..parts.len()).map(without).collect()
    }

    fn unfiltered(&self, each: &Each, form: impl FnOnce(Each) -> Form) -> Option<Change<Form>> {
        let filter = each.filter.as_ref()?;
        let says = format!("without `where {}`", self.written(filter));
        Some((
            says,
            form(Each {
                filter: None,
                ..each.clone()
            }),
        ))
    }

    /// Each word of a list taken out in turn, and each other word of the field put in.
    fn lists(&self, value: &Expr, options: &[Expr], scope: &[Variable]) -> Vec<Change<Vec<Expr>>> {
        let vocabulary = self.names.vocabulary;
        let words = match check::value(value, self.names, scope).0.yields {
            Type::Word(words) => words,
            Type::Set(field) => match &vocabulary.field(field).shape {
                Shape::Fact(vocabulary::Type::Set(words)) => words.clone(),
                _ => Vec::new(),
            },
            _ => Vec::new(),
        };
        let is =
            |option: &Expr, word: &str| matches!(&option.form, Form::Words(text) if text == word);
        let change = |word: &str| {
            let mut list = options.to_vec();
            list.retain(|option| !is(option, word));
            if list.len() < options.len() {
                return (format!("`{word}` left out"), list);
            }
            let form = Form::Words(word.to_string());
            list.push(Expr {
                form,
                ..options[0].clone()
            });
            (format!("`{word}` added"), list)
        };
        let words = words.iter().map(|word| change(vocabulary.word(*word)));
        words.filter(|(_, list)| !list.is_empty()).collect()
    }

    /// The limits of the pack with one of them moved.
    pub(super) fn limits(&self, at: usize) -> Vec<Change<Vec<Limit>>> {
        let limit = &self.names.limits[at];
        let (number, unit) = limit
            .written
            .split_once(' ')
            .unwrap_or((&limit.written, ""));
        let bare = unit.is_empty() && limit.kind != Kind::Acidity;
        let change = |(number, unit): (String, String)| {
            let written = format!("{number} {unit}").trim_end().to_string();
            let range = Quantity::parse(&written, limit.kind).ok()?.range;
            let says = format!(
                "with {written} in place of {} for `limit.{}`",
                limit.written, limit.name
            );
            let mut limits = self.names.limits.to_vec();
            limits[at] = Limit {
                range,
                written,
                ..limit.clone()
            };
            Some((says, limits))
        };
        moved(number, Some(unit), bare)
            .into_iter()
            .filter_map(change)
            .collect()
    }
}

/// The list that a form walks through.
fn head(form: &Form) -> Option<&Each> {
    match form {
        Form::Every(each, ..)
        | Form::Some(each, _)
        | Form::Count(each)
        | Form::Fold(_, _, each, _) => Some(each),
        _ => None,
    }
}

/// The expressions in a form, and of each whether it may name an element of the list.
fn parts(form: &mut Form) -> Vec<(bool, &mut Expr)> {
    let (inside, outside): (Vec<&mut Expr>, Vec<&mut Expr>) = match form {
        Form::Measure { .. } | Form::Words(_) | Form::Date(_) | Form::AsOf => (vec![], vec![]),
        Form::Limit(_) | Form::Path(_) | Form::Unreadable => (vec![], vec![]),
        Form::Cell { row: inner, .. }
        | Form::Negate(inner)
        | Form::Empty(inner)
        | Form::Not(inner) => (vec![], vec![inner]),
        // The words of a list are changed with the list.
        Form::OneOf(inner, _) | Form::Includes(_, inner, _) => (vec![], vec![inner]),
        Form::Arithmetic(_, a, b) | Form::Compare(_, a, b) => (vec![], vec![a, b]),
        Form::Between(a, b, c) | Form::If(a, b, c) => (vec![], vec![a, b, c]),
        Form::And(parts) | Form::Or(parts) | Form::Pick(_, parts) | Form::Call(_, parts) => {
            (vec![], parts.iter_mut().collect())
        }
        Form::Every(each, _, body) | Form::Some(each, body) => (
            each.filter
                .as_deref_mut()
                .into_iter()
                .chain([&mut **body])
                .collect(),
            vec![],
        ),
        Form::Count(each) => (each.filter.as_deref_mut().into_iter().collect(), vec![]),
        Form::Fold(_, value, each, otherwise) => (
            each.filter
                .as_deref_mut()
                .into_iter()
                .chain([&mut **value])
                .collect(),
            otherwise.as_deref_mut().into_iter().collect(),
        ),
    };
    let inside = inside.into_iter().map(|part| (true, part));
    inside
        .chain(outside.into_iter().map(|part| (false, part)))
        .collect()
}

fn negated(expr: &Expr) -> Form {
    Form::Not(Box::new(expr.clone()))
}

/// The comparison that differs on the limit alone, and the opposite.
fn turned(comparison: Comparison) -> &'static [Comparison] {
    match comparison {
        Comparison::Less => &[Comparison::AtMost, Comparison::AtLeast],
        Comparison::AtMost => &[Comparison::Less, Comparison::More],
        Comparison::More => &[Comparison::AtLeast, Comparison::AtMost],
        Comparison::AtLeast => &[Comparison::More, Comparison::Less],
        Comparison::Is => &[Comparison::IsNot],
        Comparison::IsNot => &[Comparison::Is],
    }
}

fn other_end(fold: Fold) -> Option<Fold> {
    match fold {
        Fold::Least => Some(Fold::Greatest),
        Fold::Greatest => Some(Fold::Least),
        Fold::Sum => None,
    }
}

/// A number a hair lower and higher, and by half, with its unit: a hair is a hundredth, a whole one of
/// what comes in whole numbers, and of longer times the next day or month.
fn moved(number: &str, unit: Option<&str>, whole: bool) -> Vec<(String, String)> {
    let unit = unit.unwrap_or_default();
    let (times, unit, whole) = match unit {
        "year" | "years" => (12, "months", true),
        "month" | "months" => (1, "months", true),
        "week" | "weeks" => (7, "days", true),
        "day" | "days" => (1, "days", true),
        other => (1, other, whole),
    };
    let number = Exact::parse(number).and_then(|number| number.times(Exact::from(times)));
    let Some(number) = number else {
        return Vec::new();
    };
    let share = |above: i64, below: i64| number.times(Exact::from(above))?.over(Exact::from(below));
    let hair = if whole && number.floor() == number {
        Some(Exact::ONE)
    } else if number.is_zero() {
        Exact::decimal(1, 2)
    } else {
        share(1, 100)
    };
    let hair = hair.unwrap_or(Exact::ONE);
    let all = [
        number.minus(hair),
        number.plus(hair),
        share(1, 2),
        share(3, 2),
    ];
    let all = all.into_iter().flatten().filter(|moved| *moved != number);
    all.map(|moved| (moved.to_decimal(0), unit.to_string()))
        .collect()
}
