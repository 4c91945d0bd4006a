//! `or`, `and`, `not` and the comparisons.

use super::Parser;
use crate::ast::{Choices, Comparison, Expr, Form, Inclusion};
use crate::token::What;
use wetside_base::source::Span;

impl Parser<'_> {
    pub(super) fn or(&mut self) -> Expr {
        let start = self.span();
        let mut parts = vec![self.and()];
        while self.take_word("or") {
            parts.push(self.and());
        }
        self.joined(start, parts, Form::Or)
    }

    fn and(&mut self) -> Expr {
        let start = self.span();
        let mut parts = vec![self.not()];
        while self.take_word("and") {
            parts.push(self.not());
        }
        self.joined(start, parts, Form::And)
    }

    fn joined(&self, start: Span, mut parts: Vec<Expr>, form: fn(Vec<Expr>) -> Form) -> Expr {
        match parts.len() {
            1 => parts.remove(0),
            _ => self.form(start, form(parts)),
        }
    }

    fn not(&mut self) -> Expr {
        let mut starts = Vec::new();
        while self.what() == What::Word("not") && self.link().is_some() {
            starts.push(self.span());
            self.next();
        }
        let mut expr = self.comparison();
        for start in starts.into_iter().rev() {
            expr = self.form(start, Form::Not(Box::new(expr)));
        }
        expr
    }

    fn comparison(&mut self) -> Expr {
        let start = self.span();
        let left = self.sum();
        if !self.sees_comparison() {
            return left;
        }
        let form = self.compared(Box::new(left));
        let expr = self.form(start, form);
        if self.sees_comparison() {
            self.fault(
                "comparisons do not chain".to_string(),
                "join two comparisons with `and`, or use `is between … and …`",
            );
        }
        expr
    }

    fn sees_comparison(&self) -> bool {
        matches!(
            self.what(),
            What::Word("is" | "includes") | What::Mark("<" | "<=" | ">" | ">=")
        )
    }

    /// The comparison that follows `left`; its first word or sign is under the eye.
    fn compared(&mut self, left: Box<Expr>) -> Form {
        let comparison = match self.next().what {
            What::Word("includes") => return self.inclusion(left),
            What::Mark("<") => Comparison::Less,
            What::Mark("<=") => Comparison::AtMost,
            What::Mark(">") => Comparison::More,
            What::Mark(">=") => Comparison::AtLeast,
            _ => return self.is(left),
        };
        Form::Compare(comparison, left, Box::new(self.sum()))
    }

    fn is(&mut self, left: Box<Expr>) -> Form {
        let start = left.span;
        let negated = self.take_word("not");
        let plain = if self.take_word("between") {
            let low = self.sum();
            self.expect_word("and", "between the two limits");
            Form::Between(left, Box::new(low), Box::new(self.sum()))
        } else if self.take_word("empty") {
            Form::Empty(left)
        } else if self.take_word("one") {
            self.expect_word("of", "after `is one`");
            Form::OneOf(left, self.options())
        } else {
            let comparison = if negated {
                Comparison::IsNot
            } else {
                Comparison::Is
            };
            return Form::Compare(comparison, left, Box::new(self.sum()));
        };
        if negated {
            Form::Not(Box::new(self.form(start, plain)))
        } else {
            plain
        }
    }

    fn inclusion(&mut self, left: Box<Expr>) -> Form {
        if self.take_word("one") {
            self.expect_word("of", "after `includes one`");
            return Form::Includes(Inclusion::OneOf, left, self.options());
        }
        if self.take_word("only") {
            return Form::Includes(Inclusion::Only, left, self.options());
        }
        Form::Holds(left, Box::new(self.sum()))
    }

    /// `['a', 'b']`, `words.acids`
    fn options(&mut self) -> Choices {
        if self.take_word("words") {
            self.expect_mark(".", "after `words`");
            return Choices::Named(self.name("the name of a list of words"));
        }
        let opened = self.span();
        if !self.take_mark("[") {
            let says = format!("expected `[` before the choices, found {}", self.seen());
            let help = "put the choices in square brackets, as in `['a', 'b']`, or name a list of the pack, as in `words.acids`";
            self.fault(says, help);
            return Choices::Written(Vec::new());
        }
        let mut options = Vec::new();
        while !matches!(self.what(), What::Mark("]") | What::End) {
            options.push(self.sum());
            if !self.take_mark(",") {
                break;
            }
        }
        self.close("]", opened);
        Choices::Written(options)
    }
}
