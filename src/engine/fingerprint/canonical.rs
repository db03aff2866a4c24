//! JSON with one spelling only: keys sorted by UTF-16, no blanks, whole numbers.

use std::fmt;

use serde::Serialize;
use serde_json::Value;

/// Why a thing has no canonical JSON in this house.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotCanonical {
    /// A number with a point: write it as a decimal string.
    Fraction(String),
    /// The thing cannot be written as JSON at all.
    Unwritable(String),
}

impl fmt::Display for NotCanonical {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fraction(number) => write!(f, "{number} must be a decimal string"),
            Self::Unwritable(reason) => f.write_str(reason),
        }
    }
}

impl std::error::Error for NotCanonical {}

/// RFC 8785 text of anything that serialises to JSON.
pub fn canonical(thing: &impl Serialize) -> Result<String, NotCanonical> {
    let value = serde_json::to_value(thing)
        .map_err(|fault| NotCanonical::Unwritable(fault.to_string()))?;
    canonical_text(&value)
}

/// RFC 8785 text of a JSON value.
pub fn canonical_text(value: &Value) -> Result<String, NotCanonical> {
    let mut out = String::new();
    write(value, &mut out)?;
    Ok(out)
}

fn write(value: &Value, out: &mut String) -> Result<(), NotCanonical> {
    match value {
        // The standard writes such a number as the shortest binary float, which every language
        // does a little differently; a decimal string is one text everywhere.
        Value::Number(number) if number.is_f64() => {
            return Err(NotCanonical::Fraction(number.to_string()));
        }
        Value::Array(items) => {
            out.push('[');
            for (index, item) in items.iter().enumerate() {
                if index > 0 {
                    out.push(',');
                }
                write(item, out)?;
            }
            out.push(']');
        }
        Value::Object(fields) => {
            let mut fields: Vec<_> = fields.iter().collect();
            // RFC 8785, 3.2.3: by UTF-16 units, which differs from the order of UTF-8 for
            // letters beyond the first plane.
            fields.sort_by(|a, b| a.0.encode_utf16().cmp(b.0.encode_utf16()));
            out.push('{');
            for (index, (key, item)) in fields.into_iter().enumerate() {
                if index > 0 {
                    out.push(',');
                }
                // The escapes of the standard (3.2.2.2) are those that serde_json writes.
                out.push_str(&Value::String(key.clone()).to_string());
                out.push(':');
                write(item, out)?;
            }
            out.push('}');
        }
        other => out.push_str(&other.to_string()),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn keys_sort_by_utf16_and_controls_escape() {
        // RFC 8785 section 3.2.3: a surrogate pair sorts before U+FB33.
        let value = json!({"\u{fb33}": 1, "\u{1f600}": 2, "\r": "\u{0f}\n\"\\", "1": [true, null]});
        let expected = "{\"\\r\":\"\\u000f\\n\\\"\\\\\",\"1\":[true,null],\"\u{1f600}\":2,\"\u{fb33}\":1}";
        assert_eq!(canonical(&value).unwrap(), expected);
    }

    #[test]
    fn a_float_is_refused() {
        assert_eq!(canonical(&json!(0.5)), Err(NotCanonical::Fraction("0.5".into())));
    }
}
