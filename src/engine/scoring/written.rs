//! A run sheet as a file that `score` reads: what a tablet hands over after a run.

use serde::Serialize;
use serde_json::{Map, Value};

use super::kit::KitData;
use crate::course::RunSheet;
use crate::fingerprint::NotCanonical;

/// A run sheet in the author's form, as JSON. With a kit it carries what it was marked by,
/// so that it is scored the same years later and in another module's folder.
pub fn written(sheet: &RunSheet, kit: Option<&KitData>) -> Result<Value, NotCanonical> {
    let Value::Object(fields) = plain(sheet)? else { return Ok(Value::Null) };
    let mut out = Map::new();
    for (name, value) in fields {
        let name = match name.as_str() {
            "id" => "run".to_owned(),
            "use_" => "use".to_owned(),
            other => other.replace('_', "-"),
        };
        let value = match name.as_str() {
            "marks" | "criticals" => spoken(value),
            _ => bare(value),
        };
        let empty = match &value {
            Value::Null => true,
            Value::Array(list) => list.is_empty() && name != "order-seen",
            Value::Object(group) => group.is_empty(),
            _ => false,
        };
        if !empty {
            out.insert(name, value);
        }
    }
    if let Some(kit) = kit {
        out.insert("kit".to_owned(), plain(kit)?);
    }
    Ok(Value::Object(out))
}

fn plain(thing: &impl Serialize) -> Result<Value, NotCanonical> {
    serde_json::to_value(thing)
        .map_err(|fault| NotCanonical::Unwritable(fault.to_string()))
}

/// Marks as they are said: "not done".
fn spoken(marks: Value) -> Value {
    let Value::Object(marks) = marks else { return marks };
    let said = |value: Value| match value {
        Value::String(mark) => Value::String(mark.replace('-', " ")),
        other => other,
    };
    Value::Object(marks.into_iter().map(|(id, mark)| (id, said(mark))).collect())
}

/// A group without the fields that say nothing.
fn bare(value: Value) -> Value {
    match value {
        Value::Object(fields) => Value::Object(
            fields.into_iter().filter(|(_, value)| !value.is_null()).collect(),
        ),
        other => other,
    }
}
