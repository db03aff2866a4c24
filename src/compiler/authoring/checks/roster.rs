//! The roster against drills, rigs and people.

use super::Checked;
use super::run::holders;
use crate::course::Due;
use crate::findings::{Code, Finding};

/// Every name leads somewhere, and nobody holds two offices that watch each other.
pub(super) fn check(checked: &Checked<'_>) {
    let items = checked.file("roster.yaml").items();
    for (due, spot) in checked.course.roster.iter().zip(&items) {
        checked.refer("drill", &spot.at("drill"));
        checked.refer("rig", &spot.at("rig"));
        let crew = spot.at("crew");
        let mut people = vec![spot.at("candidate"), spot.at("safety-officer")];
        people.push(spot.at("evaluator").at("person"));
        people.extend(crew.keys().into_iter().flat_map(|role| holders(&crew.at(role))));
        for person in &people {
            checked.refer("person", person);
        }
        if let Some(drill) = checked.course.drill(&due.drill) {
            let scored = drill.roles.iter().filter(|role| role.scored);
            let scored: Vec<String> = scored.map(|role| role.id.clone()).collect();
            checked.among("scored role", &scored, &spot.at("role"));
        }
        offices(checked, due, spot);
    }
}

fn offices(checked: &Checked<'_>, due: &Due, spot: &super::Spot<'_>) {
    let evaluator = due.evaluator.as_ref().map(|evaluator| evaluator.person.as_str());
    if evaluator == Some(due.candidate.as_str()) {
        let place = spot.at("evaluator").at("person").place();
        let finding = Finding::at(Code::EvaluatorIsCandidate, place);
        checked.note(finding.with("person", due.candidate.clone()));
    }
    let Some(safety) = due.safety_officer.as_deref() else { return };
    // Whoever watches over safety has no other post (rule 26).
    let office = if safety == due.candidate {
        "candidate"
    } else if Some(safety) == evaluator {
        "evaluator"
    } else {
        return;
    };
    let place = spot.at("safety-officer").place();
    let finding = Finding::at(Code::SafetyOfficerBusy, place);
    checked.note(finding.with("person", safety.to_owned()).with("office", office));
}
