//! A walk: stored text, then event + chance → view + text to store.

use std::collections::BTreeMap;

use super::chosen;
use super::event::Event;
use super::here::{day, roles};
use super::kit::{Opened, WalkKit};
use super::look::Look;
use super::offer::{Offered, offered};
use super::show;
use super::state::{Phase, Walk};
use crate::course::RunSheet;
use crate::fingerprint::{NotCanonical, hex_hash};
use crate::practice::ask::{Stored, Tap};
use crate::practice::decode::from_text;
use crate::practice::view::Turn;
use crate::quantity::Comma;
use crate::scoring::{Verdict, score};
use crate::words::Words;

/// A walk at work: what is open, and what is stored of it by now.
#[derive(Debug)]
pub struct Walks {
    opened: Opened,
    walk: Option<Walk>,
    note: Option<String>,
    stored: BTreeMap<String, String>,
}

/// A walk with a kit that was written so; nothing is stored yet.
pub fn opened(kit: WalkKit, text: &str) -> Result<Walks, NotCanonical> {
    let opened = Opened::new(kit, text)?;
    Ok(Walks { opened, walk: None, note: None, stored: BTreeMap::new() })
}

impl Walks {
    /// The sentences of its kit.
    pub const fn words(&self) -> &Words {
        self.opened.words()
    }

    /// How a comma in a typed number is read.
    pub const fn comma(&self) -> Comma {
        self.opened.data().comma
    }

    /// The key under which a page stores: the open walk of this drill.
    pub fn keys(&self) -> [String; 1] {
        let data = self.opened.data();
        [format!("walk/{}/{}", data.module, self.opened.drill().id)]
    }

    /// Takes what is stored in place of what was known before.
    pub fn stored(&mut self, given: Stored) -> Turn {
        let [key] = self.keys();
        self.stored = given.stored;
        self.walk = self.stored.get(&key).and_then(|text| from_text(text));
        self.note = None;
        if self.walk.as_ref().is_some_and(|walk| !self.fits(walk)) {
            self.walk = None;
            self.note = Some(self.opened.words().get("walk.gone"));
        }
        self.turn(&Tap { at: given.at, chance: given.chance, ..Tap::default() })
    }

    /// Takes one event.
    pub fn tap(&mut self, tap: &Tap<Event>) -> Turn {
        let of = self.walk.as_ref().map(Walk::of).unwrap_or_default();
        // A slow phone may tap when the next question stands there.
        if tap.of == of {
            return self.turn(tap);
        }
        self.turn(&Tap { at: tap.at.clone(), ..Tap::default() })
    }

    /// Whether a stored walk is one of this kit, and one that this kit could have come to.
    fn fits(&self, walk: &Walk) -> bool {
        let Some(look) = Look::of(&self.opened, walk) else { return false };
        let known = |id: &String| look.step(id).is_some();
        let typing = !matches!(
            walk.phase,
            Phase::Words | Phase::Aloud | Phase::Silent | Phase::Value
        );
        walk.kit == self.opened.letters()
            && roles(&self.opened).any(|role| role.id == walk.role)
            && walk.done.iter().all(known)
            && (typing || known(&walk.step))
            && (walk.phase != Phase::Value || !look.values(walk, &walk.step).is_empty())
    }

    fn turn(&mut self, tap: &Tap<Event>) -> Turn {
        let draws = self.take(tap);
        let mut turn = Turn::default();
        if draws {
            turn.view = Some(self.view());
        }
        let text = self.walk.as_ref();
        let text = text.map(|walk| serde_json::to_string(walk).unwrap_or_default());
        let [key] = self.keys();
        turn.put(&mut self.stored, key, text);
        turn.of = self.walk.as_ref().map(Walk::of).unwrap_or_default();
        turn
    }

    fn view(&self) -> crate::practice::View {
        let look = self.walk.as_ref().and_then(|walk| Look::of(&self.opened, walk));
        match (&self.walk, look) {
            (Some(walk), Some(look)) => show::walk(&look, walk),
            _ => show::home(&self.opened, self.note.as_deref()),
        }
    }

    /// Whether another view is drawn.
    fn take(&mut self, tap: &Tap<Event>) -> bool {
        match &tap.event {
            Event::Show => return true,
            Event::Begin { rig, role } => {
                let seed = hex_hash(&tap.chance);
                let seed = seed.get(..16).unwrap_or_default().to_owned();
                self.begin(Walk {
                    rig: rig.clone(),
                    role: role.clone(),
                    seed,
                    ..Walk::default()
                });
                return true;
            }
            Event::Another => {
                if let Some(walk) = self.walk.take() {
                    self.begin(Walk {
                        rig: walk.rig,
                        role: walk.role,
                        seed: walk.seed,
                        number: walk.number.saturating_add(1),
                        ..Walk::default()
                    });
                }
                return true;
            }
            Event::Leave => {
                self.walk = None;
                return true;
            }
            _ => {}
        }
        let Some(walk) = &mut self.walk else { return true };
        if let Event::Draft { text } = &tap.event {
            if walk.phase == Phase::Value {
                walk.written.clone_from(text);
            }
            return false;
        }
        if let Some(look) = Look::of(&self.opened, walk) {
            walk.taps = walk.taps.saturating_add(1);
            chosen::take(&look, walk, &tap.event);
        }
        true
    }

    fn begin(&mut self, walk: Walk) {
        self.note = None;
        let mut walk = Walk { kit: self.opened.letters().to_owned(), ..walk };
        let role = roles(&self.opened).any(|role| role.id == walk.role);
        let look = Look::of(&self.opened, &walk).filter(|_| role);
        self.walk = look.map(|look| {
            chosen::go_on(&look, &mut walk, false);
            walk
        });
    }

    /// The run sheet of the open walk, what it comes to by now, and what can be chosen.
    pub fn walked(&self) -> Option<(RunSheet, Verdict, Offered)> {
        let walk = self.walk.as_ref()?;
        let look = Look::of(&self.opened, walk)?;
        let sheet = look.sheet(walk);
        let verdict = score(self.opened.kit(&walk.rig)?, &sheet);
        let acts = match walk.phase {
            Phase::Choose => offered(&look, walk),
            _ => Offered::default(),
        };
        // A day that the kit does not have is no walk.
        day(look.of_rig, walk)?;
        Some((sheet, verdict, acts))
    }
}
