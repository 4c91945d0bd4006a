//! Tokens to an expression.
//!
//! Contract: parsing always yields a tree. At a fault it reports one problem, leaves
//! [`Form::Unreadable`] behind and skips to the next word or sign from which the writer's intent is
//! plain again: `and`, `or`, `then`, `else`, a comma or a closing bracket. What only follows from a
//! fault is not reported. Order of binding, loosest first: `or`, `and`, `not`, comparison, `+ -`,
//! `* /`, the sign of a number. Comparisons do not chain, and the body of `for every` reaches as far
//! right as it can.
//!
//! The tree is no deeper than [`DEEPEST`] nestings and [`MOST_LINKS`] links, so that whatever walks
//! it may do so by recursion, and parsing takes time in proportion to the text.

mod bare;
mod lists;
mod truths;
mod values;

use super::ast::{Each, Expr, Form, Name, WhenEmpty};
use super::token::{TOO_LONG, Token, What, tokens};
use wetside_base::problem::Problem;
use wetside_base::source::Span;

/// A condition or a value nested deeper than this is refused.
pub const DEEPEST: usize = 48;

/// The most arithmetic signs and `not`s of one condition: each of them makes the tree deeper.
pub const MOST_LINKS: usize = 96;

/// Reads a condition or a value.
pub fn parse(text: &str) -> (Expr, Vec<Problem>) {
    let mut parser = Parser::new(text);
    let expr = parser.or();
    parser.finish();
    (expr, parser.problems())
}

/// Reads the head of a rule's selection: `radiator in emitters where …, if any`.
pub fn parse_each(text: &str) -> (Each, WhenEmpty, Vec<Problem>) {
    let mut parser = Parser::new(text);
    let each = parser.each();
    let when_empty = parser.when_empty(&each);
    parser.finish();
    (each, when_empty, parser.problems())
}

struct Parser<'t> {
    text: &'t str,
    tokens: Vec<Token<'t>>,
    at: usize,
    depth: usize,
    links: usize,
    /// A fault was reported, and the parser is not yet past the stretch that it spoils.
    lost: bool,
    /// Words of the language that were refused as names; where they are used, nothing more is said.
    misused: Vec<String>,
    problems: Vec<Problem>,
}

impl<'t> Parser<'t> {
    fn new(text: &'t str) -> Parser<'t> {
        let (mut tokens, problems) = tokens(text);
        // A text too long to be read is not read in part.
        if problems.iter().any(|problem| problem.kind == TOO_LONG) {
            let end = tokens.len() - 1;
            tokens.swap(0, end);
            tokens.truncate(1);
        }
        let lost = tokens.len() == 1 && !problems.is_empty();
        Parser {
            text,
            tokens,
            at: 0,
            depth: 0,
            links: 0,
            lost,
            misused: Vec::new(),
            problems,
        }
    }

    fn problems(mut self) -> Vec<Problem> {
        self.problems.sort_by_key(|problem| problem.span.start);
        self.problems
    }

    fn finish(&mut self) {
        let help = match self.what() {
            What::End => return,
            What::Mark(")" | "]") => "it closes no bracket; take it out".to_string(),
            What::Mark(",") => self.comma_help(),
            _ => "join two conditions with `and` or `or`, or take this out".to_string(),
        };
        let says = format!("the condition was complete before {}", self.seen());
        self.fault(says, &help);
    }

    /// A comma between two digits was meant for a decimal point.
    fn comma_help(&self) -> String {
        let before = self.at.checked_sub(1).map(|at| self.tokens[at]);
        let (here, after) = (self.token(), self.tokens.get(self.at + 1));
        match (before.map(|token| (token.span, token.what)), after) {
            (
                Some((near, What::Number(whole))),
                Some(&Token {
                    span,
                    what: What::Number(part),
                }),
            ) if near.end == here.span.start && here.span.end == span.start => {
                format!("write a decimal point: `{whole}.{part}`")
            }
            _ => "take the comma out".to_string(),
        }
    }

    // The token under the eye, and ways past it.

    fn token(&self) -> Token<'t> {
        self.tokens[self.at.min(self.tokens.len() - 1)]
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
        self.lost &= !(found && mark == ",");
        found
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = matches!(self.what(), What::Word(here) if here == word);
        self.at += usize::from(found);
        self.lost &= !(found && matches!(word, "and" | "or" | "then" | "else"));
        found
    }

    /// What stands under the eye, for messages.
    fn seen(&self) -> String {
        match self.what() {
            What::End => "the end of the condition".to_string(),
            What::Unreadable => "something unreadable".to_string(),
            What::Words(text) => format!("`'{text}'`"),
            What::Word(text) | What::Number(text) | What::Unit(text) | What::Date(text) => {
                format!("`{text}`")
            }
            What::Mark(mark) => format!("`{mark}`"),
        }
    }

    // Faults.

    /// Reports a fault here and skips what it spoils. Where words lack their quotes, that is the fault.
    fn fault(&mut self, says: String, help: &str) -> Expr {
        let bare = self.bare_words();
        let span = bare.unwrap_or(self.span());
        match bare.map(|span| &self.text[span.range()]) {
            Some(words) => {
                let help = format!("put words in single quotes: `'{words}'`");
                self.report(span, format!("`{words}` stands without quotes"), &help);
            }
            None => self.report(span, says, help),
        }
        self.skip();
        Expr {
            span,
            form: Form::Unreadable,
        }
    }

    /// Reports a fault, unless it only follows from one that was reported.
    fn report(&mut self, span: Span, says: String, help: &str) {
        if !self.lost && self.what() != What::Unreadable {
            self.problems
                .push(Problem::new("condition-form", span, says, help));
        }
        self.lost = true;
    }

    /// On to where the writer's intent is plain again, over whole brackets.
    fn skip(&mut self) {
        let mut open = 0_usize;
        loop {
            match self.what() {
                What::End => return,
                What::Mark("(" | "[") => open += 1,
                What::Mark(")" | "]") if open > 0 => open -= 1,
                What::Word("and" | "or" | "then" | "else") | What::Mark("," | ")" | "]")
                    if open == 0 =>
                {
                    return;
                }
                _ => {}
            }
            self.at += 1;
        }
    }

    /// Refuses the rest of the text.
    fn give_up(&mut self, says: String) -> Expr {
        let span = self.span();
        self.report(span, says, "split the rule into simpler ones");
        self.at = self.tokens.len() - 1;
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

    /// Closes a bracket, or reports it and goes on behind the one that closes it further on.
    fn close(&mut self, mark: &'static str, opened: Span) {
        if self.take_mark(mark) {
            return;
        }
        let known = self.problems.len();
        let unquoted = self.bare_words().is_some();
        let says = format!("expected `{mark}`, found {}", self.seen());
        self.fault(says, &format!("close the bracket with `{mark}`"));
        if let Some(problem) = self.problems.get_mut(known).filter(|_| !unquoted) {
            *problem = problem.clone().with(opened, "opened here");
        }
        while self.what() == What::Mark(",") {
            self.at += 1;
            self.skip();
        }
        self.take_mark(mark);
    }

    /// Counts one more link of the tree; nothing if there are too many.
    fn link(&mut self) -> Option<()> {
        self.links += 1;
        if self.links <= MOST_LINKS {
            return Some(());
        }
        self.give_up(format!(
            "this condition has more than {MOST_LINKS} arithmetic signs and `not`s"
        ));
        None
    }

    /// An expression from `start` to the last token that was taken.
    fn form(&self, start: Span, form: Form) -> Expr {
        let end = self.tokens[self.at.saturating_sub(1)].span;
        Expr {
            span: start.to(end),
            form,
        }
    }

    fn name(&mut self, expected: &str) -> Name {
        let span = self.span();
        let text = if let What::Word(word) = self.what() {
            self.next();
            word.to_string()
        } else {
            let says = format!("expected {expected}, found {}", self.seen());
            self.fault(says, "names are lower-case words joined by `_`");
            String::new()
        };
        Name { text, span }
    }
}
