//! Numbered sheets of a drill on a rig, as pages of a folder of their own: an index, each sheet,
//! and all of them in one page to print. They are for officers: no page of the crew holds what
//! was drawn.

use std::collections::BTreeMap;

use serde::Serialize;

use super::page::{head, render};
use crate::course::{Drill, Rig};
use crate::page::sheet::{self, House};
use crate::publish::assets;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Head, Shared, Side};
use crate::scoring::{DrawnSheet, Kit};

/// The style sheet and the script that the pages name.
const BESIDE: [&str; 2] = ["plain.css", "leaf.js"];

#[derive(Serialize)]
struct IndexView {
    about: Vec<String>,
    rows: Vec<[String; 3]>,
}

/// The pages by file name, with the style sheet.
pub fn drawn_pages(
    shared: &Shared<'_>,
    (drill, rig, kit): (&Drill, &Rig, &Kit),
    sheets: &[DrawnSheet],
) -> Result<BTreeMap<String, Vec<u8>>, PublishFault> {
    let mut pages = BTreeMap::new();
    let mut rows = Vec::new();
    let house = House::of(shared.course, &[drill]);
    // Nobody is named on a sheet that waits for its candidate.
    let on = (&house, &[][..]);
    let own = staff(shared, drill, rig, "blank");
    for one in sheets {
        let name = format!("sheet-{}.html", one.number);
        let page = render(shared, &own, on, |bench| sheet::numbered(bench, kit, one))?;
        pages.insert(name.clone(), page.into_bytes());
        rows.push([one.number.to_string(), one.code.clone(), name]);
    }
    let all = staff(shared, drill, rig, "chain");
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
        ..staff(shared, drill, rig, "blank")
    };
    let index = shared.render("sheets.html", &index, &view)?;
    pages.insert("index.html".to_owned(), index.into_bytes());
    pages.extend(assets(shared.course).into_iter().filter_map(|(path, bytes)| {
        let name = path.strip_prefix("staff/").filter(|name| BESIDE.contains(name))?;
        Some((name.to_owned(), bytes))
    }));
    Ok(pages)
}

fn staff(shared: &Shared<'_>, drill: &Drill, rig: &Rig, kicker: &str) -> Head {
    let head = head(shared, drill.title.clone(), kicker, rig, &drill.cautions);
    Head { side: Side::Staff, ..head }
}
