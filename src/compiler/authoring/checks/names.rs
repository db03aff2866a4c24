//! Names that point to something: is it there, and only once?

use std::collections::BTreeMap;

use super::index::Names;
use super::{Checked, Spot, nearest};
use crate::course::NEEDS;
use crate::findings::{Code, Finding};

/// Lists within one file whose entries have a name of their own: file, path, key, kind.
const INNER: &[(&str, &str, &str, &str)] = &[
    ("drills/", "roles", "role", "roles"),
    ("drills/", "steps", "step", "steps"),
    ("drills/", "criticals", "critical", "criticals"),
    ("drills/", "readings", "reading", "readings"),
    ("drills/", "measures", "measure", "measures"),
    ("rigs/", "tanks", "tank", "tanks"),
    ("rigs/", "outlets", "outlet", "outlets"),
    ("rigs/", "returns", "path", "return paths"),
    ("rigs/", "eductors", "eductor", "eductors"),
    ("module.yaml", "chains", "chain", "chains"),
];

/// Two entries of one list, or two questions of the module, with one name.
pub(super) fn doubles(checked: &Checked<'_>) {
    for (folder, list, key, kind) in INNER {
        for sheet in checked.folder(folder) {
            twice(
                checked,
                kind,
                sheet.at(*list).items().iter().map(|item| item.at(*key)),
            );
        }
    }
    // Over all sets together: a lesson calls a question by this name and by no set.
    let sets = checked.folder("questions/");
    let questions = sets.iter().flat_map(|set| set.at("questions").items());
    twice(checked, "questions", questions.map(|question| question.at("question")));
    // An example is called in its own lesson, so only there its name must be one.
    for lesson in checked.file("module.yaml").at("lessons").items() {
        let examples = lesson.at("examples").items();
        twice(checked, "examples", examples.iter().map(|item| item.at("example")));
    }
}

fn twice<'c>(checked: &Checked<'c>, kind: &str, spots: impl Iterator<Item = Spot<'c>>) {
    let mut seen: BTreeMap<&str, String> = BTreeMap::new();
    for spot in spots {
        let Some(id) = spot.text() else { continue };
        if let Some(other) = seen.get(id) {
            let finding = Finding::at(Code::DuplicateId, spot.place());
            let finding = finding.with("kind", kind).with("id", id);
            checked.note(finding.with("other", other.clone()));
        } else {
            seen.insert(id, spot.file().to_owned());
        }
    }
}

/// Names in `module.yaml`.
pub(super) fn module(checked: &Checked<'_>) {
    let head = checked.file("module.yaml");
    for lesson in head.at("lessons").items() {
        checked.refer_all("objective", &lesson.at("objectives"));
        checked.refer_all("caution", &lesson.at("cautions"));
        checked.refer_all("topic", &lesson.at("local"));
    }
    for chain in head.at("chains").items() {
        checked.refer_all("drill", &chain.at("drills"));
    }
}

/// Names in drills.
pub(super) fn drills(checked: &Checked<'_>) {
    for drill in checked.folder("drills/") {
        checked.refer_all("objective", &drill.at("objectives"));
        checked.refer_all("caution", &drill.at("cautions"));
        checked.refer_all("topic", &drill.at("local"));
        needs(checked, &drill);
        let roles = roles(checked, &drill);
        let steps = Names::of(drill.at("steps").ids("step"));
        for step in drill.at("steps").items() {
            checked.listed("role", &roles, &step.at("role"));
            checked.refer("topic", &step.at("local"));
            needs(checked, &step);
        }
        let cues = Names::of(drill.at("cues").ids("cue"));
        let measures = Names::of(drill.at("measures").ids("measure"));
        for step in drill.at("steps").items() {
            checked.listed("cue", &cues, &step.at("cue"));
        }
        for cue in drill.at("cues").items() {
            needs(checked, &cue);
        }
        checked.refer_all("rig", &drill.at("for").at("rigs"));
        for critical in drill.at("criticals").items() {
            checked.listed("role", &roles, &critical.at("role"));
            needs(checked, &critical);
            for link in critical.at("links").items() {
                for field in ["order", "answered-by", "holds"] {
                    checked.listed("step", &steps, &link.at(field));
                }
                for step in link.at("then").items() {
                    checked.listed("step", &steps, &step);
                }
                checked.listed("cue", &cues, &link.at("cue"));
                checked.listed("measure", &measures, &link.at("limit"));
            }
        }
        for rule in drill.at("order").items() {
            checked.listed("step", &steps, &rule.at("first"));
            checked.listed("step", &steps, &rule.at("then"));
        }
        for measure in drill.at("measures").items() {
            checked.listed("step", &steps, &measure.at("step"));
        }
        drawn(checked, &drill, &measures);
    }
}

/// The roles of a drill. Where one is misspelled in the list, every step that names it right would be
/// told as wrong: then the list is told instead, once.
fn roles(checked: &Checked<'_>, drill: &Spot<'_>) -> Names {
    let list = drill.at("roles");
    let own = list.ids("role");
    let named: Vec<String> = ["steps", "criticals"]
        .iter()
        .flat_map(|list| drill.at(*list).ids("role"))
        .collect();
    let mut unknown: Vec<&String> =
        named.iter().filter(|name| !own.contains(*name)).collect();
    unknown.sort();
    unknown.dedup();
    let idle: Vec<String> =
        own.iter().filter(|id| !named.contains(*id)).cloned().collect();
    // Two slips in the list, or one in a step, are told where the names are used.
    if let [name] = unknown.as_slice()
        && let Some(slip) = crate::words::nearest(name, idle.iter().map(String::as_str))
    {
        let count = named.iter().filter(|other| other == name).count();
        let finding =
            Finding::at(Code::RoleUnnamed, list.entry("role", &slip).at("role").place());
        let finding = finding.with("role", slip.clone()).with("named", (*name).clone());
        checked.note(finding.with("count", count.to_string()));
        let mended =
            own.iter().map(|id| if *id == slip { (*name).clone() } else { id.clone() });
        return Names::of(mended.collect());
    }
    Names::of(own)
}

/// Readings and measured values that are drawn for sheets.
fn drawn<'c>(checked: &Checked<'c>, drill: &Spot<'c>, measures: &Names) {
    let spot = drill.at("drawn");
    let readings = Names::of(drill.at("readings").ids("reading"));
    for id in spot.at("readings").keys() {
        let finding = Finding::at(Code::UnknownId, spot.at("readings").at(id).key());
        checked.named("reading", &readings, id, finding);
    }
    for table in spot.at("tables").items() {
        checked.listed("measure", measures, &table.at("measure"));
        checked.listed("reading", &readings, &table.at("down").at("reading"));
        for reading in table.at("across").items() {
            checked.listed("reading", &readings, &reading);
        }
        for id in table.at("with").keys() {
            let finding = Finding::at(Code::UnknownId, table.at("with").at(id).key());
            checked.named("reading", &readings, id, finding);
        }
    }
}

fn needs(checked: &Checked<'_>, spot: &Spot<'_>) {
    let spot = spot.at("needs");
    // What nobody knows how to look for counts as there, so a
    // misspelled need would be no need.
    let Some(word) =
        spot.text().filter(|word| !NEEDS.iter().any(|(known, _)| known == word))
    else {
        return;
    };
    let known: Vec<String> = NEEDS.iter().map(|(need, _)| (*need).to_owned()).collect();
    let finding = Finding::at(Code::UnknownWord, spot.place()).with("found", word);
    let finding = finding.with("nearest", nearest(word, &known)).with("field", "needs");
    checked.note(finding.with("words", known.join(", ")));
}

/// Concentrates in rigs, and the lines and tanks of eductors: one that is on no line of that name
/// would pass for one that has none.
pub(super) fn rigs(checked: &Checked<'_>) {
    for rig in checked.folder("rigs/") {
        let outlets = rig.at("outlets").ids("outlet");
        let tanks = rig.at("tanks").ids("tank");
        for eductor in rig.at("eductors").items() {
            checked.among("outlet", &outlets, &eductor.at("outlet"));
            checked.among("tank", &tanks, &eductor.at("draws-from"));
            checked.refer("concentrate", &eductor.at("product"));
        }
        for tank in rig.at("tanks").items() {
            checked.refer("concentrate", &tank.at("concentrate"));
        }
    }
}

/// Names in question sets.
pub(super) fn questions(checked: &Checked<'_>) {
    for set in checked.folder("questions/") {
        checked.refer_all("caution", &set.at("cautions"));
        for question in set.at("questions").items() {
            checked.refer("objective", &question.at("objective"));
            checked.refer("rig", &question.at("rig"));
            checked.refer("drill", &question.at("drill"));
            outlet(checked, &question);
            drawn_lines(checked, &question.at("draw"));
            let Some(drill) = question.at("drill").text() else { continue };
            let steps = checked.file(format!("drills/{drill}.yaml")).at("steps");
            // Of a drill that could not be read nobody knows the steps.
            if steps.node().is_some() {
                let known = Names::of(steps.ids("step"));
                for step in question.at("steps").items() {
                    checked.listed("step", &known, &step);
                }
            }
        }
    }
}

fn outlet<'c>(checked: &Checked<'c>, question: &Spot<'c>) {
    let Some(rig) = question.at("rig").text() else { return };
    let outlets = checked.file(format!("rigs/{rig}.yaml")).at("outlets");
    if outlets.node().is_some() {
        checked.among("outlet", &outlets.ids("outlet"), &question.at("outlet"));
    }
}

/// `foam line of RIG`.
fn drawn_lines(checked: &Checked<'_>, draws: &Spot<'_>) {
    let Some(rigs) = checked.known("rig") else { return };
    for name in draws.keys() {
        let spot = draws.at(name);
        if let Some(rig) = spot.text().and_then(|text| text.strip_prefix("foam line of "))
        {
            let finding = Finding::at(Code::UnknownId, spot.place());
            checked.named("rig", &rigs, rig.trim(), finding);
        }
    }
}
