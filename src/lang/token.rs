//! Text of a condition to tokens with their places.
//!
//! Contract: every character is covered: what cannot be read becomes a problem and is left out, and
//! reading goes on behind it. Spans are bytes of the condition's own text. This module must not know
//! which words name facts, limits or units.

use crate::problem::Problem;
use crate::source::Span;

/// A piece of a condition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token<'t> {
    pub span: Span,
    pub what: What<'t>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What<'t> {
    /// A name or a word of the language: `circuit`, `and`.
    Word(&'t str),
    /// A number as written: `2.5`.
    Number(&'t str),
    /// What stands behind a number and is no word of the language: `L/min`.
    Unit(&'t str),
    /// A calendar date as written: `2026-10-13`.
    Date(&'t str),
    /// Words in single quotes, without the quotes.
    Words(&'t str),
    /// `(`, `)`, `[`, `]`, `,`, `.`, `<`, `<=`, `>`, `>=`, `+`, `-`, `*` or `/`.
    Mark(&'static str),
    /// The end of the condition; always the last token.
    End,
}

/// The words that the language keeps for itself; none can name a variable.
pub const RESERVED: &[&str] = &[
    "and",
    "any",
    "as_of",
    "at",
    "between",
    "count",
    "else",
    "empty",
    "every",
    "for",
    "greatest",
    "if",
    "in",
    "includes",
    "is",
    "least",
    "limit",
    "no",
    "not",
    "of",
    "one",
    "only",
    "or",
    "otherwise",
    "some",
    "sum",
    "then",
    "where",
    "yes",
];

const MARKS: &[&str] = &[
    "<=", ">=", "(", ")", "[", "]", ",", ".", "<", ">", "+", "-", "*", "/",
];

/// Signs that writers bring along from elsewhere, and what this language has for them.
const FOREIGN: &[(&str, &str)] = &[
    ("==", "write `is`"),
    ("!=", "write `is not`"),
    ("<>", "write `is not`"),
    ("=<", "write `<=`"),
    ("=>", "write `>=`"),
    ("=", "write `is`"),
    ("&&", "write `and`"),
    ("||", "write `or`"),
    ("!", "write `not`"),
    ("≤", "write `<=`"),
    ("≥", "write `>=`"),
    ("≠", "write `is not`"),
    ("×", "write `*`"),
    ("÷", "write `/`"),
    ("\"", "put words in single quotes"),
    (
        ":",
        "leave it out; a comma ends the head of `for every` and `for some`",
    ),
];

/// Reads a whole condition.
pub fn tokens(text: &str) -> (Vec<Token<'_>>, Vec<Problem>) {
    let mut lexer = Lexer {
        text,
        at: 0,
        tokens: Vec::new(),
        problems: Vec::new(),
    };
    while lexer.at < text.len() {
        lexer.step();
    }
    lexer.push(0, What::End);
    (lexer.tokens, lexer.problems)
}

struct Lexer<'t> {
    text: &'t str,
    at: usize,
    tokens: Vec<Token<'t>>,
    problems: Vec<Problem>,
}

impl<'t> Lexer<'t> {
    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    fn push(&mut self, len: usize, what: What<'t>) {
        let span = Span::new(self.at, self.at + len);
        self.tokens.push(Token { span, what });
        self.at += len;
    }

    fn step(&mut self) {
        let rest = self.rest();
        let first = rest.chars().next().unwrap_or(' ');
        if first.is_whitespace() {
            self.at += first.len_utf8();
        } else if first.is_ascii_digit() {
            self.number();
        } else if first.is_ascii_alphabetic() || first == '_' {
            let len = length_of(rest, |c| c.is_ascii_alphanumeric() || c == '_');
            self.push(len, What::Word(&rest[..len]));
        } else if first == '\'' {
            self.quoted();
        } else if let Some((sign, instead)) = FOREIGN.iter().find(|(s, _)| rest.starts_with(s)) {
            self.refuse(
                sign.len(),
                format!("`{sign}` is not a sign of the rule language"),
                instead,
            );
        } else if let Some(mark) = MARKS.iter().find(|mark| rest.starts_with(**mark)) {
            self.push(mark.len(), What::Mark(mark));
        } else {
            let says = format!("`{}` has no meaning in a condition", first.escape_default());
            self.refuse(first.len_utf8(), says, "take it out");
        }
    }

    fn number(&mut self) {
        let rest = self.rest();
        if let Some(date) = rest.get(..10).filter(|text| looks_like_date(text)) {
            self.push(10, What::Date(date));
            return;
        }
        let whole = length_of(rest, |c| c.is_ascii_digit());
        let after = &rest[whole..];
        let decimals = match after.strip_prefix('.') {
            Some(tail) => length_of(tail, |c| c.is_ascii_digit()),
            None => 0,
        };
        let len = if decimals > 0 {
            whole + 1 + decimals
        } else {
            whole
        };
        self.push(len, What::Number(&rest[..len]));
        self.unit();
    }

    /// The unit behind a number: the next word, unless the language itself owns that word.
    fn unit(&mut self) {
        let rest = self.rest();
        let gap = rest.len() - rest.trim_start_matches(' ').len();
        let word = &rest[gap..];
        let mut len = 0;
        for (at, c) in word.char_indices() {
            let next = word[at + c.len_utf8()..].chars().next();
            let joins = matches!(c, '°' | 'µ' | 'μ' | '%' | '²' | '³')
                || c.is_alphabetic()
                || (len > 0 && c.is_ascii_digit())
                || (len > 0 && c == '/' && next.is_some_and(char::is_alphabetic));
            if !joins {
                break;
            }
            len = at + c.len_utf8();
        }
        if len > 0 && !RESERVED.contains(&&word[..len]) {
            self.at += gap;
            self.push(len, What::Unit(&word[..len]));
        }
    }

    fn quoted(&mut self) {
        let rest = self.rest();
        match rest[1..].find('\'') {
            Some(len) => self.push(len + 2, What::Words(&rest[1..=len])),
            None => self.refuse(
                rest.len(),
                "this quote is never closed".to_string(),
                "put words between two single quotes, as in 'open vented'",
            ),
        }
    }

    fn refuse(&mut self, len: usize, says: String, help: &str) {
        let span = Span::new(self.at, self.at + len);
        self.problems
            .push(Problem::new("condition-sign", span, says, help));
        self.at += len;
    }
}

fn length_of(text: &str, belongs: impl Fn(char) -> bool) -> usize {
    text.len() - text.trim_start_matches(belongs).len()
}

fn looks_like_date(text: &str) -> bool {
    text.bytes().enumerate().all(|(at, byte)| match at {
        4 | 7 => byte == b'-',
        _ => byte.is_ascii_digit(),
    })
}
