//! Words of a fact that were written without their quotes: `WC pan` in `drain.route is WC pan`.

use super::Parser;
use crate::token::{What, is_reserved};
use wetside_base::source::Span;

impl Parser<'_> {
    /// The words without quotes around the token under the eye, where a word of a fact was asked for.
    pub(super) fn bare_words(&self) -> Option<Span> {
        let mut first = self.at;
        if !self.is_plain(first) && !self.is_hyphen(first) {
            return None;
        }
        while first > 0 && (self.is_plain(first - 1) || self.is_hyphen(first - 1)) {
            first -= 1;
        }
        if first == self.at || !self.asks_for_a_word(first) {
            return None;
        }
        let mut last = self.at;
        while self.is_plain(last + 1) || self.is_hyphen(last + 1) {
            last += 1;
        }
        Some(self.tokens[first].span.to(self.tokens[last].span))
    }

    /// A word that the language does not keep for itself, or one that is part of a longer word.
    fn is_plain(&self, at: usize) -> bool {
        let Some(What::Word(word)) = self.tokens.get(at).map(|token| token.what) else {
            return false;
        };
        let in_part =
            || self.is_hyphen(at + 1) || at.checked_sub(1).is_some_and(|at| self.is_hyphen(at));
        !is_reserved(word) || in_part()
    }

    /// A hyphen inside a word, with no space on either side.
    fn is_hyphen(&self, at: usize) -> bool {
        let Some(before) = at.checked_sub(1) else {
            return false;
        };
        let around = self.tokens.get(before..=at + 1);
        matches!(around, Some([left, hyphen, right])
            if hyphen.what == What::Mark("-")
                && left.span.end == hyphen.span.start
                && hyphen.span.end == right.span.start)
    }

    /// Whether what stands before a token asks for a word of a fact.
    fn asks_for_a_word(&self, first: usize) -> bool {
        let word = |back: usize| match first.checked_sub(back).map(|at| self.tokens[at].what) {
            Some(What::Word(word)) => word,
            _ => "",
        };
        match (word(2), word(1)) {
            ("is", "not") | (_, "is" | "includes") => true,
            _ => self.opens_choices(first),
        }
    }

    /// Whether a token stands among the choices of `one of [` or `only [`.
    fn opens_choices(&self, first: usize) -> bool {
        let within = |at: &usize| match self.tokens[*at].what {
            What::Word(_) => !self.is_plain(*at),
            What::Words(_) | What::Mark("," | "-") => false,
            _ => true,
        };
        let Some(open) = (0..first).rev().find(within) else {
            return false;
        };
        let before = open.checked_sub(1).map(|at| self.tokens[at].what);
        self.tokens[open].what == What::Mark("[")
            && matches!(before, Some(What::Word("of" | "only")))
    }
}
