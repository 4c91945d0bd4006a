//! A document's tree to typed shapes, with serde: one struct for one format of file.
//!
//! `#[derive(Deserialize)]` says which keys a format has; [`typed`] fills the struct from a tree.
//!
//! - A text is a `&'de str` that borrows from the tree. A number with a unit, a date, `yes` and `no` are
//!   texts as written: what they mean is for the reader of the format. Only a type that asks for a whole
//!   number, such as `u32`, gets one.
//! - [`Placed<T>`] also tells where the value stands, and its key. [`Entries<V>`] is a map whose keys are
//!   not fixed, in the order of the text.
//! - An `Option` is nothing where the key is not there, and where its value is empty or could not be read:
//!   of these two the document reader has told a problem already.
//! - An enum is one of its words: name them with `#[serde(rename)]`.
//!
//! Contract: what does not fit gives one [`Problem`] in our words, at its own place. The shape check against
//! the schema comes first and says more; what is told here is then said already, or it shows that schema
//! and struct differ. This module must not know any format.

mod keys;
mod misfit;
mod placed;
#[cfg(test)]
mod tests;

pub use keys::keys_of;
pub use placed::{Entries, Placed};

use crate::node::{Entry, Key, Node, Value};
use misfit::Misfit;
use placed::{PLACED, Placing};
use serde::de::value::{MapDeserializer, SeqDeserializer, StrDeserializer};
use serde::de::{Deserialize, Deserializer, IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;
use wetside_base::problem::Problem;
use wetside_base::source::Span;

/// The value of type `T` that a tree holds.
///
/// # Errors
/// With the first thing that does not fit.
pub fn typed<'de, T: Deserialize<'de>>(node: &'de Node) -> Result<T, Problem> {
    T::deserialize(Typed { node, key: None }).map_err(|misfit| *misfit.problem)
}

/// A value of the tree on its way into a type.
#[derive(Clone, Copy)]
struct Typed<'de> {
    node: &'de Node,
    key: Option<&'de Key>,
}

impl<'de> Typed<'de> {
    fn wrong_sort<T>(self, expected: &str) -> Result<T, Misfit> {
        let says = "this is not the sort of value that belongs here";
        let help = format!("write {expected}");
        Err(Misfit::new("value-expected", says, help).at(self.place()))
    }

    fn text(self) -> Result<&'de str, Misfit> {
        let text = self.node.as_text().map(Ok);
        text.unwrap_or_else(|| self.wrong_sort("words or a quantity with its unit"))
    }

    /// Where a problem with the value stands: never a whole block.
    fn place(self) -> Span {
        let inside = match &self.node.value {
            Value::List(_) | Value::Map(_) => self.node.entries().first().map(|first| &first.key),
            Value::Scalar(_) | Value::Empty | Value::Broken => return self.node.span,
        };
        let key = self.key.or(inside);
        key.map_or(self.node.span, |key| key.span)
    }

    fn seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Value::List(items) = &self.node.value else {
            return self.wrong_sort("a list");
        };
        let items = items.iter().map(|node| Typed { node, key: None });
        visitor.visit_seq(SeqDeserializer::new(items))
    }

    fn map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let Value::Map(entries) = &self.node.value else {
            return self.wrong_sort("facts with their names");
        };
        let entries = entries.iter().map(|Entry { key, value }| {
            let value = Typed {
                node: value,
                key: Some(key),
            };
            (KeyText(key), value)
        });
        visitor.visit_map(MapDeserializer::new(entries))
    }
}

macro_rules! whole_numbers {
    ($($method:ident $number:ty, $visit:ident;)*) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
            let Ok(number) = self.text()?.parse::<$number>() else {
                return self.wrong_sort("a whole number");
            };
            visitor.$visit(number).map_err(|misfit: Misfit| misfit.at(self.place()))
        }
    )*};
}

impl<'de> Deserializer<'de> for Typed<'de> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let read = match &self.node.value {
            Value::Scalar(scalar) => visitor.visit_borrowed_str(&scalar.text),
            Value::List(_) => self.seq(visitor),
            Value::Map(_) => self.map(visitor),
            Value::Empty | Value::Broken => visitor.visit_unit(),
        };
        read.map_err(|misfit| misfit.at(self.place()))
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let read = visitor.visit_borrowed_str(self.text()?);
        read.map_err(|misfit: Misfit| misfit.at(self.place()))
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        self.deserialize_str(visitor)
    }

    whole_numbers! {
        deserialize_u8 u8, visit_u8;
        deserialize_u16 u16, visit_u16;
        deserialize_u32 u32, visit_u32;
        deserialize_u64 u64, visit_u64;
        deserialize_i64 i64, visit_i64;
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        if self.node.is_faulty() {
            visitor.visit_none()
        } else {
            visitor.visit_some(self)
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        self.seq(visitor).map_err(|misfit| misfit.at(self.place()))
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        self.map(visitor).map_err(|misfit| misfit.at(self.place()))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        _keys: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        if name == PLACED {
            return visitor.visit_seq(Placing::of(self.node.span, self.key, self));
        }
        self.deserialize_map(visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        let word: StrDeserializer<'_, Misfit> = self.text()?.into_deserializer();
        let read = visitor.visit_enum(word);
        read.map_err(|misfit| misfit.at(self.place()))
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i128 u128 f32 f64 char bytes byte_buf unit unit_struct tuple tuple_struct identifier
    }
}

/// A key on its way into a type.
#[derive(Clone, Copy)]
struct KeyText<'de>(&'de Key);

impl<'de> Deserializer<'de> for KeyText<'de> {
    type Error = Misfit;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Misfit> {
        let read = visitor.visit_borrowed_str(&self.0.text);
        read.map_err(|misfit: Misfit| misfit.at(self.0.span))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        _keys: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Misfit> {
        if name == PLACED {
            return visitor.visit_seq(Placing::of(self.0.span, None, self));
        }
        self.deserialize_any(visitor)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
        unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}

impl<'de> IntoDeserializer<'de, Misfit> for Typed<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> IntoDeserializer<'de, Misfit> for KeyText<'de> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}
