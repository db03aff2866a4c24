//! JSON that was written by a table, read again: kits of pages, kept revisions, run files.
//!
//! It goes through the same nodes and the same decoder as an author's file. What this program
//! or an earlier one wrote has no fault; where there is one, nothing is read.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value as Json;

use super::desk::Desk;
use super::item::Item;
use super::node::{Key, Node, Shape};
use super::read::read;
use super::thing::Wire;
use super::write::{Form, json};
use crate::findings::Finding;

/// JSON as a tree. It has no file, so every place is its beginning.
pub fn node(value: &Json) -> Node {
    let shape = match value {
        Json::Null => Shape::Nothing,
        Json::Bool(yes) => Shape::Text(yes.to_string()),
        // By its spelling, as in a file: only the field knows what it is.
        Json::Number(number) => Shape::Text(number.to_string()),
        Json::String(text) => Shape::Text(text.clone()),
        Json::Array(items) => Shape::List(items.iter().map(node).collect()),
        Json::Object(fields) => {
            let field = |(key, value): (&String, &Json)| {
                (Key { text: key.clone(), start: 0, end: 0 }, node(value))
            };
            Shape::Map(fields.iter().map(field).collect())
        }
    };
    Node { start: 0, end: 0, shape }
}

/// The thing that was written so; else everything that is wrong with it.
pub fn from_json<T: Wire>(value: &Json) -> Result<T, Vec<Finding>> {
    from_node(&node(value))
}

/// The thing that stands in a tree, as it was written by a table.
pub fn from_node<T: Wire>(node: &Node) -> Result<T, Vec<Finding>> {
    // A bound that a later program has must not refuse what an earlier one took.
    let desk = Desk { kept: true, ..Desk::default() };
    let thing = read(Item { desk: &desk, file: "", name: "", node });
    let found = desk.findings.into_inner();
    thing.filter(|_| found.is_empty()).ok_or(found)
}

/// For things that are a part of others which are written by `serde`.
pub fn serialize<T: Wire, S: Serializer>(
    thing: &T,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    json(thing, Form::Whole).serialize(serializer)
}

/// The other way.
pub fn deserialize<'de, T: Wire, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<T, D::Error> {
    let value = Json::deserialize(deserializer)?;
    from_json(&value).map_err(|found| {
        let told =
            |finding: &Finding| format!("{} {:?}", finding.code.name(), finding.blanks);
        D::Error::custom(found.iter().map(told).collect::<Vec<_>>().join("; "))
    })
}
