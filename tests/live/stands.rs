//! Adversaries at the panel: a step that does not stand is not counted, whatever is tapped;
//! and what keeps a sheet from being saved is what its file would be refused for.

use drillwright::authoring::RunReader;
use drillwright::course::{Course, CriticalMark, Drill, Mark, Mode};
use drillwright::practice::live::{Live, LiveKit, sheets};
use drillwright::quiz::Chance;
use drillwright::scoring::{self, Rule, faults, written};
use drillwright::stock;
use serde_json::{Value, json};

use super::Page;
use crate::engine::example;

const MODES: [Mode; 4] =
    [Mode::WalkThrough, Mode::PlainWater, Mode::TrainingFoam, Mode::Agent];

/// Some of the modes, or no word on them.
fn some_modes(chance: &mut Chance) -> Vec<Mode> {
    MODES.into_iter().filter(|_| chance.below(2) == 0).collect()
}

/// The flush, with what each step and each critical needs and where it is seen by chance.
fn conditioned(course: &Course, chance: &mut Chance) -> LiveKit {
    let flush = course.drill("flush").unwrap();
    let mut kit = LiveKit::of_drill(course, flush, &stock::words());
    let drill = &mut kit.drills[0].drill;
    drill.modes = MODES.to_vec();
    // Rigs of the example with a compressor and without one, whatever the drill is for.
    drill.rigs = None;
    kit.rigs = course.rigs.values().cloned().collect();
    let drill = &mut kit.drills[0].drill;
    let needs =
        |chance: &mut Chance| (chance.below(3) == 0).then(|| "compressor".to_owned());
    for step in &mut drill.steps {
        (step.needs, step.modes) = (needs(chance), some_modes(chance));
    }
    for critical in &mut drill.criticals {
        (critical.needs, critical.modes) = (needs(chance), some_modes(chance));
    }
    kit
}

/// Taps what a page shows and what it does not show, and looks the run through.
fn tap_everything(page: &mut Page, drill: &Drill) {
    for step in &drill.steps {
        for mark in ["done", "not-applicable"] {
            page.send(&json!({ "do": "mark", "step": step.id, "mark": mark }));
        }
        page.send(&json!({ "do": "undone", "step": step.id }));
    }
    for critical in &drill.criticals {
        for mark in ["not-seen", "no"] {
            let critical = &critical.id;
            page.send(&json!({ "do": "critical", "critical": critical, "mark": mark }));
        }
    }
    page.ends();
    page.send(&json!({ "do": "rest", "mark": "not-done" }));
}

#[test]
fn nothing_counts_that_does_not_stand_however_it_is_tapped() {
    let course = example();
    let mut chance = Chance::of(&["test", "stands"]);
    let (mut open, mut shut) = (0, 0);
    for turn in 0..24 {
        let kit = conditioned(&course, &mut chance);
        let drill = kit.drills[0].drill.clone();
        let (rig, outlet) = [("engine-7", "crosslay-1"), ("tender-3", "")][turn % 2];
        let mode = *[Mode::TrainingFoam, Mode::PlainWater, Mode::WalkThrough]
            .get(turn % 3)
            .unwrap();
        let mut page = Page::open(kit.clone());
        page.declare(rig);
        page.write("mode", mode.word());
        if outlet.is_empty() {
            let first = course.rigs[rig].outlets[0].id.clone();
            page.write("outlet", &first);
        }
        page.does("begin");
        tap_everything(&mut page, &drill);
        let live = Live::of(kit).unwrap();
        let state = page.log().replay(&live);
        let parts = sheets(&live, &state);
        let [part] = parts.as_slice() else { panic!("one drill") };
        let has = course.rigs[rig].compressor.is_some();
        let fitted = |needs: &Option<String>| needs.is_none() || has;
        let shown = |modes: &[Mode]| modes.is_empty() || modes.contains(&mode);
        for step in drill.steps.iter().filter(|step| step.role == part.sheet.role) {
            let stands = fitted(&step.needs) && shown(&step.modes);
            let mark = part.sheet.marks.get(&step.id);
            let wanted = match (fitted(&step.needs), stands) {
                (false, _) => Some(&Mark::NotApplicable),
                (true, true) => Some(&Mark::Done),
                (true, false) => None,
            };
            assert_eq!(mark, wanted, "{} on {rig} in {mode:?}", step.id);
            assert_eq!(part.sheet.undone.contains(&step.id), stands);
            let line = part.verdict.of_rule(Rule::Step).find(|l| l.subject == step.id);
            let counts = line.is_some_and(|line| line.of > 0);
            assert_eq!(counts, stands && step.weight > 0, "{} in {mode:?}", step.id);
            if stands { open += 1 } else { shut += 1 }
        }
        for critical in drill.criticals.iter().filter(|c| c.role == part.sheet.role) {
            let mark = part.sheet.criticals.get(&critical.id);
            let stands = fitted(&critical.needs) && shown(&critical.modes);
            let wanted = stands.then_some(&CriticalMark::No);
            assert_eq!(mark, wanted, "{}", critical.id);
        }
        assert_eq!(faults(part.kit, &part.sheet), [], "what the page writes is whole");
    }
    assert!(open > 50 && shut > 50, "{open} open, {shut} shut");
}

/// The sentences of a list: what is to be mended before it can be saved, or what is open.
fn listed(turn: &Value, id: &str) -> Vec<String> {
    fn walk(node: &Value, (id, inside): (&str, bool), out: &mut Vec<String>) {
        let inside = inside || node["with"]["id"] == id;
        if inside && node["tag"] == "li" {
            out.push(node["text"].as_str().unwrap_or_default().to_owned());
        }
        for kid in node["kids"].as_array().into_iter().flatten() {
            walk(kid, (id, inside), out);
        }
    }
    let mut out = Vec::new();
    for node in turn["view"]["nodes"].as_array().into_iter().flatten() {
        walk(node, (id, false), &mut out);
    }
    out
}

#[test]
#[expect(clippy::too_many_lines, reason = "one run, asked on both sides")]
fn the_page_and_the_terminal_refuse_a_sheet_for_the_same() {
    let words = stock::words();
    let mut chance = Chance::of(&["test", "page and terminal"]);
    let people = ["moss", "heather", "rowan", "hazel"];
    let (mut refused, mut saved) = (0, 0);
    for turn in 0..40 {
        let ids = ["flush", "startup", "totals", "percent-change"];
        let (course, mut page) = Page::drill(ids[turn % ids.len()]);
        page.declare("engine-7");
        for field in ["crew.nozzle", "evaluator", "safety-officer"] {
            if chance.below(4) == 0 {
                page.write(field, people[chance.place(people.len())]);
            }
        }
        let modes: Vec<Mode> = Live::of(page.kit.clone()).unwrap().modes();
        page.write("mode", modes[chance.place(modes.len())].word());
        page.does("begin");
        let live = Live::of(page.kit.clone()).unwrap();
        let drill = page.kit.drills[0].drill.clone();
        for step in &drill.steps {
            let mark = ["done", "done", "not-done", "prompted"][chance.place(4)];
            page.send(&json!({ "do": "mark", "step": step.id, "mark": mark }));
        }
        let values = ["125", "0.5", "900 kPa", "40.3", "99999", "7 psi", "120 psi"];
        let readings = drill.readings.iter().map(|one| format!("reading.{}", one.id));
        let measures = drill.measures.iter().map(|one| format!("measure.{}", one.id));
        for field in readings.chain(measures) {
            if chance.below(3) == 0 {
                let text = values[chance.place(values.len())];
                page.write(&format!("{}/{field}", drill.id), text);
            }
        }
        if chance.below(2) == 0 {
            page.write(&format!("{}/taken", drill.id), ["48.3", "50"][chance.place(2)]);
        }
        page.ends();
        if chance.below(2) == 0 {
            for step in &drill.steps {
                if chance.below(2) == 0 {
                    page.send(&json!({ "do": "order", "step": step.id }));
                }
            }
        }
        let seen = page.does("show");
        let state = page.log().replay(&live);
        let parts = sheets(&live, &state);
        let [part] = parts.as_slice() else { panic!("one drill") };
        let all = faults(part.kit, &part.sheet);
        let says = |asks: bool| {
            let of = all.iter().filter(|fault| fault.asks == asks);
            let mut says: Vec<String> =
                of.map(|fault| fault.says(live.words())).collect();
            says.dedup();
            says
        };
        assert_eq!(listed(&seen, "faults"), says(false), "{:#?}", part.sheet);
        assert_eq!(listed(&seen, "open"), says(true), "{:#?}", part.sheet);
        let text = written(&part.sheet, None, &[]).unwrap().to_string();
        let found = RunReader::new(&course, &words, None).read(&text, "run.json").1;
        let asked = scoring::open(part.kit, &part.sheet).len();
        assert_eq!(found.len(), all.len() + asked, "{found:#?}\n{all:#?}\n{text}");
        let refuses = all.iter().any(|fault| !fault.asks);
        let file = page.does("save")["file"].is_array();
        assert_eq!(file, !refuses, "{all:#?}");
        if file { saved += 1 } else { refused += 1 }
    }
    assert!(refused > 8 && saved > 3, "{refused} refused, {saved} saved");
}
