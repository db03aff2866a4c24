//! Blank sheets with the names of those who are due.

use super::page::{fits, form, head, missing, render, unprintable};
use crate::course::{Due, drill_name};
use crate::page::sheet;
use crate::publish::desk::Desk;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Shared, Side};
use crate::publish::kind::{PageKind, PagePlan, staff};

/// A sheet for everybody on the roster whose drill can be run on the rig; officers' pages
/// alone.
pub(super) fn plans(course: &crate::course::Course) -> Vec<PagePlan> {
    let runs = |due: &&Due| {
        let both = course.drill(&due.drill).zip(course.rigs.get(&due.rig));
        both.is_some_and(|(drill, rig)| fits(drill, rig))
    };
    // Counted before any is left out: the file of one must not
    // change because another fits no rig.
    let all = course.roster.iter().enumerate().filter(|(_, due)| runs(due));
    all.map(|(index, due)| staff(&name(index, due), PageKind::Due(index))).collect()
}

fn name(index: usize, due: &Due) -> String {
    format!("due-{}-{}-{}", index + 1, due.drill, due.candidate)
}

/// Name, drill, rig and file of each.
pub(in crate::publish) fn due_rows(shared: &Shared<'_>) -> Vec<[String; 4]> {
    let course = shared.course;
    let link = |plan: PagePlan| {
        let PageKind::Due(index) = plan.kind else { return None };
        let due = course.roster.get(index)?;
        let name = &course.people.get(&due.candidate)?.name;
        let rig = &course.rigs.get(&due.rig)?.title;
        let file = plan.path.strip_prefix("staff/")?.to_owned();
        let drill = drill_name(course.drill(&due.drill)?).0;
        Some([name.clone(), drill, rig.clone(), file])
    };
    plans(course).into_iter().filter_map(link).collect()
}

/// A sheet with the names of one entry of the roster.
pub(in crate::publish) fn due_page(
    desk: &Desk<'_>,
    index: usize,
) -> Result<String, PublishFault> {
    let due = desk.due(index).ok_or_else(|| missing("roster"))?;
    let drill = desk.drill(&due.drill).ok_or_else(|| missing(&due.drill))?;
    let rig = desk.rig(&due.rig).ok_or_else(|| missing(&due.rig))?;
    let kit = desk.kit(drill, rig).map_err(unprintable)?;
    let (house, people) = (desk.house(&[drill]), desk.people());
    let shared = desk.sees_frame(&drill.cautions);
    let mut head = head(shared, drill.title.clone(), "blank", rig, &drill.cautions);
    head.side = Side::Staff;
    head.form = form(desk, drill, rig);
    let named = people.iter().find(|person| person.id == due.candidate);
    if let Some(person) = named {
        // Several of one drill lie open at once.
        head.kicker = format!("{}, {}", head.kicker, person.name);
    }
    render(shared, &head, (&house, &people), |bench| sheet::blank(bench, &kit, Some(due)))
}
