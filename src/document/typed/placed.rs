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
pub struct Entries<V>(pub Vec<(Placed<String>, V)>);

/// By this name a deserializer of this module knows that a place is asked for with a value.
pub(super) const PLACED: &str = "$wetside::Placed";

/// A place in one number, since serde passes numbers through.
fn packed(span: Span) -> u64 {
    u64::from(span.start) << 32 | u64::from(span.end)
}

fn unpacked(packed: u64) -> Span {
    let (start, end) = (packed >> 32, packed & u64::from(u32::MAX));
    Span::new(start as usize, end as usize)
}

/// Stands for the place of a key where there is none; no place is so far out.
const NO_KEY: u64 = u64::MAX;

/// What [`Placed`] asks for in turn: the two places, then the value.
pub(super) struct Placing<D> {
    /// The last of them first.
    places: Vec<u64>,
    value: Option<D>,
}

impl<D> Placing<D> {
    pub(super) fn of(span: Span, key: Option<&Key>, value: D) -> Placing<D> {
        let key = key.map_or(NO_KEY, |key| packed(key.span));
        Placing {
            places: vec![key, packed(span)],
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
            return seed.deserialize(place.into_deserializer()).map(Some);
        }
        let value = self.value.take();
        value.map(|value| seed.deserialize(value)).transpose()
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
        let misplaced = || de::Error::custom("places are told by documents alone");
        let span = parts.next_element()?.ok_or_else(misplaced)?;
        let key = parts.next_element()?.ok_or_else(misplaced)?;
        Ok(Placed {
            value: parts.next_element()?.ok_or_else(misplaced)?,
            span: unpacked(span),
            key: (key != NO_KEY).then(|| unpacked(key)),
        })
    }
}

impl<V> Default for Entries<V> {
    fn default() -> Self {
        Entries(Vec::new())
    }
}

impl<'de, V: Deserialize<'de>> Deserialize<'de> for Entries<V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(EntriesVisitor(PhantomData))
    }
}

struct EntriesVisitor<V>(PhantomData<V>);

impl<'de, V: Deserialize<'de>> Visitor<'de> for EntriesVisitor<V> {
    type Value = Entries<V>;

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
