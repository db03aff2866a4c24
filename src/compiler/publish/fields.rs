//! Every field of every file, on paper: told from the one description of each thing, as `why` and the
//! schemas tell it, in the units and the words of the module.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use crate::course::{BOOKS, THINGS, Thing};
use crate::wire::{Row, Telling, reference};

#[derive(Serialize)]
struct FieldsView {
    foam: bool,
    things: Vec<ThingView>,
}

#[derive(Serialize)]
struct ThingView {
    id: String,
    title: String,
    file: &'static str,
    rows: Vec<RowView>,
}

#[derive(Serialize)]
struct RowView {
    /// Its path in the file, and the mark of what must be there.
    path: String,
    kind: String,
    such: String,
    or: String,
    help: String,
}

/// What belongs to the trade library alone: a department writes none of these files.
const LIBRARY: &str = "trade/";

/// Fields of foam units by the words in their names. A department without foam has none of them.
const FOAM: [&str; 9] = [
    "foam",
    "concentrate",
    "proportioner",
    "eductor",
    "eductors",
    "compressor",
    "percent",
    "air",
    "injection",
];

/// `fields.html`.
pub(super) fn page(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let system = desk.module().units;
    let telling = Telling { books: BOOKS, system, words: desk.words };
    let foam = desk.has_foam();
    let things = THINGS.iter().filter(|thing| !thing.file.starts_with(LIBRARY));
    let things = things.filter(|thing| foam || !of_foam(thing.name));
    let view = FieldsView {
        foam,
        things: things.map(|one| thing(one, &telling, foam)).collect(),
    };
    let head = Head {
        title: desk.label("fields.title"),
        kicker: desk.label("fields.kicker"),
        side: Side::Staff,
        kind: "fields",
        ..Head::default()
    };
    desk.render("fields.html", &head, &view)
}

fn of_foam(name: &str) -> bool {
    FOAM.iter()
        // By whole words, because "air" is in "repair" too.
        .any(|word| name.split(|c: char| !c.is_alphanumeric()).any(|part| part == *word))
}

fn thing(thing: &Thing, telling: &Telling<'_>, foam: bool) -> ThingView {
    let name = thing.name.replace(' ', "-");
    let all = reference(&name, false, thing.kind, telling);
    let rows: Vec<RowView> = all
        .into_iter()
        .filter(|row| foam || !of_foam(&row.path))
        .map(|told| row(&name, told, telling))
        .collect();
    ThingView { title: telling.sort(thing.name), file: thing.file, rows, id: name }
}

fn row(thing: &str, row: Row, telling: &Telling<'_>) -> RowView {
    let path = row.path.strip_prefix(thing).and_then(|rest| rest.strip_prefix('.'));
    let mark = if row.need { "*" } else { "" };
    let say = |key: &str, blank: (&str, &str)| telling.words.say(key, &[blank]);
    RowView {
        path: format!("{}{mark}", path.unwrap_or(&row.path)),
        such: row
            .eg
            .as_deref()
            .map_or_else(String::new, |eg| say("page.fields.such-as", ("eg", eg))),
        // One example is enough: that of the field is the better one.
        kind: row.plain_kind().to_owned(),
        or: row
            .or
            .filter(|or| !or.is_empty())
            .map_or_else(String::new, |or| say("page.fields.left-out", ("or", or))),
        help: row.help,
    }
}
