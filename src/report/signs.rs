//! Characters made safe and fit to show.
//!
//! Contract: whatever comes in, what goes out moves no cursor, reverses no text and hides nothing:
//! controls and invisible characters become signs that can be seen. Where only ASCII may be written,
//! the signs of the trade get stand-ins that keep their meaning. This module must not know layout.

use std::fmt::Write;
use wetside_base::shown::is_hidden;

/// The columns that a text takes on a terminal.
pub(crate) use textwrap::core::display_width as columns;

/// A text as it may be shown. Line breaks and tabs become single spaces.
pub fn shown(text: &str, ascii: bool) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        push(&mut out, character, ascii);
    }
    out
}

/// One character as it may be shown.
pub(crate) fn push(out: &mut String, character: char, ascii: bool) {
    match character {
        ' '..='~' => out.push(character),
        '\n' | '\r' | '\t' => out.push(' '),
        hidden if is_hidden(hidden) => {
            write!(out, "<U+{:04X}>", u32::from(hidden)).expect("writing to a string never fails");
        }
        other if ascii => out.push_str(stand_in(other)),
        other => out.push(other),
    }
}
/// What stands for a sign that is not ASCII.
fn stand_in(character: char) -> &'static str {
    match character {
        '°' => "deg ",
        '²' | '₂' => "2",
        '³' | '₃' => "3",
        '±' => "+/-",
        '×' => "x",
        '÷' => "/",
        'µ' | 'μ' => "u",
        'Ω' => "ohm",
        'Δ' => "delta ",
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '≤' => "<=",
        '≥' => ">=",
        '‘' | '’' | '′' => "'",
        '“' | '”' | '″' => "\"",
        '–' | '—' | '−' | '‑' => "-",
        '…' => "...",
        '→' => "->",
        '£' => "GBP ",
        '\u{a0}' | '\u{202f}' | '\u{2009}' => " ",
        'à'..='å' => "a",
        'ç' => "c",
        'è'..='ë' => "e",
        'ì'..='ï' => "i",
        'ñ' => "n",
        'ò'..='ö' | 'ø' => "o",
        'ù'..='ü' => "u",
        'À'..='Å' => "A",
        'È'..='Ë' => "E",
        'Ò'..='Ö' => "O",
        'Ù'..='Ü' => "U",
        'ß' => "ss",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_could_move_the_cursor_or_hide_is_spelled_out() {
        assert_eq!(shown("a\u{1b}[31mb", false), "a<U+001B>[31mb");
        assert_eq!(shown("x\u{202e}y\u{200b}", false), "x<U+202E>y<U+200B>");
        assert_eq!(shown("one\ntwo\tthree", false), "one two three");
    }

    #[test]
    fn the_signs_of_the_trade_survive_ascii() {
        assert_eq!(
            shown("50 °C, 2.5 mm², CaCO₃ ± 2", true),
            "50 deg C, 2.5 mm2, CaCO3 +/- 2"
        );
        assert_eq!(shown("50 °C", false), "50 °C");
    }

    #[test]
    fn columns_count_what_a_terminal_shows() {
        assert_eq!(columns("e\u{301}"), 1);
        assert_eq!(columns("温水"), 4);
    }
}
