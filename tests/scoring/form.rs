//! Runs that name the form of a numbered sheet (rules 30 and 41): each is held to what was drawn,
//! and no form serves twice.

use drillwright::course::RunSheet;
use drillwright::scoring::{
    DrawnForms, DrawnSheet, Kit, KnownForms, Outcome, Run, Verdict, score_all,
};

use super::drawn::{SEED, district, first, kit, run_by};
use super::fixture::q;
use super::sheets::in_mode;

/// A form, a run that was honest by it, and the forms file that knows it.
fn formed() -> (Kit, RunSheet, KnownForms, Vec<DrawnSheet>) {
    let (course, words) = district();
    let change = kit(course, words, "percent-change", "engine-7");
    let sheets = first(course, words, &change, SEED, 6);
    let file = DrawnForms::of(words, SEED, sheets.clone());
    assert!(file.is_sound());
    let sheet = run_by(&change, &sheets[0]);
    (change, sheet, KnownForms::of(&[file]), sheets)
}

/// The verdict of a run as `score` gives it where the forms are known.
fn by_form(forms: &KnownForms, kit: &Kit, sheet: &RunSheet) -> Verdict {
    let (apart, drawn) = (forms.faults(kit, sheet), forms.as_drawn(kit, sheet));
    let run = Run { apart: &apart, drawn: drawn.as_ref(), ..Run::of(kit, sheet) };
    score_all(&[run]).remove(0)
}

type Change<'c> = &'c dyn Fn(&mut RunSheet);

fn keys(forms: &KnownForms, kit: &Kit, sheet: &RunSheet) -> Vec<&'static str> {
    forms.faults(kit, sheet).iter().map(|fault| fault.key).collect()
}

#[expect(clippy::too_many_lines, reason = "one form and every way to depart from it")]
#[test]
fn rule_41_a_run_is_held_to_what_its_form_says() {
    let (kit, sheet, forms, sheets) = formed();
    assert_eq!(keys(&forms, &kit, &sheet), [] as [&str; 0]);
    assert_eq!(by_form(&forms, &kit, &sheet).outcome, Outcome::Met);
    // What is not written is read from the form.
    let mut silent = sheet.clone();
    silent.readings.remove("percent-ordered");
    forms.fill(&kit, &mut silent);
    assert_eq!(silent, sheet);
    let drawn = sheets[0].readings["percent-ordered"].printed();
    let other = if drawn.starts_with("0.9") { "0.8 %" } else { "0.9 %" };
    let lower = sheet.form.as_ref().unwrap().to_lowercase();
    let of = |change: &dyn Fn(&mut RunSheet)| {
        let mut sheet = sheet.clone();
        change(&mut sheet);
        let found = keys(&forms, &kit, &sheet);
        let verdict = by_form(&forms, &kit, &sheet);
        (found, verdict)
    };
    // A form code is read as it may be typed.
    assert_eq!(of(&|sheet| sheet.form = Some(format!(" {lower} "))).0, [] as [&str; 0]);
    let cases: [(Change<'_>, &str); 6] = [
        (
            &|sheet| {
                // Another percent was written down, and all that follows from it.
                sheet.readings.insert("percent-ordered".into(), q(other));
                in_mode(&kit, sheet, sheet.mode);
            },
            "form-reading",
        ),
        (
            &|sheet| _ = sheet.readings.insert("percent-ordered".into(), q("0.3 gal")),
            "form-reading",
        ),
        (&|sheet| sheet.outlet = "left-side".into(), "form-outlet"),
        (&|sheet| sheet.form = Some("2EVY-1YTN-5".into()), "form-misread"),
        (&|sheet| sheet.form = Some(String::new()), "form-misread"),
        (&|sheet| sheet.rig = "tender-3".into(), "form-of-other"),
    ];
    for (change, key) in cases {
        let (found, verdict) = of(change);
        assert!(found.contains(&key), "{key}: {found:?}");
        assert!(
            !matches!(verdict.outcome, Outcome::Met | Outcome::MetInPart),
            "{key}: {}",
            verdict.reason
        );
        assert!(!verdict.uses_attempt, "{key}");
    }
    // Both figures are named.
    let (_, verdict) = of(&|sheet| {
        sheet.readings.insert("percent-ordered".into(), q(other));
    });
    assert_eq!(verdict.outcome, Outcome::Refused);
    for figure in [drawn.as_str(), &q(other).printed()] {
        assert!(verdict.reason.contains(figure), "{}", verdict.reason);
    }
    // The reading alone was written wrong: nobody is failed by a figure that two papers contradict.
    let (_, verdict) = of(&|sheet| {
        sheet.readings.insert("percent-ordered".into(), q("0.1 %"));
        sheet.measures.insert("percent-set".into(), q(&drawn));
    });
    assert_eq!(verdict.outcome, Outcome::Refused, "{}", verdict.reason);
    // By either paper it was a slip, so it is one.
    let (_, verdict) = of(&|sheet| {
        sheet.readings.insert("percent-ordered".into(), q(other));
        sheet.measures.insert("percent-set".into(), q("3 %"));
    });
    assert_eq!(verdict.outcome, Outcome::NotMet);
    // A form of another seed is none of these.
    let (course, words) = district();
    let foreign = first(course, words, &kit, "foreign", 1).remove(0).code;
    assert_eq!(of(&|sheet| sheet.form = Some(foreign.clone())).0, ["form-unknown"]);
    // An act that was seen decides, whatever the form says.
    let (_, verdict) = of(&|sheet| {
        sheet.form = Some(foreign.clone());
        sheet.measures.insert("percent-set".into(), q("6 %"));
    });
    assert_eq!(verdict.outcome, Outcome::NotMet);
}

#[test]
fn a_forged_forms_file_is_not_sound() {
    let (kit, _, _, sheets) = formed();
    let (_, words) = district();
    let whole = DrawnForms::of(words, SEED, sheets);
    let forged = |change: &dyn Fn(&mut DrawnForms)| {
        let mut file = whole.clone();
        change(&mut file);
        let text = serde_json::to_string(&file).unwrap();
        let read: DrawnForms = serde_json::from_str(&text).unwrap();
        assert!(!read.is_sound(), "{text}");
    };
    forged(&|file| {
        file.sheets[0].readings.insert("percent-ordered".into(), q("0.9 %"));
    });
    forged(&|file| file.sheets[0].refused = Some(q("1 %")));
    forged(&|file| file.sheets[0].refused = None);
    forged(&|file| file.sheets[0].outlet = None);
    forged(&|file| file.sheets[0].number += 1);
    forged(&|file| file.sheets[0].drill = "flush".into());
    forged(&|file| file.sheets[0].drill_revision = kit.rig_revision().into());
    forged(&|file| file.sheets[0].code = file.sheets[1].code.clone());
    forged(&|file| file.seed.push('x'));
    forged(&|file| file.format += 1);
    forged(&|file| file.draw_version.push('0'));
    // What is not of the file is not read at all.
    let text = serde_json::to_string(&whole).unwrap();
    let more = text.replacen("\"format\"", "\"grade\":1,\"format\"", 1);
    assert!(serde_json::from_str::<DrawnForms>(&more).is_err());
    let same: DrawnForms = serde_json::from_str(&text).unwrap();
    assert!(same.is_sound() && same == whole);
}

#[test]
fn rule_30_two_candidates_and_a_retest_never_have_the_same_numbers() {
    let (kit, _, _, sheets) = formed();
    let at = |id: &str, candidate: &str, day: u32, form: Option<usize>| {
        let by = form.map_or(&sheets[0], |at| &sheets[at]);
        let mut run = run_by(&kit, by);
        run.id = id.into();
        run.candidate = candidate.into();
        run.performed_at = format!("2026-11-{day} 10:00");
        run.form = form.map(|at| sheets[at].code.clone());
        run
    };
    let outcomes = |runs: &[&RunSheet]| -> Vec<Outcome> {
        let both: Vec<Run<'_>> = runs.iter().map(|run| Run::of(&kit, run)).collect();
        let verdicts = score_all(&both);
        verdicts.iter().map(|verdict| verdict.outcome).collect()
    };
    let one = at("run-1", "ash", 14, Some(0));
    // Two candidates with one form; the later is refused, whatever their order in the file.
    let other = at("run-2", "moss", 15, Some(0));
    assert_eq!(outcomes(&[&one, &other]), [Outcome::Met, Outcome::Refused]);
    assert_eq!(outcomes(&[&other, &one]), [Outcome::Refused, Outcome::Met]);
    // With a form of his own he is not.
    let own = at("run-2", "moss", 15, Some(1));
    assert_eq!(outcomes(&[&one, &own]), [Outcome::Met, Outcome::Met]);
    // A retest of the same person, by the same form and by the same numbers without one.
    let mut again = at("run-3", "ash", 16, Some(0));
    assert_eq!(outcomes(&[&one, &again]), [Outcome::Met, Outcome::Refused]);
    again.form = None;
    // Whoever met the standard comes back for no retest, and may draw what was drawn before.
    assert_eq!(outcomes(&[&one, &again]), [Outcome::Met, Outcome::Met]);
    let mut failed = one.clone();
    failed.unsafe_acts.push(kit.standard().unsafe_acts[0].id.clone());
    let mut bare = failed.clone();
    bare.form = None;
    for before in [&failed, &bare] {
        let both = [Run::of(&kit, before), Run::of(&kit, &again)];
        let verdicts = score_all(&both);
        assert_eq!(verdicts[0].outcome, Outcome::NotMet);
        let used = verdicts[1].lines.iter().any(|line| line.subject == "form");
        assert!(used && verdicts[1].outcome == Outcome::Refused);
    }
    again = at("run-3", "ash", 16, Some(2));
    assert_eq!(outcomes(&[&one, &again]), [Outcome::Met, Outcome::Met]);
    // Typed in small letters it is the same form.
    let mut small = at("run-2", "moss", 15, Some(0));
    small.form = small.form.map(|form| form.to_lowercase());
    assert_eq!(outcomes(&[&one, &small]), [Outcome::Met, Outcome::Refused]);
    // A practice run uses a form up as well.
    let mut practice = one.clone();
    practice.use_ = drillwright::course::RunUse::Practice;
    assert_eq!(outcomes(&[&practice, &other])[1], Outcome::Refused);
    // Two evaluators of one run share its form.
    let mut second = one.clone();
    second.evaluator.person = "maple".into();
    assert!(!outcomes(&[&one, &second]).contains(&Outcome::Refused));
}
