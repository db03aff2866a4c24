//! Numbered sheets of a drill on a rig, as pages of a folder of their own: an index, each sheet,
//! and all of them in one page to print. They are for officers: no page of the crew holds what
//! was drawn.

use std::collections::BTreeMap;

use serde::Serialize;

use super::page::{fits, form_beside, head, render};
use crate::course::{Course, Drill, Rig, drill_name};
use crate::page::sheet::{self, House};
use crate::publish::assets::beside;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Head, Shared, Side};
use crate::publish::trail;
use crate::quiz;
use crate::scoring::{DrawnForms, DrawnSheet, Kit, NoSheets, drawn_sheets};

#[derive(Serialize)]
struct IndexView {
    about: Vec<String>,
    rows: Vec<[String; 3]>,
}

/// The pages by file name, with the style sheet. `crew` leads to the crew's folder, where there is
/// one.
pub fn drawn_pages(
    shared: &Shared<'_>,
    (drill, rig, kit): (&Drill, &Rig, &Kit),
    sheets: &[DrawnSheet],
    crew: Option<&str>,
) -> Result<BTreeMap<String, Vec<u8>>, PublishFault> {
    let mut pages = BTreeMap::new();
    let mut rows = Vec::new();
    let house = House::of(shared.course, &[drill]);
    // Nobody is named on a sheet that waits for its candidate.
    let on = (&house, &[][..]);
    let form = form_beside(shared, drill, rig);
    let trail = trail::beside(shared, drill, crew);
    let coded = |head: Head| Head { form: form.clone(), trail: trail.clone(), ..head };
    let own = coded(staff(shared, drill, rig, "blank"));
    for one in sheets {
        let name = format!("sheet-{}.html", one.number);
        let page = render(shared, &own, on, |bench| sheet::numbered(bench, kit, one))?;
        pages.insert(name.clone(), page.into_bytes());
        rows.push([one.number.to_string(), one.code.clone(), name]);
    }
    let all = coded(staff(shared, drill, rig, "chain"));
    let all = render(shared, &all, on, |bench| {
        let each = sheets.iter().map(|one| sheet::numbered(bench, kit, one));
        sheet::one_after_the_other(each)
    })?;
    pages.insert("all-sheets.html".to_owned(), all.into_bytes());
    let blanks = [("rig", rig.title.as_str())];
    let about = ["drawn.about", "drawn.once", "drawn.day"];
    // words: page.{drawn.about|drawn.once|drawn.day}
    let about = about.map(|key| shared.words.say(&format!("page.{key}"), &blanks));
    let view = IndexView { about: about.to_vec(), rows };
    let index = Head {
        kicker: shared.label("drawn.kicker"),
        kind: "index",
        ..coded(staff(shared, drill, rig, "blank"))
    };
    let index = shared.render("sheets.html", &index, &view)?;
    pages.insert("index.html".to_owned(), index.into_bytes());
    pages.extend(beside(shared.course));
    Ok(pages)
}

/// How many a site holds of each drill and rig: for a candidate, a second one and a retest. More
/// are made by the command, and go on where these end.
const OF_SITE: u32 = 3;

/// The crew's folder as seen from one of theirs.
const CREW: &str = "../../../crew/";

/// Drills of which something is drawn, with each rig that they are for.
fn drawn_for<'c>(course: &'c Course) -> Vec<(&'c Drill, &'c Rig)> {
    let drills = course.drills.iter().filter(|drill| drill.drawn.is_some());
    let rigs = |drill: &'c Drill| {
        let rigs = course.rigs.values().filter(move |rig| fits(drill, rig));
        rigs.map(move |rig| (drill, rig))
    };
    drills.flat_map(rigs).collect()
}

/// The folder of a set within that of the keys: what is said and set is printed on the sheets.
fn folder(drill: &Drill, rig: &Rig) -> String {
    format!("sheets/{}-{}", drill.id, rig.id)
}

/// One set of a site, by path, and what score needs of it. The same seed gives the same sheets.
pub type SiteSheets = (BTreeMap<String, Vec<u8>>, Vec<DrawnSheet>);

/// The sets of a site, each a piece of its own, so that they can be made side by side. A draft has
/// none, because nothing of it is run.
pub fn site_sheets<'c>(shared: &Shared<'c>) -> Vec<(&'c Drill, &'c Rig)> {
    if shared.course.draft { Vec::new() } else { drawn_for(shared.course) }
}

/// Makes one of them.
pub fn site_sheets_of(
    shared: &Shared<'_>,
    drill: &Drill,
    rig: &Rig,
) -> Result<SiteSheets, PublishFault> {
    let _numbers = shared.writing();
    let (course, words, seed) = (shared.course, shared.words, shared.seed);
    let at = quiz::Kit::of(course, words);
    let kit = shared.kits.kit((course, words), drill, rig);
    let kit = kit.map_err(|fault| PublishFault::Missing(fault.to_string()))?;
    let sheets = match drawn_sheets(&kit, at, seed, OF_SITE) {
        // Few numbers make few sheets.
        Err(NoSheets::Only(most)) => {
            let most = u32::try_from(most).unwrap_or(OF_SITE).min(OF_SITE);
            drawn_sheets(&kit, at, seed, most)
        }
        made => made,
    };
    // Nothing can be drawn: its finding says so, and nothing was published.
    let Ok(sheets) = sheets else {
        return Err(PublishFault::Question(drill.id.clone()));
    };
    let pages = drawn_pages(shared, (drill, rig, &kit), &sheets, Some(CREW))?;
    let of = folder(drill, rig);
    let pages = pages.into_iter();
    let files = pages.map(|(name, page)| (format!("keys/{of}/{name}"), page));
    Ok((files.collect(), sheets))
}

/// What score needs of all of them.
pub fn site_drawn(shared: &Shared<'_>, sheets: Vec<DrawnSheet>) -> DrawnForms {
    DrawnForms::of(shared.words, shared.seed, sheets)
}

/// Links to them from the officers' index.
pub(in crate::publish) fn drawn_links(
    shared: &Shared<'_>,
) -> Vec<(String, String, String)> {
    let all = drawn_for(shared.course).into_iter().filter(|_| !shared.course.draft);
    let link = |(drill, rig): (&Drill, &Rig)| {
        let file = format!("../keys/{}/index.html", folder(drill, rig));
        (file, drill_name(drill).0, rig.title.clone())
    };
    all.map(link).collect()
}

fn staff(shared: &Shared<'_>, drill: &Drill, rig: &Rig, kicker: &str) -> Head {
    let head = head(shared, drill.title.clone(), kicker, rig, &drill.cautions);
    Head { side: Side::Staff, ..head }
}
