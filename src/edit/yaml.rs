//! Texts as surveys and the trainer's files write them: in quotes only where they must be.

use wetside_base::shown::is_hidden;

/// A value in a block: quoted only where it must be, or where it could be taken for a number.
pub fn value(text: &str) -> String {
    let numberlike =
        text.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == '+' || c == '-');
    let numberlike = numberlike && !text.contains(' ');
    let word = ["true", "false", "null", "~"].contains(&text.to_lowercase().as_str());
    if numberlike || word {
        quoted(text)
    } else {
        in_yaml(text, false)
    }
}

/// The same between braces or brackets.
pub fn inline(text: &str) -> String {
    let block = value(text);
    if block.starts_with('"') {
        block
    } else {
        in_yaml(text, true)
    }
}

/// A word or value as a survey writes it, in quotes only where it must be.
pub fn in_yaml(text: &str, in_flow: bool) -> String {
    let begins = text.starts_with([
        '#', '&', '*', '!', '|', '>', '\'', '"', '%', '@', '`', '[', ']', '{', '}', ',', ' ', '-',
        '?', ':',
    ]);
    let minus_number = text.starts_with('-') && text[1..].starts_with(|c: char| c.is_ascii_digit());
    let breaks = text.contains(": ") || text.contains(" #") || text.ends_with([':', ' ']);
    let control = text.chars().any(|c| c.is_control() || is_hidden(c));
    let flow = in_flow && text.contains(['[', ']', '{', '}', ',']);
    if text.is_empty() || (begins && !minus_number) || breaks || control || flow {
        quoted(text)
    } else {
        text.to_string()
    }
}

/// Words on one line in square brackets.
pub fn in_brackets(words: &[impl AsRef<str>]) -> String {
    let words: Vec<String> = words
        .iter()
        .map(|word| in_yaml(word.as_ref(), true))
        .collect();
    format!("[{}]", words.join(", "))
}

/// A text in double quotes.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            '\n' => quoted.push_str("\\n"),
            c if c.is_control() || is_hidden(c) => {
                quoted.push_str(&format!("\\U{:08x}", u32::from(c)));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
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

    #[test]
    fn values_are_quoted_only_where_they_must_be() {
        assert_eq!(
            in_yaml("not needed, confirmed", false),
            "not needed, confirmed"
        );
        assert_eq!(
            in_yaml("not needed, confirmed", true),
            "\"not needed, confirmed\""
        );
        assert_eq!(in_yaml("-3 °C", true), "-3 °C");
        assert_eq!(in_yaml("- a", false), "\"- a\"");
    }
}
