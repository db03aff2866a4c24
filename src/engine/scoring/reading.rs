//! Runs that are shown and give no standing: nobody knows what their candidates were held to.
//!
//! None of them is met, in whole or in part, whoever reads the verdict: a person, a machine, a
//! crew's result, a later attempt. An act that the evaluator marked stays seen all the same.

use std::sync::Arc;

use super::earlier::Run;
use super::instead::marked as happened;
use super::kit::{Kit, RULES};
use super::kits::names;
use super::outcome;
use super::say;
use super::score::scored;
use super::stands::flows;
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use crate::course::{Mode, RunSheet};

/// Why a verdict is for reading and gives no standing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ForReading {
    /// The department did not issue the kit that the run brought along (rule 38).
    UnknownKit,
    /// The run names no revision, so nobody knows what its candidate was held to: today's drill
    /// and today's card may be others (rule 37).
    NotPinned,
    /// It was run under older rules, and holds no verdict of theirs (rule 39).
    OlderRules,
    /// Its head cannot be read whole, and an act was seen (rule 24, and the precedence).
    Unread {
        /// Whether the mode is among what cannot be read. Then a limit may be one that the mode
        /// could not show, and only what was marked counts.
        mode: bool,
        /// Whether it is not known to be an evaluation.
        use_: bool,
        /// By what its acts are told.
        kit: KitFor,
    },
}

/// How near a kit is to the one that a run names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KitFor {
    /// The very one.
    Own,
    /// Of its drill and its rig, and of another revision.
    OtherRevision,
    /// Of a drill or a rig that was guessed from the names on the sheet.
    Guessed,
    /// Of any drill: nothing on the sheet fits one.
    Any,
}

impl ForReading {
    const fn key(self) -> &'static str {
        match self {
            Self::UnknownKit => "unknown-kit",
            Self::NotPinned => "not-pinned",
            Self::OlderRules => "older-rules",
            Self::Unread { .. } => "unread",
        }
    }
}

/// Whether a run was made under rules before these.
pub(super) fn older(kit: &Kit, sheet: &RunSheet) -> bool {
    kit.standard().rules < RULES || sheet.rules.is_some_and(|rules| rules < RULES)
}

/// A verdict that is for reading only: refused, or not met where an act or a limit was seen.
pub(super) fn for_reading(
    run: &Run<'_>,
    mut verdict: Verdict,
    why: ForReading,
) -> Verdict {
    let (kit, sheet) = (run.kit, run.sheet);
    let words = kit.words();
    let act = seen(run, &verdict.lines, why);
    let (outcome, decision) = match act {
        Some(_) => (Outcome::NotMet, Decision::Fails),
        None => (Outcome::Refused, Decision::Refused),
    };
    let unread = words.get("scoring.unread.field");
    let on = if verdict.on.is_empty() { unread.as_str() } else { verdict.on.as_str() };
    let blanks = [("date", on)];
    // words: scoring.outcome.{Outcome}
    let text = words.say(&format!("scoring.outcome.{}", outcome.key()), &blanks);
    let seen = act.as_ref().map_or("", |line| line.sentence.as_str());
    let blanks = [("text", text.as_str()), ("seen", seen)];
    // words: scoring.{unknown-kit|not-pinned|older-rules|unread}.{outcome|reason}
    let say = |part: &str| words.say(&format!("scoring.{}.{part}", why.key()), &blanks);
    verdict.outcome = outcome;
    if let ForReading::Unread { mode, use_, .. } = why {
        if mode {
            verdict.mode_text.clone_from(&unread);
        }
        if use_ {
            verdict.use_text.clone_from(&unread);
        }
    }
    as_named(kit, sheet, &mut verdict, why);
    (verdict.outcome_text, verdict.reason) = (say("outcome"), say("reason"));
    let label = &kit.drill().title;
    let mut first = say::line(words, Rule::Result, &kit.drill().id, label);
    first = first.means(words, decision, "result", &[]);
    first.sentence.clone_from(&verdict.reason);
    let mut lines = vec![Arc::new(first)];
    match why {
        // It is scored by the kit that it carries, to be read beside the paper (rule 38).
        ForReading::UnknownKit => {
            let rest = verdict.lines.into_iter().filter(|line| line.rule != Rule::Result);
            lines.extend(rest);
        }
        // Today's drill says nothing to it: it is shown as it was marked (rule 39).
        ForReading::NotPinned | ForReading::OlderRules | ForReading::Unread { .. } => {
            lines.extend(act);
            lines.extend(as_marked(kit, sheet).into_iter().map(Arc::new));
            (verdict.earned, verdict.possible) = (0, 0);
            (verdict.cut, verdict.cut_source, verdict.order) = (None, None, None);
            (verdict.not_seen, verdict.not_shown) = (Vec::new(), Vec::new());
        }
    }
    verdict.lines = lines;
    (verdict.percent, verdict.percent_tenths) = (None, None);
    verdict.for_reading = true;
    // It gives no standing. An act that was seen uses an attempt all the same: what of the sheet
    // cannot be read, or is not named, must not make the next try a first one (rules 24 and 31).
    let torn = matches!(why, ForReading::Unread { .. } | ForReading::NotPinned);
    (verdict.counts, verdict.uses_attempt) =
        (false, torn && verdict.outcome == Outcome::NotMet);
    verdict.next = outcome::next(kit, sheet, Outcome::Refused);
    verdict
}

/// Whether an act or a limit that a line tells fails the run, whatever else it lacks.
fn fails_by_act(line: &Line) -> bool {
    line.decision == Decision::Fails && line.rule.is_act()
}

/// Whether a sheet shows an act or a limit that fails its run, also where it could not be scored
/// otherwise.
pub fn act_seen(run: &Run<'_>) -> bool {
    let lines = scored(run.kit, run.sheet, Vec::new()).lines;
    match run.reading {
        Some(why @ ForReading::Unread { .. }) => seen(run, &lines, why).is_some(),
        _ => lines.iter().any(|line| fails_by_act(line)),
    }
}

/// The gravest act that a sheet for reading shows: one that was marked, or one that its values show
/// whatever it was held to.
fn seen(run: &Run<'_>, lines: &[Arc<Line>], why: ForReading) -> Option<Arc<Line>> {
    let marks = || lines.iter().find(|line| marked(run.sheet, line)).cloned();
    match why {
        ForReading::Unread { mode: false, kit: KitFor::Own, .. } => {
            lines.iter().find(|line| fails_by_act(line)).cloned()
        }
        // Of a drill or a rig that was guessed, or that another department wrote, and of rules
        // that are no more, no value says anything.
        ForReading::UnknownKit | ForReading::OlderRules => marks(),
        ForReading::Unread { kit: KitFor::Guessed | KitFor::Any, .. } => marks(),
        ForReading::Unread { mode, .. } => marks().or_else(|| by_all(run, mode)),
        ForReading::NotPinned => marks().or_else(|| by_all(run, false)),
    }
}

/// An act or a limit that a sheet shows by every revision and in every mode in which its candidate
/// may have been held to it: then nobody has to know in which.
fn by_all(run: &Run<'_>, unread_mode: bool) -> Option<Arc<Line>> {
    let acts = |kit: &Kit, mode: Mode| {
        let sheet = RunSheet { mode, ..run.sheet.clone() };
        let lines = scored(kit, &sheet, Vec::new()).lines.into_iter();
        lines.filter(|line| fails_by_act(line)).collect::<Vec<_>>()
    };
    // What a gauge showed was not read off in a walk-through, in which nothing is started.
    let could_be = |kit: &Kit| -> Vec<Mode> {
        let all = Mode::ALL.iter().map(|(_, mode)| *mode);
        all.filter(|mode| flows(*mode) && kit.drill().condition().shown_in(*mode))
            .collect()
    };
    let mut kits = vec![run.kit];
    kits.extend(run.beside.iter().map(|kit| &**kit));
    let mut rest = kits.into_iter().flat_map(|kit| {
        let modes = if unread_mode { could_be(kit) } else { vec![run.sheet.mode] };
        modes.into_iter().map(move |mode| (kit, mode))
    });
    let (kit, mode) = rest.next()?;
    let mut left = acts(kit, mode);
    for (kit, mode) in rest {
        if left.is_empty() {
            return None;
        }
        let there = acts(kit, mode);
        let also = |line: &Arc<Line>| {
            there.iter().any(|one| one.rule == line.rule && one.subject == line.subject)
        };
        left.retain(also);
    }
    left.into_iter().next()
}

/// What nobody has is shown as it stands on the sheet, and never under the name of what it was told
/// by.
fn as_named(kit: &Kit, sheet: &RunSheet, verdict: &mut Verdict, why: ForReading) {
    let ForReading::Unread { kit: are, .. } = why else { return };
    if are == KitFor::Own {
        return;
    }
    let named = |given: &Option<String>, own: &str| match given {
        Some(given) if are == KitFor::OtherRevision && names(given, own) => {
            own.to_owned()
        }
        given => given.clone().unwrap_or_default(),
    };
    verdict.drill_revision = named(&sheet.drill_revision, kit.drill_revision());
    verdict.rig_revision = named(&sheet.rig_revision, kit.rig_revision());
    if verdict.drill_revision != kit.drill_revision() {
        let given = sheet.drill_revision.as_deref().map_or("–", str::trim);
        verdict.drill_revision_text =
            kit.words().say("scoring.unread.revision", &[("hash", given)]);
    }
    if sheet.drill != kit.drill().id {
        verdict.drill.clone_from(&sheet.drill);
        verdict.drill_title.clone_from(&sheet.drill);
    }
    if sheet.rig != kit.rig().id {
        verdict.rig.clone_from(&sheet.rig);
        verdict.rig_title.clone_from(&sheet.rig);
    }
}

/// Whether a line tells an act that the evaluator marked. What a drill, a card or a kit works
/// out of a sheet is none: it may be another one than the candidate was held to.
fn marked(sheet: &RunSheet, line: &Line) -> bool {
    let told = match line.rule {
        Rule::Critical => happened(sheet, &line.subject),
        Rule::UnsafeAct | Rule::Stop => true,
        _ => false,
    };
    told && line.decision == Decision::Fails
}

/// Marks and values as they stand on the sheet, in its own names where the drill at hand has
/// none for them. They bring no points and decide nothing.
fn as_marked(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let on_lines = kit.for_run(sheet);
    let kit = on_lines.as_ref();
    let words = kit.words();
    let drill = kit.drill();
    let line = |rule: Rule, id: &str, known: Option<&String>, seen: String| {
        let label = known.map_or(id, String::as_str);
        let line = say::line(words, rule, id, label).saw(seen, "");
        line.means(words, Decision::Noted, "as-marked", &[])
    };
    let step = |id: &String| drill.steps.iter().find(|step| step.id == *id);
    let marks = sheet.marks.iter().map(|(id, mark)| {
        // words: scoring.mark.{Mark}
        let seen = words.get(&format!("scoring.mark.{}", mark.key()));
        line(Rule::Step, id, step(id).map(|step| &step.action), seen)
    });
    let critical = |id: &String| drill.criticals.iter().find(|one| one.id == *id);
    let criticals = sheet.criticals.iter().map(|(id, mark)| {
        // words: scoring.critical-mark.{CriticalMark}
        let seen = words.get(&format!("scoring.critical-mark.{}", mark.key()));
        line(Rule::Critical, id, critical(id).map(|one| &one.act), seen)
    });
    let measure = |id: &String| drill.measures.iter().find(|one| one.id == *id);
    let measures = sheet.measures.iter().map(|(id, value)| {
        line(Rule::Measure, id, measure(id).map(|one| &one.label), value.printed())
    });
    let reading = |id: &String| drill.readings.iter().find(|one| one.id == *id);
    let readings = sheet.readings.iter().map(|(id, value)| {
        line(Rule::Reading, id, reading(id).map(|one| &one.label), value.printed())
    });
    criticals.chain(marks).chain(measures).chain(readings).collect()
}
