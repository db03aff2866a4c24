//! Small pieces of text.

use super::desk::Desk;
use crate::course::{
    Air, Bind, Decision, DrillState, Feed, Figures, Foam, Line, LocalTopic, Pump, Totals,
};
use crate::formulas::{Input, Inputs};
use crate::words::Words;

use serde::Serialize;

/// A local topic as printed: the rule, or a box to fill in.
#[derive(Debug, Clone, Serialize)]
pub(super) struct LocalView {
    title: String,
    asks: String,
    rule: String,
    decided: String,
    open: bool,
}

pub(super) fn local(topic: &LocalTopic, words: &Words) -> LocalView {
    match &topic.decision {
        // With its question, because the box beside it is filled in by hand.
        Decision::NotDecidedYet => LocalView {
            title: topic.title.clone(),
            asks: topic.asks.clone(),
            rule: words.get("page.not-decided"),
            decided: String::new(),
            open: true,
        },
        Decision::Decided { rule, by, on } => LocalView {
            title: topic.title.clone(),
            asks: topic.asks.clone(),
            rule: rule.clone(),
            decided: words.say("page.decided", &[("by", by), ("on", on)]),
            open: false,
        },
    }
}

pub(super) fn locals(desk: &Desk<'_>, ids: &[String]) -> Vec<LocalView> {
    ids.iter()
        .filter_map(|id| desk.topic(id))
        .map(|topic| local(topic, desk.words))
        .collect()
}

pub(super) fn state(state: &DrillState, words: &Words) -> Vec<String> {
    let parts = [
        state.pump.map(|pump| match pump {
            Pump::Off => "pump-off",
            Pump::Engaged => "pump-engaged",
        }),
        state.line.map(|line| match line {
            Line::Empty => "line-empty",
            Line::Charged => "line-charged",
            Line::Flowing => "line-flowing",
            Line::Drained => "line-drained",
        }),
        state.air.map(|air| match air {
            Air::Off => "air-off",
            Air::OnIfFitted => "air-on",
        }),
        state.foam.map(|foam| match foam {
            Foam::Off => "foam-off",
            Foam::On => "foam-on",
        }),
        state.totals.map(|totals| match totals {
            Totals::Fresh => "totals-fresh",
            Totals::Running => "totals-running",
            Totals::Recorded => "totals-recorded",
        }),
    ];
    parts
        .into_iter()
        .flatten()
        // words: page.state.{state()}
        .map(|key| words.get(&format!("page.state.{key}")))
        .collect()
}

/// Givens of a feed whose values are all known: written, or figures of a rig.
pub(super) fn inputs(feed: &Feed, figures: &Figures) -> Option<Inputs> {
    let mut out = Inputs::new();
    for (name, bind) in &feed.with {
        let input = match bind {
            Bind::Value(quantity) => Input::Number(*quantity),
            Bind::Word(word) => Input::Word(word.clone()),
            Bind::Rig(figure) => Input::Number(*figures.get(figure)?),
            // A page knows no reading of the day and nothing that is drawn.
            Bind::Named(_) => return None,
            Bind::Rows(rows) => {
                let mut bound = Vec::new();
                for row in rows {
                    let mut cells = std::collections::BTreeMap::new();
                    for (column, bind) in row {
                        let value = match bind {
                            Bind::Value(quantity) => *quantity,
                            Bind::Rig(figure) => *figures.get(figure)?,
                            _ => return None,
                        };
                        cells.insert(column.clone(), value);
                    }
                    bound.push(cells);
                }
                Input::Rows(bound)
            }
        };
        out.insert(name.clone(), input);
    }
    Some(out)
}
