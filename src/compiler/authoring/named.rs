//! Figures that texts name: the dictionary, read before anything else of a module, and the texts
//! filled from it. It is done here and nowhere further on, so that no page, paper, sheet or
//! revision can get hold of a text whose figures are open.

use super::tree::Trees;
use crate::course::{Concentrate, Course, LocalTopic, Named, Rig, names_in};
use crate::quantity::{Comma, System, Writing};
use crate::wire::{Desk, Item, Shape, Wire, read};

/// Files that say what they are asked for themselves: cards and labels are where the figures come
/// from, the library and what is kept belong to no module of today, and a run is what was seen.
const NOT_FILLED: &[&str] = &[
    "trade/",
    "rigs/",
    "concentrates/",
    "formulas/",
    "tables/",
    "runs/",
    "revisions/",
    "constants.yaml",
    "sources.yaml",
    "people.yaml",
    "roster.yaml",
    "theme/",
];

/// What can be named in a module, and what nobody can tell.
#[derive(Debug, Default)]
pub(super) struct Names {
    /// The dictionary.
    pub(super) named: Named,
    /// Beginnings of names whose file has a fault of its own, told there.
    pub(super) unread: Vec<String>,
}

/// Whether names are looked up in a file.
pub(super) fn is_filled(file: &str) -> bool {
    !NOT_FILLED.iter().any(|not| file.starts_with(not))
}

/// Reads the dictionary of a module and fills its texts. A local rule may name a figure of a rig
/// or a product; a text may name either.
pub(super) fn fill(trees: Trees, system: System) -> (Trees, Names) {
    let desk = Desk { units: Some(system), ..Desk::default() };
    if let Some(comma) = trees.get("module.yaml").and_then(|head| head.child("comma")) {
        let comma: Option<Comma> = read(desk.item("module.yaml", comma));
        desk.comma.set(comma.unwrap_or_default());
        desk.findings.take();
    }
    let mut names = Names::default();
    cards(&trees, &desk, ("rigs/", "rig"), &mut names, |named, rig: &Rig| named.rig(rig));
    cards(
        &trees,
        &desk,
        ("concentrates/", "product"),
        &mut names,
        |named, product: &Concentrate| named.product(product),
    );
    let _numbers = Writing::of(desk.comma.get());
    let trees = trees.with_texts(|file, text| {
        (file == "local.yaml").then(|| put_in(&names.named, text))
    });
    local(&trees, &desk, &mut names);
    let trees = trees.with_texts(|file, text| {
        // What a drill says is in its revision, whose letters were made with a point ever since
        // there are any; a sign must not change them.
        let _point = file.starts_with("drills/").then(Writing::plain);
        (file != "local.yaml" && is_filled(file)).then(|| put_in(&names.named, text))
    });
    (trees, names)
}

/// Fills the texts of the lessons, once their links and figures have been held to their places.
pub(super) fn fill_lessons(course: &mut Course, named: &Named) {
    for lesson in &mut course.lessons {
        if !names_in(&lesson.text).is_empty() {
            lesson.text = named.fill(&lesson.text, guarded);
        }
    }
}

/// A text with its names filled. A value may also be a name alone, as in what feeds a formula:
/// `flow: rig.engine-7.crosslay-1.flow`.
fn put_in(named: &Named, text: &str) -> String {
    match named.get(text.trim()) {
        Some(said) => said.to_owned(),
        None => named.fill(text, str::to_owned),
    }
}

/// A word of another file beside the markup of a lesson: what it says is no markup.
fn guarded(said: &str) -> String {
    let mut out = String::with_capacity(said.len());
    for letter in said.chars() {
        if matches!(
            letter,
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '&' | '|' | '#'
        ) {
            out.push('\\');
        }
        // A rule of several lines stays within its paragraph.
        out.push(if letter == '\n' { ' ' } else { letter });
    }
    out
}

fn cards<T: Wire>(
    trees: &Trees,
    desk: &Desk,
    (folder, sort): (&str, &str),
    names: &mut Names,
    add: impl Fn(&mut Named, &T),
) {
    for file in trees.files().filter(|file| file.starts_with(folder)) {
        let Some(node) = trees.get(file) else { continue };
        // A fault is told where the module is read, and its names not once more.
        if let Some(thing) = read::<T>(desk.item(file, node)) {
            add(&mut names.named, &thing);
        }
        let stem = file.strip_prefix(folder).and_then(|name| name.strip_suffix(".yaml"));
        // A card with a fault may lack the one figure that is asked for.
        if (!desk.findings.take().is_empty() || !has(&names.named, sort, stem))
            && let Some(stem) = stem
        {
            names.unread.push(format!("{sort}.{stem}."));
        }
    }
}

fn has(named: &Named, sort: &str, stem: Option<&str>) -> bool {
    stem.is_some_and(|stem| {
        let begins = format!("{sort}.{stem}.");
        named.names().any(|name| name.starts_with(&begins))
    })
}

fn local(trees: &Trees, desk: &Desk, names: &mut Names) {
    let Some(node) = trees.get("local.yaml") else {
        names.unread.push("local.".to_owned());
        return;
    };
    let Shape::List(items) = &node.shape else { return };
    for node in items {
        let item: Item<'_> = desk.item("local.yaml", node);
        match read::<LocalTopic>(item) {
            Some(topic) if desk.findings.borrow().is_empty() => names.named.local(&topic),
            _ => {
                let own = node.child("topic").and_then(|node| node.text());
                names.unread.push(format!("local.{}", own.unwrap_or_default().trim()));
            }
        }
        desk.findings.take();
    }
}
