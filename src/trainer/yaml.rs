//! The texts that the trainer's files are written in.

use super::text::{in_yaml, quoted};

/// A value in a block: quoted only where it must be, or where it could be taken for a number.
pub(super) fn value(text: &str) -> String {
    let numberlike =
        text.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '+' || c == '-');
    let word = ["true", "false", "null", "~"].contains(&text.to_lowercase().as_str());
    if numberlike || word {
        quoted(text)
    } else {
        in_yaml(text, false)
    }
}

/// The same between braces or brackets.
pub(super) fn inline(text: &str) -> String {
    let block = value(text);
    if block.starts_with('"') {
        block
    } else {
        in_yaml(text, true)
    }
}

/// Whole numbers between brackets.
pub(super) fn numbers(numbers: &[usize]) -> String {
    let written: Vec<String> = numbers.iter().map(usize::to_string).collect();
    format!("[{}]", written.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_could_be_a_number_is_quoted() {
        assert_eq!(value("12345"), "\"12345\"");
        assert_eq!(value("a: b"), "\"a: b\"");
        assert_eq!(value("not needed, confirmed"), "not needed, confirmed");
        assert_eq!(inline("not needed, confirmed"), "\"not needed, confirmed\"");
        assert_eq!(value("true"), "\"true\"");
    }
}
