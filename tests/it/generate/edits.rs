//! Every edit that spoils one line of a text: deleted, emptied, misspelt, set to `unknown`.
//!
//! The text is taken apart here by hand and not by the program's own reader, so that both would
//! have to be wrong in the same way.

use std::ops::Range;

/// A way to spoil one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    Deleted,
    /// The line and all that is set in below it.
    BlockDeleted,
    /// `key: unknown` in place of a block.
    BlockUnknown,
    Emptied,
    Unknown,
    KeyMisspelt,
    ValueMisspelt,
}

/// One edit of a text.
pub(crate) struct Edit {
    /// From 1.
    pub line: usize,
    pub way: Way,
    /// The line as it reads then, if it stays.
    put: Option<String>,
    /// The first line, from 0, after those that are taken out.
    until: usize,
}

impl Edit {
    /// The text as it is then.
    pub(crate) fn of(&self, text: &str) -> String {
        let lines: Vec<&str> = text.lines().collect();
        let put: Vec<&str> = self.put.iter().map(String::as_str).collect();
        joined(&lines, self.line - 1, &put, self.until)
    }

    /// The line before and after.
    pub(crate) fn shown(&self, text: &str) -> String {
        let before = text.lines().nth(self.line - 1).unwrap_or_default().trim();
        match &self.put {
            Some(after) => format!("`{before}` became `{}`", after.trim()),
            None => format!("`{before}` is gone"),
        }
    }
}

/// A key with its value, as byte ranges of a line.
struct Pair {
    key: Range<usize>,
    value: Range<usize>,
}

/// Every line of a text spoilt in every way. On a line with several keys one of them is chosen for
/// each way, and one of two misspellings; `thorough` takes all of them.
pub(crate) fn edits(text: &str, thorough: bool) -> Vec<Edit> {
    let lines: Vec<&str> = text.lines().collect();
    let mut edits = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        if content(line).trim().is_empty() {
            continue;
        }
        let (line, until) = (at + 1, at + 1);
        let put = None;
        edits.push(Edit {
            line,
            way: Way::Deleted,
            put,
            until,
        });
        let pairs = pairs(lines[at]);
        for (which, pair) in pairs.iter().enumerate() {
            let chosen = |edit: &Edit| (at + edit.way as usize) % pairs.len() == which;
            let changed = changed(&lines, at, pair, thorough).into_iter();
            edits.extend(changed.filter(|edit| thorough || chosen(edit)));
        }
    }
    edits
}

/// The ways to spoil one key and its value.
fn changed(lines: &[&str], at: usize, pair: &Pair, thorough: bool) -> Vec<Edit> {
    let line = content(lines[at]);
    let with = |range: &Range<usize>, new: &str| {
        format!("{}{new}{}", &line[..range.start], &line[range.end..])
    };
    let edit = |way, put, until| Edit {
        line: at + 1,
        way,
        put,
        until,
    };
    let one = |way, new: String| edit(way, Some(new), at + 1);
    let value = &line[pair.value.clone()];
    let keys = slips(&line[pair.key.clone()], at, thorough).into_iter();
    let mut changed: Vec<Edit> = keys
        .map(|slip| one(Way::KeyMisspelt, with(&pair.key, &slip)))
        .collect();
    if value.is_empty() {
        let until = block_end(lines, at);
        let unknown = format!("{line} unknown");
        changed.push(edit(Way::BlockDeleted, None, until));
        changed.push(edit(Way::BlockUnknown, Some(unknown.clone()), until));
        changed.push(one(Way::Unknown, unknown));
        return changed;
    }
    let emptied = with(&pair.value, "").trim_end().to_string();
    changed.push(one(Way::Emptied, emptied));
    changed.push(one(Way::Unknown, with(&pair.value, "unknown")));
    if !value.starts_with('{') {
        let slips = slips(value, at, thorough).into_iter();
        changed.extend(slips.map(|slip| one(Way::ValueMisspelt, with(&pair.value, &slip))));
    }
    changed
}

/// The text without its lines from `at` to `until`, others put in their place.
fn joined(lines: &[&str], at: usize, put: &[&str], until: usize) -> String {
    let kept = lines[..at].iter().chain(put).chain(&lines[until..]);
    kept.flat_map(|line| [*line, "\n"]).collect()
}

/// The text without one line, from 1.
pub(crate) fn without(text: &str, line: usize) -> String {
    let lines: Vec<&str> = text.lines().collect();
    joined(&lines, line - 1, &[], line)
}

/// A line without its comment.
pub(crate) fn content(line: &str) -> &str {
    if line.trim_start().starts_with('#') {
        return "";
    }
    line.split(" #").next().unwrap_or_default().trim_end()
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

/// The first line that is not set in deeper than line `at`; a dash counts as depth.
fn block_end(lines: &[&str], at: usize) -> usize {
    let own = indent(lines[at]) + usize::from(lines[at].trim_start().starts_with("- ")) * 2;
    let deeper = |line: &&&str| content(line).trim().is_empty() || indent(line) > own;
    at + 1 + lines[at + 1..].iter().take_while(deeper).count()
}

fn pairs(line: &str) -> Vec<Pair> {
    let line = content(line);
    let bytes = line.as_bytes();
    let mut pairs = Vec::new();
    let (mut at, mut depth) = (0, 0_usize);
    while at < bytes.len() {
        let key = word_end(bytes, at);
        let fresh = at == 0 || b" {".contains(&bytes[at - 1]);
        let marked =
            bytes.get(key) == Some(&b':') && matches!(bytes.get(key + 1), None | Some(b' '));
        if key > at && fresh && marked {
            let start = (key + 2).min(line.len());
            let value = start..value_end(bytes, start, depth > 0);
            // Go on inside a map that stands on the same line, else behind the value.
            let inside = bytes.get(start) == Some(&b'{');
            at = if inside { start } else { value.end.max(start) };
            pairs.push(Pair {
                key: key - (key - word_start(bytes, key))..key,
                value,
            });
            continue;
        }
        match bytes[at] {
            b'{' => depth += 1,
            b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
        at = key.max(at + 1);
    }
    pairs
}

fn word_end(bytes: &[u8], from: usize) -> usize {
    let word = bytes[from..]
        .iter()
        .take_while(|byte| byte.is_ascii_lowercase() || **byte == b'_');
    from + word.count()
}

fn word_start(bytes: &[u8], end: usize) -> usize {
    let word = bytes[..end]
        .iter()
        .rev()
        .take_while(|byte| byte.is_ascii_lowercase() || **byte == b'_');
    end - word.count()
}

fn value_end(bytes: &[u8], start: usize, in_braces: bool) -> usize {
    let mut depth = 0_usize;
    for (at, byte) in bytes.iter().enumerate().skip(start) {
        match byte {
            b'[' | b'{' => depth += 1,
            b']' | b'}' if depth == 0 && in_braces => return at,
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' if depth == 0 && in_braces => return at,
            _ => {}
        }
    }
    bytes.len()
}

/// A word with two neighbouring letters swapped, and with a letter left out; which ones depends on
/// the line, so that over a text every place of a word is tried.
fn slips(word: &str, line: usize, thorough: bool) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    let is_letter = |at: &usize| letters[*at].is_alphabetic();
    let swaps: Vec<usize> = (1..letters.len())
        .filter(|at| is_letter(at) && is_letter(&(at - 1)) && letters[*at] != letters[at - 1])
        .collect();
    let drops: Vec<usize> = (0..letters.len()).filter(is_letter).collect();
    let swapped = swaps.get(line % swaps.len().max(1)).map(|at| {
        let mut new = letters.clone();
        new.swap(at - 1, *at);
        new.into_iter().collect::<String>()
    });
    let dropped = drops.get(line % drops.len().max(1)).map(|at| {
        let mut new = letters.clone();
        new.remove(*at);
        new.into_iter().collect::<String>()
    });
    match (swapped, dropped) {
        (Some(swapped), dropped) if thorough => std::iter::once(swapped).chain(dropped).collect(),
        (Some(swapped), Some(dropped)) => vec![if line.is_multiple_of(2) {
            swapped
        } else {
            dropped
        }],
        (one, other) => one.or(other).into_iter().collect(),
    }
}
