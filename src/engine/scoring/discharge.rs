//! Whether what a run discharged was permitted on its day (rule 25).

use super::fault::Fault;
use super::kit::Kit;
use crate::course::{Mode, RunSheet};
use crate::quantity::Moment;

/// What is not written down as permitted is not, and what is permitted later was not permitted on the
/// day of the run: no paper makes a discharge allowed that has taken place.
pub(super) fn discharged(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    if !matches!(sheet.mode, Mode::TrainingFoam | Mode::Agent) {
        return Vec::new();
    }
    let (rig, class) = (kit.rig(), kit.drill().class());
    let mut found = Vec::new();
    if let Some((tank, agent)) = rig.not_for_training(class) {
        let fault = Fault::at(&["mode"], "foam-not-permitted");
        found.push(fault.with("tank", &tank.title).with("agent", agent));
    }
    if let Some(eductor) = rig.containers_not_for_training(class) {
        let fault = Fault::at(&["mode"], "containers-not-permitted");
        found.push(fault.with("eductor", eductor));
    }
    let performed = Moment::read(&sheet.performed_at).map(Moment::day);
    for agent in rig.discharged(class) {
        let both = performed.zip(agent.discharged_since());
        let Some((performed, since)) = both.filter(|(run, since)| run < since) else {
            continue;
        };
        let fault = Fault::at(&["mode"], "foam-not-yet-permitted");
        let fault = fault.with("agent", &agent.title).with("since", since.to_string());
        found.push(fault.with("performed", performed.to_string()));
    }
    found
}
