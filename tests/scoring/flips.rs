//! One changed field of a run that met the standard changes the verdict, or a line that
//! names what was changed.

use drillwright::course::{
    CriticalMark, CueMark, Holders, Mark, Mode, OrderSeen, RunSheet, RunUse, Stop,
    StopCause, TimeTaken, Void, VoidCause,
};
use drillwright::scoring::{Kit, Outcome, Verdict, score};

use super::fixture::{chain, clean, kit, q, yard};

/// The order of a sheet as a list.
fn order(sheet: &mut RunSheet) -> &mut Vec<String> {
    match &mut sheet.order_seen {
        OrderSeen::Listed(order) => order,
        other => panic!("{other:?} is no list"),
    }
}

/// A clean sheet whose order was written down step by step.
fn listed(kit: &Kit) -> RunSheet {
    let mut sheet = clean(kit);
    let steps =
        kit.drill().steps.iter().filter(|step| sheet.marks.contains_key(&step.id));
    sheet.order_seen = OrderSeen::Listed(steps.map(|step| step.id.clone()).collect());
    sheet
}

#[expect(clippy::unnecessary_wraps, reason = "as a sheet has it")]
fn void(why: &str) -> Option<Void> {
    Some(Void {
        cause: VoidCause::RealCall,
        why: why.into(),
        at: Some("2026-11-14 10:40".into()),
        agreed_by: Some("hazel".into()),
        produced_acts: false,
    })
}

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
    let own = |id: &&String| {
        kit.drill().steps.iter().any(|step| step.id == **id && step.role == sheet.role)
    };
    for id in sheet.marks.keys().filter(own) {
        for mark in marks {
            let set = |s: &mut RunSheet| {
                s.marks.insert(id.clone(), mark);
                if mark != Mark::Prompted {
                    order(s).retain(|step| step != id);
                }
            };
            out.push(flipped(sheet, id, set));
        }
        out.push(flipped(sheet, id, |s| {
            s.marks.remove(id);
        }));
    }
    let marks = [CriticalMark::Yes, CriticalMark::Prevented, CriticalMark::NotSeen];
    let own = |id: &&String| {
        kit.drill().criticals.iter().any(|one| one.id == **id && one.role == sheet.role)
    };
    for id in sheet.criticals.keys().filter(own) {
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
    let OrderSeen::Listed(list) = &sheet.order_seen else { return out };
    for (at, _) in list.iter().enumerate().skip(1) {
        out.push(flipped(sheet, "order", |s| order(s).swap(at, at - 1)));
    }
    out.push(flipped(sheet, "order", |s| s.order_seen = OrderSeen::NotWatched));
    out.push(flipped(sheet, "order", |s| s.order_seen = OrderSeen::AsPrinted));
    for cue in &kit.drill().cues {
        let step =
            kit.drill().steps.iter().find(|step| step.cue.as_ref() == Some(&cue.id));
        out.push(flipped(sheet, &step.unwrap().id, |s| {
            s.cues.insert(cue.id.clone(), CueMark::NotGiven);
        }));
    }
    out
}

fn flipped_run(sheet: &RunSheet) -> Vec<Flip> {
    let mut out = Vec::new();
    let stop = |cause| {
        Some(Stop { by: "elm".into(), why: "Loose hose.".into(), cause, act: None })
    };
    for cause in [StopCause::Candidate, StopCause::Crew, StopCause::Outside] {
        out.push(flipped(sheet, "stop", |s| s.stop = stop(cause)));
    }
    out.push(flipped(sheet, "void", |s| s.void = void("A real call.")));
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
        flipped(sheet, "void", |s| s.void = void(" ")),
        flipped(sheet, "entered-at", |s| s.entered_at = Some("2026-11-14 09:00".into())),
        flipped(sheet, "role", |s| s.role = "driver".into()),
        flipped(sheet, "role", |s| s.role = "officer".into()),
        flipped(sheet, "crew.nozzle", |s| {
            s.crew.insert("nozzle".into(), Holders(vec!["ash".into(), "oak".into()]));
        }),
        flipped(sheet, "crew.pilot", |s| {
            s.crew.insert("pilot".into(), Holders(vec!["fir".into()]));
        }),
        flipped(sheet, "evaluator.person", |s| s.evaluator.person = "ash".into()),
        flipped(sheet, "safety-officer", |s| s.safety_officer = "ash".into()),
        flipped(sheet, "safety-officer", |s| s.safety_officer = "cedar".into()),
        flipped(sheet, "marks.zz", |s| {
            s.marks.insert("zz".into(), Mark::Done);
        }),
        flipped(sheet, "order-seen", |s| order(s).push("a".into())),
        flipped(sheet, "order-seen", |s| {
            order(s).push("zz".into());
        }),
        flipped(sheet, "criticals.zz", |s| {
            s.criticals.insert("zz".into(), CriticalMark::No);
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

/// Contradictions that are asked about, by the field.
fn contradicted(sheet: &RunSheet) -> Vec<Flip> {
    vec![
        flipped(sheet, "order-seen", |s| order(s).retain(|x| x != "c")),
        flipped(sheet, "order-seen", |s| {
            s.marks.insert("c".into(), Mark::NotDone);
        }),
        flipped(sheet, "crew.operator", |s| {
            s.crew.insert("operator".into(), Holders(vec!["fir".into()]));
        }),
        flipped(sheet, "crew", |s| drop(s.crew.remove("nozzle"))),
        flipped(sheet, "happened.alpha", |s| {
            s.happened.insert("alpha".into(), "Seen.".into());
        }),
        flipped(sheet, "happened.astride", |s| {
            s.happened.insert("astride".into(), "Seen.".into());
        }),
        flipped(sheet, "begun.c", |s| {
            s.begun.insert("c".into(), true);
        }),
        flipped(sheet, "marks.c", |s| {
            s.marks.insert("c".into(), Mark::NotApplicable);
            order(s).retain(|x| x != "c");
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
        let sheet = listed(&kit);
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
            // An act that is listed twice was seen all the same, and that decides first.
            let seen = other.unsafe_acts.len() == 2;
            let wanted = if seen { Outcome::NotMet } else { Outcome::Refused };
            assert_eq!(after.outcome, wanted, "{field}: {}", after.reason);
            assert!(after.about(&field).next().is_some(), "{field}: {:#?}", after.lines);
        }
        for (field, other) in contradicted(&sheet) {
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
