//! The crew's index: three doors, the drills with their pages, lessons and what is looked up.

use serde::Serialize;

use super::card::Card;
use super::desk::Desk;
use super::drawing::{Drawing, evolution, minutes_bars, usual_preset};
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::parts::hash_of;
use super::quiz::PRACTICE_SHEETS;
use super::sheet::page::chain_links;
use super::{staff, trail};
use crate::course::{Chain, Course, Drill, Rig, drill_name, drill_number};

/// File, heavy words, light words.
type Place = (String, String, String);

#[derive(Debug, Serialize)]
struct CrewView {
    about: Vec<String>,
    facts: Vec<(String, String)>,
    doors: Vec<Door>,
    drills: Vec<DrillRow>,
    chains: Vec<ChainRow>,
    minutes: Option<Minutes>,
    lessons: Vec<Place>,
    look_up: Vec<LookUp>,
}

/// One way in, for one kind of reader.
#[derive(Debug, Serialize)]
struct Door {
    kind: &'static str,
    who: String,
    key: String,
    /// Where it leads who has been nowhere yet.
    first: Place,
    /// Where it can lead.
    all: Vec<Place>,
}

#[derive(Debug, Serialize)]
struct DrillRow {
    number: String,
    lead: String,
    rest: String,
    /// Lesson, practice, walk, card, sheet: file and name.
    go: Vec<(String, String)>,
}

#[derive(Debug, Serialize)]
struct Minutes {
    title: String,
    drawing: Drawing,
    link: String,
}

#[derive(Debug, Serialize)]
struct ChainRow {
    title: String,
    about: String,
    drawing: Drawing,
    links: Vec<(String, String)>,
}

/// One short paragraph of links.
#[derive(Debug, Serialize)]
struct LookUp {
    title: String,
    links: Vec<Place>,
}

/// The index of a folder.
pub(super) fn page(desk: &Desk<'_>, side: Side) -> Result<String, PublishFault> {
    let shared = desk.sees(&[("index", name(side)), ("module", "")]);
    let head = head(desk, side);
    match side {
        Side::Crew => {
            let view = CrewView { minutes: minutes(desk), ..crew(shared) };
            desk.render("index.html", &head, &view)
        }
        // The folder of keys has no index of its own.
        Side::Staff | Side::Keys => {
            desk.render("staff.html", &head, &staff::view(shared))
        }
    }
}

/// What both indexes hold, as one hash: links to pages of every kind.
pub(super) fn contents(shared: &Shared<'_>, id: &str) -> Option<String> {
    let side = [Side::Crew, Side::Staff].into_iter().find(|side| name(*side) == id)?;
    Some(match side {
        Side::Crew => hash_of(&crew(shared)),
        Side::Staff | Side::Keys => hash_of(&staff::view(shared)),
    })
}

const fn name(side: Side) -> &'static str {
    match side {
        Side::Crew => "crew",
        Side::Staff | Side::Keys => "staff",
    }
}

fn head(desk: &Desk<'_>, side: Side) -> Head {
    let (title, form) = match side {
        Side::Crew => (desk.module().title.clone(), "form.crew"),
        Side::Staff | Side::Keys => (desk.label("index.officers"), "form.staff"),
    };
    Head {
        title,
        // words: page.index.{crew|staff}-kicker
        kicker: desk.label(&format!("index.{}-kicker", name(side))),
        // words: page.{form.crew|form.staff}
        form: desk.label(form),
        side,
        kind: "index",
        ..Head::default()
    }
}

fn crew(shared: &Shared<'_>) -> CrewView {
    let module = &shared.course.module;
    let facts = vec![
        (shared.label("audience"), module.audience.clone()),
        (shared.label("hours"), module.hours.printed()),
        (shared.label("prerequisites"), module.prerequisites.join("; ")),
        (
            shared.label("pass-mark"),
            module.pass_mark.as_ref().map_or_else(
                || shared.label("not-decided"),
                |mark| format!("{} – {}", mark.value.printed(), mark.source),
            ),
        ),
    ];
    CrewView {
        about: vec![module.about.clone(), shared.label("index.crew-folder")],
        facts,
        doors: doors(shared),
        drills: shared.course.drills.iter().map(|drill| row(shared, drill)).collect(),
        chains: chains(shared),
        // Drawn by the page itself: the key of an index is made of what stands here, and
        // the rigs of the drawing are noted where it is drawn.
        minutes: None,
        lessons: lessons(shared),
        look_up: look_up(shared),
    }
}

fn lessons(shared: &Shared<'_>) -> Vec<Place> {
    let lessons = shared.course.lessons.iter();
    lessons
        .map(|lesson| {
            let file = format!("lesson-{}.html", lesson.id);
            (file, lesson.title.clone(), lesson.minutes.printed())
        })
        .collect()
}

/// A door without a page behind it is not shown.
fn doors(shared: &Shared<'_>) -> Vec<Door> {
    let course = shared.course;
    let numbered = lessons(shared).into_iter().enumerate().map(|(at, lesson)| {
        let number = (at + 1).to_string();
        let blanks = [("number", number.as_str()), ("title", &lesson.1)];
        (lesson.0, shared.words.say("page.lesson-of", &blanks), lesson.2)
    });
    let rigs = carded(course).map(|rig| {
        let note = match &rig.checked {
            Some(check) => {
                shared.words.say("page.checked-on", &[("on", check.on.as_str())])
            }
            None if rig.verified() => String::new(),
            None => shared.label("unverified-short"),
        };
        (format!("rig-{}.html", rig.id), rig.title.clone(), note)
    });
    let drills = course.drills.iter().map(|drill| {
        let (lead, rest) = drill_name(drill);
        (format!("drill-{}.html", drill.id), lead, rest)
    });
    let door = |kind: &'static str, who: &str, key: &str, all: Vec<Place>| {
        let first = all.first()?.clone();
        // words: page.{door.alone|door.rig|door.before|door.learn|rig-card|drill-card}
        Some(Door { kind, who: shared.label(who), key: shared.label(key), first, all })
    };
    let doors = [
        door("lesson", "door.alone", "door.learn", numbered.collect()),
        door("rig", "door.rig", "rig-card", rigs.collect()),
        door("drill", "door.before", "drill-card", drills.collect()),
    ];
    doors.into_iter().flatten().collect()
}

fn row(shared: &Shared<'_>, drill: &Drill) -> DrillRow {
    let (lead, rest) = drill_name(drill);
    let way = trail::way(shared.course, drill);
    let go = [
        ("trail.lesson", way.lesson),
        ("trail.practice", way.practice),
        ("trail.walk", way.walk),
        ("trail.card-short", way.card),
        ("trail.sheet-short", way.sheet),
    ];
    let go = go.map(|(key, page)| {
        // words: page.{trail.lesson|trail.practice|trail.walk|trail.card-short|trail.sheet-short}
        (page.map(|(file, _)| file).unwrap_or_default(), shared.label(key))
    });
    let number = drill_number(shared.course, &drill.id);
    DrillRow { number, lead, rest, go: go.to_vec() }
}

fn chains(shared: &Shared<'_>) -> Vec<ChainRow> {
    let chains = shared.course.chains.iter();
    chains
        .map(|chain| ChainRow {
            drawing: chain_drawn(shared, chain),
            title: chain.title.clone(),
            about: chain.about.clone(),
            links: chain_links(shared, chain),
        })
        .collect()
}

/// A chain as one hose; which of its drills somebody met is nobody's business on a crew's page.
fn chain_drawn(shared: &Shared<'_>, chain: &Chain) -> Drawing {
    let drills = chain.drills.iter().filter_map(|id| shared.course.drill(id));
    let names: Vec<String> = drills.map(|drill| drill_name(drill).0).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    evolution(shared.words, &chain.title, &names, 0)
}

/// Rigs that have a card; what stands for no rig has none.
fn carded(course: &Course) -> impl Iterator<Item = &Rig> {
    course.rigs.values().filter(|rig| !rig.is_nowhere())
}

/// How long the first rig that foams lasts at its usual percent: a tower, or what stands for no rig,
/// may come before it by its name.
fn minutes(desk: &Desk<'_>) -> Option<Minutes> {
    let rigs = desk.sees(&[("all", "rigs")]).course.rigs.keys();
    let card = |id| Some(Card { desk, rig: desk.rig(id)? });
    let mut cards = rigs.filter_map(|id| Some((id, card(id)?)));
    cards.find_map(|(id, card)| {
        let preset = usual_preset(card)?;
        let drawing = minutes_bars(card, preset)?;
        let percent = card.preset(preset);
        let blanks = [("rig", card.rig.title.as_str()), ("percent", percent.as_str())];
        let title = desk.words.say("page.minutes-of", &blanks);
        Some(Minutes { title, drawing, link: format!("rig-{id}.html") })
    })
}

fn look_up(shared: &Shared<'_>) -> Vec<LookUp> {
    let course = shared.course;
    let place = |file: String, title: &str| (file, title.to_owned(), String::new());
    let rigs = carded(course).map(|rig| {
        let note =
            if rig.verified() { String::new() } else { shared.label("unverified-short") };
        (format!("rig-{}.html", rig.id), rig.title.clone(), note)
    });
    let families = course
        .families
        .iter()
        .map(|family| place(format!("family-{}.html", family.id), &family.title));
    let practise = course
        .sets
        .iter()
        .map(|set| place(format!("practice-{}.html", set.id), &set.title));
    let printed = course.sets.iter().flat_map(|set| {
        (1..=PRACTICE_SHEETS).map(move |number| {
            let number = number.to_string();
            let blanks = [("set", set.title.as_str()), ("number", &number)];
            let title = shared.words.say("page.set-sheet", &blanks);
            place(format!("practice-{}-{number}.html", set.id), &title)
        })
    });
    let reference = [
        ("figures", "figures"),
        ("sources", "sources.title"),
        ("concentrates", "concentrates"),
        ("glossary", "glossary"),
        ("cautions", "cautions"),
    ];
    let there = |page: &str| page != "concentrates" || !course.concentrates.is_empty();
    let reference = reference.into_iter().filter(|(page, _)| there(page));
    let reference = reference.map(|(page, key)| {
        // words: page.{figures|sources.title|concentrates|glossary|cautions}
        place(format!("{page}.html"), &shared.label(key))
    });
    let lines: [(&str, Vec<Place>); 5] = [
        ("rigs", rigs.collect()),
        ("families", families.collect()),
        ("practice", practise.collect()),
        ("practice-printed", printed.collect()),
        ("reference", reference.collect()),
    ];
    let lines = lines.into_iter().filter(|(_, links)| !links.is_empty());
    lines
        .map(|(key, links)| LookUp {
            // words: page.index.{rigs|families|practice|practice-printed|reference}
            title: shared.label(&format!("index.{key}")),
            links,
        })
        .collect()
}
