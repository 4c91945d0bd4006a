//! What a misspelt word may have meant.
//!
//! Contract: a suggestion is one of the words offered, or nothing; the same question always gets the
//! same answer. This module must not know what the words are for.

/// The offered word nearest to the one written, if it is near enough to be meant.
///
/// Near enough is two slips in a short word and a third of the letters in a long one; swapped
/// neighbours count once. Among equals the first offered wins.
pub fn nearest<'w>(written: &str, offered: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let lower = written.to_lowercase();
    let slips = |word: &str| strsim::damerau_levenshtein(&lower, &word.to_lowercase());
    let allowed = 2.max(written.chars().count() / 3);
    offered
        .into_iter()
        .map(|word| (slips(word), word))
        .filter(|(distance, word)| *distance <= allowed && *distance < word.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word)
}

/// `did you mean …? ` in front of the general advice, where a word is near enough.
pub fn help<'w>(
    written: &str,
    offered: impl IntoIterator<Item = &'w str>,
    otherwise: &str,
) -> String {
    match nearest(written, offered) {
        Some(word) => format!("did you mean `{word}`?"),
        None => otherwise.to_string(),
    }
}

/// Words in a row for a message: `a, b or c`.
pub fn either<'w>(words: impl IntoIterator<Item = &'w str>) -> String {
    let words: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}
