//! A note as words, each of which is used once.
//!
//! Contract: text only. Phrases are found as words next to each other, whatever their case; a noun in the
//! plural finds its singular. This module must not know surveys.

use std::ops::Range;

/// Words for a day, which are part of no name.
const DAYS: [&str; 3] = ["yesterday", "today", "tomorrow"];

/// Words that stand between a name and a time.
const BEFORE_A_TIME: [&str; 2] = ["at", "on"];

#[derive(Clone, Debug)]
pub(crate) struct Line<'l> {
    text: &'l str,
    words: Vec<Word<'l>>,
}

#[derive(Clone, Debug)]
struct Word<'l> {
    text: &'l str,
    lower: String,
    /// Where it begins in the line.
    at: usize,
    used: bool,
}

impl<'l> Line<'l> {
    pub(crate) fn new(text: &'l str) -> Line<'l> {
        let mut words = Vec::new();
        for word in text.split_whitespace() {
            let at = word.as_ptr() as usize - text.as_ptr() as usize;
            let word = word.trim_end_matches([',', ';', ':', '!', '?', '.']);
            if !word.is_empty() {
                words.push(Word {
                    text: word,
                    lower: word.to_lowercase(),
                    at,
                    used: false,
                });
            }
        }
        Line { text, words }
    }

    pub(crate) fn len(&self) -> usize {
        self.words.len()
    }

    /// The words of a stretch as they were written, if none of them was used.
    pub(crate) fn unused(&self, range: Range<usize>) -> Option<String> {
        let words = self.words.get(range)?;
        let fresh = words.iter().all(|word| !word.used);
        fresh.then(|| {
            let words: Vec<&str> = words.iter().map(|word| word.text).collect();
            words.join(" ")
        })
    }

    /// Where a phrase stands among the words that were not used.
    pub(crate) fn find(&self, phrase: &str) -> Option<Range<usize>> {
        self.found(phrase, |word, wanted| word == wanted)
    }

    /// The same, with singular and plural alike.
    pub(crate) fn find_alike(&self, phrase: &str) -> Option<Range<usize>> {
        self.found(phrase, |word, wanted| stem(word) == stem(wanted))
    }

    fn found(&self, phrase: &str, is: impl Fn(&str, &str) -> bool) -> Option<Range<usize>> {
        let wanted = parts(phrase);
        if wanted.is_empty() || wanted.len() > self.words.len() {
            return None;
        }
        let starts = 0..=self.words.len() - wanted.len();
        let mut places = starts.map(|at| at..at + wanted.len());
        places.find(|place| {
            let words = &self.words[place.clone()];
            let mut pairs = words.iter().zip(&wanted);
            pairs.all(|(word, wanted)| !word.used && is(&word.lower, wanted))
        })
    }

    /// The places of all words of a phrase, in whatever order, if each is there and unused.
    pub(crate) fn scattered(&self, phrase: &str) -> Option<Vec<usize>> {
        let mut places = Vec::new();
        for wanted in parts(phrase) {
            let fits = |at: &usize| {
                let word = &self.words[*at];
                !word.used && word.lower == wanted && !places.contains(at)
            };
            places.push((0..self.words.len()).find(fits)?);
        }
        (!places.is_empty()).then_some(places)
    }

    /// The unused words that are among these, singular and plural alike.
    pub(crate) fn among(&self, known: &[String]) -> Vec<usize> {
        let places = 0..self.words.len();
        let is_known = |at: &usize| {
            let word = &self.words[*at];
            !word.used && known.iter().any(|known| stem(known) == stem(&word.lower))
        };
        places.filter(is_known).collect()
    }

    pub(crate) fn take(&mut self, places: impl IntoIterator<Item = usize>) {
        for at in places {
            self.words[at].used = true;
        }
    }

    /// Takes a phrase out where it stands, as often as it does.
    pub(crate) fn drop(&mut self, phrases: &[String]) {
        for phrase in phrases {
            while let Some(place) = self.find(phrase) {
                self.take(place);
            }
        }
    }

    /// The longest of these phrases that stands there, used up.
    pub(crate) fn take_longest<'p>(&mut self, phrases: &'p [String]) -> Option<&'p str> {
        let mut ordered: Vec<&String> = phrases.iter().collect();
        ordered.sort_by_key(|phrase| std::cmp::Reverse(parts(phrase).len()));
        let (phrase, place) = ordered
            .into_iter()
            .find_map(|phrase| Some((phrase, self.find(phrase)?)))?;
        self.take(place);
        Some(phrase)
    }

    /// Everything behind a word, used up.
    pub(crate) fn take_rest(&mut self, after: usize) -> &'l str {
        let Some(first) = self.words.get(after) else {
            return "";
        };
        let rest = self.text[first.at..].trim();
        self.take(after..self.words.len());
        rest
    }

    /// A word and all behind it, taken out: the note's end, which begins with it; nothing where it stands nowhere.
    pub(crate) fn take_end(&mut self, word: &str) -> Option<&'l str> {
        let place = self.find(word)?;
        self.take(place.clone());
        Some(self.take_rest(place.end))
    }

    /// A word and the name behind it, taken out; nothing where it stands nowhere. A name ends where a word was used, or
    /// where a day is spoken of.
    pub(crate) fn take_name(&mut self, word: &str) -> Option<&'l str> {
        let place = self.find(word)?;
        let ends = |word: &&Word<'l>| word.used || DAYS.contains(&word.lower.as_str());
        let rest = &self.words[place.end..];
        let mut name = &rest[..rest
            .iter()
            .position(|word| ends(&word))
            .unwrap_or(rest.len())];
        while let Some((last, before)) = name.split_last() {
            if !BEFORE_A_TIME.contains(&last.lower.as_str()) {
                break;
            }
            name = before;
        }
        let end = place.end + rest.iter().take_while(|word| !ends(word)).count();
        let said = name.first().zip(name.last());
        let said = said.map_or("", |(first, last)| {
            &self.text[first.at..last.at + last.text.len()]
        });
        self.take(place.start..end);
        Some(said)
    }

    /// The words that were used since the line was like this.
    pub(crate) fn used_since(&self, before: &Line<'_>) -> Vec<String> {
        let pairs = self.words.iter().zip(&before.words);
        let since = pairs.filter(|(now, before)| now.used && !before.used);
        since.map(|(word, _)| word.lower.clone()).collect()
    }

    /// The words that nobody used.
    pub(crate) fn left(&self) -> Vec<&'l str> {
        let unused = self.words.iter().filter(|word| !word.used);
        unused.map(|word| word.text).collect()
    }

    /// The same, with those together that stand together.
    pub(crate) fn stretches(&self) -> Vec<Vec<&'l str>> {
        let stretches = self.words.split(|word| word.used);
        let stretches = stretches.map(|words| words.iter().map(|word| word.text).collect());
        stretches
            .filter(|words: &Vec<&str>| !words.is_empty())
            .collect()
    }
}

/// The words of a phrase or of a name in the survey.
pub(crate) fn parts(phrase: &str) -> Vec<String> {
    let words = phrase.split(|c: char| c.is_whitespace() || c == '_');
    let words = words.filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Whether each of these words stands in a name, singular and plural alike.
pub(crate) fn all_in(words: &[String], name: &str) -> bool {
    let name = parts(name);
    let has = |word: &String| name.iter().any(|part| stem(part) == stem(word));
    words.iter().all(has)
}

/// A noun without the ending of its plural.
fn stem(word: &str) -> &str {
    let stem = word.strip_suffix("ies").or_else(|| word.strip_suffix('y'));
    stem.or_else(|| word.strip_suffix("s").filter(|rest| rest.len() > 2))
        .unwrap_or(word)
}

/// A clause as the beginning of a sentence.
pub(crate) fn capital(clause: &str) -> String {
    let mut letters = clause.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_are_found_as_words() {
        let mut line = Line::new("Back bedroom, back");
        assert_eq!(line.find("back bedroom"), Some(0..2));
        assert_eq!(line.find("bed"), None);
        line.take(0..2);
        assert_eq!(line.find("back"), Some(2..3));
        assert_eq!(line.left(), ["back"]);
    }

    #[test]
    fn plural_and_singular_are_alike() {
        let line = Line::new("the supply of two flow valves");
        assert_eq!(line.find_alike("supplies"), Some(1..2));
        assert_eq!(line.find_alike("flow valve"), Some(4..6));
        assert_eq!(line.find("flow valve"), None);
    }

    #[test]
    fn words_of_a_name_may_stand_in_another_order() {
        let line = Line::new("primary check valve back");
        assert_eq!(line.scattered("check valve primary"), Some(vec![1, 2, 0]));
        assert_eq!(line.scattered("check check"), None);
    }
}
