//! A run sheet as a file that `score` reads: what a tablet hands over after a run.

use serde_json::Value;

use super::kit::KitData;
use crate::course::RunSheet;
use crate::fingerprint::NotCanonical;
use crate::wire::{Form, json};

/// A run sheet in the author's form, as JSON, with the lines that tell how it came about. With
/// a kit it carries what it was marked by, so that it is scored the same years later and in
/// another module's folder; the sentences stay behind, because whoever scores it says his own.
pub fn written(
    sheet: &RunSheet,
    kit: Option<&KitData>,
    log: &[String],
) -> Result<Value, NotCanonical> {
    let Value::Object(mut out) = json(sheet, Form::Whole) else { return Ok(Value::Null) };
    if !log.is_empty() {
        out.insert("log".to_owned(), Value::from(log));
    }
    if let Some(kit) = kit {
        let mut kit = json(kit, Form::Whole);
        if let Some(parts) = kit.as_object_mut() {
            parts.remove("words");
        }
        out.insert("kit".to_owned(), kit);
    }
    Ok(Value::Object(out))
}
