//! A text of a rule that may change while the job goes on, as it is written: one text, or one for each
//! phase from which it reads otherwise.

use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use std::fmt;
use wetside_document::{Entries, Placed};

#[derive(Clone)]
pub(crate) enum Wording {
    Always(String),
    From(Entries<Placed<String>>),
}

impl<'de> Deserialize<'de> for Wording {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Wording, D::Error> {
        deserializer.deserialize_any(WordingVisitor)
    }
}

struct WordingVisitor;

impl<'de> Visitor<'de> for WordingVisitor {
    type Value = Wording;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a text, or a text for each phase")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Wording, E> {
        Ok(Wording::Always(text.to_string()))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Wording, A::Error> {
        Entries::deserialize(MapAccessDeserializer::new(map)).map(Wording::From)
    }
}
