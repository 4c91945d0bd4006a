//! Values with their places, and maps whose keys are not fixed.
//!
//! Contract: both are read from the tree of a document alone. A place goes through serde as a number
//! beside the value, asked for by a name that no format has.

use super::misfit::Misfit;
use crate::node::Key;
use serde::de::{
    self, Deserialize, DeserializeSeed, Deserializer, IntoDeserializer, MapAccess, SeqAccess,
    Visitor,
};
use serde::forward_to_deserialize_any;
use std::fmt;
use std::marker::PhantomData;
use wetside_base::source::Span;

/// A value of type `T` with its place in the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed<T> {
    pub value: T,
    /// The value's own place.
    pub span: Span,
    /// Where its key stands, if it has one.
    pub key: Option<Span>,
}

/// The entries of a map whose keys are not fixed: each key with its place, and what it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entries<'a, V>(pub Vec<(Placed<&'a str>, V)>);

/// By this name a deserializer of this module knows that a place is asked for with a value.
pub(super) const PLACED: &str = "$wetside::Placed";

/// A place in one number, since serde passes numbers through.
fn packed(span: Span) -> u64 {
    u64::from(span.start) << 32 | u64::from(span.end)
}

fn unpacked(packed: u64) -> Span {
    Span::new(
        (packed >> 32) as usize,
        (packed & u64::from(u32::MAX)) as usize,
    )
}

/// What [`Placed`] asks for in turn: the places, then the value.
pub(super) struct Placing<D> {
    /// The last of them first.
    places: Vec<Option<u64>>,
    value: Option<D>,
}

impl<D> Placing<D> {
    pub(super) fn of(span: Span, key: Option<&Key>, value: D) -> Placing<D> {
        Placing {
            places: vec![key.map(|key| packed(key.span)), Some(packed(span))],
            value: Some(value),
        }
    }
}

impl<'de, D: Deserializer<'de, Error = Misfit>> SeqAccess<'de> for Placing<D> {
    type Error = Misfit;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Misfit> {
        if let Some(place) = self.places.pop() {
            return seed.deserialize(PlaceNumber(place)).map(Some);
        }
        let value = self.value.take();
        value.map(|value| seed.deserialize(value)).transpose()
    }
}

struct PlaceNumber(Option<u64>);

impl<'de> Deserializer<'de> for PlaceNumber {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        match self.0 {
            None => visitor.visit_none(),
            Some(place) => visitor.visit_some(place.into_deserializer()),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Placed<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Placed<T>, D::Error> {
        deserializer.deserialize_struct(PLACED, &[], PlacedVisitor(PhantomData))
    }
}

struct PlacedVisitor<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for PlacedVisitor<T> {
    type Value = Placed<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value with its place")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Placed<T>, A::Error> {
        let none = || de::Error::custom("a value with its place is read from a document only");
        let span = parts.next_element::<Option<u64>>()?.flatten();
        let key = parts.next_element::<Option<u64>>()?.flatten();
        Ok(Placed {
            value: parts.next_element()?.ok_or_else(none)?,
            span: span.map(unpacked).ok_or_else(none)?,
            key: key.map(unpacked),
        })
    }
}

impl<V> Default for Entries<'_, V> {
    fn default() -> Self {
        Entries(Vec::new())
    }
}

impl<'de: 'a, 'a, V: Deserialize<'de>> Deserialize<'de> for Entries<'a, V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(EntriesVisitor(PhantomData))
    }
}

struct EntriesVisitor<'a, V>(PhantomData<Entries<'a, V>>);

impl<'de: 'a, 'a, V: Deserialize<'de>> Visitor<'de> for EntriesVisitor<'a, V> {
    type Value = Entries<'a, V>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("facts with their names")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Entries(entries))
    }
}
