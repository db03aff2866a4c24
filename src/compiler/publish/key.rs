//! The key of a page: a hash over all that it asked for.

use super::desk::{has_foam, lessons, set_of};
use super::frame::Shared;
use super::kind::PagePlan;
use super::parts::hash_of as of;
use super::sheet::page::blank_links_of;
use super::{index, send, trail};
use crate::course::{drill_number, rig_code};
use crate::fingerprint::hex_hash;
use crate::practice::PracticeKit;

impl Shared<'_> {
    /// The key of a page that asked for these parts: equal keys, equal bytes. None when the
    /// program does not know a part, which another version of it may have.
    pub fn key(&self, plan: &PagePlan, asked: &[String]) -> Option<String> {
        let mut all = vec![
            format!("{plan:?}"),
            // Another version may render the same parts otherwise.
            env!("CARGO_PKG_VERSION").to_owned(),
            self.part_hash("program")?,
            self.part_hash("words")?,
            // The sign before decimals is that of every page.
            format!("{:?}", self.course.module.comma),
            // The frame of every page asks for it.
            self.part_hash("look")?,
        ];
        for part in asked {
            all.push(format!("{part} {}", self.part_hash(part)?));
        }
        Some(hex_hash(all.join("\n").as_bytes()))
    }

    fn part_hash(&self, part: &str) -> Option<String> {
        self.parts.get(part, || self.hash(part))
    }

    /// The hash of a part as it is today; of what is not there as well, since a page may have
    /// found that out.
    fn hash(&self, part: &str) -> Option<String> {
        let course = self.course;
        let (sort, id) = part.split_once(':').unwrap_or((part, ""));
        let hash = match sort {
            "program" => crate::stock::fingerprint(),
            "words" => of(self.words),
            "look" => of(&(&course.face.look, &course.face.logo)),
            "seed" => of(&self.seed),
            // A draft has its watermark on every page that has a head.
            "module" => of(&(&course.module, course.draft)),
            "drill" => of(&course.drill(id)),
            "rig" => of(&course.rigs.get(id)),
            "lesson" => of(&course.lesson(id)),
            "family" => of(&course.families.iter().find(|family| family.id == id)),
            "topic" => of(&course.topic(id)),
            "term" => of(&course.terms.get(id)),
            "caution" => of(&course.cautions.get(id)),
            "objective" => of(&course.objectives.get(id)),
            "concentrate" => of(&course.concentrates.get(id)),
            // Hashed as it is: printed, each byte would take four letters.
            "picture" => of(&self.picture(id).map(hex_hash)),
            "chain" => of(&course.chains.iter().find(|chain| chain.id == id)),
            "set" => of(&course.sets.iter().find(|set| set.id == id)),
            "runs" => {
                let runs = course.runs.iter().filter(|run| run.id == id);
                of(&runs.collect::<Vec<_>>())
            }
            "narrated" => of(&course.narrated(id)),
            // What the guide and the officers' index say of them.
            "narrated-titles" => {
                let all = course.narrated.iter().map(|one| (&one.id, &one.title));
                of(&all.collect::<Vec<_>>())
            }
            "due" => of(&id.parse::<usize>().ok().and_then(|at| course.roster.get(at))),
            // What a set's questions can reach: formulas, rigs, steps, objectives.
            "reach" => {
                let set = course.sets.iter().find(|set| set.id == id);
                of(&set.map(|set| PracticeKit::of(course, set, self.words)))
            }
            "kit-of-lesson" => {
                let lesson = course.lesson(id);
                let set = lesson.and_then(|lesson| send::lesson_set(course, lesson));
                of(&set.map(|set| PracticeKit::of(course, &set, self.words)))
            }
            // Of the answer, here and below, and not of all that it was found in: another
            // sentence in a drill makes no lesson another page.
            "trail" => of(&course.drill(id).map(|drill| trail::way(course, drill))),
            "drill-after" => of(&trail::drill_of(course, id).map(|drill| &drill.id)),
            "has-foam" => has_foam(course).to_string(),
            "number" => drill_number(course, id),
            "code" => rig_code(course, id),
            "set-of" => of(&set_of(course, id)),
            "sheets-of-drill" => of(&blank_links_of(self, id, false)),
            "sheets-of-chain" => of(&blank_links_of(self, id, true)),
            "titles" if id == "lessons" => of(&lessons(course)),
            "index" => index::contents(self, id)?,
            "all" => self.hash_of_all(id)?,
            _ => return None,
        };
        Some(hash)
    }

    fn hash_of_all(&self, id: &str) -> Option<String> {
        let course = self.course;
        Some(match id {
            "bases" => of(&course.bases),
            "cards" => of(&course.cards),
            "cautions" => of(&course.cautions),
            "concentrates" => of(&course.concentrates),
            "drills" => of(&course.drills),
            "kept" => of(&course.kept),
            "library" => of(&course.library),
            "local" => of(&course.local),
            "people" => of(&course.people),
            "rigs" => of(&course.rigs),
            "sources" => of(&course.sources),
            "references" => of(&(&course.references, &course.cited)),
            "guide" => of(&course.guide),
            "leaves" => of(&course.leaves),
            "objectives" => of(&course.objectives),
            "sets" => of(&course.sets),
            "teaches" => of(&*course.teaches),
            "terms" => of(&course.terms),
            "unsafe-acts" => of(&course.unsafe_acts),
            _ => return None,
        })
    }
}
