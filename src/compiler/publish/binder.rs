//! The binder: what hangs on the wall and lies in the cab, as one document to print; and the other
//! documents that are printed with it.
//!
//! Each part is the page of the site itself. Nothing is laid out a second time, and no part is one
//! that has a seed, a key or a person in it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::bound::Place;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::kind::{PageKind, PagePlan};
use super::plan::{page, plan};
use crate::course::{Course, drill_number};

/// What is bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Contents, lessons, drill cards, rig cards and blank sheets.
    Everything,
    /// Blank sheets alone, to be taken out one by one: without contents.
    Sheets,
}

/// Some pages of a site as one document.
#[derive(Debug)]
pub struct Binder {
    groups: Vec<Group>,
    parts_html: String,
    bound: Bound,
}

#[derive(Debug, Clone, Serialize)]
struct Group {
    title: String,
    lines: Vec<Line>,
}

#[derive(Debug, Clone, Serialize)]
struct Line {
    part: usize,
    title: String,
    /// The side of paper on which it begins, where that is known.
    side: String,
}

#[derive(Serialize)]
struct BinderView<'b> {
    groups: &'b [Group],
    parts_html: &'b str,
}

/// A page and what it is called in the contents.
type Wanted<'p> = (&'p PagePlan, String);

impl Binder {
    /// Makes the pages and binds them.
    pub fn of(shared: &Shared<'_>, bound: Bound) -> Result<Self, PublishFault> {
        let course = shared.course;
        let plans = plan(course);
        let mut wanted = Vec::new();
        if bound == Bound::Everything {
            wanted.push((shared.label("binder.lessons"), lessons(course, &plans)));
            wanted.push((shared.label("binder.cards"), cards(course, &plans)));
            wanted.push((shared.label("binder.rigs"), rigs(course, &plans)));
        }
        wanted.push((shared.label("binder.sheets"), sheets(shared, &plans)));
        let mut groups = Vec::new();
        let mut made = Vec::new();
        for (title, pages) in wanted {
            let mut lines = Vec::new();
            for (plan, title) in pages {
                let text = match page(shared, plan) {
                    Ok(text) => text,
                    // What a draft cannot print yet is left out, as in the site.
                    Err(_) if course.draft => continue,
                    Err(fault) => return Err(fault),
                };
                made.push((plan.path.as_str(), text));
                lines.push(Line { part: made.len(), title, side: String::new() });
            }
            if !lines.is_empty() {
                groups.push(Group { title, lines });
            }
        }
        let paths = made.iter().map(|(path, _)| (*path).to_owned());
        let parts: BTreeMap<String, usize> = paths.zip(1..).collect();
        let mut parts_html = String::new();
        for (number, (path, text)) in (1..).zip(&made) {
            // Whole or not at all: half a page would be one without its cautions.
            let part = Place { number, path, parts: &parts }.bind(text);
            parts_html +=
                &part.ok_or_else(|| PublishFault::Missing((*path).to_owned()))?;
        }
        Ok(Self { groups, parts_html, bound })
    }

    /// How many parts there are.
    pub fn parts(&self) -> usize {
        self.groups.iter().map(|group| group.lines.len()).sum()
    }

    /// The document. `sides` are the numbers of the sides on which the parts begin, where the
    /// paper that it is printed on is known; in a browser they are counted by who can.
    pub fn page(
        &self,
        shared: &Shared<'_>,
        sides: &[usize],
    ) -> Result<String, PublishFault> {
        let mut groups = self.groups.clone();
        let lines = groups.iter_mut().flat_map(|group| &mut group.lines);
        for (line, side) in lines.zip(sides) {
            line.side = side.to_string();
        }
        let head = Head {
            title: shared.course.module.title.clone(),
            kicker: shared.label("binder.kicker"),
            side: Side::Staff,
            // Sheets are each a form of their own, and have no contents before them.
            kind: match self.bound {
                Bound::Everything => "binder",
                Bound::Sheets => "bound",
            },
            ..Head::default()
        };
        let view = BinderView { groups: &groups, parts_html: &self.parts_html };
        let _numbers = shared.writing();
        shared.render("binder.html", &head, &view)
    }
}

/// Graded papers and their keys, printed as the pages that they are: apart from each other and
/// from everything else.
pub fn papers_and_keys(shared: &Shared<'_>) -> Vec<PagePlan> {
    let wanted = |plan: &PagePlan| {
        matches!(plan.kind, PageKind::GradedPaper(_) | PageKind::Key(_))
    };
    plan(shared.course).into_iter().filter(wanted).collect()
}

fn of_kind(plans: &[PagePlan], kind: &PageKind) -> Option<usize> {
    plans.iter().position(|plan| plan.kind == *kind)
}

fn named<'p>(
    plans: &'p [PagePlan],
    kind: &PageKind,
    title: String,
) -> Option<Wanted<'p>> {
    Some((plans.get(of_kind(plans, kind)?)?, title))
}

fn lessons<'p>(course: &Course, plans: &'p [PagePlan]) -> Vec<Wanted<'p>> {
    let lesson = |lesson: &crate::course::Lesson| {
        named(plans, &PageKind::Lesson(lesson.id.clone()), lesson.title.clone())
    };
    course.lessons.iter().filter_map(lesson).collect()
}

fn cards<'p>(course: &Course, plans: &'p [PagePlan]) -> Vec<Wanted<'p>> {
    let card = |drill: &crate::course::Drill| {
        let title = format!("{} {}", drill_number(course, &drill.id), drill.title);
        named(plans, &PageKind::DrillCard(drill.id.clone()), title)
    };
    course.drills.iter().filter_map(card).collect()
}

fn rigs<'p>(course: &Course, plans: &'p [PagePlan]) -> Vec<Wanted<'p>> {
    let rig = |(id, rig): (&String, &crate::course::Rig)| {
        named(plans, &PageKind::RigCard(id.clone()), rig.title.clone())
    };
    course.rigs.iter().filter_map(rig).collect()
}

/// A sheet for each drill on each rig that it fits, in the order of the drills. The officers' are
/// taken, because the crew has one of each drill alone.
fn sheets<'p>(shared: &Shared<'_>, plans: &'p [PagePlan]) -> Vec<Wanted<'p>> {
    let course = shared.course;
    let officers = |plan: &&'p PagePlan| plan.side() == Side::Staff;
    let on = |what: &str, rig: &str| {
        let rig = course.rigs.get(rig).map_or(rig, |rig| rig.title.as_str());
        shared.words.say("page.binder.sheet", &[("drill", what), ("rig", rig)])
    };
    let mut found = Vec::new();
    for drill in &course.drills {
        for plan in plans.iter().filter(officers) {
            if let PageKind::Blank(of, rig) = &plan.kind
                && *of == drill.id
            {
                let number = drill_number(course, &drill.id);
                found.push((plan, on(&format!("{number} {}", drill.title), rig)));
            }
        }
    }
    for chain in &course.chains {
        for plan in plans.iter().filter(officers) {
            if let PageKind::Chain(of, rig) = &plan.kind
                && *of == chain.id
            {
                found.push((plan, on(&chain.title, rig)));
            }
        }
    }
    found
}
