//! JSON values → plain data, with as little code as a page's engine needs.
//!
//! Things of a course are read by their tables. What practice has besides, requests and what a
//! browser keeps, is read here: the decoder of `serde_json` can also read a struct from a list
//! of its fields, that path is compiled for every struct too, and with it the engine is 40 kB
//! larger (1164 instead of 1124, measured with tables in place). This one reads a struct from
//! an object and from nothing else.

use serde::de::value::StringDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _,
    IntoDeserializer, MapAccess, SeqAccess, Unexpected, VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Error, Value};

/// Reads stored text; nothing when it does not hold such a thing.
pub(super) fn from_text<T: DeserializeOwned>(text: &str) -> Option<T> {
    T::deserialize(Decode(serde_json::from_str(text).ok()?)).ok()
}

/// A value to be read.
#[derive(Debug)]
pub(super) struct Decode(pub(super) Value);

struct Items(std::vec::IntoIter<Value>);

struct Fields {
    rest: serde_json::map::IntoIter,
    value: Option<Value>,
}

struct Named(String, Option<Value>);

fn wrong(found: &Value, visitor: &dyn serde::de::Expected) -> Error {
    let unexpected = match found {
        Value::Null => Unexpected::Unit,
        Value::Bool(flag) => Unexpected::Bool(*flag),
        Value::Number(_) => Unexpected::Other("number"),
        Value::String(text) => Unexpected::Str(text),
        Value::Array(_) => Unexpected::Seq,
        Value::Object(_) => Unexpected::Map,
    };
    Error::invalid_type(unexpected, visitor)
}

fn fields(map: serde_json::Map<String, Value>) -> Fields {
    Fields { rest: map.into_iter(), value: None }
}

/// One method of the decoder for one shape of JSON.
macro_rules! only {
    ($($method:ident: $pattern:pat => $visit:expr;)*) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
            let visit: fn(V, Value) -> Result<V::Value, Error> = $visit;
            match &self.0 {
                $pattern => visit(visitor, self.0),
                _ => Err(wrong(&self.0, &visitor)),
            }
        })*
    };
}

fn number<'de, V: Visitor<'de>>(visitor: V, value: &Value) -> Result<V::Value, Error> {
    match (value.as_u64(), value.as_i64()) {
        (Some(whole), _) => visitor.visit_u64(whole),
        (None, Some(whole)) => visitor.visit_i64(whole),
        // No number of a request has a point in it: decimals are strings.
        (None, None) => Err(wrong(value, &visitor)),
    }
}

fn text<'de, V: Visitor<'de>>(visitor: V, value: Value) -> Result<V::Value, Error> {
    match value {
        Value::String(text) => visitor.visit_string(text),
        other => Err(wrong(&other, &visitor)),
    }
}

impl<'de> Deserializer<'de> for Decode {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_unit(),
            Value::Bool(flag) => visitor.visit_bool(flag),
            Value::Number(_) => number(visitor, &self.0),
            Value::String(text) => visitor.visit_string(text),
            Value::Array(items) => visitor.visit_seq(Items(items.into_iter())),
            Value::Object(map) => visitor.visit_map(fields(map)),
        }
    }

    only! {
        deserialize_u8: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_u16: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_u32: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_u64: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_i8: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_i16: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_i32: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_i64: Value::Number(_) => |visitor, value| number(visitor, &value);
        deserialize_str: Value::String(_) => text;
        deserialize_string: Value::String(_) => text;
        deserialize_char: Value::String(_) => text;
        deserialize_identifier: Value::String(_) => text;
        deserialize_bool: Value::Bool(_) => |visitor, value| {
            visitor.visit_bool(value == Value::Bool(true))
        };
        deserialize_unit: Value::Null => |visitor, _| visitor.visit_unit();
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Array(items) => visitor.visit_seq(Items(items.into_iter())),
            other => Err(wrong(&other, &visitor)),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.0 {
            Value::Object(map) => visitor.visit_map(fields(map)),
            other => Err(wrong(&other, &visitor)),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.deserialize_map(visitor)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        match self.0 {
            Value::String(name) => visitor.visit_enum(Named(name, None)),
            // One key names the case; with two nobody could say which is meant.
            Value::Object(map) if map.len() == 1 => match map.into_iter().next() {
                Some((name, value)) => visitor.visit_enum(Named(name, Some(value))),
                None => Err(wrong(&Value::Null, &visitor)),
            },
            other => Err(wrong(&other, &visitor)),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(
        self,
        visitor: V,
    ) -> Result<V::Value, Error> {
        // Fields that a later program adds are passed over.
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        i128 u128 f32 f64 bytes byte_buf unit_struct tuple_struct
    }
}

impl<'de> SeqAccess<'de> for Items {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Error> {
        self.0.next().map(|value| seed.deserialize(Decode(value))).transpose()
    }
}

impl<'de> MapAccess<'de> for Fields {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Error> {
        let Some((name, value)) = self.rest.next() else { return Ok(None) };
        self.value = Some(value);
        let name: StringDeserializer<Error> = name.into_deserializer();
        seed.deserialize(name).map(Some)
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(
        &mut self,
        seed: V,
    ) -> Result<V::Value, Error> {
        seed.deserialize(Decode(self.value.take().unwrap_or_default()))
    }
}

impl<'de> EnumAccess<'de> for Named {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<V: DeserializeSeed<'de>>(
        self,
        seed: V,
    ) -> Result<(V::Value, Self), Error> {
        let name: StringDeserializer<Error> = self.0.into_deserializer();
        Ok((seed.deserialize(name)?, Self(String::new(), self.1)))
    }
}

impl<'de> VariantAccess<'de> for Named {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        match self.1 {
            None => Ok(()),
            Some(_) => Err(Error::custom("a word without further values is wanted")),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(
        self,
        seed: T,
    ) -> Result<T::Value, Error> {
        seed.deserialize(Decode(self.1.unwrap_or_default()))
    }

    fn tuple_variant<V: Visitor<'de>>(
        self,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        Decode(self.1.unwrap_or_default()).deserialize_seq(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        Decode(self.1.unwrap_or_default()).deserialize_map(visitor)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use serde::Deserialize;
    use serde_json::json;

    use super::*;

    #[derive(Debug, PartialEq, Deserialize)]
    #[serde(rename_all = "kebab-case")]
    enum Shape {
        Plain,
        Of(i64),
        Pair(u8, String),
        Named { at: Option<u32> },
    }

    #[derive(Debug, PartialEq, Deserialize)]
    struct Sheet {
        shapes: Vec<Shape>,
        pairs: Vec<(String, bool)>,
        map: BTreeMap<String, i64>,
        #[serde(default)]
        absent: String,
        none: Option<String>,
    }

    #[test]
    fn it_reads_what_serde_json_reads() {
        let value = json!({
            "shapes": ["plain", { "of": -3 }, { "pair": [200, "x"] }, { "named": { "at": null } }],
            "pairs": [["a", true]], "map": { "m": 1 }, "none": null, "unknown": [{}],
        });
        let read = Sheet::deserialize(Decode(value.clone())).unwrap();
        assert_eq!(read, serde_json::from_value(value).unwrap());
        for bad in [
            json!([]),
            json!({ "shapes": [{ "pair": [300, "x"] }], "pairs": [], "map": {} }),
            json!({ "shapes": ["nothing"], "pairs": [], "map": {} }),
            json!({ "shapes": [], "pairs": [], "map": { "m": 1.5 } }),
            json!({ "shapes": [], "pairs": {}, "map": {} }),
        ] {
            assert!(Sheet::deserialize(Decode(bad.clone())).is_err(), "{bad}");
            assert!(serde_json::from_value::<Sheet>(bad).is_err());
        }
    }
}
