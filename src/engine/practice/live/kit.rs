//! What a live sheet carries: its drills, the rigs they can be run on, and the people.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::several::Several;
use crate::course::{
    Chain, Course, Drill, Due, Mode, Person, Reread, Rig, Role, Standard, reread,
};
use crate::fingerprint::{NotCanonical, canonical, hex_hash};
use crate::formulas::Reach;
use crate::page::sheet::House;
use crate::quantity::Comma;
use crate::scoring::{Kit, KitData, at_nozzle, runs_on, standard};
use crate::words::Words;

/// Sections of the words file that a live sheet speaks with.
const WORDS: &[&str] = &[
    "live.",
    "scoring.",
    "formula.",
    "board.",
    "unit.",
    "practice.engine.",
    "sheet.",
    "signal.",
];

/// Who is due, as the roster has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DueHead {
    /// The candidate.
    pub candidate: String,
    /// The attempt; nothing while nobody knows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attempt: Option<u32>,
}

impl DueHead {
    fn of(due: &Due) -> Self {
        Self { candidate: due.candidate.clone(), attempt: due.attempt }
    }
}

/// Everything that a live sheet can reach. It names people: it belongs to the officers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LiveKit {
    /// See [`FORMAT`](crate::practice::FORMAT).
    pub format: u32,
    /// Id of the module.
    pub module: String,
    /// Id of the drill or the chain.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Whether it is a chain.
    pub chain: bool,
    /// What a chain is for; nothing for a drill, whose task says it.
    pub about: String,
    /// What its printed sheet carries of the module.
    pub house: House,
    /// What a candidate is held to, drill by drill.
    pub drills: Vec<Standard>,
    /// The rigs.
    pub rigs: Vec<Rig>,
    /// What is worked on rigs alone whose flows are those of the nozzles.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nozzle: Option<Reach>,
    /// Headings that teach each drill, drill by drill.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub reread: BTreeMap<String, Vec<Reread>>,
    /// The people of the department.
    pub people: Vec<Person>,
    /// Who is due on one of its drills, in the order of the roster.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub due: Vec<DueHead>,
    /// What a comma before three digits means in a typed number.
    #[serde(default, skip_serializing_if = "Comma::is_unfixed")]
    pub comma: Comma,
    /// The sentences.
    pub words: Words,
}

impl LiveKit {
    /// The kit of one drill.
    pub fn of_drill(course: &Course, drill: &Drill, words: &Words) -> Self {
        Self::of(course, &[drill], words)
    }

    /// The kit of a chain.
    pub fn of_chain(course: &Course, chain: &Chain, words: &Words) -> Self {
        let drills = chain.drills.iter().filter_map(|id| course.drill(id));
        let kit = Self::of(course, &drills.collect::<Vec<_>>(), words);
        let (id, title) = (chain.id.clone(), chain.title.clone());
        Self { id, title, chain: true, about: chain.about.clone(), ..kit }
    }

    fn of(course: &Course, drills: &[&Drill], words: &Words) -> Self {
        let first = drills.first();
        // The card of a rig that nobody can choose here would only make the page longer, and
        // its remark "unverified" would stand over drills of rigs that were compared.
        let fits = |rig: &Rig| drills.iter().any(|drill| runs_on(rig, drill));
        let rigs = || course.rigs.values().filter(|rig| fits(rig));
        let standards: Vec<Standard> =
            drills.iter().map(|drill| standard(course, drill)).collect();
        Self {
            format: crate::practice::FORMAT,
            module: course.module.id.clone(),
            id: first.map(|drill| drill.id.clone()).unwrap_or_default(),
            title: first.map(|drill| drill.title.clone()).unwrap_or_default(),
            chain: false,
            about: String::new(),
            house: House::of(course, drills),
            nozzle: at_nozzle(&course.library, &standards, rigs()),
            drills: standards,
            rigs: rigs().cloned().collect(),
            reread: taught(course, drills),
            people: course.people.values().cloned().collect(),
            due: due(course, drills),
            comma: course.module.comma,
            words: words.under(WORDS),
        }
    }
}

/// Drills of which some lesson teaches something.
fn taught(course: &Course, drills: &[&Drill]) -> BTreeMap<String, Vec<Reread>> {
    let of = |drill: &&Drill| (drill.id.clone(), reread(&course.teaches, &drill.id));
    drills.iter().map(of).filter(|(_, found)| !found.is_empty()).collect()
}

/// Each person once: who is due twice on a chain is one candidate.
fn due(course: &Course, drills: &[&Drill]) -> Vec<DueHead> {
    let here = |due: &&Due| drills.iter().any(|drill| drill.id == due.drill);
    let mut found: Vec<DueHead> = Vec::new();
    for due in course.roster.iter().filter(here) {
        if !found.iter().any(|known| known.candidate == due.candidate) {
            found.push(DueHead::of(due));
        }
    }
    found
}

/// A live kit with its formulas checked.
#[derive(Debug, Clone)]
pub struct Live {
    data: LiveKit,
    text: String,
    revision: String,
    /// By rig, in the order of the chain; only what the rig can do.
    kits: BTreeMap<String, Vec<Kit>>,
    /// Those for the outlets of a run, where they are not the same.
    several: Several,
}

impl Live {
    /// The same from a kit that nobody has written yet.
    pub fn of(data: LiveKit) -> Result<Self, NotCanonical> {
        let text = canonical(&data)?;
        Self::new(data, text)
    }

    /// Checks the formulas of a kit that was written so, and takes the revisions of its drills and
    /// rigs. An open run keeps that text, and no page writes a kit once more.
    pub fn new(data: LiveKit, text: String) -> Result<Self, NotCanonical> {
        let revision = hex_hash(text.as_bytes());
        let mut kits = BTreeMap::new();
        // Formulas belong to a drill and not to its rig: each drill is opened once, however
        // many rigs it can be run on, because a phone waits for this.
        let first = data.rigs.first().into_iter();
        let opened = first.flat_map(|rig| data.drills.iter().map(move |of| (of, rig)));
        let opened = opened.map(|(of, rig)| {
            let held = (of.clone(), data.nozzle.clone());
            let taught = data.reread.get(&of.drill.id).cloned().unwrap_or_default();
            let of = KitData::put_together(held, rig.clone(), &data.words);
            Kit::new(of.taught_by(taught))
        });
        let opened = opened.collect::<Result<Vec<Kit>, _>>()?;
        for rig in &data.rigs {
            let here = opened.iter().filter(|kit| runs_on(rig, kit.drill()));
            let of_rig = here.map(|kit| kit.on(rig)).collect::<Result<Vec<Kit>, _>>()?;
            if !of_rig.is_empty() {
                kits.insert(rig.id.clone(), of_rig);
            }
        }
        Ok(Self { data, text, revision, kits, several: Several::default() })
    }

    /// Whether this engine can read a kit of its form.
    pub fn fits(&self) -> bool {
        self.data.format == crate::practice::FORMAT
    }

    /// Everything it holds.
    pub const fn data(&self) -> &LiveKit {
        &self.data
    }

    /// The same as canonical JSON.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// 64 hexadecimal digits over the whole kit.
    pub fn revision(&self) -> &str {
        &self.revision
    }

    /// How a comma in a typed number is read.
    pub const fn comma(&self) -> Comma {
        self.data.comma
    }

    /// The sentences.
    pub const fn words(&self) -> &Words {
        &self.data.words
    }

    /// Rigs on which it can be run.
    pub fn rigs(&self) -> impl Iterator<Item = &Rig> {
        self.data.rigs.iter().filter(|rig| self.kits.contains_key(&rig.id))
    }

    /// Kits of a rig, drill by drill.
    pub fn kits(&self, rig: &str) -> &[Kit] {
        self.kits.get(rig).map_or(&[], Vec::as_slice)
    }

    /// The kit of a drill on a rig.
    pub fn kit(&self, rig: &str, drill: &str) -> Option<&Kit> {
        self.kits(rig).iter().find(|kit| kit.drill().id == drill)
    }

    /// Kits of a rig for the outlets of a run, drill by drill.
    pub fn kits_on<'l>(
        &'l self,
        rig: &str,
        (first, further): (&str, &[String]),
    ) -> impl Iterator<Item = &'l Kit> + use<'l> {
        let (first, further) = (first.to_owned(), further.to_vec());
        self.kits(rig).iter().map(move |kit| {
            let lines = kit.lines(&first, &further);
            let rig = &kit.rig().id;
            let ids = lines.iter().map(|line| line.id.as_str());
            let name: Vec<&str> =
                [rig.as_str(), &kit.drill().id].into_iter().chain(ids).collect();
            // Only what the rig has is in a name, so that no text that somebody writes into a file
            // makes one kit more.
            self.several.kit(&name, || kit.on_lines(&first, &further).into_owned())
        })
    }

    /// Modes in which every drill can be run.
    pub fn modes(&self) -> Vec<Mode> {
        let everywhere =
            |mode: &Mode| self.drills().all(|drill| drill.condition().shown_in(*mode));
        Mode::ALL.iter().map(|(_, mode)| *mode).filter(everywhere).collect()
    }

    /// Roles of all drills, each once.
    pub fn roles(&self) -> Vec<&Role> {
        let mut roles: Vec<&Role> = Vec::new();
        for role in self.drills().flat_map(|drill| &drill.roles) {
            if !roles.iter().any(|known| known.id == role.id) {
                roles.push(role);
            }
        }
        roles
    }

    /// Roles that get a result in every drill.
    pub fn scored(&self) -> Vec<&Role> {
        let scored = |id: &str| {
            let has = |drill: &Drill| drill.roles.iter().any(|r| r.id == id && r.scored);
            self.drills().all(has)
        };
        self.roles().into_iter().filter(|role| scored(&role.id)).collect()
    }

    /// Somebody's name.
    pub fn name<'l>(&'l self, id: &'l str) -> &'l str {
        let known = self.data.people.iter().find(|person| person.id == id);
        known.map_or(id, |person| person.name.as_str())
    }

    fn drills(&self) -> impl Iterator<Item = &Drill> {
        self.data.drills.iter().map(|standard| &standard.drill)
    }
}
