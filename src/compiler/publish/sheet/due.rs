//! Blank sheets with the names of those who are due.

use super::page::{head, missing, unprintable};
use super::values::Bench;
use super::view::{Field, SheetView};
use super::{blank, fits};
use crate::course::{Due, Role};
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Shared, Side};
use crate::publish::plan::{PageKind, PagePlan, staff};
use crate::scoring::Kit;

/// A sheet for everybody on the roster whose drill can be run on the rig; officers' pages
/// alone.
pub(super) fn plans(course: &crate::course::Course) -> Vec<PagePlan> {
    let runs = |due: &&Due| {
        let both = course.drill(&due.drill).zip(course.rigs.get(&due.rig));
        both.is_some_and(|(drill, rig)| fits(drill, rig))
    };
    let all = course.roster.iter().enumerate().filter(|(_, due)| runs(due));
    all.map(|(index, due)| staff(&name(index, due), PageKind::Due(index))).collect()
}

fn name(index: usize, due: &Due) -> String {
    format!("due-{}-{}-{}", index + 1, due.drill, due.candidate)
}

/// File, title and note of each.
pub(in crate::publish) fn due_links(
    shared: &Shared<'_>,
) -> Vec<(String, String, String)> {
    let course = shared.course;
    let link = |plan: PagePlan| {
        let PageKind::Due(index) = plan.kind else { return None };
        let due = course.roster.get(index)?;
        let name = &course.people.get(&due.candidate)?.name;
        let rig = &course.rigs.get(&due.rig)?.title;
        let blanks = [("name", name.as_str()), ("rig", rig)];
        let note = shared.words.say("sheet.due-note", &blanks);
        let file = plan.path.strip_prefix("staff/")?.to_owned();
        Some((file, course.drill(&due.drill)?.title.clone(), note))
    };
    plans(course).into_iter().filter_map(link).collect()
}

/// A sheet with the names of one entry of the roster.
pub(in crate::publish) fn due_page(
    shared: &Shared<'_>,
    index: usize,
) -> Result<String, PublishFault> {
    let course = shared.course;
    let due = course.roster.get(index).ok_or_else(|| missing("roster"))?;
    let drill = course.drill(&due.drill).ok_or_else(|| missing(&due.drill))?;
    let rig = course.rigs.get(&due.rig).ok_or_else(|| missing(&due.rig))?;
    let mut view = blank(course, shared.words, drill, rig).map_err(unprintable)?;
    let kit = Kit::of(course, drill, rig, shared.words).map_err(unprintable)?;
    let bench = Bench { course, words: shared.words, kit: &kit };
    bench.fill_in(&mut view, due, &drill.roles);
    let mut head = head(shared, drill.title.clone(), "blank", rig, &drill.cautions);
    head.side = Side::Staff;
    shared.render("sheet.html", &head, &view)
}

impl Bench<'_> {
    fn fill_in(self, view: &mut SheetView, due: &Due, roles: &[Role]) {
        let name = |id: &str| Some(self.name(id));
        view.again = self.again(due.run.as_deref(), Some(&due.candidate));
        let judge = due.evaluator.as_ref();
        let values = [
            ("candidate", name(&due.candidate)),
            ("run", due.run.clone()),
            ("attempt", due.attempt.map(|attempt| attempt.to_string())),
            ("evaluator", judge.and_then(|judge| name(&judge.person))),
            ("qualification", judge.map(|judge| judge.qualification.clone())),
            ("relation", judge.map(|judge| judge.relation.clone())),
            ("safety-officer", due.safety_officer.as_deref().and_then(name)),
        ];
        let fields = view.head.iter_mut().chain(&mut view.staff);
        for field in fields {
            self.fill_field(field, &values);
        }
        for (line, role) in view.roles.iter_mut().zip(roles) {
            let person = if role.id == due.role {
                Some(&due.candidate)
            } else {
                due.crew.get(&role.id)
            };
            line.name = person.map(|person| self.name(person));
        }
    }

    fn fill_field(self, field: &mut Field, values: &[(&str, Option<String>)]) {
        // words: sheet.field.{*}
        let named = |key: &str| self.words.get(&format!("sheet.field.{key}"));
        let value = values.iter().find(|(key, _)| named(key) == field.label);
        if let Some((key, Some(value))) = value {
            field.value = Some(value.clone());
            field.private = !matches!(*key, "run" | "attempt");
        }
    }
}
