//! Steps, criticals and unsafe acts as marked lines.

use super::view::{Row, Tick};
use crate::course::{
    Condition, Critical, CriticalMark, Drill, Mark, Mode, RunSheet, Step,
};
use crate::scoring::Kit;
use crate::words::Words;

pub(super) fn step_marks(words: &Words) -> Vec<String> {
    let keys = Mark::ALL.iter().map(|(_, mark)| mark.key());
    let keys = keys.chain(["out-of-order".to_owned()]);
    // words: sheet.mark.{Mark|CriticalMark|out-of-order}
    keys.map(|key| words.get(&format!("sheet.mark.{key}"))).collect()
}

pub(super) fn critical_marks(words: &Words) -> Vec<String> {
    let marks = CriticalMark::ALL.iter();
    marks.map(|(_, mark)| words.get(&format!("sheet.mark.{}", mark.key()))).collect()
}

/// Letters of the modes in which a line can be seen; all of the drill's need no letters.
fn letters(words: &Words, drill: &Drill, modes: &[Mode]) -> String {
    if modes.is_empty() || drill.modes.iter().all(|mode| modes.contains(mode)) {
        return words.get("sheet.all-modes");
    }
    // words: sheet.mode-letter.{Mode}
    let letter = |mode: &Mode| words.get(&format!("sheet.mode-letter.{}", mode.key()));
    modes.iter().map(letter).collect::<Vec<_>>().join(" ")
}

/// What a line says when the rig lacks what it needs.
fn lacking(words: &Words, kit: &Kit, condition: Condition<'_>) -> Option<String> {
    let needs = condition.lacks(kit.rig())?;
    // words: sheet.needs.{compressor|eductor}
    let thing = words.get(&format!("sheet.needs.{needs}"));
    Some(words.say("sheet.rig-has-none", &[("thing", &thing)]))
}

pub(super) fn step(
    words: &Words,
    kit: &Kit,
    (index, step): (usize, &Step),
    run: Option<&RunSheet>,
) -> Row {
    let lacking = lacking(words, kit, step.condition());
    let mark = match run {
        Some(run) => run.marks.get(&step.id).copied(),
        None => lacking.as_ref().map(|_| Mark::NotApplicable),
    };
    let tick = |(_, known): &(&str, Mark)| Tick::new(known.key(), mark == Some(*known));
    let mut boxes: Vec<Tick> = Mark::ALL.iter().map(tick).collect();
    let late = run.is_some_and(|run| run.out_of_order.contains(&step.id));
    boxes.push(Tick::new("out-of-order", late));
    let said = step
        .radio
        .as_ref()
        .map(|radio| words.say("sheet.said", &[("content", &radio.content.join(", "))]));
    let weight = match step.weight {
        0 => words.get("sheet.no-weight"),
        weight => weight.to_string(),
    };
    // Whose step it is stands there where it is not that of the first who gets a result.
    let mut roles = kit.drill().roles.iter();
    let role = roles.clone().find(|role| role.id == step.role);
    let first = roles.find(|role| role.scored);
    let act = match role.filter(|role| first.is_some_and(|first| first.id != role.id)) {
        Some(role) => {
            let blanks = [("role", role.title.as_str()), ("act", &step.action)];
            words.say("sheet.of-role", &blanks)
        }
        None => step.action.clone(),
    };
    Row {
        number: (index + 1).to_string(),
        act,
        note: step.sees.clone(),
        extra: lacking.or(said).unwrap_or_default(),
        weight,
        modes: letters(words, kit.drill(), &step.modes),
        boxes,
    }
}

pub(super) fn critical(
    words: &Words,
    kit: &Kit,
    critical: &Critical,
    run: Option<&RunSheet>,
) -> Row {
    let lacking = lacking(words, kit, critical.condition());
    let mark = match run {
        Some(run) => run.criticals.get(&critical.id).copied(),
        None => lacking.as_ref().map(|_| CriticalMark::NotApplicable),
    };
    let tick = |(_, known): &(&str, CriticalMark)| {
        // A critical is left out only by a condition written in the drill.
        let open = *known != CriticalMark::NotApplicable || critical.needs.is_some();
        Tick { open, ..Tick::new(known.key(), mark == Some(*known)) }
    };
    let drill = kit.drill();
    let role = drill.roles.iter().find(|role| role.id == critical.role);
    Row {
        number: String::new(),
        act: critical.act.clone(),
        note: critical.reason.clone(),
        extra: lacking.unwrap_or_default(),
        weight: role.map_or_else(|| critical.role.clone(), |role| role.title.clone()),
        modes: letters(words, drill, &critical.modes),
        boxes: CriticalMark::ALL.iter().map(tick).collect(),
    }
}

/// Order rules that fail a run, in words.
pub(super) fn order(words: &Words, drill: &Drill) -> Vec<String> {
    let number = |id: &str| {
        let at = drill.steps.iter().position(|step| step.id == id);
        at.map_or_else(|| id.to_owned(), |at| (at + 1).to_string())
    };
    let rules = drill.order.iter().filter(|rule| rule.critical);
    rules
        .map(|rule| {
            let blanks = [
                ("first", number(&rule.first)),
                ("then", number(&rule.then)),
                ("because", rule.because.clone()),
            ];
            let blanks: Vec<_> = blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
            words.say("sheet.order-rule", &blanks)
        })
        .collect()
}
