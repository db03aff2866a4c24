//! What changed between two revisions: in steps, criticals, standards and figures.
//!
//! Both are written by their tables and walked side by side, so that no field can be forgotten
//! here when a drill gets a new one; what an entry of a list is known by, its table says.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

use super::keep::all_of;
use crate::course::{Concentrate, Course, Kept, LocalTopic, Rig, Standard};
use crate::fingerprint::NotCanonical;
use crate::quantity::figure_written;
use crate::wire::{Form, Kind, Wire, json};
use crate::words::Words;

/// What a change is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// Drill or rig that only one of the two has.
    Whole,
    /// Steps.
    Steps,
    /// Criticals and unsafe acts.
    Criticals,
    /// Order, measured values, readings, time, attempts, pass mark, rules, modes.
    Standards,
    /// Figures of a rig; formulas, tables and constants.
    Figures,
    /// Who permits what: fluorine, its evidence, training; what the department decided.
    Permissions,
    /// Everything else on the sheet.
    Rest,
}

impl Part {
    /// Its name in data and in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Steps => "steps",
            Self::Criticals => "criticals",
            Self::Standards => "standards",
            Self::Figures => "figures",
            Self::Permissions => "permissions",
            Self::Rest => "rest",
        }
    }

    fn of(field: &str) -> Self {
        match field {
            "steps" => Self::Steps,
            "criticals" | "unsafe-acts" => Self::Criticals,
            "order" | "measures" | "readings" | "time" | "attempts" | "pass-mark"
            | "rules" | "modes" | "needs" => Self::Standards,
            "formulas" | "tables" | "constants" | "units" => Self::Figures,
            _ => Self::Rest,
        }
    }
}

/// Fields of a concentrate by which it may be discharged or not (rule 25).
const PERMITS: &[&str] =
    &["fluorine", "fluorine-free", "evidence", "training-permitted", "training"];

/// What is compared: of a module all of it, of a kept file the one drill or rig in it.
#[derive(Debug, Clone, Default)]
pub struct Compared {
    /// Drills and rigs.
    pub kept: Kept,
    /// Concentrates by id.
    pub concentrates: BTreeMap<String, Concentrate>,
    /// Local procedures by topic.
    pub local: BTreeMap<String, LocalTopic>,
}

impl Compared {
    /// All of a module as it is today.
    pub fn of(course: &Course) -> Result<Self, NotCanonical> {
        let topic = |topic: &LocalTopic| (topic.id.clone(), topic.clone());
        Ok(Self {
            kept: all_of(course)?,
            concentrates: course.concentrates.clone(),
            local: course.local.iter().map(topic).collect(),
        })
    }
}

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Change {
    /// Part.
    pub part: Part,
    /// Drills and rigs it concerns, such as `drill flush`.
    pub of: Vec<String>,
    /// What of it: `steps, air-off, weight`.
    pub what: String,
    /// As it was; none where it was not there.
    pub old: Option<String>,
    /// As it is now; none where it is gone.
    pub new: Option<String>,
}

/// Everything that differs, part by part. Kept by id, the last of an id counts.
pub fn compare(old: &Compared, new: &Compared, words: &Words) -> Vec<Change> {
    let mut walk = Walk { words, found: BTreeMap::new() };
    let (before, after) = (things(old), things(new));
    let mut names: Vec<&String> = before.keys().chain(after.keys()).collect();
    names.sort();
    names.dedup();
    for name in names {
        match (before.get(name), after.get(name)) {
            (Some((a, kind)), Some((b, _))) => walk.thing(name, *kind, a, b),
            (a, b) => {
                let title = |side: Option<&(Value, Kind)>| {
                    side.map(|(value, _)| short(words, value))
                };
                walk.note(
                    Part::Whole,
                    name,
                    std::slice::from_ref(name),
                    (title(a), title(b)),
                );
            }
        }
    }
    let changes = walk.found.into_iter().map(|((part, what, old, new), of)| Change {
        part,
        of,
        what,
        old,
        new,
    });
    let mut changes: Vec<Change> = changes.collect();
    changes.sort_by(|a, b| (&a.of, a.part, &a.what).cmp(&(&b.of, b.part, &b.what)));
    changes
}

/// Everything as values with what they are, by kind and id.
fn things(side: &Compared) -> BTreeMap<String, (Value, Kind)> {
    let mut out = BTreeMap::new();
    // The last kept of an id counts.
    for standard in side.kept.drills.values() {
        let written = json(standard, Form::Canonical);
        out.insert(format!("drill {}", standard.drill.id), (written, Standard::KIND));
    }
    for rig in side.kept.rigs.values() {
        // What its tanks hold is told once, at the concentrate.
        let mut rig = rig.clone();
        if !side.concentrates.is_empty() {
            rig.agents.clear();
        }
        out.insert(format!("rig {}", rig.id), (json(&rig, Form::Canonical), Rig::KIND));
    }
    for (id, concentrate) in &side.concentrates {
        let written = json(concentrate, Form::Canonical);
        out.insert(format!("concentrate {id}"), (written, Concentrate::KIND));
    }
    for (id, topic) in &side.local {
        let written = json(topic, Form::Canonical);
        out.insert(format!("local procedure {id}"), (written, LocalTopic::KIND));
    }
    out
}

/// Part, thing, and what stands there.
type At<'a> = (Part, &'a str, Kind);

type Sides = (Option<String>, Option<String>);

/// Part, path, and both sides.
type Difference = (Part, String, Option<String>, Option<String>);

struct Walk<'w> {
    words: &'w Words,
    /// With the drills and rigs in which it was found.
    found: BTreeMap<Difference, Vec<String>>,
}

impl Walk<'_> {
    fn note(&mut self, part: Part, of: &str, path: &[String], (old, new): Sides) {
        let what = path.join(", ");
        self.found.entry((part, what, old, new)).or_default().push(of.to_owned());
    }

    fn thing(&mut self, of: &str, kind: Kind, old: &Value, new: &Value) {
        // The drill stands inside what belongs to it; its fields are parts like the others.
        let parts = |value: &Value| -> BTreeMap<String, Value> {
            let fields = |value: &Value| value.as_object().cloned().unwrap_or_default();
            let mut all = fields(value);
            if let Some(drill) = all.remove("drill") {
                all.extend(fields(&drill));
            }
            all.into_iter().collect()
        };
        let (old, new) = (parts(old), parts(new));
        let mut names: Vec<&String> = old.keys().chain(new.keys()).collect();
        names.sort();
        names.dedup();
        for name in names {
            let part = match of.split_once(' ').map_or("", |(kind, _)| kind) {
                "rig" => Part::Figures,
                "local" => Part::Permissions,
                "concentrate" if PERMITS.contains(&name.as_str()) => Part::Permissions,
                "concentrate" => Part::Figures,
                _ => Part::of(name),
            };
            let nothing = Value::Null;
            let (a, b) =
                (old.get(name).unwrap_or(&nothing), new.get(name).unwrap_or(&nothing));
            let drill = || kind.field("drill").and_then(|drill| drill.kind.field(name));
            let field = drill().or_else(|| kind.field(name));
            let kind = field.map_or(Kind::Text, |field| field.kind);
            self.values((part, of, kind), &mut vec![self.field(name)], a, b);
        }
    }

    /// The name of a field as the author writes it.
    fn field(&self, name: &str) -> String {
        // words: compare.field.{*}
        let known = self.words.find(&format!("compare.field.{name}"));
        known.unwrap_or(name).to_owned()
    }

    fn values(&mut self, at: At<'_>, path: &mut Vec<String>, old: &Value, new: &Value) {
        if old == new {
            return;
        }
        match (old, new) {
            (Value::Object(a), Value::Object(b)) => {
                let mut names: Vec<&String> = a.keys().chain(b.keys()).collect();
                names.sort();
                names.dedup();
                for name in names {
                    let nothing = Value::Null;
                    let (a, b) = (
                        a.get(name).unwrap_or(&nothing),
                        b.get(name).unwrap_or(&nothing),
                    );
                    let inner = at.2.field(name).map_or(at.2, |field| field.kind);
                    path.push(self.field(name));
                    self.values((at.0, at.1, inner), path, a, b);
                    path.pop();
                }
            }
            (Value::Array(a), Value::Array(b)) => self.lists(at, path, a, b),
            _ => {
                let side =
                    |value: &Value| (!value.is_null()).then(|| short(self.words, value));
                self.note(at.0, at.1, path, (side(old), side(new)));
            }
        }
    }

    fn lists(
        &mut self,
        at: At<'_>,
        path: &mut Vec<String>,
        old: &[Value],
        new: &[Value],
    ) {
        let id = |value: &Value| id(at.2, value);
        let ids = |list: &[Value]| list.iter().map(id).collect::<Option<Vec<String>>>();
        let Some((a, b)) = ids(old).zip(ids(new)) else {
            let side = |list: &[Value]| {
                let texts: Vec<String> =
                    list.iter().map(|value| short(self.words, value)).collect();
                (!texts.is_empty()).then(|| texts.join("; "))
            };
            self.note(at.0, at.1, path, (side(old), side(new)));
            return;
        };
        let find = |list: &'_ [Value], wanted: &String| {
            list.iter().find(|value| id(value).as_ref() == Some(wanted)).cloned()
        };
        let gone = a.iter().filter(|id| !b.contains(id));
        for id in gone.chain(&b) {
            let (before, after) = (find(old, id), find(new, id));
            path.push(id.clone());
            match (&before, &after) {
                (Some(before), Some(after)) => self.values(at, path, before, after),
                _ => {
                    let side = |value: &Option<Value>| {
                        value.as_ref().map(|value| short(self.words, value))
                    };
                    let sides = (side(&before), side(&after));
                    self.note(at.0, at.1, path, sides);
                }
            }
            path.pop();
        }
        let common = |list: &[String], other: &[String]| -> Vec<String> {
            list.iter().filter(|id| other.contains(id)).cloned().collect()
        };
        let (a, b) = (common(&a, &b), common(&b, &a));
        if a != b {
            path.push(self.words.get("compare.sequence"));
            self.note(at.0, at.1, path, (Some(a.join(", ")), Some(b.join(", "))));
            path.pop();
        }
    }
}

/// What an entry of a list is known by: its own name, or what comes before what.
fn id(kind: Kind, value: &Value) -> Option<String> {
    let text = |field: &str| value.get(field).and_then(Value::as_str);
    if let Some(own) = kind.own_key() {
        return text(own).map(str::to_owned);
    }
    let (first, then) = text("first").zip(text("then"))?;
    Some(format!("{first} before {then}"))
}

/// A value in a few words: of a group the text that tells it from others.
fn short(words: &Words, value: &Value) -> String {
    match value {
        Value::Null => words.get("compare.nothing"),
        Value::Bool(yes) => words.get(if *yes { "compare.yes" } else { "compare.no" }),
        Value::Number(number) => number.to_string(),
        Value::String(text) => figure_written(text).into_owned(),
        Value::Array(list) => {
            list.iter().map(|value| short(words, value)).collect::<Vec<_>>().join("; ")
        }
        Value::Object(fields) => {
            let telling = ["do", "act", "label", "title", "because", "value"];
            let drill = fields.get("drill").and_then(Value::as_object);
            let said = telling.iter().find_map(|name| {
                drill.unwrap_or(fields).get(*name).and_then(Value::as_str)
            });
            said.map_or_else(
                || {
                    let one = |(name, value): (&String, &Value)| {
                        format!("{} {}", name.clone(), short(words, value))
                    };
                    fields.iter().map(one).collect::<Vec<_>>().join(", ")
                },
                str::to_owned,
            )
        }
    }
}
