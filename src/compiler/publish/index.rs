//! The index of each folder, which explains itself.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::parts::hash_of;
use super::quiz::PRACTICE_SHEETS;
use super::sheet::drawn::drawn_links;
use super::sheet::due::due_links;
use super::sheet::page::blank_links;
use super::sheet::run::run_links;

#[derive(Serialize)]
struct IndexView {
    about: Vec<String>,
    facts: Vec<(String, String)>,
    groups: Vec<Group>,
}

#[derive(Debug, Serialize)]
struct Group {
    title: String,
    about: String,
    ordered: bool,
    links: Vec<(String, String, String)>,
}

fn group(shared: &Shared<'_>, key: &str, links: Vec<(String, String, String)>) -> Group {
    Group {
        // words: page.index.{group(_, ..)}
        title: shared.label(&format!("index.{key}")),
        // words: page.index.{group(_, ..)}-about
        about: shared.label(&format!("index.{key}-about")),
        // Lessons build on each other; all other lists are looked things up in.
        ordered: key == "lessons",
        links,
    }
}

/// The index of a folder.
pub(super) fn page(desk: &Desk<'_>, side: Side) -> Result<String, PublishFault> {
    let shared = desk.sees(&[("index", name(side))]);
    index(desk, side, groups(shared, side))
}

/// What both indexes hold, as one hash: links to pages of every kind.
pub(super) fn contents(shared: &Shared<'_>, id: &str) -> Option<String> {
    let side = [Side::Crew, Side::Staff].into_iter().find(|side| name(*side) == id)?;
    Some(hash_of(&groups(shared, side)))
}

const fn name(side: Side) -> &'static str {
    match side {
        Side::Crew => "crew",
        Side::Staff => "staff",
    }
}

fn groups(shared: &Shared<'_>, side: Side) -> Vec<Group> {
    match side {
        Side::Crew => crew(shared),
        Side::Staff => staff(shared),
    }
}

fn crew(shared: &Shared<'_>) -> Vec<Group> {
    let course = shared.course;
    let link = |file: String, title: &str, note: String| (file, title.to_owned(), note);
    let lessons = course.lessons.iter().map(|lesson| {
        link(
            format!("lesson-{}.html", lesson.id),
            &lesson.title,
            lesson.minutes.printed(),
        )
    });
    let drills = course.drills.iter().map(|drill| {
        link(format!("drill-{}.html", drill.id), &drill.title, String::new())
    });
    let rigs = course.rigs.values().map(|rig| {
        let note =
            if rig.verified() { String::new() } else { shared.label("unverified-short") };
        link(format!("rig-{}.html", rig.id), &rig.title, note)
    });
    let practise = course.sets.iter().map(|set| {
        let note = shared.label("practice.kicker");
        link(format!("practice-{}.html", set.id), &set.title, note)
    });
    let practice = course.sets.iter().flat_map(|set| {
        (1..=PRACTICE_SHEETS).map(move |number| {
            let number = number.to_string();
            let note = shared.words.say("page.practice-number", &[("number", &number)]);
            link(format!("practice-{}-{number}.html", set.id), &set.title, note)
        })
    });
    let families = course.families.iter().map(|family| {
        link(format!("family-{}.html", family.id), &family.title, String::new())
    });
    // words: page.{figures|concentrates|glossary|cautions}
    let reference = ["figures", "concentrates", "glossary", "cautions"];
    let reference = reference
        .map(|key| link(format!("{key}.html"), &shared.label(key), String::new()))
        .to_vec();
    vec![
        group(shared, "lessons", lessons.collect()),
        group(shared, "drills", drills.collect()),
        group(shared, "blanks", blank_links(shared, Side::Crew)),
        group(shared, "practice", practise.chain(practice).collect()),
        group(shared, "rigs", rigs.collect()),
        group(shared, "families", families.collect()),
        group(shared, "reference", reference),
    ]
}

fn staff(shared: &Shared<'_>) -> Vec<Group> {
    let papers = shared.course.sets.iter().flat_map(|set| {
        let key = format!("{} – {}", set.title, shared.label("key"));
        [
            (format!("paper-{}.html", set.id), set.title.clone(), String::new()),
            (format!("key-{}.html", set.id), key, shared.label("keep-apart")),
        ]
    });
    let crew = vec![(
        "../crew/index.html".to_owned(),
        shared.label("crew-pages"),
        String::new(),
    )];
    vec![
        group(shared, "papers", papers.collect()),
        group(shared, "live", super::live::links(shared)),
        group(shared, "sheets", blank_links(shared, Side::Staff)),
        group(shared, "numbered", drawn_links(shared)),
        group(shared, "due", due_links(shared)),
        group(shared, "runs", run_links(shared)),
        group(shared, "crew", crew),
    ]
}

fn index(
    desk: &Desk<'_>,
    side: Side,
    groups: Vec<Group>,
) -> Result<String, PublishFault> {
    let module = desk.module();
    let key = name(side);
    // words: page.index.{crew|staff}-folder
    let about = vec![module.about.clone(), desk.label(&format!("index.{key}-folder"))];
    let facts = vec![
        (desk.label("audience"), module.audience.clone()),
        (desk.label("hours"), module.hours.printed()),
        (desk.label("prerequisites"), module.prerequisites.join("; ")),
        (
            desk.label("pass-mark"),
            module.pass_mark.as_ref().map_or_else(
                || desk.label("not-decided"),
                |mark| format!("{} – {}", mark.value.printed(), mark.source),
            ),
        ),
    ];
    // A heading over nothing looks like a page that was lost.
    let groups = groups.into_iter().filter(|group| !group.links.is_empty()).collect();
    let head = Head {
        title: module.title.clone(),
        // words: page.index.{crew|staff}-kicker
        kicker: desk.label(&format!("index.{key}-kicker")),
        side,
        cautions: Vec::new(),
        unverified: false,
        kind: "index",
    };
    desk.render("index.html", &head, &IndexView { about, facts, groups })
}
