//! Sheets as pages of the site, and the links to them.

use serde::Serialize;

use crate::course::{
    Caution, Chain, Course, Drill, Person, Rig, drill_name, drill_number, rig_code,
};
use crate::fingerprint::NotCanonical;
use crate::page::Node;
use crate::page::sheet::{self, Bench, ChainHead, House};
use crate::publish::desk::Desk;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Head, Shared, Side, Stop};
use crate::publish::html::html;
use crate::publish::kind::{PageKind, PagePlan, crew, staff};
use crate::scoring::{Kit, runs_on};
use crate::words::Words;

/// Whether a drill can be run on a rig at all.
pub fn fits(drill: &Drill, rig: &Rig) -> bool {
    runs_on(rig, drill)
}

fn some_fit(course: &Course, chain: &Chain, rig: &Rig) -> bool {
    // A rig takes from a chain what it fits; where that is no
    // drill at all it has no sheet of it.
    !fitting(course, chain, rig).is_empty()
}

/// Blank sheets of each drill and chain for every rig that it is for, for the crew as for the officers:
/// nobody is judged on a rig whose sheet he could not read.
pub(super) fn plans(course: &Course) -> Vec<PagePlan> {
    let mut out = Vec::new();
    let mut both = |name: String, kind: PageKind| {
        out.push(crew(&name, kind.clone()));
        out.push(staff(&name, kind));
    };
    for drill in &course.drills {
        for rig in course.rigs.values().filter(|rig| fits(drill, rig)) {
            let kind = PageKind::Blank(drill.id.clone(), rig.id.clone());
            both(blank_name(drill, rig), kind);
        }
    }
    for chain in &course.chains {
        for rig in course.rigs.values().filter(|rig| some_fit(course, chain, rig)) {
            let kind = PageKind::Chain(chain.id.clone(), rig.id.clone());
            both(chain_name(chain, rig), kind);
        }
    }
    out
}

/// File and rig of each of the crew's blank sheets of a drill, in the order of the module's rigs.
pub(in crate::publish) fn crew_sheets(
    course: &Course,
    drill: &Drill,
) -> Vec<(String, String)> {
    let fitting = course.rigs.values().filter(|rig| fits(drill, rig));
    let sheet =
        |rig: &Rig| (format!("{}.html", blank_name(drill, rig)), rig.title.clone());
    fitting.map(sheet).collect()
}

fn blank_name(drill: &Drill, rig: &Rig) -> String {
    format!("sheet-{}-{}", drill.id, rig.id)
}

fn chain_name(chain: &Chain, rig: &Rig) -> String {
    format!("chain-{}-{}", chain.id, rig.id)
}

/// File and short name of each blank sheet of a rig, drills first and chains after them.
pub(in crate::publish) fn blank_of_rig(
    shared: &Shared<'_>,
    rig: &Rig,
) -> Vec<(String, String)> {
    let course = shared.course;
    let drills =
        course.drills.iter().filter(|drill| fits(drill, rig)).map(|drill| {
            (format!("{}.html", blank_name(drill, rig)), drill_name(drill).0)
        });
    let chains = course.chains.iter().filter(|chain| some_fit(course, chain, rig));
    let chains = chains
        .map(|chain| (format!("{}.html", chain_name(chain, rig)), chain.title.clone()));
    drills.chain(chains).collect()
}

/// File and rig of the crew's sheets of a chain.
pub(in crate::publish) fn chain_links(
    shared: &Shared<'_>,
    chain: &Chain,
) -> Vec<(String, String)> {
    let course = shared.course;
    let rigs = course.rigs.values().filter(|rig| some_fit(course, chain, rig));
    let link = |rig: &Rig| {
        let says = shared.words.say("page.chain-sheet", &[("rig", &rig.title)]);
        (format!("{}.html", chain_name(chain, rig)), says)
    };
    rigs.map(link).collect()
}

/// The officers' blank sheets of one drill or one chain.
pub(in crate::publish) fn blank_links_of(
    shared: &Shared<'_>,
    id: &str,
    chain: bool,
) -> Vec<(String, String, String)> {
    let course = shared.course;
    let link = |rig: &Rig| {
        let (name, title, key) = if chain {
            let chain = chain_of(course, id).filter(|c| some_fit(course, c, rig))?;
            (chain_name(chain, rig), &chain.title, "chain-note")
        } else {
            let drill = course.drill(id).filter(|drill| fits(drill, rig))?;
            (blank_name(drill, rig), &drill.title, "blank-note")
        };
        Some(link(shared, format!("{name}.html"), title, rig, key))
    };
    course.rigs.values().filter_map(link).collect()
}

fn link(
    shared: &Shared<'_>,
    file: String,
    title: &str,
    rig: &Rig,
    key: &str,
) -> (String, String, String) {
    // words: sheet.{blank-note|chain-note}
    let note = shared.words.say(&format!("sheet.{key}"), &[("rig", &rig.title)]);
    (file, title.to_owned(), note)
}

pub(super) fn chain_of<'c>(course: &'c Course, id: &str) -> Option<&'c Chain> {
    course.chains.iter().find(|chain| chain.id == id)
}

pub(in crate::publish) fn missing(id: &str) -> PublishFault {
    PublishFault::Missing(id.to_owned())
}

#[expect(clippy::needless_pass_by_value, reason = "the shape that map_err hands in")]
pub(in crate::publish) fn unprintable(fault: NotCanonical) -> PublishFault {
    PublishFault::Template(fault.to_string())
}

pub(in crate::publish) fn head(
    shared: &Shared<'_>,
    title: String,
    kicker: &str,
    rig: &Rig,
    cautions: &[String],
) -> Head {
    // words: sheet.kicker.{blank|chain|run|chain-run}
    let kind = shared.words.get(&format!("sheet.kicker.{kicker}"));
    Head {
        form: if rig.is_nowhere() {
            String::new()
        } else {
            shared.words.say("page.form.rig-sheet", &[("rig", &rig.code())])
        },
        title,
        kicker: if rig.is_nowhere() {
            kind
        } else {
            let blanks = [("kind", kind.as_str()), ("rig", &rig.title)];
            shared.words.say("page.kind-of-rig", &blanks)
        },
        // A filled sheet has people on it and lies with the officers.
        side: if kicker.ends_with("run") { Side::Staff } else { Side::Crew },
        cautions: cautions.to_vec(),
        unverified: !rig.verified(),
        kind: match kicker {
            "chain" | "chain-run" => "sign-off-chain",
            "run" => "sign-off-run",
            _ => "sign-off",
        },
        ..Head::default()
    }
}

/// The code of a sheet.
pub(in crate::publish) fn form(desk: &Desk<'_>, drill: &Drill, rig: &Rig) -> String {
    coded(desk.words, &desk.number(&drill.id), &desk.code(&rig.id))
}

/// The same on sheets that are made beside the pages of a site.
pub(super) fn form_beside(shared: &Shared<'_>, drill: &Drill, rig: &Rig) -> String {
    let course = shared.course;
    coded(shared.words, &drill_number(course, &drill.id), &rig_code(course, &rig.id))
}

fn coded(words: &Words, number: &str, rig: &str) -> String {
    words.say("page.form.sheet", &[("number", number), ("rig", rig)])
}

#[derive(Serialize)]
struct SheetView {
    sides_html: String,
}

/// Sides drawn up with what sheets of these drills carry of the course, as a page.
pub(in crate::publish) fn render(
    shared: &Shared<'_>,
    head: &Head,
    (house, people): (&House, &[&Person]),
    draw: impl FnOnce(Bench<'_>) -> Vec<Node>,
) -> Result<String, PublishFault> {
    let sides = draw(Bench { house, people, words: shared.words });
    shared.render("sheet.html", head, &SheetView { sides_html: html(&sides) })
}

/// The way that ends with the sheet. The same sheet lies in the officers' folder; from there the
/// crew's pages are one folder further.
pub(super) fn trail(desk: &Desk<'_>, drill: &Drill, side: Side) -> Vec<Stop> {
    desk.trail_from(&drill.id, if side == Side::Staff { "../crew/" } else { "" })
}

/// A blank sheet, as it lies in one of the folders.
pub(in crate::publish) fn blank_page(
    desk: &Desk<'_>,
    (drill, rig): (&str, &str),
    side: Side,
) -> Result<String, PublishFault> {
    let drill = desk.drill(drill).ok_or_else(|| missing(drill))?;
    let rig = desk.rig(rig).ok_or_else(|| missing(rig))?;
    let kit = desk.kit(drill, rig).map_err(unprintable)?;
    let house = desk.house(&[drill]);
    let shared = desk.sees_frame(&drill.cautions);
    let mut head = head(shared, drill.title.clone(), "blank", rig, &drill.cautions);
    head.form = form(desk, drill, rig);
    head.trail = trail(desk, drill, side);
    // Nobody stands on it yet, so a new colleague makes no sheet anew.
    render(shared, &head, (&house, &[]), |bench| sheet::blank(bench, &kit, None))
}

/// Drills of a chain that can be run on a rig.
pub(in crate::publish) fn fitting<'c>(
    course: &'c Course,
    chain: &Chain,
    rig: &Rig,
) -> Vec<&'c Drill> {
    let drills = chain.drills.iter().filter_map(|id| course.drill(id));
    drills.filter(|drill| fits(drill, rig)).collect()
}

/// Ids of the cautions on the head leaf of a chain.
pub(in crate::publish) fn chain_cautions(
    course: &Course,
    drills: &[&Drill],
) -> Vec<String> {
    let house = House::of(course, drills);
    ids(&house.gravest(drills))
}

fn ids(cautions: &[&Caution]) -> Vec<String> {
    cautions.iter().map(|caution| caution.id.clone()).collect()
}

/// The sheet of a chain.
pub(in crate::publish) fn chain_page(
    desk: &Desk<'_>,
    id: &str,
    rig: &str,
) -> Result<String, PublishFault> {
    let chain = desk.chain(id).ok_or_else(|| missing(id))?;
    let rig = desk.rig(rig).ok_or_else(|| missing(rig))?;
    let drills = chain.drills.iter().filter_map(|id| desk.drill(id));
    let drills: Vec<&Drill> = drills.filter(|drill| fits(drill, rig)).collect();
    let kits = drills.iter().map(|drill| Ok((*desk.kit(drill, rig)?).clone()));
    let kits = kits.collect::<Result<Vec<Kit>, _>>().map_err(unprintable)?;
    if kits.is_empty() {
        return Err(missing(id));
    }
    let house = desk.house(&drills);
    let cautions = ids(&house.gravest(&drills));
    let shared = desk.sees_frame(&cautions);
    let head = head(shared, chain.title.clone(), "chain", rig, &cautions);
    let of = ChainHead::of(chain);
    render(shared, &head, (&house, &[]), |bench| sheet::blank_chain(bench, of, &kits))
}
