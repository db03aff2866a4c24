//! What a walk's page carries: the drill, the rigs on which it can be run, and days drawn for each.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::days::{Day, days};
use crate::course::{
    Caution, Concentrate, Course, Drill, Mode, Reread, Rig, Standard, reread,
};
use crate::fingerprint::{NotCanonical, hex_hash};
use crate::formulas::Reach;
use crate::quantity::Comma;
use crate::scoring::{Kit, KitData, at_nozzle, runs_on, standard};
use crate::words::Words;

/// Sections of the words file that a walk speaks with.
const WORDS: &[&str] =
    &["walk.", "scoring.", "formula.", "board.", "unit.", "practice.engine."];

/// A caution of the drill in its own words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Told {
    /// What stands over it.
    pub headline: String,
    /// What it does to somebody.
    pub hazard: String,
    /// What is done against it.
    pub control: String,
}

impl Told {
    fn of(caution: &Caution) -> Self {
        Self {
            headline: caution.headline.clone(),
            hazard: caution.hazard.clone(),
            control: caution.control.clone(),
        }
    }
}

/// A rig with the days that were drawn for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WalkRig {
    /// The rig, without whoever checked it.
    pub rig: Rig,
    /// What is read on each of its days.
    pub days: Vec<Day>,
}

/// Everything that the walk of one drill can reach. No person, no key, no seed of a paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WalkKit {
    /// See [`FORMAT`](crate::practice::FORMAT).
    pub format: u32,
    /// Id of the module.
    pub module: String,
    /// What a candidate is held to.
    pub standard: Standard,
    /// The rigs.
    pub rigs: Vec<WalkRig>,
    /// What is worked on rigs alone whose flows are those of the nozzles.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nozzle: Option<Reach>,
    /// Headings that teach the drill.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reread: Vec<Reread>,
    /// Where those headings stand.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub addresses: BTreeMap<String, String>,
    /// The cautions of the drill.
    pub cautions: Vec<Told>,
    /// What a comma before three digits means in a typed number.
    #[serde(default, skip_serializing_if = "Comma::is_unfixed")]
    pub comma: Comma,
    /// The sentences.
    pub words: Words,
}

/// Whether a drill has a walk: it may be walked through, on some rig of the module, by somebody who is
/// scored.
pub fn walks(course: &Course, drill: &Drill) -> bool {
    drill.condition().shown_in(Mode::WalkThrough)
        && drill.roles.iter().any(|role| role.scored)
        && course.rigs.values().any(|rig| runs_on(rig, drill))
}

impl WalkKit {
    /// The walk of a drill.
    pub fn of(course: &Course, drill: &Drill, words: &Words) -> Self {
        let standard = standard(course, drill);
        let rigs = || course.rigs.values().filter(|rig| runs_on(rig, drill));
        let reread = reread(&course.teaches, &drill.id);
        let named = |said: &str| {
            reread.iter().flat_map(|one| &one.headings).any(|heading| heading == said)
        };
        let addresses =
            course.teaches.iter().map(|one| (one.said(), one.address.clone()));
        let of_rig = |rig: &Rig| WalkRig {
            days: days(course, drill, rig, words),
            rig: unsigned(rig),
        };
        Self {
            format: crate::practice::FORMAT,
            module: course.module.id.clone(),
            nozzle: at_nozzle(&course.library, [&standard], rigs()),
            standard,
            rigs: rigs().map(of_rig).collect(),
            addresses: addresses.filter(|(said, _)| named(said)).collect(),
            reread,
            cautions: drill
                .cautions
                .iter()
                .filter_map(|id| course.cautions.get(id))
                .map(Told::of)
                .collect(),
            comma: course.module.comma,
            words: words.under(WORDS),
        }
    }
}

/// A rig without whoever checked its card, read its labels and permitted what it holds: people stand on
/// officers' pages alone. That it was checked, and until when, decides bands and stays.
fn unsigned(rig: &Rig) -> Rig {
    let mut rig = rig.clone();
    if let Some(check) = &mut rig.checked {
        check.by.clear();
    }
    let agents = rig.agents.into_iter();
    // Nothing is discharged in a walk, so nobody's word for that is asked.
    let bare = |agent: Concentrate| Concentrate {
        permitted: None,
        evidence: Vec::new(),
        label: None,
        data_sheet: None,
        ..agent
    };
    rig.agents = agents.map(bare).collect();
    rig
}

/// A walk kit with its formulas checked.
#[derive(Debug)]
pub(super) struct Opened {
    data: WalkKit,
    letters: String,
    kits: BTreeMap<String, Kit>,
}

impl Opened {
    /// Checks the formulas of a kit that was written so.
    pub(super) fn new(data: WalkKit, text: &str) -> Result<Self, NotCanonical> {
        let letters = hex_hash(text.as_bytes());
        let letters = letters.get(..8).unwrap_or_default().to_owned();
        let mut kits: BTreeMap<String, Kit> = BTreeMap::new();
        for one in &data.rigs {
            // Its formulas are opened once, however many rigs there are.
            let kit = match kits.values().next() {
                Some(first) => first.on(&one.rig)?,
                None => {
                    let held = (data.standard.clone(), data.nozzle.clone());
                    let of = KitData::put_together(held, one.rig.clone(), &data.words);
                    Kit::new(of.taught_by(data.reread.clone()))?
                }
            };
            kits.insert(one.rig.id.clone(), kit);
        }
        Ok(Self { data, letters, kits })
    }

    pub(super) const fn data(&self) -> &WalkKit {
        &self.data
    }

    /// Letters of the kit: a walk that was begun with another one does not go on with this.
    pub(super) fn letters(&self) -> &str {
        &self.letters
    }

    pub(super) const fn words(&self) -> &Words {
        &self.data.words
    }

    pub(super) const fn drill(&self) -> &Drill {
        &self.data.standard.drill
    }

    pub(super) fn kit(&self, rig: &str) -> Option<&Kit> {
        self.kits.get(rig)
    }

    pub(super) fn rig(&self, id: &str) -> Option<&WalkRig> {
        self.data.rigs.iter().find(|one| one.rig.id == id)
    }
}
