//! What is covered: objective by objective the headings that teach it, the steps that ask for it and the
//! questions on it; then drill by drill what is taught where. Holes are told first.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use super::sources::{Unfounded, unfounded};
use crate::course::{Drill, QuestionSet, Taught, Teaches, answering, drill_name};

/// Below so many questions an objective is hardly tested: a paper draws one or two of them, and what a
/// reader learned by heart is then the whole of it. Common practice of ours.
const FEW: usize = 3;

#[derive(Serialize)]
struct CoverageView {
    holes: Vec<String>,
    objectives: Vec<ObjectiveRow>,
    drills: Vec<DrillView>,
    /// Set, and its questions without a paragraph.
    questions: Vec<(String, String)>,
    /// What is called common practice, and what came from memory.
    unfounded: Vec<Unfounded>,
}

#[derive(Serialize)]
struct ObjectiveRow {
    performance: String,
    serves: String,
    headings: Vec<(String, String)>,
    drills: Vec<String>,
    questions: String,
    few: bool,
}

#[derive(Serialize)]
struct DrillView {
    head: String,
    title: String,
    rows: Vec<PartRow>,
}

#[derive(Serialize)]
struct PartRow {
    /// Number of a step, or what else it is.
    sort: String,
    says: String,
    headings: Vec<(String, String)>,
}

/// Everything that the page looks at.
struct Seen<'c> {
    desk: &'c Desk<'c>,
    teaches: &'c Taught,
    drills: &'c [Drill],
    sets: &'c [QuestionSet],
}

/// `staff/coverage.html`.
pub(super) fn page(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let parts = ["teaches", "objectives", "drills", "sets"].map(|all| ("all", all));
    let course = desk.sees(&parts).course;
    let seen = Seen {
        desk,
        teaches: &course.teaches,
        drills: &course.drills,
        sets: &course.sets,
    };
    let objectives: Vec<ObjectiveRow> =
        course.objectives.keys().filter_map(|id| seen.objective(id)).collect();
    let drills: Vec<DrillView> =
        seen.drills.iter().map(|drill| seen.drill(drill)).collect();
    let questions = seen.unanswered();
    let view = CoverageView {
        holes: seen.holes(&objectives, &drills, &questions),
        objectives,
        drills,
        questions,
        unfounded: unfounded(desk),
    };
    let head = Head {
        title: desk.label("coverage.title"),
        kicker: desk.label("coverage.kicker"),
        side: Side::Staff,
        kind: "coverage",
        ..Head::default()
    };
    desk.render("coverage.html", &head, &view)
}

/// A heading as it is told, and the page it is on.
fn link(one: &Teaches) -> (String, String) {
    (one.said(), format!("../crew/{}", one.address))
}

impl Seen<'_> {
    fn numbered(&self) -> impl Iterator<Item = &Teaches> {
        // Told by its number, by which a reader finds it; a
        // heading without one cannot be told.
        self.teaches.iter().filter(|one| !one.number.is_empty())
    }

    fn objective(&self, id: &str) -> Option<ObjectiveRow> {
        let objective = self.desk.objective(id)?;
        let has = |all: &[String]| all.iter().any(|one| one == id);
        let drills = self.drills.iter().filter_map(|drill| {
            if has(&drill.objectives) {
                Some(self.name(drill))
            } else {
                self.by_parts(drill, id)
            }
        });
        let all = self.sets.iter().flat_map(|set| &set.questions);
        let count = all.filter(|question| question.objective == id).count();
        let teaching = self.numbered().filter(|one| has(&one.objectives));
        Some(ObjectiveRow {
            performance: objective.performance.clone(),
            serves: objective.serves.clone().unwrap_or_default(),
            headings: teaching.map(link).collect(),
            drills: drills.collect(),
            questions: count.to_string(),
            few: count < FEW,
        })
    }

    fn name(&self, drill: &Drill) -> String {
        format!("{} {}", self.desk.number(&drill.id), drill_name(drill).0)
    }

    /// A drill that does not name an objective and asks for it all the same: something of it is taught
    /// under a heading that serves the objective.
    fn by_parts(&self, drill: &Drill, objective: &str) -> Option<String> {
        let serves = |one: &&Teaches| one.objectives.iter().any(|id| id == objective);
        let of_drill = |name: &str| {
            self.numbered().filter(serves).any(|one| one.of_drill(&drill.id, name))
        };
        let steps = drill.steps.iter().enumerate();
        let steps = steps.filter(|(_, step)| of_drill(&step.id));
        let steps: Vec<String> = steps.map(|(at, _)| (at + 1).to_string()).collect();
        let name = self.name(drill);
        let blanks = [("drill", name.as_str()), ("steps", &steps.join(", "))];
        if !steps.is_empty() {
            return Some(self.desk.words.say("page.coverage.of-steps", &blanks));
        }
        let criticals = drill.criticals.iter().map(|one| one.id.as_str());
        let mut parts = criticals.chain(drill.measures.iter().map(|one| one.id.as_str()));
        let parts = parts.any(of_drill);
        parts.then(|| self.desk.words.say("page.coverage.of-parts", &blanks))
    }

    fn drill(&self, drill: &Drill) -> DrillView {
        let row = |sort: String, says: &str, name: &str| PartRow {
            sort,
            says: says.to_owned(),
            headings: self.teaches.of_drill(&drill.id, name).map(link).collect(),
        };
        let steps = drill.steps.iter().enumerate();
        let steps =
            steps.map(|(at, step)| row((at + 1).to_string(), &step.action, &step.id));
        let critical = self.desk.label("coverage.critical");
        let value = self.desk.label("coverage.value");
        let criticals = drill.criticals.iter();
        let criticals = criticals.map(|one| row(critical.clone(), &one.act, &one.id));
        let measures = drill.measures.iter();
        let measures = measures.map(|one| row(value.clone(), &one.label, &one.id));
        let name = self.name(drill);
        DrillView {
            // The table above lists the name alone, and whoever looks for it comes there first.
            head: self.desk.words.say("page.coverage.of", &[("drill", &name)]),
            title: name,
            rows: steps.chain(criticals).chain(measures).collect(),
        }
    }

    /// Sets with questions that no paragraph answers.
    fn unanswered(&self) -> Vec<(String, String)> {
        let of = |set: &QuestionSet| {
            let open = set
                .questions
                .iter()
                .filter(|question| answering(self.teaches, question).next().is_none());
            let open: Vec<&str> = open.map(|question| question.id.as_str()).collect();
            (set.title.clone(), open.join(", "))
        };
        self.sets.iter().map(of).filter(|(_, open)| !open.is_empty()).collect()
    }

    /// What is not covered, as sentences.
    fn holes(
        &self,
        objectives: &[ObjectiveRow],
        drills: &[DrillView],
        questions: &[(String, String)],
    ) -> Vec<String> {
        let words = self.desk.words;
        let mut holes = Vec::new();
        // What nobody teaches stands before what nobody can read
        // again: it is the greater hole.
        for row in objectives {
            let blanks =
                [("objective", row.performance.as_str()), ("count", &row.questions)];
            if row.headings.is_empty() {
                holes.push(words.say("page.coverage.untaught", &blanks));
            }
            if row.drills.is_empty() {
                holes.push(words.say("page.coverage.no-drill", &blanks));
            }
            if row.few {
                holes.push(words.say("page.coverage.few", &blanks));
            }
        }
        for drill in drills {
            // Told as a count: the rows themselves stand below, each with its hole.
            let open = drill.rows.iter().filter(|row| row.headings.is_empty()).count();
            if open > 0 {
                let count = open.to_string();
                let blanks = [("drill", drill.title.as_str()), ("count", &count)];
                holes.push(words.say("page.coverage.of-drill", &blanks));
            }
        }
        for (set, names) in questions {
            let blanks = [("set", set.as_str()), ("names", names)];
            holes.push(words.say("page.coverage.of-set", &blanks));
        }
        holes
    }
}
