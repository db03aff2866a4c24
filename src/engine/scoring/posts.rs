//! Who may hold which post in a run (rules 26 to 28): one person, one post.

use std::collections::BTreeMap;

use super::evidence::Evidence;
use super::fault::{Fault, unknown};
use super::joint::one_candidate;
use super::kit::Kit;
use super::outlets::outlets;
use super::say;
use super::stands::Standing;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Mode, Person, Role, RunSheet};
use crate::quantity::{Day, Moment};

/// Whether something flows or stands under pressure, so that nobody may watch over the run's
/// safety beside another post (rule 27).
const fn watched(mode: Mode) -> bool {
    !matches!(mode, Mode::WalkThrough | Mode::HandsOnDry)
}

/// Faults of the crew of a run.
pub(super) fn crew(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let roles = &kit.drill().roles;
    let mut found = Vec::new();
    let known = || roles.iter().map(|role| role.id.as_str());
    match roles.iter().find(|role| role.id == sheet.role) {
        None => found.push(unknown(&["role"], "unknown-role", &sheet.role, known())),
        Some(role) if !role.scored => {
            let fault = Fault::at(&["role"], "role-not-scored");
            found.push(fault.with("name", &role.title));
        }
        Some(_) => {}
    }
    let mut posts: BTreeMap<&str, &str> = BTreeMap::new();
    for (id, holders) in &sheet.crew {
        let path = ["crew", id.as_str()];
        let Some(role) = roles.iter().find(|role| role.id == *id) else {
            found.push(unknown(&path, "unknown-role", id, known()));
            continue;
        };
        for person in &holders.0 {
            if *person == sheet.candidate {
                found.push(Fault::at(&path, "candidate-twice"));
            } else if *person == sheet.evaluator.person && !role.only_speaks(kit.drill())
            {
                let fault = Fault::at(&path, "evaluator-in-crew");
                found.push(fault.with("name", &role.title).with("person", person));
            } else if *person == sheet.safety_officer && !person.is_empty() {
                let fault = Fault::at(&path, "safety-in-crew");
                found.push(fault.with("name", &role.title).with("person", person));
            } else if let Some(other) = posts.insert(person, id) {
                let fault = Fault::at(&path, "two-posts");
                found.push(fault.with("person", person).with("other", other));
            }
        }
    }
    found.extend(roles.iter().filter_map(|role| short(kit, sheet, role)));
    found
}

/// A role that nobody holds, or too few (rule 27). One that only speaks written orders may be the
/// evaluator's, who is named there too: who gave an order is told, and never guessed.
fn short(kit: &Kit, sheet: &RunSheet, role: &Role) -> Option<Fault> {
    let evidence = Evidence { kit, sheet };
    let step = role.only_at.as_deref().and_then(|step| evidence.step(step));
    // Of a step that nobody marked it is not known that nobody was wanted for it.
    if step.is_some_and(|step| {
        evidence.standing(step) != Standing::Stands
            || evidence.performed(step) == Some(false)
    }) {
        return None;
    }
    let held = sheet.crew.get(&role.id).map_or(0, |holders| holders.0.len());
    let held = held + usize::from(role.id == sheet.role);
    let foam = matches!(sheet.mode, Mode::TrainingFoam | Mode::Agent);
    let air =
        foam && kit.rig().compressor.is_some() && outlets(kit, sheet).any(|o| o.air);
    let wanted = usize::try_from(role.wanted(air)).unwrap_or(usize::MAX);
    (held < wanted).then(|| {
        let path = ["crew"];
        let fault = Fault::asks(&path, "role-empty").with("name", &role.title);
        fault.with("wanted", wanted.to_string()).with("held", held.to_string())
    })
}

/// A post of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Post<'s> {
    Role(&'s str),
    Evaluator,
    Safety,
}

/// Everybody whom a sheet names, at the post that it gives them.
fn held(sheet: &RunSheet) -> impl Iterator<Item = (&str, Post<'_>)> {
    let offices = [
        (sheet.candidate.as_str(), Post::Role(&sheet.role)),
        (sheet.evaluator.person.as_str(), Post::Evaluator),
        (sheet.safety_officer.as_str(), Post::Safety),
    ];
    let crew = sheet.crew.iter().flat_map(|(role, holders)| {
        holders.0.iter().map(move |who| (who.as_str(), Post::Role(role)))
    });
    offices.into_iter().chain(crew).filter(|(who, _)| !who.trim().is_empty())
}

/// What the other sheets of a run say against its posts: one person, one post, per run, also where
/// each sheet by itself has it so (rule 26). Nobody knows which of two sheets is right, so both ask.
pub(super) fn apart(kit: &Kit, sheet: &RunSheet, all: &[&RunSheet]) -> Vec<Line> {
    let words = kit.words();
    let of_run = all.iter().copied().filter(|other| {
        !std::ptr::eq(*other, sheet) && other.id == sheet.id && other.drill == sheet.drill
    });
    let title = |post: Post<'_>| match post {
        Post::Role(id) => {
            let mut roles = kit.drill().roles.iter();
            let role = roles.find(|role| role.id == id);
            role.map_or(id, |role| role.title.as_str()).to_owned()
        }
        Post::Evaluator => words.get("scoring.post.evaluator"),
        Post::Safety => words.get("scoring.post.safety-officer"),
    };
    let label = words.get("scoring.rule.sheet");
    let line = |key: &str, blanks: &[(&str, &str)]| {
        // words: scoring.line.{post-apart|post-named}
        say::line(words, Rule::Sheet, "crew", &label).means(
            words,
            Decision::Unseen,
            key,
            blanks,
        )
    };
    let mut found = Vec::new();
    for other in of_run {
        let two = held(sheet).find_map(|(who, own)| {
            let mut there = held(other).filter(|(there, _)| *there == who);
            let apart =
                there.find(|(_, post)| !go_together(kit, (sheet, own), (other, *post)));
            apart.map(|(_, post)| (who, own, post))
        });
        if let Some((who, own, post)) = two {
            let (own, post) = (title(own), title(post));
            found.push(line(
                "post-apart",
                &[("who", who), ("own", &own), ("other", &post)],
            ));
        }
        for (has, names) in [(sheet, other), (other, sheet)] {
            if let Some(named) = names_another(names, has) {
                let role = title(Post::Role(&has.role));
                let blanks =
                    [("who", has.candidate.as_str()), ("role", &role), ("named", named)];
                found.push(line("post-named", &blanks));
            }
        }
    }
    found
}

/// Whether one person may hold both posts, as two sheets have them.
fn go_together(
    kit: &Kit,
    (sheet, own): (&RunSheet, Post<'_>),
    (other, post): (&RunSheet, Post<'_>),
) -> bool {
    match (own, post) {
        _ if own == post => true,
        // What two evaluators of one candidate say of each other is told at their one result.
        (Post::Evaluator, _) | (_, Post::Evaluator) if one_candidate(sheet, other) => {
            true
        }
        (Post::Evaluator, Post::Role(id)) | (Post::Role(id), Post::Evaluator) => {
            let mut roles = kit.drill().roles.iter();
            roles.any(|role| role.id == id && role.only_speaks(kit.drill()))
        }
        (Post::Evaluator, Post::Safety) | (Post::Safety, Post::Evaluator) => {
            !watched(sheet.mode) && !watched(other.mode)
        }
        _ => false,
    }
}

/// Who is named at the post of another sheet's candidate, where that one is not named there.
fn names_another<'s>(names: &'s RunSheet, has: &RunSheet) -> Option<&'s str> {
    let holders = &names.crew.get(&has.role)?.0;
    let other = names.role != has.role && !holders.contains(&has.candidate);
    holders.first().filter(|_| other).map(String::as_str)
}

/// Nobody holds two offices that watch each other. One who holds all three is told once for
/// each office that must go to somebody else.
pub(super) fn offices(sheet: &RunSheet) -> Vec<Fault> {
    let (evaluator, safety) = (&sheet.evaluator.person, &sheet.safety_officer);
    let mut found = qualified(sheet);
    // Rule 27: who was to watch over the run's safety, and the word that stops it.
    let said = [("safety-officer", safety), ("stop-word", &sheet.stop_word)];
    let silent = said.into_iter().filter(|(_, text)| text.trim().is_empty());
    found.extend(silent.map(|(field, _)| Fault::asks(&[field], "safety-untold")));
    if *evaluator == sheet.candidate {
        let fault = Fault::at(&["evaluator", "person"], "evaluator-is-candidate");
        found.push(fault.with("person", evaluator));
    }
    if *safety == sheet.candidate {
        let fault = Fault::at(&["safety-officer"], "safety-is-candidate");
        found.push(fault.with("person", safety));
    } else if safety == evaluator && !safety.is_empty() && watched(sheet.mode) {
        let fault = Fault::at(&["safety-officer"], "safety-is-evaluator");
        found.push(fault.with("person", safety));
    }
    found
}

/// Who evaluates says by what, since when, and how he stands to the candidate (rule 28). What is
/// not said is asked for: nobody can tell whether a qualification without a day held on the day of
/// the run, and one that came after the run is none. How long one lasts the rule leaves to the
/// department: whoever renews it writes the day of the last renewal.
fn qualified(sheet: &RunSheet) -> Vec<Fault> {
    let judge = &sheet.evaluator;
    let said = [("qualification", &judge.qualification), ("relation", &judge.relation)];
    let silent = said.into_iter().filter(|(_, text)| text.trim().is_empty());
    let mut found: Vec<Fault> = silent
        .map(|(field, _)| Fault::asks(&["evaluator", field], "evaluator-untold"))
        .collect();
    let since = judge.qualified_on.as_deref().and_then(Day::read);
    let performed = Moment::read(&sheet.performed_at).map(Moment::day);
    let path = ["evaluator", "qualified-on"];
    // A day that no calendar has is none.
    if since.is_none() {
        found.push(Fault::asks(&path, "evaluator-undated"));
    }
    if let Some((since, performed)) = since.zip(performed)
        && performed < since
    {
        let fault = Fault::asks(&path, "evaluator-too-early");
        let fault = fault.with("since", since.to_string());
        found.push(fault.with("performed", performed.to_string()));
    }
    found
}

/// What the department's own people say of those who are named as officers: whoever grants one try more
/// is one (rule 30), and so is whoever saw an act otherwise than the sheet (rule 8). Where nothing says
/// whether somebody is, a grant is asked about, because a result rests on it alone; whoever stands in no
/// list is told as that.
pub fn no_officers(people: &BTreeMap<String, Person>, sheet: &RunSheet) -> Vec<Fault> {
    let officer = |id: &str| people.get(id).map(|person| (person, person.officer));
    let mut found = Vec::new();
    if let Some((person, officer)) =
        sheet.granted.as_ref().and_then(|granted| officer(&granted.by))
    {
        let path = ["granted", "by"];
        match officer {
            Some(true) => {}
            Some(false) => {
                let fault = Fault::at(&path, "granted-by-none");
                found.push(fault.with("name", &person.name).with("rank", &person.rank));
            }
            None => {
                let fault = Fault::asks(&path, "granted-unsaid");
                found.push(fault.with("name", &person.name).with("rank", &person.rank));
            }
        }
    }
    for (what, settled) in &sheet.settled {
        let Some((person, Some(false))) = settled.officer.as_deref().and_then(&officer)
        else {
            continue;
        };
        let path = ["settled", what, "second-officer"];
        let fault = Fault::asks(&path, "settled-by-none");
        found.push(fault.with("name", &person.name).with("rank", &person.rank));
    }
    found
}
