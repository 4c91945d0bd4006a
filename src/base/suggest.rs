//! What a misspelt word may have meant.
//!
//! Contract: a suggestion is one of the words offered, or nothing; the same question always gets the
//! same answer. This module must not know what the words are for.

/// The offered word nearest to the one written, if it is near enough to be meant.
///
/// Near enough is two slips in a short word and a third of the letters in a long one; swapped
/// neighbours count once. Among equals the first offered wins. Where none is near, the one that goes on
/// from what was written, or has a word that does: `combi` for `gas combination`.
pub fn nearest<'w>(written: &str, offered: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let lower = written.to_lowercase();
    let slips = |word: &str| strsim::damerau_levenshtein(&lower, &word.to_lowercase());
    let allowed = 2.max(written.chars().count() / 3);
    let offered: Vec<&str> = offered.into_iter().collect();
    // Each letter more or less is a slip of its own, and a long text is not compared for nothing.
    let length = |word: &&&str| word.chars().count().abs_diff(written.chars().count()) <= allowed;
    let near = offered
        .iter()
        .filter(length)
        .map(|word| (slips(word), *word))
        .filter(|(distance, word)| *distance <= allowed && *distance < word.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, word)| word);
    near.or_else(|| cut_short(&lower, &offered))
}

/// The one offered word that was begun and not ended. A whole word of several is no beginning: whoever
/// writes `boiler` need not mean the `electric boiler`.
fn cut_short<'w>(lower: &str, offered: &[&'w str]) -> Option<&'w str> {
    const SHORTEST: usize = 4;
    if lower.chars().count() < SHORTEST {
        return None;
    }
    let goes_on = |text: &str| text.len() > lower.len() && text.starts_with(lower);
    let whole = |word: &&&str| goes_on(&word.to_lowercase());
    let in_part = |word: &&&str| word.to_lowercase().split(' ').any(goes_on);
    let only = |mut found: Vec<&'w str>| {
        found.dedup();
        (found.len() == 1).then(|| found[0])
    };
    let wholes: Vec<&str> = offered.iter().filter(whole).copied().collect();
    if wholes.is_empty() {
        only(offered.iter().filter(in_part).copied().collect())
    } else {
        only(wholes)
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_cut_short_means_the_only_one_that_goes_on_from_it() {
        let sources = [
            "gas combination",
            "gas system",
            "electric boiler",
            "solar thermal",
        ];
        assert_eq!(nearest("combi", sources), Some("gas combination"));
        assert_eq!(nearest("solar", sources), Some("solar thermal"));
        assert_eq!(nearest("boiler", sources), None);
        let rules = ["dump-into-surface-water", "dump-hose-loose"];
        assert_eq!(nearest("dump-into-surface", rules), Some(rules[0]));
        assert_eq!(nearest("dump", rules), None);
    }

    #[test]
    fn a_slip_of_the_pen_is_nearer_than_a_word_cut_short() {
        assert_eq!(nearest("drian", ["drain", "drianage"]), Some("drain"));
    }
}
