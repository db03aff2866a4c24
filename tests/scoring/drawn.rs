//! Numbered sheets (rule 41): what is drawn can be followed, what is to be refused must be, and
//! what stands on a sheet is what `score` works out.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use drillwright::course::{
    Course, Draw, DrawnOutlet, Meaning, Mode, RunSheet, foam_outlets,
};
use drillwright::page::Node;
use drillwright::page::sheet::{Bench, House, numbered};
use drillwright::quantity::{Fraction, Quantity, find};
use drillwright::quiz;
use drillwright::scoring::{
    Decision, DrawnSheet, Kit, NoSheets, Outcome, Rule, Verdict, day_tables,
    drawn_sheets, expectation, faults, fuels, most_percent, most_sheets, runs_on, score,
};
use drillwright::stock;
use drillwright::words::Words;

use super::example::example;
use super::fixture::q;
use super::sheets::{honest, in_mode};

pub(super) const SEED: &str = "ladder onion gravel pencil otter velvet";

/// The district and the sentences, read once: many sheets are drawn from them.
pub(super) fn district() -> &'static (Course, Words) {
    static DISTRICT: OnceLock<(Course, Words)> = OnceLock::new();
    DISTRICT.get_or_init(|| (example(), stock::words()))
}

/// Every drill that draws something, on every rig that it is for.
fn drawing(course: &Course, words: &Words) -> Vec<Kit> {
    let drills = course.drills.iter().filter(|drill| drill.drawn.is_some());
    let kits = drills.flat_map(|drill| {
        let rigs = course.rigs.values().filter(|rig| runs_on(rig, drill));
        rigs.map(|rig| Kit::of(course, drill, rig, words).unwrap())
    });
    kits.collect()
}

pub(super) fn kit(course: &Course, words: &Words, drill: &str, rig: &str) -> Kit {
    Kit::of(course, course.drill(drill).unwrap(), &course.rigs[rig], words).unwrap()
}

pub(super) fn first(
    course: &Course,
    words: &Words,
    kit: &Kit,
    seed: &str,
    count: u32,
) -> Vec<DrawnSheet> {
    let at = quiz::Kit::of(course, words);
    drawn_sheets(kit, at, seed, count).unwrap()
}

/// An honest run by a numbered sheet, in a mode in which what was drawn counts.
pub(super) fn run_by(kit: &Kit, form: &DrawnSheet) -> RunSheet {
    let outlet = form
        .outlet
        .clone()
        .unwrap_or_else(|| foam_outlets(kit.rig()).next().unwrap().id.clone());
    let mut sheet = honest(kit, "operator", &outlet);
    sheet.form = Some(form.code.clone());
    sheet.readings.extend(form.readings.clone());
    // The fuel for which the label has the percent that was drawn.
    let drawn = sheet.readings.get("percent-ordered").copied();
    let allows = |entry: &&drillwright::course::Allowed| {
        drawn.is_some_and(|drawn| drawn.base().compare(entry.from.base()).is_eq())
    };
    if let Some(entry) = fuels(kit).into_iter().find(allows) {
        sheet.fuel = Some(entry.fuel.clone());
    }
    // Totals of the day are those of the percent that was drawn.
    let in_use = form.readings.get("percent-set");
    if let Some(percent) = in_use.filter(|_| sheet.readings.contains_key("foam-used")) {
        let foam = percent.number().mul(Fraction::whole(8)).unwrap();
        sheet
            .readings
            .insert("foam-used".into(), Quantity::new(foam, find("gal").unwrap()));
        sheet.readings.insert("water-used".into(), q("800 gal"));
    }
    let plan = kit.drill().drawn.as_ref().unwrap();
    let mode = plan.modes.iter().rev().find(|mode| kit.drill().modes.contains(mode));
    let mode = mode.copied().unwrap_or(sheet.mode);
    in_mode(kit, &mut sheet, mode);
    sheet
}

fn set(kit: &Kit) -> Option<&str> {
    let mut measures = kit.drill().measures.iter();
    measures.find(|one| one.is == Some(Meaning::PercentSet)).map(|one| one.id.as_str())
}

/// Lines that speak against a run.
fn against(verdict: &Verdict) -> Vec<String> {
    // What a dry mode cannot show is left open by the mode, not by the numbers.
    let shown = verdict.lines.iter().filter(|line| line.decision != Decision::InPart);
    let bad = shown.filter(|line| line.decision.against() && line.rule != Rule::Result);
    bad.map(|line| line.sentence.clone()).collect()
}

#[test]
fn rule_41_what_is_drawn_can_be_followed_and_nothing_speaks_against_it() {
    let (course, words) = district();
    let mut looked_at = 0;
    for kit in drawing(course, words) {
        // As many as every drill has: of the purge there are two.
        let count = if kit.drill().readings.is_empty() { 2 } else { 5 };
        for seed in [SEED, "one", "two"] {
            for form in first(course, words, &kit, seed, count) {
                let sheet = run_by(&kit, &form);
                assert_eq!(faults(&kit, &sheet), [], "{form:?}");
                let verdict = score(&kit, &sheet);
                let bad = against(&verdict);
                assert!(bad.is_empty(), "{form:?} {bad:?}");
                looked_at += 1;
            }
        }
    }
    assert!(looked_at > 150, "{looked_at}");
}

#[test]
fn rule_41_an_order_to_be_refused_fails_whoever_sets_it_at_any_flow_of_the_line() {
    let (course, words) = district();
    let mut refused = 0;
    for kit in drawing(course, words) {
        let Some(percent_set) = set(&kit) else { continue };
        if kit.drill().drawn.as_ref().unwrap().refused.is_none() {
            continue;
        }
        for form in first(course, words, &kit, SEED, 40) {
            let impossible = form.refused.unwrap();
            let outlet = kit.rig().outlet(form.outlet.as_ref().unwrap()).unwrap();
            for flow in [outlet.least_flow, Some(outlet.flow), outlet.most_flow] {
                let mut sheet = run_by(&kit, &form);
                let flows = kit.drill().readings.iter();
                let flows = flows.filter(|one| one.is == Some(Meaning::Flow));
                for reading in flows {
                    sheet.readings.insert(reading.id.clone(), flow.unwrap());
                }
                in_mode(&kit, &mut sheet, Mode::TrainingFoam);
                // As it is drawn, and then with the other percent at the panel.
                assert_ne!(score(&kit, &sheet).outcome, Outcome::NotMet, "{form:?}");
                sheet.measures.insert(percent_set.to_owned(), impossible);
                let verdict = score(&kit, &sheet);
                assert_eq!(verdict.outcome, Outcome::NotMet, "{form:?}");
                let limit = verdict.of_rule(Rule::Limit);
                let by_unit = limit.filter(|line| line.decision == Decision::Fails);
                assert!(by_unit.count() > 0, "{form:?}");
                refused += 1;
            }
        }
    }
    assert_eq!(refused, 120);
}

#[test]
fn rule_41_no_two_sheets_of_a_seed_have_the_same_numbers_and_it_is_known_how_many_there_are()
 {
    let (course, words) = district();
    let at = quiz::Kit::of(course, words);
    for kit in drawing(course, words) {
        // The larger grids are told by the ones that can be counted quickly.
        let plan = kit.drill().drawn.as_ref().unwrap();
        let small = plan.readings.len() < 2;
        let most = small.then(|| most_sheets(&kit, at).unwrap());
        let count = u32::try_from(most.unwrap_or(60).min(200)).unwrap();
        let sheets = first(course, words, &kit, SEED, count);
        let numbers = |sheet: &DrawnSheet| {
            let values: Vec<String> =
                sheet.readings.values().map(Quantity::printed).collect();
            (sheet.outlet.clone(), values, sheet.refused.map(|value| value.printed()))
        };
        let all: BTreeSet<_> = sheets.iter().map(numbers).collect();
        assert_eq!(all.len(), sheets.len(), "{}", kit.drill().id);
        let codes: BTreeSet<_> = sheets.iter().map(|sheet| &sheet.code).collect();
        assert_eq!(codes.len(), sheets.len());
        // More of them leave the first ones as they were.
        let few = first(course, words, &kit, SEED, count.div_ceil(2));
        assert_eq!(few[..], sheets[..few.len()]);
        // One more than there are is told with their number.
        let Some(most) = most.filter(|most| *most < 200) else { continue };
        let more = u32::try_from(most).unwrap() + 1;
        let none = drawn_sheets(&kit, at, SEED, more).unwrap_err();
        assert_eq!(none, NoSheets::Only(most), "{}", kit.drill().id);
    }
    let change = kit(course, words, "percent-change", "engine-7");
    assert!(most_sheets(&change, at).unwrap() >= 200);
}

#[test]
fn rule_41_one_sheet_has_no_number_of_the_one_before_it() {
    let (course, words) = district();
    let change = kit(course, words, "percent-change", "engine-7");
    let sheets = first(course, words, &change, SEED, 60);
    for pair in sheets.windows(2) {
        assert_ne!(pair[0].outlet, pair[1].outlet);
        assert_ne!(pair[0].readings, pair[1].readings);
        assert_ne!(pair[0].refused, pair[1].refused);
    }
    let other = first(course, words, &change, "another seed", 60);
    assert!(sheets.iter().zip(&other).any(|(one, other)| one.readings != other.readings));
}

/// All texts of some nodes.
fn texts(nodes: &[Node], out: &mut Vec<String>) {
    for node in nodes {
        out.push(node.text.clone());
        texts(&node.kids, out);
    }
}

#[test]
fn rule_41_what_a_sheet_prints_is_what_score_works_out() {
    let (course, words) = district();
    let mut compared = 0;
    for kit in drawing(course, words) {
        let house = House::of(course, &[kit.drill()]);
        let bench = Bench { house: &house, people: &[], words };
        for form in first(course, words, &kit, SEED, 2) {
            let sides = numbered(bench, &kit, &form);
            // Code, name, cautions and the deference sentence stand on every side.
            for (at, side) in sides.iter().enumerate() {
                let mut all = Vec::new();
                texts(std::slice::from_ref(side), &mut all);
                let text = all.join("\n");
                let page = format!("page {} of {}", at + 1, sides.len());
                let caution = &house.gravest(&[kit.drill()])[0].headline;
                for wanted in [
                    &form.code,
                    &kit.drill().title,
                    caution,
                    &page,
                    "Local procedures, the maker's manual and the officer in charge decide.",
                ] {
                    assert!(text.contains(wanted), "{}: {wanted}", kit.drill().id);
                }
            }
            let mut all = Vec::new();
            texts(&sides, &mut all);
            let sheet = run_by(&kit, &form);
            let outlet = sheet.outlet.as_str();
            for measure in &kit.drill().measures {
                // What rests on the day alone stands in a table or is written in.
                let Ok(expected) = expectation(&kit, measure, outlet, &form.readings)
                else {
                    continue;
                };
                assert!(all.contains(&expected.text), "{}: {expected:?}", kit.drill().id);
                assert!(all.contains(&expected.band), "{}: {expected:?}", kit.drill().id);
                let verdict = score(&kit, &sheet);
                for line in verdict.about(&measure.id) {
                    let wanted = line.expected.is_empty() || {
                        line.expected.contains(&expected.band)
                    };
                    assert!(wanted, "{line:?}");
                    compared += 1;
                }
            }
            let plan = kit.drill().drawn.as_ref().unwrap();
            if let Some(refused) = &plan.refused {
                assert!(
                    all.contains(&form.refused.unwrap().printed()),
                    "{}",
                    refused.label
                );
                let outlet = kit.rig().outlet(outlet).unwrap();
                let most = most_percent(&kit, outlet).unwrap();
                assert!(all.contains(&most.printed()));
            }
        }
    }
    assert!(compared > 10, "{compared}");
}

#[test]
fn rule_41_no_cell_of_a_table_says_more_time_than_there_is_and_none_asks_for_too_little()
{
    let (course, words) = district();
    let change = kit(course, words, "percent-change", "engine-7");
    let mut cells = 0;
    for form in first(course, words, &change, SEED, 6) {
        let outlet = form.outlet.clone().unwrap();
        let tables = day_tables(&change, &outlet, &form.readings);
        assert_eq!(tables.len(), 3);
        let lines = [
            (0, "foam-left", "water-left", "720 gal"),
            (1, "water-left", "foam-left", "28 gal"),
        ];
        for (table, own, other, full) in lines {
            let twin = &tables[1 - table];
            let table = &tables[table];
            assert_eq!((table.columns.len(), table.rows.len()), (3, 5));
            for (level, row) in &table.rows {
                for (flow, cell) in table.columns.iter().zip(row.iter().flatten()) {
                    // Both tanks beside one another: the smaller of the two tables counts.
                    let mut sheet = run_by(&change, &form);
                    sheet.readings.insert(own.into(), q(level));
                    sheet.readings.insert(other.into(), q(full));
                    sheet.readings.insert("supply".into(), q("0 gpm"));
                    for reading in ["flow-read", "line-flow"] {
                        sheet.readings.insert(reading.into(), q(flow));
                    }
                    let full_row = &twin.rows[0].1;
                    let at = table.columns.iter().position(|one| one == flow).unwrap();
                    let both = [q(cell), q(full_row[at].as_ref().unwrap())];
                    let least = if both[0].number() < both[1].number() {
                        both[0]
                    } else {
                        both[1]
                    };
                    sheet.measures.insert("minutes-told".into(), least);
                    let verdict = score(&change, &sheet);
                    let told: Vec<_> = verdict.about("minutes-told").collect();
                    let kept = told.iter().all(|line| line.decision == Decision::Kept);
                    assert!(
                        kept && !told.is_empty(),
                        "{level} {flow} {least:?}: {told:?}"
                    );
                    let limits = verdict.of_rule(Rule::Limit);
                    assert!(
                        !limits.into_iter().any(|line| line.decision == Decision::Fails)
                    );
                    cells += 1;
                }
            }
        }
    }
    assert_eq!(cells, 180);
}

#[test]
fn a_plan_of_the_example_names_only_what_its_drill_reads() {
    let (course, _) = district();
    let drawn =
        course.drills.iter().filter_map(|drill| Some((drill, drill.drawn.as_ref()?)));
    let mut count = 0;
    for (drill, plan) in drawn {
        for (id, draw) in &plan.readings {
            assert!(drill.readings.iter().any(|one| one.id == *id), "{}: {id}", drill.id);
            assert!(matches!(draw, Draw::Of(_) | Draw::Spread(_)), "{}: {id}", drill.id);
        }
        assert!(plan.outlet != Some(DrawnOutlet::Air) || drill.needs.is_some());
        count += 1;
    }
    // Nothing is ordered where a rig is exercised or looked over.
    let none: Vec<&str> = course
        .drills
        .iter()
        .filter(|drill| drill.drawn.is_none())
        .map(|drill| drill.id.as_str())
        .collect();
    assert_eq!((count, none), (11, vec!["exercise", "inspection"]));
}
