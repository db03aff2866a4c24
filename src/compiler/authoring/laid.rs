//! The schema of a run as its files are laid out: for one candidate, for a crew with what each has for
//! himself by role, and for a chain with its drills in a list. [`flat`](super::flat) reads them so.

use serde_json::{Map, Value, json};

use super::flat::BY_ROLE;

/// The run among the definitions of its schema.
const RUN: &str = "RunFile";
const ONE: &str = "RunOfOne";
const CREW: &str = "RunOfACrew";
const CHAIN: &str = "RunOfAChain";
const PART: &str = "PartOfAChain";

/// The schema of a run of one candidate as that of every run; as it is where it is another.
pub fn as_laid_out(mut schema: Value) -> Value {
    let definitions = schema.get_mut("$defs").and_then(Value::as_object_mut);
    let Some((definitions, one)) =
        definitions.and_then(|all| all.remove(RUN).map(|one| (all, one)))
    else {
        return schema;
    };
    let crew = changed(&one, |fields| {
        by_role(fields, "candidate", true);
        for field in BY_ROLE {
            by_role(fields, field, false);
        }
    });
    let part = changed(&one, |fields| {
        for field in ["candidate"].iter().chain(BY_ROLE) {
            by_role(fields, field, false);
        }
    });
    let mut chain = part.clone();
    if let Some(fields) = chain.get_mut("properties").and_then(Value::as_object_mut) {
        let part = json!({ "$ref": format!("#/$defs/{PART}") });
        fields.insert("drills".to_owned(), json!({ "type": "array", "items": part }));
    }
    let needed = one.get("required").and_then(Value::as_array).into_iter().flatten();
    // Whoever is named by role needs no field for his role.
    let of_crew: Vec<&Value> = needed.filter(|field| *field != "role").collect();
    let crew = needing(crew, &json!(of_crew));
    definitions.insert(CREW.to_owned(), crew);
    // What stands above the list counts for each of its drills, so a part may lack it.
    definitions.insert(CHAIN.to_owned(), needing(chain, &json!(["run", "drills"])));
    definitions.insert(PART.to_owned(), needing(part, &json!(["drill"])));
    definitions.insert(ONE.to_owned(), one);
    let any = [ONE, CREW, CHAIN].map(|name| json!({ "$ref": format!("#/$defs/{name}") }));
    definitions.insert(RUN.to_owned(), json!({ "anyOf": any }));
    schema
}

/// The same, where these fields must be there.
fn needing(mut schema: Value, fields: &Value) -> Value {
    if let Some(schema) = schema.as_object_mut() {
        schema.insert("required".to_owned(), fields.clone());
    }
    schema
}

/// A copy with other fields.
fn changed(one: &Value, change: impl FnOnce(&mut Map<String, Value>)) -> Value {
    let mut copy = one.clone();
    if let Some(fields) = copy.get_mut("properties").and_then(Value::as_object_mut) {
        change(fields);
    }
    copy
}

/// A field whose value may stand once for each role, or must.
fn by_role(fields: &mut Map<String, Value>, field: &str, must: bool) {
    let Some(one) = fields.remove(field) else { return };
    let each = json!({ "type": "object", "additionalProperties": one });
    let value = if must { each } else { json!({ "anyOf": [one, each] }) };
    fields.insert(field.to_owned(), value);
}
