//! Quantifiers, counts, sums, least and greatest.

use super::Parser;
use crate::ast::{Each, Expr, Fold, Form, Name, WhenEmpty, span_of};
use crate::token::{What, is_reserved};
use wetside_base::source::Span;

impl Parser<'_> {
    pub(super) fn quantified(&mut self, start: Span) -> Expr {
        self.next();
        if self.take_word("some") {
            let each = self.each();
            self.expect_mark(",", "before the condition of `for some`");
            let body = Box::new(self.or());
            return self.form(start, Form::Some(each, body));
        }
        if !self.take_word("every") {
            let says = format!(
                "expected `every` or `some` after `for`, found {}",
                self.seen()
            );
            let span = self.span();
            self.report(span, says, "write `for every` or `for some`");
            // Another word stood where it belongs: the rest may be sound.
            if let What::Word(word) = self.what()
                && !is_reserved(word)
                && matches!(self.tokens.get(self.at + 1), Some(next) if matches!(next.what, What::Word(_)))
            {
                self.next();
            }
        }
        let each = self.each();
        let when_empty = self.when_empty(&each);
        self.expect_mark(",", "before the condition of `for every`");
        let body = Box::new(self.or());
        self.form(start, Form::Every(each, when_empty, body))
    }

    /// `radiator in emitters where …`, `later after earlier in flush_log`
    pub(super) fn each(&mut self) -> Each {
        let variable = self.element_name();
        let after = self.take_word("after").then(|| self.element_name());
        self.expect_word("in", "after the name of the element");
        self.each_of(Some(variable), after)
    }

    fn element_name(&mut self) -> Name {
        let name = self.name("a name for the element");
        if is_reserved(&name.text) {
            let says = format!("`{}` is a word of the rule language", name.text);
            let help = "give the element another name, as in `for every radiator in emitters`";
            self.report(name.span, says, help);
            self.misused.push(name.text.clone());
        }
        name
    }

    fn each_of(&mut self, variable: Option<Name>, after: Option<Name>) -> Each {
        let mut list = vec![self.name("the name of a list")];
        while self.take_mark(".") {
            list.push(self.name("the name of a list"));
        }
        let filter = if variable.is_some() && self.take_word("where") {
            Some(Box::new(self.or()))
        } else {
            None
        };
        Each {
            variable,
            after,
            list,
            filter,
        }
    }

    /// `, if any` or `, at least one`
    pub(super) fn when_empty(&mut self, each: &Each) -> WhenEmpty {
        let (before, lost) = (self.at, self.lost);
        if self.take_mark(",") {
            if self.take_word("if") && self.take_word("any") {
                return WhenEmpty::Acceptable;
            }
            if self.take_word("at") && self.take_word("least") && self.take_word("one") {
                return WhenEmpty::Broken;
            }
        }
        (self.at, self.lost) = (before, lost);
        let says = "this does not say whether an empty list is acceptable".to_string();
        let help = "write `, if any` where an empty list is acceptable, or `, at least one` where it is not";
        self.report(each.list_span(), says, help);
        WhenEmpty::Broken
    }

    pub(super) fn count(&mut self, start: Span) -> Expr {
        self.next();
        self.expect_word("of", "after `count`");
        let named = matches!(
            self.tokens.get(self.at + 1).map(|token| token.what),
            Some(What::Word("in" | "after"))
        );
        let each = if named {
            self.each()
        } else {
            self.each_of(None, None)
        };
        self.form(start, Form::Count(each))
    }

    pub(super) fn fold(&mut self, start: Span, fold: Fold) -> Expr {
        self.next();
        self.expect_word("of", &format!("after `{}`", fold.word()));
        let opened = self.span();
        let picks = matches!(fold, Fold::Least | Fold::Greatest);
        let value = if picks && self.take_mark("(") {
            let mut among = self.arguments(opened);
            if among.len() != 1 {
                return self.form(start, Form::Pick(fold, among));
            }
            // One value in brackets is an ordinary value, to be taken for each element of a list.
            let only = among.remove(0);
            let bracketed = self.form(opened, only.form);
            let product = self.product_after(opened, bracketed);
            self.sum_after(opened, product)
        } else {
            self.sum()
        };
        self.expect_word("for", "between the value and the list");
        let each = self.each();
        let otherwise = if fold != Fold::Sum {
            self.expect_word("otherwise", "to say what holds for an empty list");
            Some(Box::new(self.sum()))
        } else {
            None
        };
        self.form(start, Form::Fold(fold, Box::new(value), each, otherwise))
    }
}

impl Each {
    /// The place of the list's name.
    pub fn list_span(&self) -> Span {
        span_of(&self.list)
    }
}
