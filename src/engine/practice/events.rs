//! The macro that describes what can happen in a page: an enum whose name in JSON stands under
//! `do`, with its fields beside it.
//!
//! `serde` can do the same, but reads such an enum by way of a tree of its own, and compiles that
//! way for each of its cases: 56 kB of a live page's engine, where these few lines are 9.

use serde::de::{DeserializeOwned, Error};
use serde_json::{Map, Value};

use super::decode::Decode;

/// The field of that name.
#[inline(never)]
pub(super) fn field<T: DeserializeOwned, E: Error>(
    said: &mut Map<String, Value>,
    name: &'static str,
) -> Result<T, E> {
    let value = said.remove(name).ok_or_else(|| E::missing_field(name))?;
    T::deserialize(Decode(value)).map_err(E::custom)
}

/// The same; absent it is nothing.
#[inline(never)]
pub(super) fn field_or_nothing<T: DeserializeOwned + Default, E: Error>(
    said: &mut Map<String, Value>,
    name: &'static str,
) -> Result<T, E> {
    if said.contains_key(name) { field(said, name) } else { Ok(T::default()) }
}

/// See the head of this file. `may` before a field's type: it may be absent, and is not written
/// where it is `null`.
macro_rules! events {
    (
        $(#[$about:meta])*
        $name:ident {$(
            $(#[$doc:meta])*
            $word:literal $variant:ident
            $({ $( $(#[$field_doc:meta])* $field:ident: $($may:ident)? [$type:ty], )* })?,
        )*}
    ) => {
        $(#[$about])*
        #[derive(Debug, Clone, Default, PartialEq, Eq)]
        pub enum $name {$(
            $(#[$doc])*
            $variant $({ $( $(#[$field_doc])* $field: $type, )* })?,
        )*}

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                let mut said = serde_json::Map::new();
                let mut put = |name: &str, value: serde_json::Value| {
                    // What is absent is not written: a browser stores
                    // the log anew after every tap.
                    if !value.is_null() {
                        said.insert(name.to_owned(), value);
                    }
                };
                match self {$(
                    Self::$variant $({ $($field),* })? => {
                        put("do", $word.into());
                        $($(put(stringify!($field), serde_json::json!($field));)*)?
                    }
                )*}
                said.serialize(to)
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                use serde::de::Error as _;
                let mut said = serde_json::Map::deserialize(from)?;
                let name: String = $crate::practice::events::field(&mut said, "do")?;
                match name.as_str() {
                    $($word => Ok(Self::$variant $({ $(
                        $field: $crate::practice::events::read!($($may)? &mut said, stringify!($field)),
                    )* })?),)*
                    // Without the list of those that are known: it would be in every
                    // page's engine and be shown to nobody.
                    other => Err(D::Error::unknown_variant(other, &[])),
                }
            }
        }
    };
}

/// A field that must be there, or `may`.
macro_rules! read {
    (may $said:expr, $name:expr) => {
        $crate::practice::events::field_or_nothing($said, $name)?
    };
    ($said:expr, $name:expr) => {
        $crate::practice::events::field($said, $name)?
    };
}

pub(super) use {events, read};
