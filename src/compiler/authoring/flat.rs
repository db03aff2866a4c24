//! Files of run sheets → one tree for each run of one drill by one candidate.
//!
//! A file holds one run or a list of them, as YAML, as JSON, or as a table. A run of a chain
//! has its drills in a list and the rest above it; a run of several candidates names them by
//! role. Both are laid out flat here, every value at the place where it was written.

use std::path::Path;

use super::bounded::{MOST_RUNS, MOST_TOGETHER, given_up};
use super::table;
use super::tree::Trees;
use super::yaml;
use crate::course::{CriticalMark, CueMark, Mark};
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Day, Moment};
use crate::wire::{Key, Node, Shape};

/// Fields that each candidate of a crew may have for himself, by role. A group that says `what`
/// is one remediation of all of them.
pub(super) const BY_ROLE: &[&str] = &["attempt", "remediation", "words"];

/// One run of one drill by one candidate, as it is written.
#[derive(Debug)]
pub(super) struct Flat {
    pub(super) file: String,
    /// The file as if it held this run alone.
    pub(super) trees: Trees,
}

impl Flat {
    pub(super) fn node(&self) -> Option<&Node> {
        self.trees.get(&self.file)
    }
}

/// Whether a file's name is that of a table.
pub(super) fn is_table(file: &str) -> bool {
    ends(file, "csv")
}

/// Whether a name ends so, in small letters or capitals.
pub(super) fn ends(file: &str, ending: &str) -> bool {
    Path::new(file).extension().is_some_and(|end| end.eq_ignore_ascii_case(ending))
}

/// The runs of a file.
pub(super) fn flats(file: &str, text: &str) -> Result<Vec<Flat>, Finding> {
    let node =
        if is_table(file) { table::read(file, text)? } else { yaml::read(file, text)? };
    let runs = match node.shape {
        Shape::List(items) => items,
        _ => vec![node],
    };
    // An empty list can be read and says nothing: told, or
    // somebody would wait for its verdicts.
    if runs.is_empty() {
        let place = Place { file: file.to_owned(), start: 0, end: 0 };
        return Err(Finding::at(Code::Empty, place).with("field", file));
    }
    if let Some((what, place)) = too_many(file, &runs) {
        // words: too-much.{runs|together}
        return Err(given_up(what, place));
    }
    let parts =
        runs.into_iter().flat_map(parts).flat_map(candidates).map(in_small_letters);
    let flat = |node| Flat { file: file.to_owned(), trees: Trees::of(file, node) };
    Ok(parts.map(flat).collect())
}

/// Marks as they are ticked, in the letters of the file: paper prints YES, and who types that means
/// what the box says. An act is not lost for its capitals.
fn in_small_letters(mut run: Node) -> Node {
    fn known<W>(words: &[(&str, W)], text: &str) -> bool {
        words.iter().any(|(word, _)| *word == text)
    }
    let Shape::Map(fields) = &mut run.shape else { return run };
    for (field, node) in fields {
        let is_mark: fn(&str) -> bool = match field.text.as_str() {
            "marks" => |text: &str| known(Mark::ALL, text),
            "criticals" => |text: &str| known(CriticalMark::ALL, text),
            "cues" => |text: &str| known(CueMark::ALL, text),
            _ => continue,
        };
        let Shape::Map(marks) = &mut node.shape else { continue };
        for (_, mark) in marks {
            let Shape::Text(text) = &mut mark.shape else { continue };
            let small = text.to_ascii_lowercase();
            if is_mark(&small) {
                *text = small;
            }
        }
    }
    run
}

/// What there is more of than is read, and where: looked at before anything is copied out.
fn too_many(file: &str, runs: &[Node]) -> Option<(&'static str, Place)> {
    let at =
        |node: &Node| Place { file: file.to_owned(), start: node.start, end: node.end };
    let mut sheets = 0;
    for run in runs {
        let drills = run.child("drills").map_or(1, items);
        let above = run.child("candidate").map_or(1, items);
        let below = match run.child("drills").map(|node| &node.shape) {
            Some(Shape::List(all)) => {
                all.iter().filter_map(|drill| drill.child("candidate")).map(items).max()
            }
            _ => None,
        };
        let people = above.max(below.unwrap_or(1));
        if drills > MOST_TOGETHER || people > MOST_TOGETHER {
            return Some(("together", at(run)));
        }
        // As many as there can be.
        sheets += drills.max(1) * people.max(1);
        if sheets > MOST_RUNS {
            return Some(("runs", at(run)));
        }
    }
    None
}

/// How many a list or a group has.
fn items(node: &Node) -> usize {
    match &node.shape {
        Shape::List(items) => items.len(),
        Shape::Map(fields) => fields.len(),
        Shape::Text(_) | Shape::Nothing => 1,
    }
}

/// The drills of a chain, each with what stands above the list.
fn parts(run: Node) -> Vec<Node> {
    let Some(Shape::List(drills)) = run.child("drills").map(|node| node.shape.clone())
    else {
        return vec![run];
    };
    // A list of nothing is a run without a drill: left as it is it is told, and what happened in it
    // is not lost.
    if drills.is_empty() {
        return vec![run];
    }
    let Shape::Map(head) = run.shape else { return Vec::new() };
    let part = |mut node: Node| {
        if let Shape::Map(fields) = &mut node.shape {
            let own: Vec<String> =
                fields.iter().map(|(key, _)| key.text.clone()).collect();
            // What a drill of the chain says for itself goes before
            // what stands above the list.
            let above = |(key, _): &&(Key, Node)| {
                key.text != "drills" && !own.contains(&key.text)
            };
            fields.extend(head.iter().filter(above).cloned());
        }
        node
    };
    drills.into_iter().map(part).collect()
}

/// The candidates of a run, each with the others as crew.
fn candidates(run: Node) -> Vec<Node> {
    let Some(Shape::Map(people)) = run.child("candidate").map(|node| node.shape.clone())
    else {
        return vec![run];
    };
    // As with the drills: nobody is no candidate, and that is told.
    if people.is_empty() {
        return vec![run];
    }
    people.iter().map(|one| of_one(&run, one, &people)).collect()
}

fn of_one(run: &Node, (role, person): &(Key, Node), all: &[(Key, Node)]) -> Node {
    let attempts = run.child("attempt").cloned();
    let mut run = run.clone();
    let Shape::Map(fields) = &mut run.shape else { return run };
    for (key, node) in fields.iter_mut() {
        if key.text == "candidate" {
            *node = person.clone();
        } else if BY_ROLE.contains(&key.text.as_str())
            && let Shape::Map(values) = &node.shape
            && !values.iter().any(|(key, _)| key.text == "what")
        {
            // Who is not named in the group has none of it, and not that of another.
            let own = values.iter().find(|(key, _)| key.text == role.text);
            let nothing = Node { shape: Shape::Nothing, ..node.clone() };
            *node = own.map_or(nothing, |(_, value)| value.clone());
        }
    }
    let nothing = |(key, node): &(Key, Node)| {
        BY_ROLE.contains(&key.text.as_str()) && node.shape == Shape::Nothing
    };
    fields.retain(|field| !nothing(field));
    if lesson_of_others(fields)
        && all.iter().any(|other| retest(attempts.as_ref(), &other.0.text))
    {
        fields.retain(|(key, _)| key.text != "remediation");
    }
    let (start, end) = (role.start, role.end);
    let name = Node { start, end, shape: Shape::Text(role.text.clone()) };
    fields.push((Key { text: "role".into(), start, end }, name));
    // The other candidates stand at their posts in this run too (rule 26).
    let others = all.iter().filter(|(key, _)| key.text != role.text).cloned();
    let crew = fields.iter_mut().find(|(key, _)| key.text == "crew");
    match crew {
        Some((_, Node { shape: Shape::Map(crew), .. })) => {
            others.for_each(|other| stands_too(crew, other));
        }
        // A crew that is no group of names is told when it is read.
        Some(_) => {}
        None => {
            let shape = Shape::Map(others.collect());
            let crew = Node { start, end, shape };
            fields.push((Key { text: "crew".into(), start, end }, crew));
        }
    }
    run
}

/// Whether one of a crew comes a second time.
fn retest(attempts: Option<&Node>, role: &str) -> bool {
    let own = attempts.and_then(|attempts| attempts.child(role)?.text());
    own.and_then(|text| text.trim().parse::<u32>().ok()).is_some_and(|tried| tried > 1)
}

/// Whether a lesson that stands once for a crew was before the run and so is none of this candidate's,
/// whose first try it is: it is that of whoever comes again. One that came after the run is of all.
fn lesson_of_others(fields: &[(Key, Node)]) -> bool {
    let of = |name: &str| fields.iter().find(|(key, _)| key.text == name);
    let text = |name: &str| of(name).and_then(|(_, node)| node.text());
    let first = text("attempt").is_some_and(|text| text.trim() == "1");
    let lesson = of("remediation").and_then(|(_, node)| node.child("on")?.text());
    let days =
        lesson.and_then(Day::read).zip(text("performed-at").and_then(Moment::read));
    first && days.is_some_and(|(lesson, run)| lesson < run.day())
}

/// Somebody more of a crew; where another holds the same role already, beside him.
fn stands_too(crew: &mut Vec<(Key, Node)>, (role, person): (Key, Node)) {
    let Some((_, held)) = crew.iter_mut().find(|(key, _)| key.text == role.text) else {
        crew.push((role, person));
        return;
    };
    let mut all = match &held.shape {
        Shape::List(people) => people.clone(),
        _ => vec![held.clone()],
    };
    all.push(person);
    held.shape = Shape::List(all);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(flat: &Flat, path: &[&str]) -> String {
        let mut node = flat.node().unwrap();
        for part in path {
            let Some(child) = node.child(part) else { return String::new() };
            node = child;
        }
        node.text().unwrap_or_default().to_owned()
    }

    #[test]
    fn a_chain_of_two_candidates_is_four_runs() {
        let text = "run: r\nchain: c\ncandidate: {operator: a, nozzle: b}\nattempt: {nozzle: 2}\n\
                    crew: {officer: o}\ndrills:\n- drill: one\n- drill: two\n  attempt: 3\n";
        let flats = flats("f.yaml", text).unwrap();
        let told: Vec<String> = flats
            .iter()
            .map(|flat| {
                let paths: [&[&str]; 6] = [
                    &["drill"],
                    &["candidate"],
                    &["role"],
                    &["attempt"],
                    &["crew", "nozzle"],
                    &["crew", "officer"],
                ];
                paths.map(|path| said(flat, path)).join(" ")
            })
            .collect();
        assert_eq!(
            told,
            [
                "one a operator  b o",
                "one b nozzle 2  o",
                "two a operator 3 b o",
                "two b nozzle 3  o"
            ]
        );
    }
}
