//! A fault as its file has it.

use super::planned::{Family, Sight};
use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};
use std::fmt;
use wetside_document::Placed;

/// A text with its place.
pub(crate) type Text<'d> = Placed<&'d str>;

#[derive(Deserialize)]
pub(crate) struct WrittenFault<'d> {
    pub title: &'d str,
    pub family: Placed<Family>,
    #[serde(borrow)]
    pub part: Text<'d>,
    pub needs: Option<Text<'d>>,
    pub for_each: Option<Text<'d>>,
    pub edit: Vec<Placed<WrittenEdit<'d>>>,
    pub raises: Option<Placed<Vec<Placed<WrittenPromise<'d>>>>>,
    #[serde(default)]
    pub may_raise: Vec<Text<'d>>,
    #[serde(default)]
    pub not_with: Vec<Text<'d>>,
    pub see: Sight,
    pub looks_like: Option<Placed<WrittenLook<'d>>>,
    pub because: Option<Text<'d>>,
}

/// One change. Which keys go together is said where they are read.
#[derive(Deserialize)]
pub(crate) struct WrittenEdit<'d> {
    #[serde(borrow)]
    pub set: Option<Text<'d>>,
    pub to: Option<Placed<WrittenValue<'d>>>,
    pub one_of: Option<Vec<Placed<WrittenValue<'d>>>>,
    pub with: Option<Text<'d>>,
    pub without: Option<Text<'d>>,
    pub unit: Option<Text<'d>>,
    pub delete: Option<Text<'d>>,
    pub unknown: Option<Text<'d>>,
    pub remove: Option<Text<'d>>,
    pub swap: Option<Text<'d>>,
    pub and: Option<Text<'d>>,
}

#[derive(Deserialize)]
pub(crate) struct WrittenPromise<'d> {
    #[serde(borrow)]
    pub rule: Option<Text<'d>>,
    pub at: Option<Text<'d>>,
    pub missing: Option<Text<'d>>,
}

#[derive(Deserialize)]
pub(crate) struct WrittenLook<'d> {
    #[serde(borrow)]
    pub rule: Text<'d>,
    pub at: Text<'d>,
}

/// A value as a survey writes it.
pub(crate) enum WrittenValue<'d> {
    Word(&'d str),
    Words(Vec<Text<'d>>),
}

impl<'de: 'd, 'd> Deserialize<'de> for WrittenValue<'d> {
    fn deserialize<D: Deserializer<'de>>(written: D) -> Result<Self, D::Error> {
        written.deserialize_any(WordOrWords)
    }
}

struct WordOrWords;

impl<'de> Visitor<'de> for WordOrWords {
    type Value = WrittenValue<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value as a survey writes it")
    }

    fn visit_borrowed_str<E>(self, word: &'de str) -> Result<WrittenValue<'de>, E> {
        Ok(WrittenValue::Word(word))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<WrittenValue<'de>, A::Error> {
        let mut words = Vec::new();
        while let Some(word) = list.next_element()? {
            words.push(word);
        }
        Ok(WrittenValue::Words(words))
    }
}
