//! A drill walked through in the page: one for each drill, with the rigs to choose from.

use serde::Serialize;

use super::card::Card;
use super::desk::Desk;
use super::drawing::flow_path;
use super::fault::PublishFault;
use super::frame::{Head, Here, Side};
use super::kind::{PageKind, PagePlan, crew};
use crate::course::{Course, drill_name};
use crate::fingerprint::canonical;
use crate::practice::walk::{WalkKit, walks};

#[derive(Serialize)]
struct WalkView {
    drawings: Vec<WayView>,
    kit_html: String,
}

/// The flow path of a rig, drawn once; how it stands is said by attributes around it.
#[derive(Serialize)]
struct WayView {
    rig: String,
    svg_html: String,
}

/// One page for each drill that can be walked through.
pub(super) fn plans(course: &Course) -> impl Iterator<Item = PagePlan> {
    let drills = course.drills.iter().filter(|drill| walks(course, drill));
    drills.map(|drill| {
        crew(&format!("walk-{}", drill.id), PageKind::Walk(drill.id.clone()))
    })
}

/// `walk-DRILL.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let all = ["bases", "cautions", "library", "rigs", "teaches", "unsafe-acts"];
    let all = all.map(|all| ("all", all));
    let drill = desk.drill(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let shared = desk.sees(&[&all[..], &[("module", "")]].concat());
    let kit = WalkKit::of(shared.course, drill, shared.words);
    let text =
        canonical(&kit).map_err(|fault| PublishFault::Question(fault.to_string()))?;
    let drawn = kit.rigs.iter().map(|one| &one.rig);
    let drawn = drawn.filter(|rig| rig.foams() && !rig.outlets.is_empty());
    let drawings = drawn.filter_map(|rig| desk.rig(&rig.id)).map(|rig| WayView {
        rig: rig.id.clone(),
        svg_html: flow_path(Card { desk, rig }).svg_html,
    });
    let view = WalkView {
        drawings: drawings.collect(),
        // No text of a kit can end the element that it stands in or begin a letter of HTML.
        kit_html: text.replace('<', "\\u003c").replace('&', "\\u0026"),
    };
    let (_, trail) = desk.trail(id, Here::Walk);
    let (lead, rest) = drill_name(drill);
    let number = desk.number(id);
    let card = desk.words.say("page.walk.card", &[("title", &lead)]);
    let head = Head {
        lead: format!("{number} {lead}"),
        title: rest,
        kicker: desk.label("walk.kicker"),
        form: desk.words.say("page.walk.form", &[("number", &number)]),
        trail,
        next: vec![(format!("drill-{id}.html"), card)],
        side: Side::Crew,
        cautions: drill.cautions.clone(),
        unverified: kit.rigs.iter().any(|one| !one.rig.verified()),
        kind: "walk",
    };
    desk.render("walk.html", &head, &view)
}
