//! A text with answers → answers, and every fault of it with its place.

use std::collections::BTreeSet;

use super::answers::{
    Answers, BOOKS, DecimalMark, Foaming, ProductAnswers, RigAnswers, RigFile,
};
use super::names::name_of;
use crate::authoring::{Trees, missing, torn};
use crate::findings::{self, Code, Finding, Sources};
use crate::quantity::Kind::Share;
use crate::quantity::{Comma, Quantity, System, Writing};
use crate::stock;
use crate::wire::{Desk, Key, Node, Shape, Wire, read, sentence};
use crate::words::{Words, nearest};

/// No foam is made for more: wetting agents end at 1 %, class B at 6 %, batch mixes at 10 %. What is
/// beyond it is a slipped decimal. Common practice.
const MOST: &str = "10 %";

/// Fields with a percent of concentrate.
const PERCENTS: &[&str] =
    &["least-percent", "largest-percent", "percent-step", "settings", "from", "to"];

/// What a text answers, and what is wrong with it.
#[derive(Debug)]
pub struct Asked<T> {
    /// The answers, where nothing is wrong with them.
    pub answers: Option<T>,
    /// Every fault, in the order of the text.
    pub found: Vec<Finding>,
}

/// Reads answers about a new module.
pub fn module_answers(file: &str, text: &str, words: &Words) -> Asked<Answers> {
    let desk = |node: &Node| {
        // Taken from the tree before anything is read, because every figure is read by
        // them. A word that is none of them is told when it is its turn.
        let system = match node.child("units").and_then(Node::text).map(str::trim) {
            Some("si") => System::Si,
            Some("si-bar") => System::SiBar,
            _ => System::Us,
        };
        let comma = match node.child("decimal").and_then(Node::text).map(str::trim) {
            Some(word) if word == DecimalMark::Comma.word() => Comma::Decimal,
            _ => Comma::Thousands,
        };
        (system, comma)
    };
    let whole = |fits: &Fits<'_>, answers: &Answers| {
        let rigs = fits.node.child("rigs");
        fits.twice(rigs, "name", "rig");
        fits.twice(fits.node.child("products"), "name", "product");
        for (at, rig) in answers.rigs.iter().enumerate() {
            let node = rigs.and_then(|rigs| rigs.child(&at.to_string()));
            fits.rig(rig, node.unwrap_or(fits.node), &answers.products, &[]);
        }
        fits.products(&answers.products);
        let library = super::bring::drills(&stock::library());
        for node in items(fits.node.child("drills")) {
            let Some(id) = node.text().filter(|id| !library.iter().any(|own| own == id))
            else {
                continue;
            };
            fits.unknown(node, "drill of the library", id, &library);
        }
    };
    answered(file, text, words, desk, whole)
}

/// Reads answers about one rig for a module that is there. `products` are those that it has.
pub fn rig_answers(
    file: &str,
    text: &str,
    (system, comma): (System, Comma),
    products: &[String],
    words: &Words,
) -> Asked<RigFile> {
    let whole = |fits: &Fits<'_>, answers: &RigFile| {
        fits.rig(&answers.rig, fits.node, &answers.products, products);
        fits.products(&answers.products);
    };
    answered(file, text, words, |_| (system, comma), whole)
}

fn answered<T: Wire>(
    file: &str,
    text: &str,
    words: &Words,
    desk: impl Fn(&Node) -> (System, Comma),
    whole: impl Fn(&Fits<'_>, &T),
) -> Asked<T> {
    let mut node = match Trees::one(file, text) {
        Ok(node) => node,
        Err(fault) => return Asked { answers: None, found: vec![fault] },
    };
    let mut found = Vec::new();
    of_eductor(file, &mut node, &mut found);
    let node = &node;
    let (system, comma) = desk(node);
    let desk = Desk { units: Some(system), ..Desk::default() };
    desk.comma.set(comma);
    let _numbers = Writing::of(comma);
    let answers: Option<T> = read(desk.item(file, node));
    let fits = Fits { desk: &desk, file, node, words };
    if let Some(answers) = &answers {
        whole(&fits, answers);
    }
    // Of each value by itself, whatever else is still to come.
    fits.percents(node, "");
    super::units::check(&desk, file, node, system);
    found.extend(desk.findings.into_inner());
    for finding in &mut found {
        how(finding);
    }
    let texts = Sources::from([(file.to_owned(), text.to_owned())]);
    torn(&mut found, &texts, comma);
    missing(&mut found, system, BOOKS, words);
    findings::sort(&mut found);
    // With one fault there are no answers: a module that was begun wrong
    // would have to be thrown away by hand.
    Asked { answers: answers.filter(|_| found.is_empty()), found }
}

/// What the field is that chooses a group: it stands in no table of its own.
fn how(finding: &mut Finding) {
    let cases = Foaming::cases();
    let field = cases.by.unwrap_or_default();
    let is = |(key, said): &(&str, String)| *key == "field" && said == field;
    if finding.code != Code::MissingField || !finding.blanks.iter().any(is) {
        return;
    }
    let book = BOOKS.of(cases.name);
    finding
        .blanks
        .push(("help", book.map(|book| sentence(book.about)).unwrap_or_default()));
    let words: Vec<&str> = cases.of.iter().map(|case| case.word).collect();
    finding.blanks.push(("eg", words.join(", or ")));
}

/// What the plate of a proportioner has under another name than that of an eductor: the nearest by its
/// letters would be a pressure of something else.
const OF_EDUCTOR: [(&str, &str); 2] =
    [("rated-flow", "eductor-flow"), ("rated-pressure", "eductor-inlet")];

/// Such keys are told, and their figures read as those of the eductor: what is missing besides is
/// told in its own right.
fn of_eductor(file: &str, node: &mut Node, found: &mut Vec<Finding>) {
    match &mut node.shape {
        Shape::List(items) => {
            for item in items {
                of_eductor(file, item, found);
            }
        }
        Shape::Map(fields) => {
            let says = |(key, value): &(Key, Node)| {
                key.text == "proportioner"
                    && value.text().map(str::trim) == Some("in-line-eductor")
            };
            let own = fields.iter().any(says);
            for (typed, meant) in OF_EDUCTOR.iter().filter(|_| own) {
                let there = fields.iter().any(|(key, _)| key.text == *meant);
                let slip = fields.iter_mut().find(|(key, _)| key.text == *typed);
                let Some((key, _)) = slip.filter(|_| !there) else { continue };
                let (start, end) = (key.start, key.end);
                let place = findings::Place { file: file.to_owned(), start, end };
                let finding = Finding::at(Code::UnknownField, place);
                found.push(finding.with("field", *typed).with("nearest", *meant));
                (*meant).clone_into(&mut key.text);
            }
            for (_, value) in fields {
                of_eductor(file, value, found);
            }
        }
        Shape::Text(_) | Shape::Nothing => {}
    }
}

fn items(node: Option<&Node>) -> &[Node] {
    match node {
        Some(Node { shape: Shape::List(items), .. }) => items,
        _ => &[],
    }
}

/// What tables cannot say of answers.
struct Fits<'a> {
    desk: &'a Desk,
    file: &'a str,
    node: &'a Node,
    words: &'a Words,
}

impl Fits<'_> {
    fn unfit(&self, node: &Node, key: &str, blanks: &[(&str, &str)]) {
        let (start, end) = node.mark();
        let place = findings::Place { file: self.file.to_owned(), start, end };
        // words: start.unfit.{name|twice|unknown|none|no-lines|no-foam|no-foam-line|usable|range|percent}.{says|write}
        let say =
            |part: &str| self.words.say(&format!("start.unfit.{key}.{part}"), blanks);
        let finding = Finding::at(Code::AnswerUnfit, place).with("says", say("says"));
        self.desk.note(finding.with("write", say("write")));
    }

    fn unknown(&self, node: &Node, kind: &str, id: &str, known: &[String]) {
        let near = nearest(id, known.iter().map(String::as_str));
        // Where nothing is near, all that there are are shown.
        let near = near.unwrap_or_else(|| known.join(", "));
        let blanks = [("kind", kind), ("name", id), ("nearest", near.as_str())];
        self.unfit(node, if near.is_empty() { "none" } else { "unknown" }, &blanks);
    }

    /// A name of which a file is made.
    fn name(&self, node: Option<&Node>, said: &str) {
        if let Some(node) = node.filter(|_| name_of(said).is_none()) {
            self.unfit(node, "name", &[("name", said)]);
        }
    }

    /// Two of which one file would be made.
    fn twice(&self, list: Option<&Node>, key: &str, kind: &str) {
        let mut seen = BTreeSet::new();
        for node in items(list).iter().filter_map(|item| item.child(key)) {
            let said = node.text().unwrap_or_default();
            // By the names of their files: "Engine 7" and "engine-7" are
            // two to an eye and one on a disk.
            if let Some(name) = name_of(said)
                && !seen.insert(name)
            {
                self.unfit(node, "twice", &[("kind", kind), ("name", said)]);
            }
        }
    }

    fn rig(
        &self,
        rig: &RigAnswers,
        node: &Node,
        products: &[ProductAnswers],
        there: &[String],
    ) {
        self.name(node.child("name"), &rig.name);
        let lines = node.child("lines");
        self.twice(lines, "name", "line");
        // Entries that could not be read are told by themselves.
        if let Some(lines) = lines.filter(|lines| items(Some(*lines)).is_empty()) {
            self.unfit(lines, "no-lines", &[("rig", &rig.name)]);
        }
        for (line, own) in rig.lines.iter().zip(items(lines)) {
            self.name(own.child("name"), &line.name);
            if line.foam
                && matches!(rig.foaming, Foaming::Nothing)
                && let Some(foam) = own.child("foam")
            {
                self.unfit(foam, "no-foam", &[("line", &line.name), ("rig", &rig.name)]);
            }
        }
        // A rig that makes foam and has no line for it: one of the two answers is a slip.
        // Where there are no lines at all that was told above.
        let foam = rig.lines.iter().any(|line| line.foam);
        if !foam
            && !rig.lines.is_empty()
            && !matches!(rig.foaming, Foaming::Nothing)
            && let Some(lines) = lines
        {
            self.unfit(lines, "no-foam-line", &[("rig", &rig.name)]);
        }
        if let Some(product) = rig.foaming.product() {
            let mut known: Vec<String> =
                products.iter().map(|one| one.name.clone()).collect();
            known.extend(there.iter().cloned());
            // One of which something else could not be read is there all the same.
            let written = items(self.node.child("products")).iter();
            known.extend(
                written.filter_map(|one| Some(one.child("name")?.text()?.to_owned())),
            );
            known.sort();
            known.dedup();
            if !known.contains(product)
                && let Some(own) = node.child("product")
            {
                self.unknown(own, "product", product, &known);
            }
        }
        if let Some((_, plate)) = rig.foaming.plate() {
            self.range(
                node,
                (&plate.least, "least-percent"),
                (&plate.largest, "largest-percent"),
            );
            self.volumes(node.child("foam-tank"), &plate.tank);
        }
        if let Foaming::InLineEductor(plate) = &rig.foaming {
            let known: Vec<String> =
                rig.lines.iter().map(|line| line.name.clone()).collect();
            if !known.contains(&plate.line)
                && let Some(own) = node.child("eductor-line")
            {
                self.unknown(own, "line", &plate.line, &known);
            }
        }
        if let Some(water) = &rig.water {
            self.volumes(node.child("water-tank"), water);
        }
    }

    fn products(&self, products: &[ProductAnswers]) {
        for (product, node) in products.iter().zip(items(self.node.child("products"))) {
            self.name(node.child("name"), &product.name);
            self.range(node, (&product.from, "from"), (&product.to, "to"));
        }
    }

    fn volumes(&self, node: Option<&Node>, volumes: &super::answers::Volumes) {
        let Some(node) = node else { return };
        let above = |a: &Quantity, b: &Quantity| a.base().compare(b.base()).is_gt();
        let (plate, usable) = (volumes.plate.to_string(), volumes.usable.to_string());
        if above(&volumes.usable, &volumes.plate)
            && let Some(own) = node.child("usable")
        {
            self.unfit(own, "usable", &[("usable", &usable), ("plate", &plate)]);
        }
        // Against the plate and not against what is usable: some
        // marks count what no pump reaches.
        if let Some(mark) = volumes.mark.filter(|mark| above(mark, &volumes.plate))
            && let Some(own) = node.child("mark")
        {
            self.unfit(
                own,
                "usable",
                &[("usable", &mark.to_string()), ("plate", &plate)],
            );
        }
    }

    fn range(&self, node: &Node, from: (&Quantity, &str), to: (&Quantity, &str)) {
        if from.0.base().compare(to.0.base()).is_gt()
            && let Some(own) = node.child(to.1)
        {
            let (from, to) = (from.0.to_string(), to.0.to_string());
            self.unfit(own, "range", &[("from", &from), ("to", &to)]);
        }
    }

    /// No percent of a unit or a label is more than any foam is made for.
    fn percents(&self, node: &Node, key: &str) {
        match &node.shape {
            Shape::Map(fields) => {
                for (key, value) in fields {
                    self.percents(value, &key.text);
                }
            }
            Shape::List(items) => items.iter().for_each(|item| self.percents(item, key)),
            Shape::Text(text) if PERCENTS.contains(&key) => {
                let read = Quantity::read_with(text, self.desk.comma.get()).ok();
                if let Some(percent) = read.filter(|own| own.unit().kind == Share) {
                    self.most(node, &percent);
                }
            }
            Shape::Text(_) | Shape::Nothing => {}
        }
    }

    fn most(&self, node: &Node, percent: &Quantity) {
        let most = Quantity::read(MOST).ok();
        if most.is_some_and(|most| percent.base().compare(most.base()).is_gt()) {
            let found = percent.to_string();
            self.unfit(node, "percent", &[("percent", &found), ("most", MOST)]);
        }
    }
}
