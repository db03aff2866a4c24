//! Live sheets: one for each drill and each chain, for officers, with the rigs to choose from.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::plan::{PageKind, PagePlan, blank_links, staff};
use crate::course::Course;
use crate::fingerprint::canonical;
use crate::practice::live::LiveKit;

#[derive(Serialize)]
struct LiveView {
    sheets: Vec<(String, String, String)>,
    kit_html: String,
}

fn file(id: &str) -> String {
    format!("live-{id}")
}

/// One page for each drill and each chain.
pub(super) fn plans(course: &Course) -> Vec<PagePlan> {
    let drills = course.drills.iter();
    let drills = drills.map(|d| staff(&file(&d.id), PageKind::Live(d.id.clone())));
    let chains = course.chains.iter();
    let chains = chains.map(|c| staff(&file(&c.id), PageKind::LiveChain(c.id.clone())));
    drills.chain(chains).collect()
}

/// File, title and note of each live sheet.
pub(super) fn links(shared: &Shared<'_>) -> Vec<(String, String, String)> {
    let course = shared.course;
    let titles = course.drills.iter().map(|drill| (&drill.id, &drill.title));
    let chains = course.chains.iter().map(|chain| (&chain.id, &chain.title));
    let note = shared.label("live.note");
    let link = |(id, title): (&String, &String)| {
        (format!("{}.html", file(id)), title.clone(), note.clone())
    };
    titles.chain(chains).map(link).collect()
}

/// The live sheet of a drill.
pub(super) fn drill_page(shared: &Shared<'_>, id: &str) -> Result<String, PublishFault> {
    let course = shared.course;
    let drill = course.drill(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let kit = LiveKit::of_drill(course, drill, shared.words);
    page(shared, &kit, drill.cautions.clone(), "sheet-")
}

/// The live sheet of a chain, with the cautions of its paper.
pub(super) fn chain_page(shared: &Shared<'_>, id: &str) -> Result<String, PublishFault> {
    let course = shared.course;
    let missing = || PublishFault::Missing(id.to_owned());
    let chain = course.chains.iter().find(|chain| chain.id == id).ok_or_else(missing)?;
    let kit = LiveKit::of_chain(course, chain, shared.words);
    let paper =
        |rig| super::sheet::chain(course, shared.words, chain, rig).ok().flatten();
    let view = course.rigs.values().find_map(paper);
    let cautions = view.map(|view| view.cautions).unwrap_or_default();
    let cautions = cautions.iter().map(|caution| caution.id.clone()).collect();
    page(shared, &kit, cautions, "chain-")
}

/// A rig can be chosen on the sheet that nobody compared with plate and manual.
fn course_unverified(shared: &Shared<'_>) -> bool {
    shared.course.rigs.values().any(|rig| !rig.verified())
}

fn page(
    shared: &Shared<'_>,
    kit: &LiveKit,
    cautions: Vec<String>,
    sheet: &str,
) -> Result<String, PublishFault> {
    let text =
        canonical(kit).map_err(|fault| PublishFault::Question(fault.to_string()))?;
    let of_this = |link: &(String, String, String)| {
        let own = link.0.strip_prefix(sheet).and_then(|rest| rest.strip_prefix(&kit.id));
        own.is_some_and(|rest| rest.starts_with('-'))
    };
    let sheets = blank_links(shared, Side::Staff).into_iter().filter(of_this);
    // `<` is written so that no text of the kit can end the element it stands in.
    let view =
        LiveView { sheets: sheets.collect(), kit_html: text.replace('<', "\\u003c") };
    let head = Head {
        title: kit.title.clone(),
        kicker: shared.label("live.kicker"),
        side: Side::Staff,
        cautions,
        unverified: course_unverified(shared),
        kind: "live",
    };
    shared.render("live.html", &head, &view)
}
