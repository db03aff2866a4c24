//! Answers → the files of a module, each field under its sentence.

use std::collections::BTreeMap;

use super::answers::{Answers, DecimalMark, ProductAnswers, RigAnswers};
use super::names::name_of;
use super::rig::{concentrate, rig};
use super::text::tree;
use crate::course::{BOOKS, FoamClass, Head, Module, Person, Rig, THINGS, Thing, has};
use crate::findings::Sources;
use crate::quantity::{Comma, System, Writing};
use crate::stock;
use crate::wire::{Node, Shape, Telling, Wire, comment, filled, scalar, schema, starter};
use crate::words::Words;

/// The folder of the schemas in a module: an editor finds them by the first line of each file.
pub(super) const SCHEMAS: &str = "schema";

/// Fields of which the answers say that there is none where they say nothing else.
pub(super) const STATED: &[(&str, &str)] =
    &[("Tank", "warning"), ("Outlet", "service-test"), ("Outlet", "length")];

/// Things whose files an officer writes in a new module.
const WRITTEN: &[&str] = &[
    "module",
    "local procedure",
    "rig",
    "concentrate",
    "person",
    "drill",
    "objective",
    "caution",
    "term",
    "question set",
    "formula",
    "source",
];

fn thing(name: &str) -> Option<&'static Thing> {
    THINGS.iter().find(|thing| thing.name == name)
}

fn schema_file(name: &str) -> String {
    format!("{SCHEMAS}/{}.schema.json", name.replace(' ', "-"))
}

/// The first line of a file of that thing, by which an editor finds its schema.
pub(super) fn schema_line(name: &str, file: &str) -> String {
    // Schemas stand in a folder at the top; from a file in
    // another folder the way goes up once.
    let up = if file.contains('/') { "../" } else { "" };
    format!("# yaml-language-server: $schema={up}{}\n", schema_file(name))
}

/// What a list file holds.
pub(super) fn of_file(file: &str) -> &'static str {
    let own = THINGS.iter().find(|thing| thing.file == file);
    own.map_or("formula", |thing| thing.name)
}

/// The schemas themselves, as `schema` prints them.
pub fn schemas(telling: &Telling<'_>) -> Sources {
    let own = WRITTEN.iter().filter_map(|name| thing(name));
    own.map(|thing| {
        let schema = schema(thing.name, thing.list, thing.kind, telling);
        let text = serde_json::to_string_pretty(&schema).unwrap_or_default();
        (schema_file(thing.name), text + "\n")
    })
    .collect()
}

/// A local procedure that nobody has decided.
pub(super) fn topic(id: &str, asks: &str, own: Option<&str>) -> String {
    match own {
        None => format!("# {asks}\n- topic: {id}\n  decision: not decided yet\n"),
        Some(title) => format!(
            "- topic: {id}\n  title: {}\n  asks: {}\n  decision: not decided yet\n",
            scalar(title),
            scalar(asks)
        ),
    }
}

/// A sentence of the program as a comment, line by line.
fn noted(words: &Words, key: &str) -> String {
    words.get(key).lines().flat_map(comment).map(|line| line + "\n").collect()
}

/// The file of a rig.
pub(super) fn rig_text(
    answers: &RigAnswers,
    classes: &BTreeMap<String, FoamClass>,
    (system, words): (System, &Words),
) -> (Rig, String) {
    let rig = rig(answers, classes, words);
    let head = schema_line("rig", "rigs/x.yaml") + &noted(words, "start.file.rig");
    let text = head + &filled(&rig, BOOKS, system, STATED);
    (rig, text)
}

/// The file of a product.
pub(super) fn product_text(
    answers: &ProductAnswers,
    (system, words): (System, &Words),
) -> (String, String) {
    let product = concentrate(answers);
    let head = schema_line("concentrate", "concentrates/x.yaml")
        + &noted(words, "start.file.concentrate");
    let file = format!("concentrates/{}.yaml", product.id);
    (file, head + &filled(&product, BOOKS, system, STATED))
}

/// The classes of the products by name.
pub(super) fn classes(products: &[ProductAnswers]) -> BTreeMap<String, FoamClass> {
    products.iter().map(|one| (one.name.clone(), one.class)).collect()
}

/// The module without drills. `today` is the day on which it is begun.
pub(super) fn module(answers: &Answers, today: &str, words: &Words) -> Sources {
    let system = answers.units;
    // What is written down is written as this department writes it.
    let _numbers = Writing::of(comma(answers));
    let telling = Telling { books: BOOKS, system, words };
    let mut files = schemas(&telling);
    let classes = classes(&answers.products);
    let mut rigs = Vec::new();
    for answers in &answers.rigs {
        let (rig, text) = rig_text(answers, &classes, (system, words));
        files.insert(format!("rigs/{}.yaml", rig.id), text);
        rigs.push(rig);
    }
    let mut concentrates = Vec::new();
    for product in &answers.products {
        let (file, text) = product_text(product, (system, words));
        concentrates.extend(name_of(&product.name));
        files.insert(file, text);
    }
    let head = head(answers, today, (&rigs, concentrates), words);
    let text = schema_line("module", "module.yaml") + &noted(words, "start.file.module");
    files.insert("module.yaml".to_owned(), text + &filled(&head, BOOKS, system, STATED));
    let text =
        schema_line("local procedure", "local.yaml") + &noted(words, "start.file.local");
    files.insert("local.yaml".to_owned(), text + &register(&rigs));
    let people = match &answers.officer {
        Some(officer) => {
            // A name in letters that no file name has needs a short
            // one on run sheets all the same.
            let id = name_of(&officer.name).unwrap_or_else(|| "officer".to_owned());
            let (name, rank) = (officer.name.clone(), officer.rank.clone());
            let person = Person { id, name, rank, officer: Some(true) };
            filled(&vec![person], BOOKS, system, STATED)
        }
        None => {
            // Nobody is invented: the fields are there, and wait
            // behind their signs for a person.
            let example = starter(true, <Person as Wire>::KIND, &telling);
            let lines =
                example.lines().filter(|line| !line.starts_with('#') && !line.is_empty());
            let lines = lines.filter(|line| !line.trim_start().starts_with('#'));
            let lines = lines.fold(String::new(), |text, line| {
                text + "#"
                    + line
                    + "
"
            });
            noted(words, "start.file.nobody") + &lines + "[]\n"
        }
    };
    let text = schema_line("person", "people.yaml") + &noted(words, "start.file.people");
    files.insert("people.yaml".to_owned(), text + &people);
    for (name, file, key) in [
        ("objective", "objectives.yaml", "start.file.objective"),
        ("caution", "cautions.yaml", "start.file.caution"),
        ("term", "terms.yaml", "start.file.term"),
    ] {
        let text = schema_line(name, file) + &noted(words, key) + "[]\n";
        files.insert(file.to_owned(), text);
    }
    files
}

fn head(
    answers: &Answers,
    today: &str,
    (rigs, concentrates): (&[Rig], Vec<String>),
    words: &Words,
) -> Head {
    let review = answers.review_by.clone().unwrap_or_else(|| next_year(today));
    Head {
        module: Module {
            id: name_of(&answers.title).unwrap_or_else(|| "module".to_owned()),
            title: answers.title.clone(),
            department: answers.department.clone(),
            // Of a department that exists, so no page says that it was made up.
            invented: None,
            about: words.get("start.file.about"),
            audience: answers.audience.clone(),
            hours: answers.hours,
            pace: None,
            prerequisites: Vec::new(),
            units: answers.units,
            paper: answers.paper,
            comma: comma(answers),
            // Nobody has set one, and none of ours steps in.
            pass_mark: None,
            review_by: review,
            edition: today.get(..7).unwrap_or(today).to_owned(),
        },
        lessons: Vec::new(),
        drills: Vec::new(),
        sets: Vec::new(),
        rigs: rigs.iter().map(|rig| rig.id.clone()).collect(),
        concentrates,
        narrated: Vec::new(),
        chains: Vec::new(),
    }
}

const fn comma(answers: &Answers) -> Comma {
    match answers.decimal {
        // Whoever writes a point before decimals means thousands by a comma.
        DecimalMark::Point => Comma::Thousands,
        DecimalMark::Comma => Comma::Decimal,
    }
}

/// The same day a year later; the last of February where there is no 29th.
fn next_year(today: &str) -> String {
    let Some((year, rest)) = today.split_once('-') else { return today.to_owned() };
    let year: u32 = year.parse().unwrap_or_default();
    let rest = if rest == "02-29" { "02-28" } else { rest };
    format!("{:04}-{rest}", year + 1)
}

/// The register: what the trade asks of such rigs, each procedure open.
fn register(rigs: &[Rig]) -> String {
    let trade = stock::trade();
    let text = trade.get("trade/topics.yaml").map(String::as_str).unwrap_or_default();
    let Some(Node { shape: Shape::List(items), .. }) = tree("topics.yaml", text) else {
        return "[]\n".to_owned();
    };
    let arises = |item: &&Node| {
        let needs = item.child("needs").and_then(Node::text);
        needs.is_none_or(|needs| rigs.iter().any(|rig| has(rig, needs)))
    };
    let entry = |item: &Node| {
        Some(topic(item.child("topic")?.text()?, item.child("asks")?.text()?, None))
    };
    items.iter().filter(arises).filter_map(entry).collect()
}
