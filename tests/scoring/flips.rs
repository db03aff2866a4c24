//! One changed field of a run that met the standard changes the verdict, or a line that
//! names what was changed.

use drillwright::course::{
    CriticalMark, Mark, Mode, RunSheet, RunUse, Stop, StopCause, TimeTaken,
};
use drillwright::scoring::{Kit, Outcome, Verdict, score};

use super::fixture::{chain, clean, kit, q, yard};

type Flip = (String, RunSheet);

fn flipped(
    sheet: &RunSheet,
    name: impl Into<String>,
    change: impl FnOnce(&mut RunSheet),
) -> Flip {
    let mut other = sheet.clone();
    change(&mut other);
    (name.into(), other)
}

/// Changes that a line must name, by the subject of that line.
fn flips(kit: &Kit, sheet: &RunSheet) -> Vec<Flip> {
    let mut out = flipped_marks(kit, sheet);
    out.extend(flipped_values(sheet));
    out.extend(flipped_order(kit, sheet));
    out.extend(flipped_run(sheet));
    out
}

fn flipped_marks(kit: &Kit, sheet: &RunSheet) -> Vec<Flip> {
    let mut out = Vec::new();
    let marks = [Mark::Prompted, Mark::NotDone, Mark::NotSeen, Mark::NotApplicable];
    for id in sheet.marks.keys() {
        for mark in marks {
            let set = |s: &mut RunSheet| {
                s.marks.insert(id.clone(), mark);
                if mark != Mark::Prompted {
                    s.order_seen.as_mut().unwrap().retain(|step| step != id);
                }
            };
            out.push(flipped(sheet, id, set));
        }
        out.push(flipped(sheet, id, |s| {
            s.marks.remove(id);
        }));
    }
    let marks = [
        CriticalMark::Missed,
        CriticalMark::Prompted,
        CriticalMark::NotSeen,
        CriticalMark::NotApplicable,
    ];
    for id in sheet.criticals.keys() {
        for mark in marks {
            out.push(flipped(sheet, id, |s| {
                s.criticals.insert(id.clone(), mark);
            }));
        }
    }
    for act in &kit.standard().unsafe_acts {
        out.push(flipped(sheet, &act.id, |s| s.unsafe_acts = vec![act.id.clone()]));
    }
    out
}

fn flipped_values(sheet: &RunSheet) -> Vec<Flip> {
    let mut out = Vec::new();
    for (id, value) in &sheet.readings {
        let more = value.number().add(value.number()).unwrap();
        let more = drillwright::quantity::Quantity::new(more, value.unit());
        out.push(flipped(sheet, id, |s| {
            s.readings.insert(id.clone(), more);
        }));
        out.push(flipped(sheet, id, |s| {
            s.readings.remove(id);
        }));
    }
    for (id, value) in &sheet.measures {
        for factor in [2, 3] {
            let more = value.number().mul(drillwright::quantity::Fraction::whole(factor));
            let more = drillwright::quantity::Quantity::new(more.unwrap(), value.unit());
            out.push(flipped(sheet, id, |s| {
                s.measures.insert(id.clone(), more);
            }));
        }
        out.push(flipped(sheet, id, |s| {
            s.measures.remove(id);
        }));
    }
    out
}

fn flipped_order(kit: &Kit, sheet: &RunSheet) -> Vec<Flip> {
    let mut out = Vec::new();
    let order = sheet.order_seen.as_ref().unwrap();
    for (at, _) in order.iter().enumerate().skip(1) {
        let swap = |s: &mut RunSheet| s.order_seen.as_mut().unwrap().swap(at, at - 1);
        out.push(flipped(sheet, "order", swap));
    }
    out.push(flipped(sheet, "order", |s| s.order_seen = None));
    for id in order {
        if kit.drill().order.iter().any(|rule| rule.first == *id || rule.then == *id) {
            out.push(flipped(sheet, id, |s| {
                s.order_seen = None;
                s.out_of_order = vec![id.clone()];
            }));
        }
    }
    out
}

fn flipped_run(sheet: &RunSheet) -> Vec<Flip> {
    let mut out = Vec::new();
    let stop = |cause| Some(Stop { by: "elm".into(), why: "Loose hose.".into(), cause });
    for cause in [StopCause::Candidate, StopCause::Crew, StopCause::Outside] {
        out.push(flipped(sheet, "stop", |s| s.stop = stop(cause)));
    }
    out.push(flipped(sheet, "void", |s| s.void = Some("real call".into())));
    out.push(flipped(sheet, "use", |s| s.use_ = RunUse::Practice));
    for mode in [Mode::WalkThrough, Mode::PlainWater, Mode::Agent] {
        out.push(flipped(sheet, "use", |s| s.mode = mode));
    }
    out.push(flipped(sheet, "attempt", |s| s.attempt = 2));
    if sheet.time.is_some() {
        out.push(flipped(sheet, "time", |s| s.time = None));
        let taken = |taken: &str, held: &str| {
            Some(TimeTaken { taken: q(taken), held: Some(q(held)) })
        };
        out.push(flipped(sheet, "time", |s| s.time = taken("64 s", "5 s")));
        out.push(flipped(sheet, "time", |s| s.time = taken("63 s", "1 s")));
        out.push(flipped(sheet, "time", |s| s.time = taken("63 s", "64 s")));
    }
    out
}

/// Changes that the sheet's own faults must name, by the field.
fn wrong(sheet: &RunSheet) -> Vec<Flip> {
    vec![
        flipped(sheet, "drill", |s| s.drill = "other".into()),
        flipped(sheet, "drill-revision", |s| s.drill_revision = Some("00000000".into())),
        flipped(sheet, "rig", |s| s.rig = "other".into()),
        flipped(sheet, "rig-revision", |s| s.rig_revision = Some("00000000".into())),
        flipped(sheet, "rules", |s| s.rules = Some(99)),
        flipped(sheet, "outlet", |s| s.outlet = "three".into()),
        flipped(sheet, "attempt", |s| s.attempt = 0),
        flipped(sheet, "void", |s| s.void = Some(" ".into())),
        flipped(sheet, "entered-at", |s| s.entered_at = Some("2026-11-14 09:00".into())),
        flipped(sheet, "role", |s| s.role = "driver".into()),
        flipped(sheet, "role", |s| s.role = "nozzle".into()),
        flipped(sheet, "crew.nozzle", |s| {
            s.crew.insert("nozzle".into(), "ash".into());
        }),
        flipped(sheet, "crew.operator", |s| {
            s.crew.insert("operator".into(), "oak".into());
        }),
        flipped(sheet, "crew.pilot", |s| {
            s.crew.insert("pilot".into(), "oak".into());
        }),
        flipped(sheet, "evaluator.person", |s| s.evaluator.person = "ash".into()),
        flipped(sheet, "safety-officer", |s| s.safety_officer = "ash".into()),
        flipped(sheet, "safety-officer", |s| s.safety_officer = "cedar".into()),
        flipped(sheet, "marks.zz", |s| {
            s.marks.insert("zz".into(), Mark::Done);
        }),
        flipped(sheet, "order-seen", |s| s.order_seen.as_mut().unwrap().push("a".into())),
        flipped(sheet, "order-seen", |s| {
            s.order_seen.as_mut().unwrap().push("zz".into());
        }),
        flipped(sheet, "order-seen", |s| {
            s.order_seen.as_mut().unwrap().retain(|x| x != "a");
        }),
        flipped(sheet, "order-seen", |s| {
            s.marks.insert("a".into(), Mark::NotDone);
        }),
        flipped(sheet, "out-of-order", |s| s.out_of_order = vec!["b".into()]),
        flipped(sheet, "criticals.zz", |s| {
            s.criticals.insert("zz".into(), CriticalMark::Kept);
        }),
        flipped(sheet, "criticals.alpha", |s| {
            s.criticals.insert("alpha".into(), CriticalMark::NotApplicable);
        }),
        flipped(sheet, "unsafe-acts", |s| s.unsafe_acts = vec!["zz".into()]),
        flipped(sheet, "unsafe-acts", |s| {
            s.unsafe_acts = vec!["astride".into(), "astride".into()];
        }),
        flipped(sheet, "readings.zz", |s| {
            s.readings.insert("zz".into(), q("1 gal"));
        }),
        flipped(sheet, "measures.zz", |s| {
            s.measures.insert("zz".into(), q("1 gal"));
        }),
    ]
}

/// Everything a verdict says, without the hash of the sheet.
fn without_hash(verdict: &Verdict) -> Verdict {
    Verdict { sheet: String::new(), ..verdict.clone() }
}

#[test]
fn every_flip_is_seen_and_named() {
    for (drill, compressor) in [(chain(), true), (yard(), true), (yard(), false)] {
        let kit = kit(drill, compressor);
        let sheet = clean(&kit);
        let met = score(&kit, &sheet);
        assert_eq!(met.outcome, Outcome::Met, "{:#?}", met.lines);
        for (subject, other) in flips(&kit, &sheet) {
            let after = score(&kit, &other);
            let named = |verdict: &Verdict| -> Vec<_> {
                verdict.about(&subject).cloned().collect()
            };
            let needs = kit.drill().criticals.iter().find(|c| c.id == subject);
            let excused = needs.is_some_and(|c| c.needs.is_some()) && !compressor;
            assert!(
                after.outcome != met.outcome || named(&after) != named(&met),
                "nothing names {subject} in {other:#?}"
            );
            let whole =
                ["stop", "void", "use", "order", "attempt"].contains(&subject.as_str());
            assert!(
                whole || excused || !named(&after).is_empty(),
                "no line about {subject} in {after:#?}"
            );
        }
        for (field, other) in wrong(&sheet) {
            let after = score(&kit, &other);
            assert_eq!(after.outcome, Outcome::Incomplete, "{field}: {}", after.reason);
            assert!(after.about(&field).next().is_some(), "{field}: {:#?}", after.lines);
        }
    }
}

#[test]
fn what_decides_nothing_still_changes_which_sheet_it_is() {
    let kit = kit(chain(), true);
    let sheet = clean(&kit);
    let met = score(&kit, &sheet);
    for other in [
        flipped(&sheet, "weather", |s| s.weather = "rain".into()),
        flipped(&sheet, "light", |s| s.light = "dusk".into()),
        flipped(&sheet, "notes", |s| s.notes = Some("note".into())),
        flipped(&sheet, "words", |s| s.words = Some("word".into())),
        flipped(&sheet, "outlet", |s| s.outlet = "two".into()),
        flipped(&sheet, "relation", |s| s.evaluator.relation = "own".into()),
    ] {
        let after = score(&kit, &other.1);
        assert_ne!(after.sheet, met.sheet, "{}", other.0);
        assert_eq!(without_hash(&after), without_hash(&met), "{}", other.0);
    }
}
