//! Tokens to an expression.
//!
//! Contract: parsing always yields a tree. At a fault it reports one problem, skips to the next sign
//! from which the writer's intent is plain again, and leaves [`Form::Unreadable`] behind. Order of
//! binding, loosest first: `or`, `and`, `not`, comparison, `+ -`, `* /`, the sign of a number.
//! Comparisons do not chain, and the body of `for every` reaches as far right as it can.

use super::ast::{
    Comparison, Each, Expr, Fold, Form, Inclusion, Name, Operation, WhenEmpty, span_of,
};
use super::token::{RESERVED, Token, What, tokens};
use crate::problem::Problem;
use crate::source::Span;

/// A condition or a value nested deeper than this is refused.
const DEEPEST: usize = 48;

/// Reads a condition or a value.
pub fn parse(text: &str) -> (Expr, Vec<Problem>) {
    let mut parser = Parser::new(text);
    let expr = parser.or();
    parser.finish();
    (expr, parser.problems)
}

/// Reads the head of a rule's selection: `radiator in emitters where …, if any`.
pub fn parse_each(text: &str) -> (Each, WhenEmpty, Vec<Problem>) {
    let mut parser = Parser::new(text);
    let each = parser.each();
    let when_empty = parser.when_empty();
    parser.finish();
    (each, when_empty, parser.problems)
}

struct Parser<'t> {
    tokens: Vec<Token<'t>>,
    at: usize,
    depth: usize,
    problems: Vec<Problem>,
}

impl<'t> Parser<'t> {
    fn new(text: &'t str) -> Parser<'t> {
        let (tokens, problems) = tokens(text);
        Parser {
            tokens,
            at: 0,
            depth: 0,
            problems,
        }
    }

    fn finish(&mut self) {
        if self.what() != What::End && self.problems.is_empty() {
            let help = "join two conditions with `and` or `or`, or take this out";
            self.fault(
                format!("the condition was complete before {}", self.seen()),
                help,
            );
        }
    }

    // The token under the eye, and ways past it.

    fn token(&self) -> Token<'t> {
        self.tokens[self.at.min(self.tokens.len() - 1)].clone()
    }

    fn what(&self) -> What<'t> {
        self.token().what
    }

    fn span(&self) -> Span {
        self.token().span
    }

    fn next(&mut self) -> Token<'t> {
        let token = self.token();
        self.at += usize::from(token.what != What::End);
        token
    }

    fn take_mark(&mut self, mark: &str) -> bool {
        let found = matches!(self.what(), What::Mark(here) if here == mark);
        self.at += usize::from(found);
        found
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = self.sees_word(word);
        self.at += usize::from(found);
        found
    }

    fn sees_word(&self, word: &str) -> bool {
        matches!(self.what(), What::Word(here) if here == word)
    }

    /// What stands under the eye, for messages.
    fn seen(&self) -> String {
        match self.what() {
            What::End => "the end of the condition".to_string(),
            What::Words(text) => format!("`'{text}'`"),
            What::Word(text) | What::Number(text) | What::Unit(text) | What::Date(text) => {
                format!("`{text}`")
            }
            What::Mark(mark) => format!("`{mark}`"),
        }
    }

    /// Reports a fault here, once: what follows from it stays unsaid.
    fn fault(&mut self, says: String, help: &str) -> Expr {
        let span = self.span();
        if self.problems.is_empty() {
            self.problems
                .push(Problem::new("condition-form", span, says, help));
        }
        Expr {
            span,
            form: Form::Unreadable,
        }
    }

    fn expect_mark(&mut self, mark: &str, after: &str) {
        if !self.take_mark(mark) {
            let says = format!("expected `{mark}` {after}, found {}", self.seen());
            self.fault(says, &format!("write `{mark}` here"));
        }
    }

    fn expect_word(&mut self, word: &str, after: &str) {
        if !self.take_word(word) {
            let says = format!("expected `{word}` {after}, found {}", self.seen());
            self.fault(says, &format!("write `{word}` here"));
        }
    }

    fn form(&self, start: Span, form: Form) -> Expr {
        let end = self.tokens[self.at.saturating_sub(1)].span;
        Expr {
            span: start.to(end),
            form,
        }
    }

    // Truths.

    fn or(&mut self) -> Expr {
        let start = self.span();
        if self.depth >= DEEPEST {
            self.at = self.tokens.len() - 1;
            return self.fault(
                format!("this condition is nested more than {DEEPEST} deep"),
                "split the rule into simpler ones",
            );
        }
        self.depth += 1;
        let mut parts = vec![self.and()];
        while self.take_word("or") {
            parts.push(self.and());
        }
        self.depth -= 1;
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
        let start = self.span();
        let mut negations = 0;
        while self.take_word("not") {
            negations += 1;
        }
        let mut expr = self.comparison();
        for _ in 0..negations {
            expr = self.form(start, Form::Not(Box::new(expr)));
        }
        expr
    }

    fn comparison(&mut self) -> Expr {
        let start = self.span();
        let left = self.sum();
        let Some(form) = self.compared(left.clone()) else {
            return left;
        };
        let expr = self.form(start, form);
        if self.compared(left).is_some() {
            self.fault(
                "comparisons do not chain".to_string(),
                "join two comparisons with `and`, or use `is between … and …`",
            );
        }
        expr
    }

    /// The comparison that follows `left`, if one does.
    fn compared(&mut self, left: Expr) -> Option<Form> {
        let left = Box::new(left);
        if self.take_word("includes") {
            return Some(self.inclusion(left));
        }
        if self.take_word("is") {
            return Some(self.is(left));
        }
        let comparison = match self.what() {
            What::Mark("<") => Comparison::Less,
            What::Mark("<=") => Comparison::AtMost,
            What::Mark(">") => Comparison::More,
            What::Mark(">=") => Comparison::AtLeast,
            _ => return None,
        };
        self.next();
        Some(Form::Compare(comparison, left, Box::new(self.sum())))
    }

    fn is(&mut self, left: Box<Expr>) -> Form {
        if self.take_word("between") {
            let low = self.sum();
            self.expect_word("and", "between the two limits");
            return Form::Between(left, Box::new(low), Box::new(self.sum()));
        }
        if self.take_word("empty") {
            return Form::Empty(left);
        }
        let start = self.span();
        let negated = self.take_word("not");
        if self.take_word("one") {
            self.expect_word("of", "after `is one`");
            let one_of = Form::OneOf(left, self.options());
            return match negated {
                true => Form::Not(Box::new(self.form(start, one_of))),
                false => one_of,
            };
        }
        let comparison = match negated {
            true => Comparison::IsNot,
            false => Comparison::Is,
        };
        Form::Compare(comparison, left, Box::new(self.sum()))
    }

    fn inclusion(&mut self, left: Box<Expr>) -> Form {
        if self.take_word("one") {
            self.expect_word("of", "after `includes one`");
            return Form::Includes(Inclusion::OneOf, left, self.options());
        }
        if self.take_word("only") {
            return Form::Includes(Inclusion::Only, left, self.options());
        }
        let word = self.sum();
        Form::Includes(Inclusion::OneOf, left, vec![word])
    }

    /// `['a', 'b']`
    fn options(&mut self) -> Vec<Expr> {
        let opened = self.span();
        self.expect_mark("[", "before the choices");
        let mut options = Vec::new();
        while !matches!(self.what(), What::Mark("]") | What::End) {
            options.push(self.sum());
            if !self.take_mark(",") {
                break;
            }
        }
        self.close("]", opened);
        options
    }

    fn close(&mut self, mark: &'static str, opened: Span) {
        if !self.take_mark(mark) {
            let first = self.problems.is_empty();
            let says = format!("expected `{mark}`, found {}", self.seen());
            self.fault(says, &format!("close the bracket with `{mark}`"));
            if first {
                let last = self.problems.len() - 1;
                self.problems[last] = self.problems[last].clone().with(opened, "opened here");
            }
        }
    }

    // Values.

    fn sum(&mut self) -> Expr {
        let start = self.span();
        let mut left = self.product();
        loop {
            let operation = match self.what() {
                What::Mark("+") => Operation::Plus,
                What::Mark("-") => Operation::Minus,
                _ => return left,
            };
            self.next();
            let right = self.product();
            let form = Form::Arithmetic(operation, Box::new(left), Box::new(right));
            left = self.form(start, form);
        }
    }

    fn product(&mut self) -> Expr {
        let start = self.span();
        let mut left = self.signed();
        loop {
            let operation = match self.what() {
                What::Mark("*") => Operation::Times,
                What::Mark("/") => Operation::Over,
                _ => return left,
            };
            self.next();
            let right = self.signed();
            let form = Form::Arithmetic(operation, Box::new(left), Box::new(right));
            left = self.form(start, form);
        }
    }

    fn signed(&mut self) -> Expr {
        let start = self.span();
        if self.take_mark("-") {
            let value = self.primary();
            return self.form(start, Form::Negate(Box::new(value)));
        }
        self.primary()
    }

    fn primary(&mut self) -> Expr {
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
                Expr {
                    span: token.span.to(self.tokens[self.at.saturating_sub(1)].span),
                    form: inner.form,
                }
            }
            What::Word(word) => self.worded(token.span, word),
            _ => {
                let says = format!("expected a value, found {}", self.seen());
                self.fault(
                    says,
                    "write a fact of the survey, a number with its unit, or words in single quotes",
                )
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
            _ if RESERVED.contains(&word) => {
                let says = format!("expected a value, found `{word}`");
                self.fault(
                    says,
                    "a condition compares a fact with a value, as in `circuit.kind is 'sealed'`",
                )
            }
            _ => self.named(start),
        }
    }

    /// A fact, a cell of a table or a function.
    fn named(&mut self, start: Span) -> Expr {
        let first = self.name("a name");
        if self.take_mark("[") {
            let row = Box::new(self.sum());
            self.close("]", first.span);
            self.expect_mark(".", "before the name of the column");
            let column = self.name("the name of a column");
            let table = first;
            return self.form(start, Form::Cell { table, row, column });
        }
        if self.take_mark("(") {
            let arguments = self.arguments(first.span);
            return self.form(start, Form::Call(first, arguments));
        }
        let mut names = vec![first];
        while self.take_mark(".") {
            names.push(self.name("the name of a fact"));
        }
        self.form(start, Form::Path(names))
    }

    /// What stands between brackets that are already open.
    fn arguments(&mut self, opened: Span) -> Vec<Expr> {
        let mut arguments = Vec::new();
        while !matches!(self.what(), What::Mark(")") | What::End) {
            arguments.push(self.or());
            if !self.take_mark(",") {
                break;
            }
        }
        self.close(")", opened);
        arguments
    }

    fn name(&mut self, expected: &str) -> Name {
        let span = self.span();
        let text = match self.what() {
            What::Word(word) => {
                self.next();
                word.to_string()
            }
            _ => {
                let says = format!("expected {expected}, found {}", self.seen());
                self.fault(says, "names are lower-case words joined by `_`");
                String::new()
            }
        };
        Name { text, span }
    }

    fn choice(&mut self, start: Span) -> Expr {
        self.next();
        let condition = Box::new(self.or());
        self.expect_word("then", "after the condition of `if`");
        let then = Box::new(self.or());
        self.expect_word("else", "after the value of `then`");
        let otherwise = Box::new(self.or());
        self.form(start, Form::If(condition, then, otherwise))
    }

    // Lists.

    fn quantified(&mut self, start: Span) -> Expr {
        self.next();
        if self.take_word("some") {
            let each = self.each();
            self.expect_mark(",", "before the condition of `for some`");
            let body = Box::new(self.or());
            return self.form(start, Form::Some(each, body));
        }
        self.expect_word("every", "or `some` after `for`");
        let each = self.each();
        let when_empty = self.when_empty();
        self.expect_mark(",", "before the condition of `for every`");
        let body = Box::new(self.or());
        self.form(start, Form::Every(each, when_empty, body))
    }

    /// `radiator in emitters where …`
    fn each(&mut self) -> Each {
        let variable = self.name("a name for the element");
        if RESERVED.contains(&variable.text.as_str()) {
            let says = format!("`{}` is a word of the rule language", variable.text);
            self.fault(
                says,
                "give the element another name, as in `for every radiator in emitters`",
            );
        }
        self.expect_word("in", "after the name of the element");
        self.each_of(Some(variable))
    }

    fn each_of(&mut self, variable: Option<Name>) -> Each {
        let mut list = vec![self.name("the name of a list")];
        while self.take_mark(".") {
            list.push(self.name("the name of a list"));
        }
        let filter = match variable.is_some() && self.take_word("where") {
            true => Some(Box::new(self.or())),
            false => None,
        };
        Each {
            variable,
            list,
            filter,
        }
    }

    /// `, if any` or `, at least one`
    fn when_empty(&mut self) -> WhenEmpty {
        let before = self.at;
        if self.take_mark(",") {
            if self.take_word("if") && self.take_word("any") {
                return WhenEmpty::Acceptable;
            }
            if self.take_word("at") && self.take_word("least") && self.take_word("one") {
                return WhenEmpty::Broken;
            }
        }
        self.at = before;
        self.fault(
            "this does not say whether an empty list is acceptable".to_string(),
            "write `, if any` where an empty list is acceptable, or `, at least one` where it is not",
        );
        WhenEmpty::Broken
    }

    fn count(&mut self, start: Span) -> Expr {
        self.next();
        self.expect_word("of", "after `count`");
        let named = matches!(
            self.tokens.get(self.at + 1).map(|token| token.what),
            Some(What::Word("in"))
        );
        let each = match named {
            true => self.each(),
            false => self.each_of(None),
        };
        self.form(start, Form::Count(each))
    }

    fn fold(&mut self, start: Span, fold: Fold) -> Expr {
        self.next();
        self.expect_word("of", &format!("after `{}`", fold.word()));
        let opened = self.at;
        if fold != Fold::Sum && self.take_mark("(") {
            let bracket = self.tokens[opened].span;
            let known = self.problems.len();
            let among = self.arguments(bracket);
            if among.len() > 1 {
                return self.form(start, Form::Pick(fold, among));
            }
            // One value in brackets is an ordinary value, to be taken for each element of a list.
            self.problems.truncate(known);
            self.at = opened;
        }
        let value = Box::new(self.sum());
        self.expect_word("for", "between the value and the list");
        let each = self.each();
        let otherwise = match fold != Fold::Sum {
            true => {
                self.expect_word("otherwise", "to say what holds for an empty list");
                Some(Box::new(self.sum()))
            }
            false => None,
        };
        self.form(start, Form::Fold(fold, value, each, otherwise))
    }
}

impl Each {
    /// The place of the list's name.
    pub fn list_span(&self) -> Span {
        span_of(&self.list)
    }
}
