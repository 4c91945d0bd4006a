//! Digests: what identifies the content of a file or a pack, whatever it is called and however it is laid out.
//!
//! Contract: two documents have one digest exactly when they hold the same keys and values in the same order;
//! comments, indents and line breaks do not count. SHA-256, in lower-case hexadecimal digits.

use sha2::{Digest, Sha256};
use std::fmt::Write;
use wetside_document::{Node, Style, Value};

/// How many digits are shown to people, and at least have to be written by them.
pub const SHOWN: usize = 12;

/// The first digits, for people.
pub fn short(digest: &str) -> &str {
    digest.get(..SHOWN).unwrap_or(digest)
}

/// Whether somebody who wrote these digits meant this digest.
pub(crate) fn is_meant(digest: &str, written: &str) -> bool {
    written.len() >= SHOWN && digest.starts_with(written)
}

/// The digest of a text as it stands, byte for byte.
pub fn of_text(text: &str) -> String {
    finished(Sha256::new_with_prefix(text))
}

/// The digest of a value, without some of its keys.
pub(crate) fn of_node(node: &Node, without: &[&str]) -> String {
    let mut hasher = Sha256::new();
    add(&mut hasher, node, without);
    finished(hasher)
}

/// One digest of several parts in their order.
pub(crate) fn joined<'a>(parts: impl IntoIterator<Item = &'a str>) -> String {
    let mut hasher = Sha256::new();
    parts
        .into_iter()
        .for_each(|part| piece(&mut hasher, b't', part));
    finished(hasher)
}

fn finished(hasher: Sha256) -> String {
    let bytes = hasher.finalize();
    bytes.iter().fold(String::new(), |mut digits, byte| {
        // Writing to a string cannot fail.
        let _ = write!(digits, "{byte:02x}");
        digits
    })
}

/// A text with its sort and length before it, so that no two rows of texts run together.
fn piece(hasher: &mut Sha256, sort: u8, text: &str) {
    hasher.update([sort]);
    hasher.update((text.len() as u64).to_le_bytes());
    hasher.update(text);
}

fn add(hasher: &mut Sha256, node: &Node, without: &[&str]) {
    match &node.value {
        Value::Scalar(scalar) if scalar.style == Style::Plain => piece(hasher, b'p', &scalar.text),
        Value::Scalar(scalar) => piece(hasher, b'q', scalar.text.trim_end()),
        Value::List(items) => {
            piece(hasher, b'[', &items.len().to_string());
            items.iter().for_each(|item| add(hasher, item, &[]));
        }
        Value::Map(entries) => {
            let kept = entries
                .iter()
                .filter(|entry| !without.contains(&entry.key.text.as_str()));
            for entry in kept {
                piece(hasher, b'k', &entry.key.text);
                add(hasher, &entry.value, &[]);
            }
            piece(hasher, b'}', "");
        }
        Value::Empty | Value::Broken => piece(hasher, b'0', ""),
    }
}
