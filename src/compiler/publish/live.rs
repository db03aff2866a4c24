//! Live sheets: one for each drill and each chain, for officers, with the rigs to choose from.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::kind::{PageKind, PagePlan, staff};
use super::sheet::page::{blank_links_of, chain_cautions, fitting};
use crate::course::{Course, drill_name, drill_number};
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

/// File, number and name of each live sheet.
pub(super) fn links(shared: &Shared<'_>) -> Vec<[String; 3]> {
    let course = shared.course;
    let drills = course.drills.iter().map(|drill| {
        let number = drill_number(course, &drill.id);
        [format!("{}.html", file(&drill.id)), number, drill_name(drill).0]
    });
    let chains = course.chains.iter().map(|chain| {
        let numbers = chain.drills.iter().map(|id| drill_number(course, id));
        let numbers: Vec<String> = numbers.collect();
        // By the first and the last of them: a chain of five would fill the line.
        let ends = [numbers.first(), numbers.last()].map(Option::<&String>::cloned);
        let ends = ends.map(Option::unwrap_or_default).join("–");
        [format!("{}.html", file(&chain.id)), ends, chain.title.clone()]
    });
    drills.chain(chains).collect()
}

/// What a kit of these drills is put together from.
fn looks_at<'d>(desk: &Desk<'d>, drills: &[String]) -> &'d Shared<'d> {
    for drill in drills {
        desk.drill(drill);
    }
    // Who is due has a key of its own; the last place asked for is the one that is empty.
    let mut at = 0_usize;
    while desk.due(at).is_some() {
        at = at.saturating_add(1);
    }
    let all = ["bases", "cautions", "library", "local", "people", "rigs", "unsafe-acts"];
    let all = all.map(|all| ("all", all));
    desk.sees(&[&all[..], &[("module", "")]].concat())
}

/// The live sheet of a drill.
pub(super) fn drill_page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let shared = looks_at(desk, &[id.to_owned()]);
    let drill = desk.drill(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let kit = LiveKit::of_drill(shared.course, drill, shared.words);
    page(desk, &kit, drill.cautions.clone())
}

/// The live sheet of a chain, with the cautions of its paper.
pub(super) fn chain_page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let chain = desk.chain(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let shared = looks_at(desk, &chain.drills);
    let course = shared.course;
    let kit = LiveKit::of_chain(course, chain, shared.words);
    // Its paper is made for the first rig that fits, and warns of what stands there.
    let drills = course.rigs.values().map(|rig| fitting(course, chain, rig));
    let drills = drills.into_iter().find(|of_rig| !of_rig.is_empty()).unwrap_or_default();
    page(desk, &kit, chain_cautions(course, &drills))
}

fn page(
    desk: &Desk<'_>,
    kit: &LiveKit,
    cautions: Vec<String>,
) -> Result<String, PublishFault> {
    let text =
        canonical(kit).map_err(|fault| PublishFault::Question(fault.to_string()))?;
    let sort = if kit.chain { "sheets-of-chain" } else { "sheets-of-drill" };
    let shared = desk.sees(&[(sort, &kit.id)]);
    // `<` is written so that no text of the kit can end the element it stands in.
    let view = LiveView {
        sheets: blank_links_of(shared, &kit.id, kit.chain),
        kit_html: text.replace('<', "\\u003c"),
    };
    let numbered = if kit.chain {
        desk.chain(&kit.id).map(|chain| chain.drills.clone()).unwrap_or_default()
    } else {
        vec![kit.id.clone()]
    };
    let head = Head {
        title: kit.title.clone(),
        kicker: desk.label("live.kicker"),
        form: {
            let numbers: Vec<String> =
                numbered.iter().map(|id| desk.number(id)).collect();
            desk.words.say("page.form.live", &[("number", &numbers.join(" "))])
        },
        side: Side::Staff,
        cautions,
        // The sheet says so itself once such a rig is chosen, and on what it prints.
        unverified: false,
        kind: "live",
        ..Head::default()
    };
    desk.render("live.html", &head, &view)
}
