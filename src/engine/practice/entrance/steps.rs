//! The door of whoever walks a drill through.

use serde_json::{Value, json};

use super::super::ask::OpenWalk;
use super::super::kit::FORMAT;
use super::super::walk::{Act, Walks, opened};
use super::door::{Answer, Door, complain, read, value, written};
use crate::quantity::Comma;
use crate::words::Words;

/// The walk of one drill.
#[derive(Debug, Default)]
pub struct Steps {
    walks: Option<Walks>,
}

impl Door for Steps {
    fn words(&self) -> Option<&Words> {
        self.walks.as_ref().map(Walks::words)
    }

    fn comma(&self) -> Comma {
        self.walks.as_ref().map(Walks::comma).unwrap_or_default()
    }

    fn answer(&mut self, name: &str, request: Value) -> Answer {
        match name {
            "open" => {
                let text = written(&request, "/walk")?;
                // Nothing of another kit stays: an answer from two kits would be nobody's.
                let OpenWalk { walk } = read(self.words(), request)?;
                *self = Self::default();
                if walk.format != FORMAT {
                    return Err(complain(Some(&walk.words), "other-format", &[]));
                }
                let walks = opened(walk, &text).map_err(|fault| fault.to_string())?;
                let answer = json!({ "keys": walks.keys() });
                self.walks = Some(walks);
                Ok(answer)
            }
            "stored" => {
                let stored = read(self.words(), request)?;
                value(&self.walks()?.stored(stored))
            }
            "tap" => {
                let tap = read(self.words(), request)?;
                value(&self.walks()?.tap(&tap))
            }
            "walked" => {
                let walked = self.walks()?.walked();
                let Some((sheet, verdict, offered)) = walked else {
                    return Ok(Value::Null);
                };
                let act = |act: &Act| match act {
                    Act::Step(step) => json!({ "step": step }),
                    Act::Ignore(cue) => json!({ "ignore": cue }),
                };
                let acts: Vec<Value> = offered.acts.iter().map(act).collect();
                Ok(json!({ "sheet": sheet, "verdict": verdict, "acts": acts }))
            }
            other => Err(complain(self.words(), "bad-request", &[("reason", other)])),
        }
    }
}

impl Steps {
    fn walks(&mut self) -> Result<&mut Walks, String> {
        let none = complain(self.words(), "no-practice", &[]);
        self.walks.as_mut().ok_or(none)
    }
}
