//! Comparisons, and where they cut the ranges of facts.

use super::describe::{advice, described};
use super::literals::{by_the_day, comparable, fixed, is_literal};
use super::{Checker, NOTHING};
use crate::ast::{Comparison, Expr, Form};
use crate::functions::DAY_OF;
use crate::node::{Node, Type};
use wetside_base::source::Span;
use wetside_base::vocabulary::WordId;
use wetside_units::datetime::SECONDS_A_DAY;
use wetside_units::truth::Truth;
use wetside_units::{Exact, Interval};

impl Checker<'_> {
    pub(super) fn compare(
        &mut self,
        comparison: Comparison,
        left: &Expr,
        right: &Expr,
    ) -> (Node, Type) {
        // A literal takes its kind from the other side, so the other side is read first.
        let mut sides = if is_literal(left) && !is_literal(right) {
            let b = self.expr(right, None);
            [self.beside(left, &b.1), b]
        } else {
            let a = self.expr(left, None);
            let b = self.beside(right, &a.1);
            [a, b]
        };
        by_the_day(&mut sides);
        let [(a, a_type), (b, b_type)] = sides;
        if matches!((&a, &b), (Node::Fact(one), Node::Fact(other)) if one == other)
            && !matches!(a_type, Type::Set(_))
        {
            let says = "this compares a fact with itself".to_string();
            let help = "write on one side what the fact is to be held against";
            return self.fault("with-itself", left.span.to(right.span), says, help);
        }
        let boxed = (Box::new(a), Box::new(b));
        match (&a_type, &b_type) {
            (Type::Unreadable, _) | (_, Type::Unreadable) => NOTHING,
            (Type::Quantity(x), Type::Quantity(y)) if comparable(*x, *y) => {
                self.cut(&boxed.0, &boxed.1);
                (Node::Compare(comparison, boxed.0, boxed.1), Type::Truth)
            }
            (Type::Date, Type::Date) | (Type::Moment, Type::Moment) => {
                self.cut(&boxed.0, &boxed.1);
                (Node::Compare(comparison, boxed.0, boxed.1), Type::Truth)
            }
            (Type::Word(x), Type::Word(y)) => {
                self.same_words(comparison, left.span.to(right.span), boxed, x, y)
            }
            (Type::Text, Type::Text) => self.same(comparison, left.span.to(right.span), boxed),
            _ => {
                let says = format!(
                    "{} cannot be compared with {}",
                    described(&a_type),
                    described(&b_type)
                );
                self.fault(
                    "kind-mismatch",
                    left.span.to(right.span),
                    says,
                    &advice(&a_type, &b_type),
                )
            }
        }
    }

    /// Reads one side of a comparison, its literals in the light of the other side's type.
    fn beside(&mut self, expr: &Expr, other: &Type) -> (Node, Type) {
        match (other, &expr.form) {
            (Type::Quantity(kind), _) => self.expr(expr, Some(*kind)),
            (Type::Word(words), Form::Words(word)) => match self.choice_word(expr, word, words) {
                Some(id) => (Node::Word(id), Type::Word(vec![id])),
                None => NOTHING,
            },
            (Type::Word(words), _) if self.bare_word(expr, words) => NOTHING,
            (Type::Text, Form::Words(word)) => (Node::Text(word.clone()), Type::Text),
            _ => self.expr(expr, None),
        }
    }

    fn same_words(
        &mut self,
        comparison: Comparison,
        span: Span,
        sides: (Box<Node>, Box<Node>),
        x: &[WordId],
        y: &[WordId],
    ) -> (Node, Type) {
        if !x.iter().any(|word| y.contains(word)) {
            return self.nothing_in_common(span);
        }
        self.cut_words(&sides.0, y);
        self.cut_words(&sides.1, x);
        self.same(comparison, span, sides)
    }

    pub(super) fn nothing_in_common(&mut self, span: Span) -> (Node, Type) {
        let says = "these two have no word in common".to_string();
        let help = "compare facts that can hold the same words";
        self.fault("never-the-same", span, says, help)
    }

    fn same(
        &mut self,
        comparison: Comparison,
        span: Span,
        sides: (Box<Node>, Box<Node>),
    ) -> (Node, Type) {
        match comparison {
            Comparison::Is => (Node::Same(false, sides.0, sides.1), Type::Truth),
            Comparison::IsNot => (Node::Same(true, sides.0, sides.1), Type::Truth),
            other => {
                let says = format!("`{}` compares numbers and dates, not words", other.sign());
                self.fault("kind-mismatch", span, says, "write `is` or `is not`")
            }
        }
    }

    pub(super) fn between(&mut self, value: &Expr, low: &Expr, high: &Expr) -> (Node, Type) {
        let limits = low.span.to(high.span);
        let mut read = self.alike(&[value, low, high], None).into_iter();
        let (Some((node, yields)), Some((below, below_type)), Some((above, above_type))) =
            (read.next(), read.next(), read.next())
        else {
            return NOTHING;
        };
        let fits = |other: &Type| match (&yields, other) {
            (Type::Quantity(a), Type::Quantity(b)) => comparable(*a, *b),
            (Type::Date, Type::Date) | (Type::Moment, Type::Moment) => true,
            _ => false,
        };
        if [&yields, &below_type, &above_type].contains(&&Type::Unreadable) {
            return NOTHING;
        }
        if !fits(&below_type) || !fits(&above_type) {
            let says = format!(
                "{} cannot lie between {} and {}",
                described(&yields),
                described(&below_type),
                described(&above_type)
            );
            let help = "give two limits of the same kind as the value";
            return self.fault("kind-mismatch", value.span.to(high.span), says, help);
        }
        if let (Some(low), Some(high)) = (fixed(&below), fixed(&above))
            && high.less(&low) == Truth::Yes
        {
            let says =
                "nothing lies between these two: the first is greater than the second".to_string();
            return self.fault(
                "limits-reversed",
                limits,
                says,
                "write the lower limit first",
            );
        }
        self.cut(&node, &below);
        self.cut(&node, &above);
        (
            Node::Between(Box::new(node), Box::new(below), Box::new(above)),
            Type::Truth,
        )
    }

    /// Notes where a comparison with a fixed number or date cuts the range of a fact.
    fn cut(&mut self, a: &Node, b: &Node) {
        for (value, limit) in [(a, b), (b, a)] {
            if let Node::If(_, then, otherwise) = limit {
                self.cut(value, then);
                self.cut(value, otherwise);
            } else if let Some(range) = fixed(limit) {
                self.cut_range(value, &range);
            }
        }
    }

    pub(super) fn cut_range(&mut self, value: &Node, range: &Interval) {
        match value {
            Node::Fact(route) => {
                let ends = [range.low().at(), range.high().at()];
                let points = ends.into_iter().flatten().map(|point| (route.field, point));
                self.cuts.points.extend(points);
            }
            // A day begins with its first second, and the next day ends it.
            Node::Call(DAY_OF, moment) => {
                let next = range.plus(&Interval::exact(Exact::whole(SECONDS_A_DAY)));
                for range in [Some(*range), next].into_iter().flatten() {
                    self.cut_range(&moment[0], &range);
                }
            }
            Node::If(_, then, otherwise) => {
                self.cut_range(then, range);
                self.cut_range(otherwise, range);
            }
            _ => {}
        }
    }

    /// Notes which words of a fact a condition names: sharpening relies on hearing of all of them.
    pub(super) fn cut_words(&mut self, value: &Node, words: &[WordId]) {
        match value {
            Node::Fact(route) => {
                let cut = words.iter().map(|word| (route.field, *word));
                self.cuts.words.extend(cut);
            }
            Node::If(_, then, otherwise) => {
                self.cut_words(then, words);
                self.cut_words(otherwise, words);
            }
            _ => {}
        }
    }
}
