//! What a sheet carries of the module beside the drill, the rig and the run.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::course::{Caution, Course, Drill, LocalTopic, by_gravity, drill_number};

/// Whose sheet it is, and what its drills are warned of and leave to local rules. It belongs to
/// no revision: a better word in a caution changes no standard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct House {
    /// The department.
    pub department: String,
    /// Title of the module.
    pub module: String,
    /// ISO date by which it is reviewed.
    pub review_by: String,
    /// The sentence that its rigs and people are invented; none where they are not.
    pub invented: Option<String>,
    /// Whether it was compiled although something must be fixed.
    pub draft: bool,
    /// Numbers of the drills, by id: the codes of their forms have them.
    #[serde(default)]
    pub numbers: BTreeMap<String, String>,
    /// Cautions that the drills name.
    pub cautions: Vec<Caution>,
    /// Local rules that the drills and their steps name.
    pub topics: Vec<LocalTopic>,
}

impl House {
    /// What sheets of these drills carry of a course.
    pub fn of(course: &Course, drills: &[&Drill]) -> Self {
        let named: BTreeSet<&String> =
            drills.iter().flat_map(|drill| &drill.cautions).collect();
        let topics: BTreeSet<&String> =
            drills.iter().flat_map(|drill| topics(drill)).collect();
        let module = &course.module;
        let cautions = course.cautions.values();
        Self {
            department: module.department.clone(),
            module: module.title.clone(),
            review_by: module.review_by.clone(),
            invented: module.invented.clone(),
            draft: course.draft,
            numbers: drills
                .iter()
                .map(|drill| (drill.id.clone(), drill_number(course, &drill.id)))
                .collect(),
            cautions: cautions.filter(|one| named.contains(&one.id)).cloned().collect(),
            topics: topics
                .into_iter()
                .filter_map(|id| course.topic(id))
                .cloned()
                .collect(),
        }
    }

    /// Cautions of a drill, the gravest first.
    pub(super) fn cautions(&self, drill: &Drill) -> Vec<&Caution> {
        let find = |id: &String| self.cautions.iter().find(|one| one.id == *id);
        by_gravity(drill.cautions.iter().filter_map(find).collect())
    }

    /// The three gravest cautions of several drills, the first drill's before the next one's:
    /// more than three headlines are not read at the foot of a leaf.
    pub fn gravest(&self, drills: &[&Drill]) -> Vec<&Caution> {
        let mut found: Vec<&Caution> = Vec::new();
        for caution in drills.iter().flat_map(|drill| self.cautions(drill)) {
            if !found.iter().any(|known| known.id == caution.id) {
                found.push(caution);
            }
        }
        let mut found = by_gravity(found);
        // The foot of a sheet has one line for them, and a reader passes over the fourth.
        // The gravest stand first, so that what is cut off is the least; all of them stand
        // in full on the first side.
        found.truncate(3);
        found
    }

    /// Local rules of a drill, then of its steps, each once.
    pub(super) fn topics(&self, drill: &Drill) -> Vec<&LocalTopic> {
        let mut found: Vec<&LocalTopic> = Vec::new();
        for id in topics(drill) {
            let topic = self.topics.iter().find(|topic| topic.id == *id);
            let new = topic.filter(|one| !found.iter().any(|known| known.id == one.id));
            found.extend(new);
        }
        found
    }
}

/// Local rules that a drill and its steps name; one may be named by several.
pub(super) fn topics(drill: &Drill) -> impl Iterator<Item = &String> {
    let steps = drill.steps.iter().filter_map(|step| step.local.as_ref());
    drill.local.iter().chain(steps)
}
