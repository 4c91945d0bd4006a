//! The bytes of a file to a text.

use super::{MOST_BYTES, words};
use wetside_base::problem::Problem;
use wetside_base::source::{Source, Span};

const SAVE_AS: &str = "save the file as UTF-8 (in an editor: Save as, encoding UTF-8)";

/// Makes a source of the bytes of a file, which must be UTF-8 and at most 8 MiB.
///
/// # Errors
/// The problem, of kind `not-utf-8` or `too-large`, says what the bytes are, if that can be told,
/// and at which byte they stop being UTF-8. There is no text to show its span in; the span counts
/// bytes of the file.
pub fn decode(name: &str, bytes: Vec<u8>) -> Result<Source, Problem> {
    if bytes.len() > MOST_BYTES {
        return Err(words::too_large(MOST_BYTES));
    }
    if let Some(encoding) = wide_encoding(&bytes) {
        return Err(Problem::new(
            "not-utf-8",
            Span::new(0, 2.min(bytes.len())),
            format!("this file is written in {encoding}, which is not read here"),
            SAVE_AS,
        ));
    }
    String::from_utf8(bytes)
        .map(|text| Source::new(name, text))
        .map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            let bytes = error.as_bytes();
            let line = 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count();
            let byte = bytes.get(at).copied().unwrap_or_default();
            Problem::new(
                "not-utf-8",
                Span::new(at, at + 1),
                format!(
                    "this file is not UTF-8: on line {line}, byte {} of the file, `{byte:02X}`, \
                     is no character",
                    at + 1
                ),
                SAVE_AS,
            )
        })
}

/// Encodings with more than one byte to every character, known by their byte order mark or by
/// the zero bytes beside the first letter (YAML 1.2.2, section 5.2, from memory).
fn wide_encoding(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0, 0, 0xFE, 0xFF, ..] | [0xFF, 0xFE, 0, 0, ..] | [0, 0, 0, _, ..] => Some("UTF-32"),
        [0xFE, 0xFF, ..] | [0xFF, 0xFE, ..] => Some("UTF-16"),
        [first, 0, ..] | [0, first, ..] if *first != 0 => Some("UTF-16"),
        _ => None,
    }
}
