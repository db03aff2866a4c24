//! What is asked about a number beside its value.

use super::super::asked::reportable;
use super::super::desk::Desk;
use super::by_hand::answers;
use super::field::buttons;
use super::parts::pressed;
use crate::course::Meaning;
use crate::practice::view::{Node, doing, valued};
use crate::scoring::{Kit, counted};

/// Whether the candidate reported that a value left its band, where that counts.
pub(super) fn reported(desk: &Desk<'_>, kit: &Kit, field: &str) -> Option<Node> {
    let (_, id) = field.rsplit_once('.')?;
    let part = desk.state.part()?;
    reportable(kit, desk.state).contains(&id).then(|| {
        let name = format!("r-{id}");
        // Neither is down before somebody answers: silence is not a
        // report, nor a failure to report.
        let told = [(false, &part.unreported), (true, &part.reported)];
        let keys = told.map(|(yes, set)| {
            let act =
                doing("reported", &[("measure", valued(&id)), ("yes", valued(&yes))]);
            let answer = if yes { "yes" } else { "no" };
            // words: live.answer.{no|yes}
            pressed(desk.get(&format!("answer.{answer}")), act, set.contains(id))
                .with("id", format!("{name}-{answer}"))
        });
        let text = desk.get("was-reported");
        Node::new("div").with("class", "field wide-field").holding([
            Node::text("span", text).with("class", "label").with("id", name.clone()),
            Node::new("div")
                .with("class", "buttons")
                .with("role", "group")
                .with("aria-labelledby", name)
                .holding(keys),
        ])
    })
}

/// Whether a value that no card gives was as the manual has it (rule 20).
pub(super) fn as_manual(
    desk: &Desk<'_>,
    kit: &Kit,
    asked: &[&str],
    (field, label): (&str, &str),
) -> Option<Node> {
    let (_, id) = field.split_once("/measure.")?;
    asked.contains(&id).then(|| {
        let text = desk.say("as-manual", &[("label", label)]);
        let name = format!("{}/manual.{id}", kit.drill().id);
        buttons(desk, &name, text, &answers(desk))
    })
}

/// What whoever reads a counter of this rig has to know.
pub(super) fn counters(kit: &Kit, field: &str) -> Vec<Node> {
    let id = field.rsplit_once('.').map_or("", |(_, id)| id);
    let total = kit.drill().readings.iter().find(|one| one.id == id);
    let total = total.is_some_and(|one| one.is == Some(Meaning::WaterUsed));
    let told = if total { counted(kit) } else { Vec::new() };
    told.into_iter().map(|text| Node::text("p", text).with("class", "note")).collect()
}
