//! The keys of a typed shape, so that a test can hold it to its schema.

use super::misfit::Misfit;
use super::placed::{PLACED, Placing};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use serde::forward_to_deserialize_any;
use std::cell::Cell;
use wetside_base::source::Span;

/// The keys that a struct takes.
pub fn keys_of<'de, T: Deserialize<'de>>() -> &'static [&'static str] {
    let keys = Cell::new(&[][..]);
    let _ = T::deserialize(Asked(&keys));
    keys.get()
}

/// Takes down what is asked for, and gives nothing.
struct Asked<'k>(&'k Cell<&'static [&'static str]>);

impl<'de> Deserializer<'de> for Asked<'_> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Misfit> {
        Err(Misfit::custom("nothing is read here"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        keys: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        if name == PLACED {
            return visitor.visit_seq(Placing::of(Span::default(), None, self));
        }
        self.0.set(keys);
        self.deserialize_any(visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}
