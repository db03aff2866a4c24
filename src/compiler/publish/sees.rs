//! What papers and sheets look at, asked of the desk like everything else.
//!
//! What hands out the whole course does so to functions of the engine that read what they want
//! of it: the accessor notes all that they can reach. Where only a part is wanted, the part is
//! handed out: a kit, what a sheet carries of the module.

use std::sync::Arc;

use super::desk::Desk;
use super::frame::Shared;
use crate::course::{Chain, Drill, Due, Person, Rig};
use crate::fingerprint::NotCanonical;
use crate::page::sheet::House;
use crate::scoring::Kit;

impl<'c> Desk<'c> {
    /// The questions of a set with all that they reach, and the frame of its cautions.
    pub(super) fn questions(&self, set: &str) -> &'c Shared<'c> {
        let shared = self.sees(&[("set", set), ("reach", set), ("all", "sources")]);
        let found = shared.course.sets.iter().find(|other| other.id == set);
        self.sees_frame(found.map_or(&[], |set| &set.cautions))
    }

    /// The same, drawn with the seed of the graded papers.
    pub(super) fn graded(&self, set: &str) -> &'c Shared<'c> {
        self.questions(set);
        // A part of its own, so that another seed makes papers and
        // keys anew and no page of the crew.
        self.sees(&[("seed", "")])
    }

    pub(super) fn chain(&self, id: &str) -> Option<&'c Chain> {
        let course = self.sees(&[("chain", id)]).course;
        course.chains.iter().find(|chain| chain.id == id)
    }

    /// Somebody on the roster.
    pub(super) fn due(&self, index: usize) -> Option<&'c Due> {
        self.sees(&[("due", &index.to_string())]).course.roster.get(index)
    }

    /// Everybody whose name can stand on a sheet.
    pub(super) fn people(&self) -> Vec<&'c Person> {
        self.sees(&[("all", "people")]).course.people.values().collect()
    }

    /// What a sheet of a drill on a rig is made with: its formulas come from the library, the
    /// common acts and the pass mark from the module.
    pub(super) fn kit(&self, drill: &Drill, rig: &Rig) -> Result<Arc<Kit>, NotCanonical> {
        self.drill(&drill.id);
        self.rig(&rig.id);
        let parts =
            ["bases", "library", "teaches", "unsafe-acts"].map(|all| ("all", all));
        self.sees(&[("module", "")]);
        let shared = self.sees(&parts);
        shared.kits.kit((shared.course, shared.words), drill, rig)
    }

    /// What sheets of these drills carry of the module.
    pub(super) fn house(&self, drills: &[&Drill]) -> House {
        let all = [("module", ""), ("all", "cautions"), ("all", "local")];
        for drill in drills {
            // A drill's number is its place: one that is put before it
            // makes this sheet another one.
            self.number(&drill.id);
        }
        House::of(self.sees(&all).course, drills)
    }

    /// The filled sheets of a run: it may be scored by a revision that is kept.
    pub(super) fn run(&self, id: &str) -> &'c Shared<'c> {
        let shared = self.sees(&[("runs", id), ("all", "people"), ("all", "kept")]);
        let course = shared.course;
        for run in course.runs.iter().filter(|run| run.id == id) {
            self.number(&run.drill);
            self.sees(&[("drill", &run.drill), ("rig", &run.rig)]);
            for drill in run
                .chain
                .iter()
                .filter_map(|id| self.chain(id))
                .flat_map(|chain| &chain.drills)
            {
                self.drill(drill);
                self.number(drill);
            }
        }
        let parts = ["bases", "library", "teaches", "unsafe-acts"];
        self.sees(&parts.map(|all| ("all", all)));
        self.house(&[]);
        shared
    }
}
