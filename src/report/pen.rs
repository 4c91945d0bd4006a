//! Laying out sentences within a width: paragraphs, items, headings.
//!
//! Contract: every text passes through here or through the drawing, so that nothing unseen reaches
//! the page. A word longer than the page is left whole: it is an id or a path that someone will copy.
//! This module must not know what the words are about.

use super::Style;
use super::signs::{columns, shown};
use std::borrow::{Borrow, Cow};
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// Weight and colour, for those who see them; never the only sign of anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    Usual,
    Strong,
    Faint,
    /// Strong, in the colour of a stop.
    Stop,
    /// Strong, in the colour of a wait.
    Wait,
    /// Strong, in the colour of a go.
    Go,
}

/// Columns that words beside a lead need in order to read well.
const LEAST_BESIDE: usize = 30;
/// How far in words stand below a lead.
const ON_ITS_OWN: usize = 4;
/// How far in the body of an item stands on a drawn page.
pub(crate) const BODY: usize = 4;

/// A page in the making.
#[derive(Clone, Debug)]
pub struct Pen {
    style: Style,
    page: String,
}

impl Pen {
    pub fn new(style: Style) -> Pen {
        Pen {
            style,
            page: String::new(),
        }
    }

    pub fn style(&self) -> &Style {
        &self.style
    }

    /// The page, each line without spaces at its end.
    pub fn finish(self) -> String {
        self.page
    }

    /// An empty line, but never two of them and never at the top of the page.
    pub fn gap(&mut self) {
        if !self.page.is_empty() && !self.page.ends_with("\n\n") {
            self.page.push('\n');
        }
    }

    /// The heading of a part, in capitals; not so on a page of words, where capitals would be
    /// spelled out to a listener.
    pub fn heading(&mut self, words: &str, rule: char, ink: Ink) {
        if self.style.drawn {
            self.title(&words.to_uppercase(), rule, ink);
        } else {
            self.title(&sentence(words), rule, ink);
        }
    }

    /// A line underlined over its length with `rule`, after a gap; no letter is changed.
    pub fn title(&mut self, words: &str, rule: char, ink: Ink) {
        self.gap();
        let lines = wrap(&shown(words, self.style.ascii), self.style.columns());
        let longest = lines.iter().map(|line| columns(line)).max().unwrap_or(0);
        for line in &lines {
            self.put("", line, ink);
        }
        if self.style.drawn {
            let under = rule.to_string().repeat(longest);
            self.put("", &under, ink);
        }
    }

    /// A paragraph, `indent` columns in.
    pub fn paragraph(&mut self, indent: usize, words: &str) {
        self.hanging(indent, "", words, Ink::Usual);
    }

    pub(crate) fn inked(&mut self, indent: usize, words: &str, ink: Ink) {
        let room = self.style.columns().saturating_sub(indent);
        let edge = " ".repeat(indent);
        for line in wrap(&shown(words, self.style.ascii), room) {
            self.put(&edge, &line, ink);
        }
    }

    /// A paragraph behind a short lead, all further lines starting under its first word. A lead that
    /// leaves the words too little room stands on a line of its own.
    pub fn hanging(&mut self, indent: usize, lead: &str, words: &str, ink: Ink) {
        let lead = shown(lead, self.style.ascii);
        let inner = indent + columns(&lead);
        let apart = indent + ON_ITS_OWN;
        if inner + LEAST_BESIDE > self.style.columns() && inner > apart {
            self.put(&" ".repeat(indent), &lead, ink);
            return self.paragraph(apart, words);
        }
        let room = self.style.columns().saturating_sub(inner);
        let mut edge = " ".repeat(indent);
        edge.push_str(&self.dyed(&lead, ink));
        for line in wrap(&shown(words, self.style.ascii), room) {
            self.put(&edge, &line, Ink::Usual);
            edge = " ".repeat(inner);
        }
    }

    /// An item with its lead, which a page of words leaves out.
    pub(crate) fn item(&mut self, lead: &str, words: &str, ink: Ink) {
        let lead = if self.style.drawn { lead } else { "" };
        self.hanging(0, lead, words, ink);
    }

    /// How far in the body of an item stands.
    pub(crate) fn body(&self) -> usize {
        if self.style.drawn { BODY } else { 0 }
    }

    /// `Word: sentence`, further lines two columns in from the word.
    pub fn entry(&mut self, indent: usize, word: &str, words: &str) {
        let whole = shown(&format!("{word}: {words}"), self.style.ascii);
        let room = self.style.columns().saturating_sub(indent);
        let edge = " ".repeat(indent);
        let lines = broken(&whole, within(room).subsequent_indent("  "));
        for (number, line) in lines.iter().enumerate() {
            match line.strip_prefix(word).filter(|_| number == 0) {
                Some(rest) => {
                    let lead = format!("{edge}{}", self.dyed(word, Ink::Strong));
                    self.put(&lead, rest, Ink::Usual);
                }
                None => self.put(&edge, line, Ink::Usual),
            }
        }
    }

    /// Finished lines, such as a drawing, `indent` columns in.
    pub fn block(&mut self, indent: usize, lines: &str) {
        let edge = " ".repeat(indent);
        for line in lines.lines() {
            self.put(&edge, line, Ink::Usual);
        }
    }

    /// A finished part of the page.
    pub fn add(&mut self, part: &str) {
        self.page.push_str(part);
    }

    fn put(&mut self, edge: &str, line: &str, ink: Ink) {
        let line = line.trim_end();
        if line.is_empty() {
            self.page.push_str(edge.trim_end());
        } else {
            self.page.push_str(edge);
            let dyed = self.dyed(line, ink);
            self.page.push_str(&dyed);
        }
        self.page.push('\n');
    }

    fn dyed(&self, words: &str, ink: Ink) -> String {
        // Select Graphic Rendition of ECMA-48: 1 strong, 2 faint, 31 red, 33 yellow, 32 green.
        let code = match ink {
            Ink::Usual => return words.to_string(),
            Ink::Strong => "1",
            Ink::Faint => "2",
            Ink::Stop => "1;31",
            Ink::Wait => "1;33",
            Ink::Go => "1;32",
        };
        if self.style.colour && !words.is_empty() {
            format!("\u{1b}[{code}m{words}\u{1b}[0m")
        } else {
            words.to_string()
        }
    }
}

/// A count with its noun: `1 hazard`, `3 hazards`.
pub fn number(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// What there is any of, each with its noun.
pub(crate) fn numbers(counted: &[(usize, &str, &str)]) -> Vec<String> {
    let some = counted.iter().filter(|(count, ..)| *count > 0);
    some.map(|(count, one, many)| number(*count, one, many))
        .collect()
}

/// Words in a row: `a, b and c`.
pub fn row<W: Borrow<str>>(words: &[W]) -> String {
    match words {
        [] => String::new(),
        [only] => only.borrow().to_string(),
        [others @ .., last] => format!("{} and {}", others.join(", "), last.borrow()),
    }
}

/// A lower-case clause as a sentence of its own: a capital where that changes no symbol, a full stop.
pub fn sentence(clause: &str) -> String {
    let clause = clause.trim();
    let mut letters = clause.chars();
    let (first, second) = (letters.next(), letters.next());
    let capital = match (first, second) {
        (Some(first), Some(second)) if first.is_ascii_lowercase() => {
            // `pH` and a single letter, as a symbol, stay as they are.
            second.is_ascii_lowercase() || (first == 'a' && second == ' ')
        }
        _ => false,
    };
    let mut out = String::with_capacity(clause.len() + 1);
    if capital && let Some(first) = first {
        out.push(first.to_ascii_uppercase());
        out.push_str(&clause[1..]);
    } else {
        out.push_str(clause);
    }
    closed(&out)
}

/// A clause with a full stop, unless it ends with a mark of its own.
pub fn closed(clause: &str) -> String {
    let clause = clause.trim();
    if clause.is_empty() || clause.ends_with(['.', '!', '?']) {
        clause.to_string()
    } else {
        format!("{clause}.")
    }
}

/// Lines of at most `room` columns, broken at spaces.
pub(crate) fn wrap(text: &str, room: usize) -> Vec<String> {
    broken(text, within(room))
}

/// A word that is wider than the room is left whole.
fn within(room: usize) -> Options<'static> {
    Options::new(room)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
}

/// Several spaces count as one, as when a paragraph is set.
fn broken(text: &str, options: Options<'_>) -> Vec<String> {
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let text = words.join(" ");
    let lines = textwrap::wrap(&text, options).into_iter();
    lines.map(Cow::into_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_leave_symbols_and_quotes_alone() {
        assert_eq!(sentence("the vent is closed"), "The vent is closed.");
        assert_eq!(sentence("pH 5 is too low"), "pH 5 is too low.");
        assert_eq!(sentence("`ED` is too weak"), "`ED` is too weak.");
        assert_eq!(sentence("a valve is shut"), "A valve is shut.");
        assert_eq!(sentence("is it?"), "Is it?");
    }

    #[test]
    fn lines_keep_within_the_room_unless_a_word_does_not_fit() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("a-very-long-word b", 4), ["a-very-long-word", "b"]);
        assert_eq!(wrap("", 4), [""]);
    }
}
