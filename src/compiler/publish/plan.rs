//! Which pages there are, and the one list of their kinds.

use super::desk::{Desk, Made};
use super::fault::PublishFault;
use super::frame::{Shared, Side};
use super::kind::{PageKind, PagePlan, crew, keys, staff};
use super::quiz::PRACTICE_SHEETS;
use super::sheet::{self, due, page as sheets, run};
use super::{
    coverage, drill, family, fields, find, guide, index, leaf, lesson, lists, live,
    narrated, practice, quiz, rig, send, sources, walk,
};
use crate::course::Course;

/// All pages of a course, in the order of their paths.
pub fn plan(course: &Course) -> Vec<PagePlan> {
    let mut pages = vec![
        crew("index", PageKind::CrewIndex),
        staff("index", PageKind::StaffIndex),
        staff("coverage", PageKind::Coverage),
        crew("glossary", PageKind::Glossary),
        crew("cautions", PageKind::Cautions),
        crew("figures", PageKind::Figures),
        crew("sources", PageKind::Sources),
        crew("search", PageKind::Search),
        staff("fields", PageKind::Fields),
    ];
    if !course.concentrates.is_empty() {
        pages.push(crew("concentrates", PageKind::Concentrates));
    }
    for lesson in &course.lessons {
        let kind = PageKind::Lesson(lesson.id.clone());
        pages.push(crew(&format!("lesson-{}", lesson.id), kind));
        // Half a megabyte each: an engine is in it, so that it works wherever it lies.
        if lesson.send {
            let kind = PageKind::Send(lesson.id.clone());
            pages.push(crew(&format!("send-{}", lesson.id), kind));
        }
    }
    if course.guide.is_some() {
        pages.push(staff("evaluator", PageKind::Guide));
    }
    pages.extend(narrated::plans(course));
    for leaf in &course.leaves {
        let kind = PageKind::Leaf(leaf.lesson.clone());
        pages.push(staff(&format!("leaf-{}", leaf.lesson), kind));
    }
    for drill in &course.drills {
        pages.push(crew(
            &format!("drill-{}", drill.id),
            PageKind::DrillCard(drill.id.clone()),
        ));
    }
    pages.extend(walk::plans(course));
    // What stands for no rig has no card.
    for (id, _) in course.rigs.iter().filter(|(_, rig)| !rig.is_nowhere()) {
        pages.push(crew(&format!("rig-{id}"), PageKind::RigCard(id.clone())));
    }
    for family in &course.families {
        let kind = PageKind::Family(family.id.clone());
        pages.push(crew(&format!("family-{}", family.id), kind));
    }
    for set in &course.sets {
        let kind = PageKind::Practise(set.id.clone());
        pages.push(crew(&format!("practice-{}", set.id), kind));
        for number in 1..=PRACTICE_SHEETS {
            let kind = PageKind::Practice(set.id.clone(), number);
            pages.push(crew(&format!("practice-{}-{number}", set.id), kind));
        }
        // Papers and keys are the officers': what lies in the
        // crew's folder is on every phone.
        let kind = PageKind::GradedPaper(set.id.clone());
        pages.push(keys(&format!("paper-{}", set.id), kind));
        pages.push(keys(&format!("key-{}", set.id), PageKind::Key(set.id.clone())));
    }
    pages.extend(sheet::plans(course));
    pages.extend(live::plans(course));
    // By path, so that the first fault that is told is the same on every machine.
    pages.sort_by(|a, b| a.path.cmp(&b.path));
    pages
}

/// Makes one page.
pub fn page(shared: &Shared<'_>, plan: &PagePlan) -> Result<String, PublishFault> {
    on(&Desk::new(shared), plan)
}

/// Makes one page, with what it asked for.
pub fn made(shared: &Shared<'_>, plan: &PagePlan) -> Result<Made, PublishFault> {
    let desk = Desk::new(shared);
    let text = on(&desk, plan)?;
    let asked = desk.asked();
    // A page without a key is made again the next time, and nothing worse.
    let key = shared.key(plan, &asked).unwrap_or_default();
    Ok(Made { text, asked, key })
}

fn on(desk: &Desk<'_>, plan: &PagePlan) -> Result<String, PublishFault> {
    let _numbers = desk.writing();
    match &plan.kind {
        PageKind::CrewIndex => index::page(desk, Side::Crew),
        PageKind::StaffIndex => index::page(desk, Side::Staff),
        PageKind::Lesson(id) => lesson::page(desk, id),
        PageKind::Send(id) => send::page(desk, id),
        PageKind::DrillCard(id) => drill::page(desk, id),
        PageKind::RigCard(id) => rig::page(desk, id),
        PageKind::Concentrates => lists::concentrates(desk),
        PageKind::Family(id) => family::page(desk, id),
        PageKind::Glossary => lists::glossary(desk),
        PageKind::Figures => lists::figures(desk),
        PageKind::Sources => sources::page(desk),
        PageKind::Cautions => lists::cautions(desk),
        PageKind::Search => find::page(desk),
        PageKind::Fields => fields::page(desk),
        PageKind::Leaf(lesson) => leaf::page(desk, lesson),
        PageKind::Guide => guide::page(desk),
        PageKind::Narrated(id) => narrated::page(desk, id),
        PageKind::NarratedSheet(id) => narrated::sheet_page(desk, id),
        PageKind::NarratedKey(id) => narrated::key_page(desk, id),
        PageKind::Coverage => coverage::page(desk),
        PageKind::Walk(drill) => walk::page(desk, drill),
        PageKind::Practise(set) => practice::page(desk, set),
        PageKind::Practice(set, number) => {
            quiz::practice(desk.questions(set), set, *number)
        }
        PageKind::GradedPaper(set) => quiz::paper(desk.graded(set), set),
        PageKind::Key(set) => quiz::key_page(desk.graded(set), set),
        PageKind::Blank(drill, rig) => {
            sheets::blank_page(desk, (drill, rig), plan.side())
        }
        PageKind::Chain(chain, rig) => sheets::chain_page(desk, chain, rig),
        PageKind::Due(index) => due::due_page(desk, *index),
        PageKind::Run(run) => run::run_page(desk, run),
        PageKind::Live(drill) => live::drill_page(desk, drill),
        PageKind::LiveChain(chain) => live::chain_page(desk, chain),
    }
}
