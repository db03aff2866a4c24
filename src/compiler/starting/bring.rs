//! A drill of one module → what another needs to have it: the drill itself, turned to the rigs
//! that are there, and all that it calls.
//!
//! What the other department decided stays there: its orders, its drain, its permission to let foam
//! flow. So a drill begins on plain water, and every local procedure that it leans on is open.

use std::collections::BTreeSet;

use super::asking::questions;
use super::metric::metric;
use super::needs::With;
use super::other::{Brought, Other, Refused, worse};
use super::text::{Edit, edited, field, listed, tree};
use crate::authoring::{Options, Trees, read};
use crate::course::{Course, DrawnOutlet, Drill, Mode, Rig};
use crate::findings::{Code, Finding, Sources};
use crate::formulas::named_in;
use crate::scoring::runs_on;
use crate::wire::{Desk, Node, Shape, read as read_thing};
use crate::words::{Words, nearest};

/// Brings a drill over.
pub fn bring(
    other: Other<'_>,
    to: &Sources,
    id: &str,
    words: &Words,
) -> Result<Brought, Refused> {
    let (course, _) = read(to, &BTreeSet::new(), Options::default());
    // First with all that it draws. Where too little is known of these rigs for that,
    // once more without: a drill with no numbered sheets is still a drill.
    let mut drawn = true;
    loop {
        let brought = turn(other, (to, course.as_ref()), (id, drawn), words)?;
        let mut all = to.clone();
        all.extend(brought.files.clone());
        // What was wrong before is no reason to refuse a drill;
        // what became wrong with it is.
        let worse = worse(to, &all);
        if worse.is_empty() {
            return Ok(asking(other, to, (id, &all), brought, words));
        }
        if !drawn || !worse.iter().all(undrawable) {
            return Err(Refused::Faults(worse, all));
        }
        drawn = false;
    }
}

/// The same with questions about what it assesses, where the module can be compiled with them too.
fn asking(
    other: Other<'_>,
    to: &Sources,
    (id, all): (&str, &Sources),
    mut brought: Brought,
    words: &Words,
) -> Brought {
    let units = |texts: &Sources| Trees::read(texts, &mut Vec::new()).system();
    // A question is asked in figures, and those of the other system are never only converted.
    if units(other.texts) != units(to) {
        return brought;
    }
    let (course, _) = read(all, &BTreeSet::new(), Options::default());
    let drill = course.as_ref().and_then(|course| course.drill(id));
    let Some((files, count)) =
        drill.and_then(|drill| questions(other, all, drill, words))
    else {
        return brought;
    };
    let mut with = all.clone();
    with.extend(files.clone());
    if worse(all, &with).is_empty() {
        brought.files.extend(files);
        let (file, count) = (format!("questions/{id}.yaml"), count.to_string());
        let blanks = [("file", file.as_str()), ("count", count.as_str())];
        brought.said.push(words.say("start.bring.questions", &blanks));
    }
    brought
}

/// Whether it is only that nothing can be drawn for a rig of which so little is known.
pub(super) const fn undrawable(finding: &Finding) -> bool {
    matches!(finding.code, Code::NoSheet | Code::EmptyTable | Code::EmptyDraw)
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
    // A file that is there is an author's, and nothing is written over it.
    if to.contains_key(&file) {
        return Err(refused("there", ("", "")));
    }
    let theirs = Trees::read(other.texts, &mut Vec::new());
    let ours = Trees::read(to, &mut Vec::new());
    let (from_units, units) = (theirs.system(), ours.system());
    // For the library somebody wrote each metric figure down. For another department
    // nobody did, and a figure that is only converted is one that no gauge shows.
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
    // Rigs are sought for it as it will stand here: letting foam
    // flow was permitted there alone.
    drill.modes.retain(|mode| !foams(*mode));
    let rigs = course.map(|course| fitting(course, &drill)).unwrap_or_default();
    if rigs.is_empty() {
        return Err(refused("no-rig", ("needs", &needs(&drill, words))));
    }
    let mut brought = Brought::default();
    let ids: Vec<&str> = rigs.iter().map(|rig| rig.id.as_str()).collect();
    let invented = other.library.then(|| invented(other));
    let text_here = turned(&text, &node, &ids, (invented.as_deref(), drawn), words);
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
    // The rigs that it names are the other department's.
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
    let drawn =
        drill.drawn.as_ref().is_some_and(|plan| plan.outlet == Some(DrawnOutlet::Foam));
    let outlet = !drawn || rig.outlets.iter().any(|outlet| outlet.foam);
    outlet && (rig.proportioner.is_some() || !(asks || counted))
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
    (invented, drawn): (Option<&[String]>, bool),
    words: &Words,
) -> String {
    let mut edits = vec![Edit {
        start: 0,
        end: 0,
        text: super::made::schema_line("drill", "drills/x.yaml"),
    }];
    edits.extend(named_rigs(text, node, rigs));
    if let Some(agent) = node.child("agent") {
        edits.push(Edit {
            start: agent.start,
            end: agent.end,
            text: "plain-water".to_owned(),
        });
    }
    let note = |key: &str| {
        let said = words.get(key);
        said.lines().fold(String::new(), |text, line| text + "# " + line + "\n")
    };
    // The drain that was agreed there is not here.
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
        // Where it has no mode with foam the author's line stays
        // as it is, with its comment.
        if kept.len() < items.len()
            && let Some((start, end)) = field(text, node, "modes")
        {
            let modes =
                format!("{}modes: [{}]\n", note("start.file.modes"), kept.join(", "));
            edits.push(Edit { start, end, text: modes });
        }
    }
    if let Some(invented) = invented {
        let instead = words.get("start.file.library-source");
        cited(node, (invented, &instead), &mut edits);
    }
    edited(text, edits)
}

/// The rigs that it is for, by name: a rig that comes later is for no drill before somebody says so.
fn named_rigs(text: &str, node: &Node, rigs: &[&str]) -> Option<Edit> {
    let ids = rigs.join(", ");
    let Some(own) = node.child("for") else {
        let (at, _) = field(text, node, "modes")?;
        return Some(Edit {
            start: at,
            end: at,
            text: format!("for:\n  rigs: [{ids}]\n"),
        });
    };
    if let Some(list) = own.child("rigs") {
        return relisted(text, list, rigs);
    }
    let Shape::Map(fields) = &own.shape else { return None };
    let (first, _) = fields.first()?;
    let line = super::text::line_of(text, first.start);
    let before = text.get(line..first.start)?;
    // Below each other or in braces, as it is written there.
    let joint =
        if before.trim().is_empty() { format!("\n{before}") } else { ", ".to_owned() };
    let text = format!("rigs: [{ids}]{joint}");
    Some(Edit { start: first.start, end: first.start, text })
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

/// Short names of the papers that the library's own department has written.
fn invented(library: Other<'_>) -> Vec<String> {
    let file = "sources.yaml";
    let list = library.texts.get(file).and_then(|text| tree(file, text));
    let name = |node: &Node| {
        let title = node.child("title")?.text()?;
        let name = node.child("source")?.text()?;
        title.contains(INVENTED).then(|| name.to_owned())
    };
    match list.map(|list| list.shape) {
        Some(Shape::List(items)) => items.iter().filter_map(name).collect(),
        _ => Vec::new(),
    }
}

/// What every paper of a made-up department says of itself.
const INVENTED: &str = "(invented)";

/// Orders of a department that does not exist are cited by nobody, in words or by their short names.
fn cited(node: &Node, (invented, instead): (&[String], &str), edits: &mut Vec<Edit>) {
    match &node.shape {
        Shape::Map(fields) => {
            for (key, value) in fields {
                let of_them = value.text().is_some_and(|text| {
                    let own = |part: &str| invented.iter().any(|name| name == part);
                    text.contains(INVENTED) || named_in(text).any(own)
                });
                if key.text == "source" && of_them {
                    edits.push(Edit {
                        start: value.start,
                        end: value.end,
                        text: instead.to_owned(),
                    });
                } else {
                    cited(value, (invented, instead), edits);
                }
            }
        }
        Shape::List(items) => {
            for item in items {
                cited(item, (invented, instead), edits);
            }
        }
        Shape::Text(_) | Shape::Nothing => {}
    }
}
