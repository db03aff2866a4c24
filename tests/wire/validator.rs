//! As much of JSON Schema as our schemas use; a keyword that is not known here is a fault.

use drillwright::wire::{Node, Shape};
use regex_lite::Regex;
use serde_json::{Map, Value as Json};

/// A file as a reader of YAML 1.2 hands it to an editor: numbers and booleans are no texts.
pub(super) fn data(node: &Node) -> Json {
    match &node.shape {
        Shape::Nothing => Json::Null,
        Shape::List(items) => items.iter().map(data).collect(),
        Shape::Map(fields) => Json::Object(
            fields.iter().map(|(key, node)| (key.text.clone(), data(node))).collect(),
        ),
        Shape::Text(text) => match text.as_str() {
            "true" => true.into(),
            "false" => false.into(),
            text => {
                let whole = text.parse::<i64>().map(Json::from);
                let figures =
                    text.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b'-');
                let number =
                    || text.parse::<f64>().ok().filter(|_| figures).map(Json::from);
                whole.ok().or_else(number).unwrap_or_else(|| text.into())
            }
        },
    }
}

/// Whether a schema accepts a value; else the first thing it refuses.
pub(super) fn check(schema: &Json, value: &Json) -> Result<(), String> {
    at(schema, schema, value, "")
}

fn is(kind: &str, value: &Json) -> bool {
    match kind {
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.is_i64() || value.is_u64(),
        "boolean" => value.is_boolean(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        "null" => value.is_null(),
        other => panic!("type {other}"),
    }
}

fn at(root: &Json, schema: &Json, value: &Json, path: &str) -> Result<(), String> {
    let rules = match schema {
        Json::Bool(true) => return Ok(()),
        Json::Bool(false) => return Err(format!("{path}: not allowed")),
        schema => schema.as_object().unwrap(),
    };
    let one = |rule: &Json| at(root, rule, value, path);
    for (keyword, rule) in rules {
        match keyword.as_str() {
            "$schema" | "$defs" | "title" | "description" | "examples" | "default" => {}
            "then" | "else" => assert!(rules.contains_key("if")),
            "$ref" => {
                let pointer = rule.as_str().unwrap().strip_prefix('#').unwrap();
                one(root.pointer(pointer).unwrap())?;
            }
            "items" | "properties" | "additionalProperties" => {
                for (key, rule, value) in parts(keyword, rules, value) {
                    at(root, rule, value, &format!("{path}/{key}"))?;
                }
            }
            "anyOf" => {
                let ways = rule.as_array().unwrap();
                let faults: Vec<String> =
                    ways.iter().filter_map(|rule| one(rule).err()).collect();
                if faults.len() == ways.len() {
                    return Err(faults.join("; or "));
                }
            }
            "not" => {
                if one(rule).is_ok() {
                    return Err(format!("{path}: {value} is not allowed"));
                }
            }
            "if" => one(&rules[if one(rule).is_ok() { "then" } else { "else" }])?,
            keyword => {
                if !plain(keyword, rule, value) {
                    return Err(format!("{path}: {value} against {keyword} {rule}"));
                }
            }
        }
    }
    Ok(())
}

/// What a keyword looks at inside a value: where, by which rule, what.
fn parts<'s>(
    keyword: &str,
    rules: &'s Map<String, Json>,
    value: &'s Json,
) -> Vec<(String, &'s Json, &'s Json)> {
    let rule = &rules[keyword];
    if keyword == "items" {
        let items = value.as_array().into_iter().flatten().enumerate();
        return items.map(|(index, item)| (index.to_string(), rule, item)).collect();
    }
    let known = rules.get("properties").and_then(Json::as_object);
    let fields = value.as_object().into_iter().flatten();
    let part = |(key, value): (&String, &'s Json)| {
        let own = known.and_then(|known| known.get(key));
        let rule =
            if keyword == "properties" { own? } else { own.is_none().then_some(rule)? };
        Some((key.clone(), rule, value))
    };
    fields.filter_map(part).collect()
}

/// Whether a value keeps a rule that looks at nothing else.
fn plain(keyword: &str, rule: &Json, value: &Json) -> bool {
    let limit = || rule.as_f64().unwrap();
    let size = || usize::try_from(rule.as_u64().unwrap()).unwrap();
    match keyword {
        "type" => match rule {
            Json::String(kind) => is(kind, value),
            kinds => {
                kinds.as_array().unwrap().iter().any(|k| is(k.as_str().unwrap(), value))
            }
        },
        "pattern" => {
            let pattern = Regex::new(rule.as_str().unwrap()).unwrap();
            value.as_str().is_none_or(|text| pattern.is_match(text))
        }
        "minimum" => value.as_f64().is_none_or(|number| number >= limit()),
        "maximum" => value.as_f64().is_none_or(|number| number <= limit()),
        "minItems" => value.as_array().is_none_or(|items| items.len() >= size()),
        "maxItems" => value.as_array().is_none_or(|items| items.len() <= size()),
        "enum" => rule.as_array().unwrap().contains(value),
        "const" => rule == value,
        "required" => {
            let there = |key: &Json| value.get(key.as_str().unwrap()).is_some();
            !value.is_object() || rule.as_array().unwrap().iter().all(there)
        }
        other => panic!("keyword {other}"),
    }
}
