//! A drill of one module → what another needs to have it: the drill itself, turned to the rigs
//! that are there, and all that it calls.
//!
//! What the other department decided stays there: its orders, its drain, its permission to let foam
//! flow. So a drill begins on plain water, and every local procedure that it leans on is open.

use std::collections::BTreeSet;

use super::metric::metric;
use super::text::{Edit, appended, edited, entry, field, listed, tree};
use crate::authoring::{Options, Trees, read};
use crate::course::{Course, Drill, Mode, Rig};
use crate::findings::{self, Code, Finding, Grade, Sources};
use crate::scoring::runs_on;
use crate::stock;
use crate::wire::{Desk, Node, Shape, read as read_thing, scalar};
use crate::words::{Words, nearest};

/// The source that a formula of the library names in a module.
const LIBRARY: &str = "drill-library";

/// Where drills come from.
#[derive(Debug, Clone, Copy)]
pub struct Other<'s> {
    /// Its texts.
    pub texts: &'s Sources,
    /// Whether it is the library: then figures are turned to metric ones, and whose orders its
    /// invented department cites is left out.
    pub library: bool,
}

/// What a drill brought with it.
#[derive(Debug, Default)]
pub struct Brought {
    /// Files that are new or have more in them, with their whole texts.
    pub files: Sources,
    /// What that is, one sentence each.
    pub said: Vec<String>,
}

/// Why it cannot come over.
#[derive(Debug)]
pub enum Refused {
    /// In a sentence.
    Said(String),
    /// The module could not be compiled with it.
    Faults(Vec<Finding>, Sources),
}

/// Brings a drill over.
pub fn bring(
    other: Other<'_>,
    to: &Sources,
    id: &str,
    words: &Words,
) -> Result<Brought, Refused> {
    let (course, _) = read(to, &BTreeSet::new(), Options::default());
    let mut drawn = true;
    loop {
        let brought = turn(other, (to, course.as_ref()), (id, drawn), words)?;
        let mut all = to.clone();
        all.extend(brought.files.clone());
        let worse = super::worse(to, &all);
        if worse.is_empty() {
            return Ok(brought);
        }
        if !drawn || !worse.iter().all(undrawable) {
            return Err(Refused::Faults(worse, all));
        }
        drawn = false;
    }
}

/// Whether it is only that nothing can be drawn for a rig of which so little is known.
pub(super) const fn undrawable(finding: &Finding) -> bool {
    matches!(finding.code, Code::NoSheet | Code::EmptyTable)
}

/// The same before it is known whether the module can be compiled with it.
pub(super) fn turn(
    other: Other<'_>,
    (to, course): (&Sources, Option<&Course>),
    (id, drawn): (&str, bool),
    words: &Words,
) -> Result<Brought, Refused> {
    let file = format!("drills/{id}.yaml");
    let refused = |key: &str, more: (&str, &str)| {
        let all = [("drill", id), ("file", file.as_str()), more];
        // words: start.bring.{unknown|there|no-figure|units|unreadable|no-rig|no-list}
        Refused::Said(words.say(&format!("start.bring.{key}"), &all))
    };
    let Some(text) = other.texts.get(&file) else {
        let known = drills(other.texts);
        let near = nearest(id, known.iter().map(String::as_str));
        let near = near.unwrap_or_else(|| known.join(", "));
        return Err(refused("unknown", ("known", &near)));
    };
    if to.contains_key(&file) {
        return Err(refused("there", ("", "")));
    }
    let theirs = Trees::read(other.texts, &mut Vec::new());
    let ours = Trees::read(to, &mut Vec::new());
    let (from_units, units) = (theirs.system(), ours.system());
    let text = if from_units == units {
        text.clone()
    } else if other.library {
        let turned = metric(&file, text, units);
        turned.map_err(|figure| refused("no-figure", ("figure", &figure)))?
    } else {
        let blanks = [("theirs", unit_word(from_units)), ("ours", unit_word(units))];
        return Err(refused("units", ("both", &words.say("start.bring.both", &blanks))));
    };
    let node = tree(&file, &text).ok_or_else(|| refused("unreadable", ("", "")))?;
    let desk = Desk { units: Some(units), ..Desk::default() };
    let drill = read_thing::<Drill>(desk.item(&file, &node)).map(Drill::settled);
    let mut drill = drill.ok_or_else(|| refused("unreadable", ("", "")))?;
    drill.modes.retain(|mode| !foams(*mode));
    let rigs = course.map(|course| fitting(course, &drill)).unwrap_or_default();
    if rigs.is_empty() {
        return Err(refused("no-rig", ("needs", &needs(&drill, words))));
    }
    let mut brought = Brought::default();
    let ids: Vec<&str> = rigs.iter().map(|rig| rig.id.as_str()).collect();
    let text_here = turned(&text, &node, &ids, (other.library, drawn), words);
    brought.files.insert(file.clone(), text_here);
    let titles: Vec<&str> = rigs.iter().map(|rig| rig.title.as_str()).collect();
    let titles = titles.join(", ");
    let blanks = [("file", file.as_str()), ("rigs", titles.as_str())];
    brought.said.push(words.say("start.bring.drill", &blanks));
    let head = to.get("module.yaml").and_then(|head| listed(head, "drills", id));
    let head = head.ok_or_else(|| refused("no-list", ("", "")))?;
    brought.files.insert("module.yaml".to_owned(), head);
    let mut with = With { other, to, theirs: &theirs, ours: &ours, words, brought };
    with.all(&drill, &node, &text);
    if !drawn {
        with.brought.said.push(words.say("start.bring.undrawn", &[("drill", id)]));
    }
    Ok(with.brought)
}

/// The drills of a module by name, in its order.
pub fn drills(texts: &Sources) -> Vec<String> {
    let trees = Trees::read(texts, &mut Vec::new());
    let list = trees.get("module.yaml").and_then(|head| head.child("drills"));
    let Some(Node { shape: Shape::List(items), .. }) = list else { return Vec::new() };
    items.iter().filter_map(Node::text).map(str::to_owned).collect()
}

pub(super) fn must_fix(found: Vec<Finding>) -> Vec<Finding> {
    found.into_iter().filter(|finding| finding.code.grade() == Grade::MustFix).collect()
}

const fn foams(mode: Mode) -> bool {
    matches!(mode, Mode::TrainingFoam | Mode::Agent)
}

const fn unit_word(system: crate::quantity::System) -> &'static str {
    use crate::quantity::System;
    match system {
        System::Us => "us",
        System::Si => "si",
        System::SiBar => "si-bar",
    }
}

/// The rigs that a drill can be run on, whatever rigs it names.
fn fitting<'c>(course: &'c Course, drill: &Drill) -> Vec<&'c Rig> {
    let mut drill = drill.clone();
    if let Some(rigs) = &mut drill.rigs {
        rigs.rigs.clear();
    }
    // In the order of the module, as an officer lists them.
    course
        .rigs
        .values()
        .filter(|rig| runs_on(rig, &drill) && serves(rig, &drill))
        .collect()
}

/// Foam of a class that a drill is for comes from a unit whose percent can be set: drills for an
/// eductor name the eductor.
fn serves(rig: &Rig, drill: &Drill) -> bool {
    let asks = drill.rigs.as_ref().is_some_and(|rigs| rigs.class.is_some());
    let counted = drill.starts_with.totals.is_some() || drill.leaves.totals.is_some();
    rig.proportioner.is_some() || !(asks || counted)
}

/// What a rig must have for it.
fn needs(drill: &Drill, words: &Words) -> String {
    let mut out = Vec::new();
    if let Some(rigs) = &drill.rigs {
        out.extend(
            rigs.class
                .map(|class| words.say("start.bring.class", &[("class", class.word())])),
        );
        out.extend(rigs.kinds.iter().map(|kind| kind.word().to_owned()));
    }
    out.extend(drill.needs.clone());
    if out.is_empty() { words.get("start.bring.foam") } else { out.join(", ") }
}

/// The drill with what belongs to the other department taken out of it.
fn turned(
    text: &str,
    node: &Node,
    rigs: &[&str],
    (library, drawn): (bool, bool),
    words: &Words,
) -> String {
    let mut edits = vec![Edit {
        start: 0,
        end: 0,
        text: super::made::schema_line("drill", "drills/x.yaml"),
    }];
    if let Some(list) = node.child("for").and_then(|rigs| rigs.child("rigs")) {
        edits.extend(relisted(text, list, rigs));
    }
    if let Some(agent) = node.child("agent") {
        edits.push(Edit {
            start: agent.start,
            end: agent.end,
            text: "plain-water".to_owned(),
        });
    }
    let note = |key: &str| {
        let said = words.get(key);
        said.lines().map(|line| format!("# {line}\n")).collect::<String>()
    };
    if let Some((start, end)) = field(text, node, "runoff") {
        edits.push(Edit { start, end, text: note("start.file.runoff") });
    }
    if let Some((start, end)) = field(text, node, "drawn").filter(|_| !drawn) {
        edits.push(Edit { start, end, text: note("start.file.drawn") });
    }
    if let Some(Node { shape: Shape::List(items), .. }) = node.child("modes") {
        let kept: Vec<&str> = items
            .iter()
            .filter_map(Node::text)
            .filter(|mode| {
                !Mode::ALL.iter().any(|(word, own)| word == mode && foams(*own))
            })
            .collect();
        if kept.len() < items.len()
            && let Some((start, end)) = field(text, node, "modes")
        {
            let modes =
                format!("{}modes: [{}]\n", note("start.file.modes"), kept.join(", "));
            edits.push(Edit { start, end, text: modes });
        }
    }
    if library {
        cited(node, &words.get("start.file.library-source"), &mut edits);
    }
    edited(text, edits)
}

/// A list in one line or in several, with other names in it.
fn relisted(text: &str, list: &Node, names: &[&str]) -> Option<Edit> {
    let Shape::List(items) = &list.shape else { return None };
    let (first, last) = (items.first()?, items.last()?);
    let line = super::text::line_of(text, first.start);
    let before = text.get(line..first.start)?;
    let joint =
        if before.trim() == "-" { format!("\n{before}") } else { ", ".to_owned() };
    Some(Edit { start: first.start, end: last.end, text: names.join(&joint) })
}

/// Orders of a department that does not exist are cited by nobody.
fn cited(node: &Node, instead: &str, edits: &mut Vec<Edit>) {
    match &node.shape {
        Shape::Map(fields) => {
            for (key, value) in fields {
                let invented =
                    value.text().is_some_and(|text| text.contains("(invented)"));
                if key.text == "source" && invented {
                    edits.push(Edit {
                        start: value.start,
                        end: value.end,
                        text: instead.to_owned(),
                    });
                } else {
                    cited(value, instead, edits);
                }
            }
        }
        Shape::List(items) => items.iter().for_each(|item| cited(item, instead, edits)),
        Shape::Text(_) | Shape::Nothing => {}
    }
}

/// All that a drill calls, brought over.
struct With<'a> {
    other: Other<'a>,
    to: &'a Sources,
    theirs: &'a Trees,
    ours: &'a Trees,
    words: &'a Words,
    brought: Brought,
}

impl With<'_> {
    fn all(&mut self, drill: &Drill, node: &Node, text: &str) {
        let own = |id: &String| id.clone();
        self.entries(
            "objectives.yaml",
            "objective",
            drill.objectives.iter().map(own).collect(),
        );
        let mut cautions: Vec<String> = drill.cautions.clone();
        // Those of the trade library are in every module.
        cautions.retain(|id| self.has(self.theirs, "cautions.yaml", "caution", id));
        self.entries("cautions.yaml", "caution", cautions);
        let mut topics: Vec<String> = drill.local.clone();
        topics.extend(drill.steps.iter().filter_map(|step| step.local.clone()));
        self.topics(topics);
        let said = text.to_lowercase();
        let terms =
            self.ids(self.theirs, "terms.yaml", "term").into_iter().filter(|id| {
                let word = child(self.theirs, "terms.yaml", ("term", id), "word");
                word.is_some_and(|word| speaks(&said, &word.to_lowercase()))
            });
        let terms: Vec<String> = terms.collect();
        self.entries("terms.yaml", "term", terms);
        let mut formulas = BTreeSet::new();
        called(node, &mut formulas);
        for formula in formulas {
            self.formula(&formula);
        }
    }

    fn ids(&self, trees: &Trees, file: &str, key: &str) -> Vec<String> {
        let Some(Node { shape: Shape::List(items), .. }) = trees.get(file) else {
            return Vec::new();
        };
        items
            .iter()
            .filter_map(|item| item.child(key)?.text())
            .map(str::to_owned)
            .collect()
    }

    fn has(&self, trees: &Trees, file: &str, key: &str, id: &str) -> bool {
        self.ids(trees, file, key).iter().any(|own| own == id)
    }

    /// The text of a file as it is by now.
    fn text(&self, file: &str) -> String {
        let own = self.brought.files.get(file).or_else(|| self.to.get(file));
        own.cloned().unwrap_or_default()
    }

    fn append(&mut self, file: &str, entries: &str) {
        let mut text = self.text(file);
        if text.is_empty() {
            text = super::made::schema_line(super::made::of_file(file), file);
        }
        self.brought.files.insert(file.to_owned(), appended(&text, entries));
    }

    fn say(&mut self, key: &str, ids: &[String], file: &str) {
        if !ids.is_empty() {
            let ids = ids.join(", ");
            // words: start.bring.{added|kept|topics}
            let said = self
                .words
                .say(&format!("start.bring.{key}"), &[("ids", &ids), ("list", file)]);
            self.brought.said.push(said);
        }
    }

    /// Entries of a list file. One that is there already stays as it is, and that is told.
    fn entries(&mut self, file: &'static str, key: &str, ids: Vec<String>) {
        let (there, missing): (Vec<String>, Vec<String>) =
            ids.into_iter().partition(|id| self.has(self.ours, file, key, id));
        let mut new = Vec::new();
        for id in missing {
            let text = self.other.texts.get(file).map(String::as_str).unwrap_or_default();
            let own = self.theirs.get(file).and_then(|list| entry(text, list, key, &id));
            if let Some(own) = own {
                self.append(file, &own);
                new.push(id);
            }
        }
        self.say("added", &new, file);
        self.say("kept", &there, file);
    }

    /// Local procedures, each open: what the other department decided holds there.
    fn topics(&mut self, ids: Vec<String>) {
        let trade = Trees::read(&stock::trade(), &mut Vec::new());
        let mut new = Vec::new();
        for id in ids {
            if new.contains(&id) || self.has(self.ours, "local.yaml", "topic", &id) {
                continue;
            }
            let entry = match child(&trade, "trade/topics.yaml", ("topic", &id), "asks") {
                Some(asks) => super::made::topic(&id, &asks, None),
                None => {
                    let own =
                        |field| child(self.theirs, "local.yaml", ("topic", &id), field);
                    let title = own("title").unwrap_or_else(|| id.clone());
                    super::made::topic(
                        &id,
                        &own("asks").unwrap_or_default(),
                        Some(&title),
                    )
                }
            };
            self.append("local.yaml", &entry);
            new.push(id);
        }
        self.say("topics", &new, "local.yaml");
    }

    /// A formula of the other department's own, with the sources that it names.
    fn formula(&mut self, id: &str) {
        let own = |texts: &Sources| {
            let trees = Trees::read(texts, &mut Vec::new());
            let files: Vec<String> = trees
                .files()
                .filter(|file| file.starts_with("formulas/"))
                .map(str::to_owned)
                .collect();
            files.into_iter().find(|file| {
                self.ids(&trees, file, "formula").iter().any(|own| own == id)
            })
        };
        if own(self.to).is_some() {
            return;
        }
        let Some(file) = own(self.other.texts) else { return };
        let text = self.other.texts.get(&file).cloned().unwrap_or_default();
        let Some(list) = self.theirs.get(&file) else { return };
        let Some(mut formula) = entry(&text, list, "formula", id) else { return };
        let mut sources = BTreeSet::new();
        if let Some(node) = tree(&file, &formula) {
            named(&node, "source", &mut sources);
        }
        if self.other.library {
            // The order of a district that does not exist is no source of anybody's.
            let theirs = self.ids(self.theirs, "sources.yaml", "source");
            sources.retain(|source| theirs.contains(source));
            for source in &sources {
                formula = formula.replace(source.as_str(), LIBRARY);
            }
            let there = self.text("sources.yaml").contains(LIBRARY);
            if !sources.is_empty() && !there {
                let title = self.words.get("start.file.library-source");
                let own = format!("- source: {LIBRARY}\n  title: {}\n", scalar(&title));
                self.append("sources.yaml", &own);
            }
            sources.clear();
        }
        self.append(&file, &formula);
        self.say("added", &[id.to_owned()], &file);
        self.entries("sources.yaml", "source", sources.into_iter().collect());
    }
}

/// What an entry of a list file says in one of its fields.
fn child(
    trees: &Trees,
    file: &str,
    (key, id): (&str, &str),
    field: &str,
) -> Option<String> {
    let Shape::List(items) = &trees.get(file)?.shape else { return None };
    let item =
        items.iter().find(|item| item.child(key).and_then(Node::text) == Some(id))?;
    item.child(field)?.text().map(str::to_owned)
}

/// Whether a text has a word, and not only its letters inside of another.
fn speaks(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, found)| {
        let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        let after = text.get(at + found.len()..).and_then(|after| after.chars().next());
        !letter(before) && !letter(after)
    })
}

/// Formulas that stand in a drill.
fn called(node: &Node, out: &mut BTreeSet<String>) {
    named(node, "formula", out);
}

fn named(node: &Node, wanted: &str, out: &mut BTreeSet<String>) {
    match &node.shape {
        Shape::Map(fields) => {
            for (key, value) in fields {
                if key.text == wanted {
                    out.extend(value.text().map(str::to_owned));
                }
                named(value, wanted, out);
            }
        }
        Shape::List(items) => items.iter().for_each(|item| named(item, wanted, out)),
        Shape::Text(_) | Shape::Nothing => {}
    }
}

/// A finding's place may be in a text that is not on the disk yet.
pub fn printed(
    found: &[Finding],
    texts: &Sources,
    words: &Words,
) -> Vec<findings::Printed> {
    let mut all = texts.clone();
    all.extend(stock::trade());
    found.iter().map(|finding| findings::printed(finding, &all, words)).collect()
}
