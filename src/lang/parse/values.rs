//! Arithmetic, measures, names, cells, functions and `if`.

use super::{DEEPEST, Parser};
use crate::ast::{Expr, Fold, Form, Name, Operation};
use crate::token::{Token, What, is_reserved};
use wetside_base::source::Span;

impl Parser<'_> {
    pub(super) fn sum(&mut self) -> Expr {
        let start = self.span();
        let left = self.product();
        self.sum_after(start, left)
    }

    /// A sum whose first part is read already.
    pub(super) fn sum_after(&mut self, start: Span, left: Expr) -> Expr {
        self.chain(
            start,
            left,
            [Operation::Plus, Operation::Minus],
            Parser::product,
        )
    }

    fn product(&mut self) -> Expr {
        let start = self.span();
        let left = self.signed();
        self.product_after(start, left)
    }

    /// A product whose first part is read already.
    pub(super) fn product_after(&mut self, start: Span, left: Expr) -> Expr {
        self.chain(
            start,
            left,
            [Operation::Times, Operation::Over],
            Parser::signed,
        )
    }

    /// Parts joined by signs that bind alike, the first of which is read already.
    fn chain(
        &mut self,
        start: Span,
        mut left: Expr,
        signs: [Operation; 2],
        part: fn(&mut Self) -> Expr,
    ) -> Expr {
        let is_here = |parser: &Self| {
            signs
                .into_iter()
                .find(|sign| parser.what() == What::Mark(sign.sign()))
        };
        while let Some(operation) = is_here(self)
            && self.link().is_some()
        {
            self.next();
            let right = part(self);
            let form = Form::Arithmetic(operation, Box::new(left), Box::new(right));
            left = self.form(start, form);
        }
        left
    }

    fn signed(&mut self) -> Expr {
        let start = self.span();
        if self.take_mark("-") {
            let value = self.primary();
            return self.form(start, Form::Negate(Box::new(value)));
        }
        self.primary()
    }

    /// A value that binds closest. Every nesting leads through here, so here it is counted.
    fn primary(&mut self) -> Expr {
        if self.depth >= DEEPEST {
            return self.give_up(format!("this condition is nested more than {DEEPEST} deep"));
        }
        self.depth += 1;
        let expr = self.closed();
        self.depth -= 1;
        expr
    }

    fn closed(&mut self) -> Expr {
        let token = self.token();
        match token.what {
            What::Number(number) => {
                self.next();
                self.measure(token.span, number)
            }
            What::Date(date) => {
                self.next();
                self.form(token.span, Form::Date(date.to_string()))
            }
            What::Words(words) => {
                self.next();
                self.form(token.span, Form::Words(words.to_string()))
            }
            What::Mark("(") => {
                self.next();
                let inner = self.or();
                self.close(")", token.span);
                self.form(token.span, inner.form)
            }
            What::Word(word) => self.worded(token.span, word),
            _ => {
                let says = format!("expected a value, found {}", self.seen());
                let help =
                    "write a fact of the survey, a number with its unit, or words in single quotes";
                self.fault(says, help)
            }
        }
    }

    fn measure(&mut self, start: Span, number: &str) -> Expr {
        let unit = match self.token() {
            Token {
                span,
                what: What::Unit(text),
            } => {
                self.next();
                Some(Name {
                    text: text.to_string(),
                    span,
                })
            }
            _ => None,
        };
        let number = number.to_string();
        self.form(start, Form::Measure { number, unit })
    }

    fn worded(&mut self, start: Span, word: &str) -> Expr {
        match word {
            _ if self.misused.iter().any(|name| name == word) => self.named(start),
            "yes" | "no" => {
                self.next();
                self.form(start, Form::Words(word.to_string()))
            }
            "as_of" => {
                self.next();
                self.form(start, Form::AsOf)
            }
            "limit" => {
                self.next();
                self.expect_mark(".", "after `limit`");
                let name = self.name("the name of a limit");
                self.form(start, Form::Limit(name))
            }
            "if" => self.choice(start),
            "for" => self.quantified(start),
            "count" => self.count(start),
            "sum" => self.fold(start, Fold::Sum),
            "least" => self.fold(start, Fold::Least),
            "greatest" => self.fold(start, Fold::Greatest),
            "first" => self.fold(start, Fold::First),
            "last" => self.fold(start, Fold::Last),
            "not" => {
                let says = "`not` stands before a whole condition".to_string();
                self.fault(says, "put the condition in brackets, as in `(not …)`")
            }
            _ if is_reserved(word) => {
                let says = format!("expected a value, found `{word}`");
                let help =
                    "a condition compares a fact with a value, as in `circuit.kind is 'sealed'`";
                self.fault(says, help)
            }
            _ => self.named(start),
        }
    }

    /// A fact, a cell of a table or a function.
    fn named(&mut self, start: Span) -> Expr {
        let first = self.name("a name");
        let opened = self.span();
        if self.take_mark("[") {
            let row = Box::new(self.sum());
            self.close("]", opened);
            self.expect_mark(".", "before the name of the column");
            let column = self.name("the name of a column");
            let table = first;
            return self.form(start, Form::Cell { table, row, column });
        }
        if self.take_mark("(") {
            let arguments = self.arguments(opened);
            return self.form(start, Form::Call(first, arguments));
        }
        let mut names = vec![first];
        while self.take_mark(".") {
            names.push(self.name("the name of a fact"));
        }
        self.form(start, Form::Path(names))
    }

    /// What stands between brackets that are already open.
    pub(super) fn arguments(&mut self, opened: Span) -> Vec<Expr> {
        let mut arguments = vec![self.or()];
        while self.take_mark(",") {
            arguments.push(self.or());
        }
        self.close(")", opened);
        arguments
    }

    fn choice(&mut self, start: Span) -> Expr {
        self.next();
        let condition = Box::new(self.or());
        self.expect_word("then", "after the condition of `if`");
        let then = Box::new(self.or());
        let otherwise = self.take_word("else").then(|| Box::new(self.or()));
        self.form(start, Form::If(condition, then, otherwise))
    }
}
