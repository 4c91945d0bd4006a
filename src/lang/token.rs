//! Text of a condition to tokens with their places.
//!
//! Contract: every character is covered. A sign that writers bring along from elsewhere is reported
//! and read as what it stands for, so that one slip does not hide the next; what has no meaning at
//! all is reported and becomes [`What::Unreadable`]. Spans are bytes of the condition's own text.
//! A text with more than [`MOST_TOKENS`] words and signs is refused as a whole.
//! This module must not know which words name facts or limits; of the units it knows only how far
//! a spelling reaches.

use wetside_base::problem::Problem;
use wetside_base::source::Span;
use wetside_units::table;

/// A piece of a condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Token<'t> {
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
    /// A calendar date as written, perhaps with a time of day: `2026-10-13`, `2026-10-13T10:05`.
    Date(&'t str),
    /// Words in single quotes, without the quotes.
    Words(&'t str),
    /// `(`, `)`, `[`, `]`, `,`, `.`, `<`, `<=`, `>`, `>=`, `+`, `-`, `*` or `/`.
    Mark(&'static str),
    /// Something without a meaning; a problem was reported.
    Unreadable,
    /// The end of the condition; always the last token.
    End,
}

/// The words that the language keeps for itself; none can name a variable.
const RESERVED: &str = "after and any as_of at between count else empty every first for greatest if in includes \
    is last least limit no not of one only or otherwise some sum then where words yes";

/// Those words, one by one.
pub fn reserved() -> impl Iterator<Item = &'static str> {
    RESERVED.split(' ')
}

pub(super) fn is_reserved(word: &str) -> bool {
    reserved().any(|own| own == word)
}

/// The most words and signs of one condition: part of what bounds the cost of a rule.
pub const MOST_TOKENS: usize = 2_000;

/// About how many bytes a word or sign takes with the space around it: only for making room.
const USUAL_LENGTH: usize = 4;

/// The kind of the problem that a text is too long to be read at all.
pub(super) const TOO_LONG: &str = "condition-too-long";

/// Signs that writers bring along from elsewhere, and how they are read: as what is to be written.
const FOREIGN: &[(&str, &[What<'static>])] = &[
    ("==", IS),
    ("!=", IS_NOT),
    ("<>", IS_NOT),
    ("=<", &[What::Mark("<=")]),
    ("=>", &[What::Mark(">=")]),
    ("=", IS),
    ("&&", &[What::Word("and")]),
    ("||", &[What::Word("or")]),
    ("!", &[What::Word("not")]),
    ("≤", &[What::Mark("<=")]),
    ("≥", &[What::Mark(">=")]),
    ("≠", IS_NOT),
    ("×", &[What::Mark("*")]),
    ("÷", &[What::Mark("/")]),
    ("−", &[What::Mark("-")]),
    ("–", &[What::Mark("-")]),
    (":", &[What::Mark(",")]),
];

const IS: &[What<'static>] = &[What::Word("is")];
const IS_NOT: &[What<'static>] = &[What::Word("is"), What::Word("not")];

/// Quotes that writers bring along from elsewhere, each with the signs that may close it.
const QUOTES: &[(char, &[char])] = &[('"', &['"']), ('‘', &['’']), ('“', &['”']), ('`', &['`'])];

/// Reads a whole condition.
pub(crate) fn tokens(text: &str) -> (Vec<Token<'_>>, Vec<Problem>) {
    let mut lexer = Lexer {
        text,
        at: 0,
        tokens: Vec::with_capacity(text.len() / USUAL_LENGTH + 2),
        problems: Vec::new(),
    };
    while lexer.at < text.len() && lexer.tokens.len() <= MOST_TOKENS {
        lexer.step();
    }
    if lexer.at < text.len() {
        lexer.too_long();
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
            let len = length_of(rest, |c| c.is_ascii_alphanumeric() || c == b'_');
            self.push(len, What::Word(&rest[..len]));
        } else if first == '\'' {
            self.quoted();
        } else if let Some((quote, closing)) = QUOTES.iter().find(|(quote, _)| *quote == first) {
            self.quoted_otherwise(*quote, closing);
        } else if let Some(mark) = mark_at_start(rest) {
            self.push(mark.len(), What::Mark(mark));
        } else if let Some((sign, read)) = FOREIGN.iter().find(|(sign, _)| rest.starts_with(sign)) {
            let says = format!("`{sign}` is not a sign of the rule language");
            let meant = read.iter().map(|what| match what {
                What::Word(text) | What::Mark(text) => *text,
                _ => "",
            });
            let meant = meant.collect::<Vec<_>>().join(" ");
            let help = match *sign {
                ":" => "write a comma; it ends the head of `for every` and `for some`".to_string(),
                _ => format!("write `{meant}`"),
            };
            self.refuse(sign.len(), says, &help, read);
        } else {
            let shown = if first.is_control() {
                first.escape_default().to_string()
            } else {
                first.to_string()
            };
            let says = format!("`{shown}` has no meaning in a condition");
            self.refuse(first.len_utf8(), says, "take it out", &[What::Unreadable]);
        }
    }

    fn number(&mut self) {
        let rest = self.rest();
        if let Some(len) = date_at_start(rest) {
            self.push(len, What::Date(&rest[..len]));
            return;
        }
        if let Some(len) = date_otherwise(rest) {
            let says = format!("`{}` is not how a day is written here", &rest[..len]);
            let help = "write year, month and day, as in `2026-10-13`";
            return self.refuse(len, says, help, &[What::Unreadable]);
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

    /// The unit behind a number: the longest known spelling, or else the next word, unless the
    /// language itself owns that word.
    fn unit(&mut self) {
        let rest = self.rest();
        let gap = rest.len() - rest.trim_start_matches(' ').len();
        let word = &rest[gap..];
        let mut len = 0;
        for (at, c) in word.char_indices() {
            let next = word[at + c.len_utf8()..].chars().next();
            let joins = matches!(c, '°' | 'º' | 'µ' | 'μ' | '%' | '²' | '³')
                || c.is_alphabetic()
                || (len > 0 && c.is_ascii_digit())
                || (len > 0 && c == '/' && next.is_some_and(char::is_alphabetic));
            if !joins {
                break;
            }
            len = at + c.len_utf8();
        }
        // A spelling may be of several words, `L per 100 L`; of a sign alone it may not: `'` opens
        // a quote.
        if len > 0 {
            len = table::unit_at_start(word).map_or(len, |known| known.max(len));
        }
        // `between 1 to 3` is a slip of the pen, and not a unit that is called `to`.
        if len > 0 && !is_reserved(&word[..len]) && &word[..len] != "to" {
            self.at += gap;
            self.push(len, What::Unit(&word[..len]));
        }
    }

    fn quoted(&mut self) {
        let rest = self.rest();
        match rest[1..].find('\'') {
            Some(len) => self.push(len + 2, What::Words(&rest[1..=len])),
            None => self.never_closed(),
        }
    }

    /// Words in quotes of another sort: refused, and read as what they mean.
    fn quoted_otherwise(&mut self, quote: char, closing: &[char]) {
        let inner = &self.rest()[quote.len_utf8()..];
        let closed = inner.char_indices().find(|(_, c)| closing.contains(c));
        let Some((len, last)) = closed else {
            return self.never_closed();
        };
        let words = &inner[..len];
        let says = format!("`{quote}` is not the quote of the rule language");
        let help = format!("put words in single quotes: `'{words}'`");
        let whole = quote.len_utf8() + len + last.len_utf8();
        self.refuse(whole, says, &help, &[What::Words(words)]);
    }

    fn never_closed(&mut self) {
        let says = "this quote is never closed".to_string();
        let help = "put words between two single quotes, as in `'open vented'`";
        self.refuse(self.rest().len(), says, help, &[What::Unreadable]);
    }

    /// Reports a piece of the text and reads it as these tokens.
    fn refuse(&mut self, len: usize, says: String, help: &str, read: &[What<'t>]) {
        let span = Span::new(self.at, self.at + len);
        self.problems
            .push(Problem::new("condition-sign", span, says, help));
        let read = read.iter().map(|what| Token { span, what: *what });
        self.tokens.extend(read);
        self.at += len;
    }

    fn too_long(&mut self) {
        let says = format!("this condition has more than {MOST_TOKENS} words and signs");
        let span = Span::new(self.at, self.at);
        self.problems
            .push(Problem::new(TOO_LONG, span, says, "split the rule"));
    }
}

/// The mark that a text begins with; nothing for a sign of other languages that begins like one.
fn mark_at_start(text: &str) -> Option<&'static str> {
    Some(match text.as_bytes() {
        [b'<', b'>', ..] => return None,
        [b'<', b'=', ..] => "<=",
        [b'>', b'=', ..] => ">=",
        [b'<', ..] => "<",
        [b'>', ..] => ">",
        [b'(', ..] => "(",
        [b')', ..] => ")",
        [b'[', ..] => "[",
        [b']', ..] => "]",
        [b',', ..] => ",",
        [b'.', ..] => ".",
        [b'+', ..] => "+",
        [b'-', ..] => "-",
        [b'*', ..] => "*",
        [b'/', ..] => "/",
        _ => return None,
    })
}

/// How far a text begins with such characters, all of which are of one byte.
fn length_of(text: &str, belongs: impl Fn(u8) -> bool) -> usize {
    text.bytes()
        .take_while(|byte| byte.is_ascii() && belongs(*byte))
        .count()
}

/// The same for a date in another manner: `13/10/2026`, `13.10.2026`, `2026/10/13`.
fn date_otherwise(text: &str) -> Option<usize> {
    let part = |c: char| c.is_ascii_digit() || c == '/' || c == '.';
    let len = text.find(|c| !part(c)).unwrap_or(text.len());
    let parts: Vec<&str> = text[..len].split(['/', '.']).collect();
    let is_date = parts.len() == 3
        && parts.iter().all(|part| (1..=4).contains(&part.len()))
        && [parts[0], parts[2]].iter().any(|part| part.len() == 4);
    is_date.then_some(len)
}

/// How far a text reaches that was meant for a date: four digits, then one or two, twice, joined by
/// `-` without a space. Whether the day exists is for the checker to say.
fn date_at_start(text: &str) -> Option<usize> {
    let digits = |from: usize| length_of(text.get(from..).unwrap_or(""), |c| c.is_ascii_digit());
    let dash = |at: usize| text.as_bytes().get(at) == Some(&b'-');
    let year = digits(0);
    let month = digits(year + 1);
    let day = digits(year + month + 2);
    let fits = year == 4
        && dash(year)
        && (1..=2).contains(&month)
        && dash(year + 1 + month)
        && (1..=2).contains(&day);
    let date = year + month + day + 2;
    let clock = text.get(date..).and_then(|rest| rest.strip_prefix('T'));
    let clock = clock.map_or(0, |rest| {
        1 + length_of(rest, |c| c.is_ascii_digit() || c == b':')
    });
    fits.then_some(date + clock)
}
