//! The file of a run: JSON that `drillwright score` reads, with the kit it was scored by and
//! the log of every tap.

use serde_json::Value;

use super::kit::Live;
use super::log::Log;
use super::replay::code;
use super::sheet::{Part, sheets};
use super::state::State;
use super::told::told;
use crate::fingerprint::canonical;
use crate::scoring::written;

/// Name and text of the file.
pub fn file(live: &Live, log: &Log, state: &State) -> (String, String) {
    let told = told(live, log, state);
    let taps = canonical(log).unwrap_or_default();
    let one = |part: &Part<'_>| {
        let kit = Some(part.kit.data());
        let mut run = written(&part.sheet, kit, &told).unwrap_or_default();
        // A log that was cut or taken out is told by the code that stays behind.
        if let Some(fields) = run.as_object_mut() {
            fields.insert("log-code".to_owned(), Value::from(code(&taps)));
            fields.insert("taps".to_owned(), Value::from(taps.clone()));
        }
        run
    };
    let mut runs: Vec<Value> = sheets(live, state).iter().map(one).collect();
    let whole = match runs.as_slice() {
        [_] => runs.pop().unwrap_or_default(),
        _ => Value::Array(runs),
    };
    let run = Some(state.text("run")).filter(|run| !run.is_empty()).unwrap_or("run");
    // Sheets of one run that are handed over side by side have different names.
    let role = Some(state.text("role")).filter(|_| live.scored().len() > 1);
    let drill = live.data().id.as_str();
    let of = [Some(run), Some(drill), role, Some(state.text("evaluator"))];
    let of: Vec<&str> = of.into_iter().flatten().collect();
    let name = format!("{}.json", of.join("-"));
    (name, canonical(&whole).unwrap_or_default())
}
