//! Lines that decide whatever the points: criticals and unsafe acts. Each is an act of one role, and
//! its mark answers whether it happened, never whether something was kept (rule 1).

use super::evidence::Evidence;
use super::kit::Kit;
use super::links::{Shows, links, told as told_link};
use super::say;
use super::stands::{Standing, stands};
use super::verdict::{Decision, Line, Rule};
use crate::course::{Critical, CriticalMark, RunSheet};

/// The mode of the run in words.
pub(super) fn mode_text(kit: &Kit, sheet: &RunSheet) -> String {
    // words: scoring.mode.{Mode}
    kit.words().say(&format!("scoring.mode.{}", sheet.mode.key()), &[])
}

/// The criticals of the candidate's role, in the order of the drill, and those of others that
/// happened.
pub(super) fn criticals(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let all = kit.drill().criticals.iter();
    let evidence = Evidence { kit, sheet };
    all.filter_map(|critical| {
        if critical.role == sheet.role {
            Some(one(evidence, critical))
        } else {
            of_others(kit, sheet, critical)
        }
    })
    .collect()
}

fn line(kit: &Kit, sheet: &RunSheet, critical: &Critical, rule: Rule) -> Line {
    let words = kit.words();
    let mark = sheet.criticals.get(&critical.id).copied();
    // words: scoring.critical-mark.{CriticalMark|none}
    let seen = words.say(&format!("scoring.critical-mark.{}", say::critical(mark)), &[]);
    // What is wanted of a critical is always its "no": there is no half of it to be had.
    let wanted = words.get("scoring.critical-mark.no");
    say::line(words, rule, &critical.id, &critical.act).saw(seen, wanted)
}

/// What was seen, as the sheet tells it.
pub(super) fn told(sheet: &RunSheet, id: &str) -> String {
    let told = sheet.happened.get(id).map(|text| text.trim());
    told.filter(|text| !text.is_empty()).map(str::to_owned).unwrap_or_default()
}

fn one(evidence: Evidence<'_>, critical: &Critical) -> Line {
    let Evidence { kit, sheet } = evidence;
    let words = kit.words();
    let line = line(kit, sheet, critical, Rule::Critical);
    let mark = sheet.criticals.get(&critical.id).copied();
    let standing = stands(kit, sheet.mode, critical.condition());
    let mode = mode_text(kit, sheet);
    let needs = critical.condition().needs.unwrap_or_default();
    let told = told(sheet, &critical.id);
    let blanks = [
        ("reason", critical.reason.as_str()),
        ("mode", &mode),
        ("needs", needs),
        ("told", &told),
    ];
    let plain = |decision, key| line.clone().means(words, decision, key, &blanks);
    match (mark, standing) {
        // Rule 24: an act seen is seen, in every mode. Rule 6: it wants a sentence; without
        // one the result stands and cannot be signed.
        (Some(CriticalMark::Yes), _) if told.is_empty() => {
            plain(Decision::Fails, "critical-yes-untold")
        }
        (Some(CriticalMark::Yes), _) => plain(Decision::Fails, "critical-yes"),
        (Some(CriticalMark::Prevented), _) => {
            plain(Decision::Fails, "critical-prevented")
        }
        // Behind the acts that were seen: what a rig cannot have was not seen on it, and a
        // yes is stronger than a card.
        (_, Standing::NotOnRig) => plain(Decision::LeftOut, "critical-not-here"),
        (_, Standing::NotInMode) => plain(Decision::InPart, "critical-not-shown"),
        (Some(CriticalMark::NotSeen), _) => plain(Decision::Unseen, "critical-not-seen"),
        // No mark is no "no": silence on a sheet is the commonest way for an act to be
        // lost.
        (None, _) => plain(Decision::Unseen, "critical-no-mark"),
        (Some(CriticalMark::No), Standing::Stands) => denied(evidence, critical, line),
    }
}

/// A critical that is said not to have happened, held against its links.
fn denied(evidence: Evidence<'_>, critical: &Critical, line: Line) -> Line {
    let Evidence { kit, sheet } = evidence;
    let words = kit.words();
    let shows = links(evidence, critical);
    let say = |wanted: fn(&Shows) -> bool| {
        shows.iter().find(|shows| wanted(shows)).and_then(|shows| told_link(words, shows))
    };
    // What speaks for the act is looked for before what is open: with the sheet against
    // him, nobody is asked for a missing mark first.
    let broken = say(Shows::speaks_for);
    if let Some(because) = broken {
        if let Some((why, officer)) = settled(sheet, &critical.id) {
            let blanks =
                [("because", because.as_str()), ("why", why), ("officer", officer)];
            return line.means(words, Decision::Kept, "critical-settled", &blanks);
        }
        let blanks = [("because", because.as_str())];
        return line.means(words, Decision::Unseen, "critical-contradicts", &blanks);
    }
    let unseen = say(Shows::is_open);
    if let Some(because) = unseen {
        let blanks = [("because", because.as_str())];
        return line.means(words, Decision::Unseen, "critical-open", &blanks);
    }
    let mode = mode_text(kit, sheet);
    let blanks = [("mode", mode.as_str())];
    // Last, because a link that could be shown and is whole does not make up for one that
    // could not.
    if shows.contains(&Shows::NotShown) {
        return line.means(words, Decision::InPart, "critical-part-shown", &blanks);
    }
    line.means(words, Decision::Kept, "critical-no", &blanks)
}

/// Rule 8: a no that stands although the sheet speaks against it has a reason, and a second officer who
/// saw it so.
fn settled<'s>(sheet: &'s RunSheet, critical: &str) -> Option<(&'s str, &'s str)> {
    let settled = sheet.settled.get(critical)?;
    let officer = settled.officer.as_deref().filter(|officer| {
        !officer.trim().is_empty()
            && *officer != sheet.candidate
            && *officer != sheet.evaluator.person
            // Whoever had a post in the run watched his own work.
            && !sheet.crew.values().any(|held| held.0.iter().any(|one| one == *officer))
    })?;
    let why = settled.why.trim();
    (!why.is_empty()).then_some((why, officer))
}

/// A critical of another role that happened is told, and does not decide (rule 35). So is one that
/// nobody answered and that the marks of the steps speak for (rule 4). One that was answered "no"
/// against those marks is asked about, on every sheet of the run: that role may have no candidate, and
/// then nobody else would ask.
fn of_others(kit: &Kit, sheet: &RunSheet, critical: &Critical) -> Option<Line> {
    let mark = sheet.criticals.get(&critical.id);
    let words = kit.words();
    let mut denied = false;
    let told = if matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented)) {
        told(sheet, &critical.id)
    } else {
        let evidence = Evidence { kit, sheet };
        let stands = stands(kit, sheet.mode, critical.condition());
        if mark == Some(&CriticalMark::NotSeen) || stands != Standing::Stands {
            return None;
        }
        let shows = links(evidence, critical);
        let broken = shows.iter().find(|shows| shows.speaks_for())?;
        denied = mark.is_some();
        if denied && settled(sheet, &critical.id).is_some() {
            return None;
        }
        told_link(words, broken)?
    };
    let role = kit.drill().roles.iter().find(|role| role.id == critical.role);
    let role = role.map_or(critical.role.as_str(), |role| role.title.as_str());
    let blanks = [("role", role), ("told", told.as_str())];
    let line = line(kit, sheet, critical, Rule::OfOthers);
    let (decision, key) = if denied {
        (Decision::Open, "critical-of-others-contradicts")
    } else {
        (Decision::Noted, "critical-of-others")
    };
    // words: scoring.line.{critical-of-others|critical-of-others-contradicts}
    Some(line.means(words, decision, key, &blanks))
}

/// Unsafe acts that were seen, in the order of the common list: those of the candidate decide,
/// those of others are told.
pub(super) fn unsafe_acts(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let words = kit.words();
    let mut lines = Vec::new();
    for act in &kit.standard().unsafe_acts {
        let told = told(sheet, &act.id);
        let saw = |rule| {
            say::line(words, rule, &act.id, &act.act)
                .saw(words.get("scoring.act-seen"), words.get("scoring.act-wanted"))
        };
        let who = sheet.others_acts.get(&act.id).map(String::as_str);
        if sheet.unsafe_acts.contains(&act.id) || who == Some(sheet.candidate.as_str()) {
            let blanks = [("reason", act.reason.as_str()), ("told", &told)];
            lines.push(saw(Rule::UnsafeAct).means(
                words,
                Decision::Fails,
                "unsafe-act",
                &blanks,
            ));
        } else if let Some(who) = who {
            let blanks = [("who", who), ("told", told.as_str())];
            lines.push(saw(Rule::OfOthers).means(
                words,
                Decision::Noted,
                "unsafe-act-of-others",
                &blanks,
            ));
        }
    }
    lines
}
