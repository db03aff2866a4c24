//! The door of whoever watches a run: a live sheet, and the scoring of a run sheet.

use serde_json::{Value, json};

use super::super::ask::{OpenLive, OpenRun, Score};
use super::super::kit::FORMAT;
use super::super::live::{Live, LiveKit, Panel};
use super::door::{Answer, Door, complain, read, value, written};
use crate::quantity::Comma;
use crate::scoring::{self, KitData, score};
use crate::words::Words;

/// A live sheet, or a drill that runs are scored for.
#[derive(Debug, Default)]
pub struct Runs {
    run: Option<scoring::Kit>,
    live: Option<Panel>,
}

impl Door for Runs {
    fn words(&self) -> Option<&Words> {
        let run = self.run.as_ref().map(scoring::Kit::words);
        run.or(self.live.as_ref().map(|panel| panel.live().words()))
    }

    fn comma(&self) -> Comma {
        self.live.as_ref().map(|panel| panel.live().comma()).unwrap_or_default()
    }

    fn answer(&mut self, name: &str, request: Value) -> Answer {
        match name {
            "open" if request.get("live").is_some() => {
                let text = written(&request, "/live")?;
                let OpenLive { live } = read(self.words(), request)?;
                self.open_live(live, text)
            }
            "open" => {
                let OpenRun { kit } = read(self.words(), request)?;
                self.open(kit.format, kit.run)
            }
            "score" => {
                let Score { sheet } = read(self.words(), request)?;
                let none = || complain(self.words(), "no-run", &[]);
                value(&score(self.run.as_ref().ok_or_else(none)?, &sheet))
            }
            "stored" => {
                let stored = read(self.words(), request)?;
                value(&self.panel()?.stored(stored))
            }
            "tap" => {
                let tap = read(self.words(), request)?;
                value(&self.panel()?.tap(&tap))
            }
            // Known by name, so that whoever asks at the wrong door is told
            // that, and not that the request is bad.
            "draw" | "mark" | "list" | "work" => Err(self.no_questions()),
            other => Err(complain(self.words(), "bad-request", &[("reason", other)])),
        }
    }
}

impl Runs {
    /// Takes the kit of a drill. What an earlier kit held is forgotten.
    fn open(&mut self, format: u32, run: Option<KitData>) -> Answer {
        // Nothing of another kit stays: an answer from two kits would be nobody's.
        *self = Self::default();
        if format != FORMAT {
            let words = run.as_ref().map(|kit| &kit.words);
            return Err(complain(words, "other-format", &[]));
        }
        let run = run.map(scoring::Kit::new).transpose();
        self.run = run.map_err(|fault| fault.to_string())?;
        Ok(json!({
            "drill": self.run.as_ref().map(scoring::Kit::drill_revision),
            "rig": self.run.as_ref().map(scoring::Kit::rig_revision),
        }))
    }

    /// Takes the kit of a live sheet, likewise.
    fn open_live(&mut self, kit: LiveKit, text: String) -> Answer {
        *self = Self::default();
        if kit.format != FORMAT {
            return Err(kit.words.get("live.other-format"));
        }
        let live = Live::new(kit, text).map_err(|fault| fault.to_string())?;
        let panel = Panel::new(live);
        let opened = json!({ "live": panel.live().revision(), "keys": panel.keys() });
        self.live = Some(panel);
        Ok(opened)
    }

    fn panel(&mut self) -> Result<&mut Panel, String> {
        let none = self.no_questions();
        self.live.as_mut().ok_or(none)
    }

    fn no_questions(&self) -> String {
        complain(self.words(), "no-practice", &[])
    }
}
