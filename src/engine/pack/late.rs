//! Checked data that is decoded when somebody first looks at it.
//!
//! A carried pack holds the words of every rule, and one survey is told those of a few. Nothing is parsed here:
//! the bytes are those that the build wrote of checked data.
//!
//! Contract: looks from outside like the value itself.

use serde::de::DeserializeOwned;
use serde::ser::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::ops::Deref;
use std::sync::OnceLock;

/// A value, or the bytes that it is decoded from.
#[derive(Clone)]
pub struct Late<T> {
    bytes: Box<[u8]>,
    value: OnceLock<T>,
}

impl<T> From<T> for Late<T> {
    fn from(value: T) -> Late<T> {
        Late {
            bytes: Box::default(),
            value: OnceLock::from(value),
        }
    }
}

impl<T: DeserializeOwned> Deref for Late<T> {
    type Target = T;

    fn deref(&self) -> &T {
        let decoded = || postcard::from_bytes(&self.bytes).expect("the build wrote it");
        self.value.get_or_init(decoded)
    }
}

impl<T: DeserializeOwned + fmt::Debug> fmt::Debug for Late<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (**self).fmt(f)
    }
}

impl<T: DeserializeOwned + Serialize> Serialize for Late<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let bytes = postcard::to_allocvec::<T>(self).map_err(S::Error::custom)?;
        serializer.serialize_bytes(&bytes)
    }
}

impl<'de, T> Deserialize<'de> for Late<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Late<T>, D::Error> {
        let bytes = <&[u8]>::deserialize(deserializer)?;
        Ok(Late {
            bytes: bytes.into(),
            value: OnceLock::new(),
        })
    }
}
