//! At the end, one question at a time: what is open of the drill that is shown, then of the others
//! of a chain. What nobody answers stays open on the page that follows, and is never guessed.

use super::super::asked::{cues, mode, open_steps, own_criticals, run_kits, untouched};
use super::super::desk::Desk;
use super::super::look::Look;
use super::super::seen::Part;
use super::super::sheet::sheet;
use super::criticals::{critical_keys, linked};
use super::order::pair_row;
use super::over::{self, head, list, placed};
use super::questions::contradictions;
use super::review::rest_keys;
use super::run::undo;
use super::steps::{cue_keys, place};
use super::watch::screen;
use crate::practice::view::{Node, does, doing, opens, valued};
use crate::scoring::{Kit, pairs};

/// The question that is open, as a screen of its own; nothing when all are answered, or the page
/// was asked for. After a stop nobody is asked for the rest (rule 7 h), and what was on paper is
/// copied on the page.
pub(super) fn view(desk: &Desk<'_>) -> Option<(Vec<Node>, Option<String>)> {
    if *desk.look == Look::Sheet || desk.state.later() {
        return None;
    }
    let shown = desk.state.kit(desk.live)?;
    let (body, class) = match over::view(desk, shown) {
        Some(body) => (body, "watch over"),
        None if desk.state.stopped => return None,
        None => (first(desk, shown)?, "watch over asked"),
    };
    let whole = opens("sheet");
    let third = match desk.look {
        Look::Now => undo(desk),
        _ => Node::button(desk.get("pad.on"), does("open")).with("id", "to-step"),
    };
    let dock = Node::new("div").with("class", "dock").holding([
        Node::button(desk.get("whole-page"), whole).with("id", "whole"),
        Node::button(desk.get("back"), does("back")).with("id", "back"),
        third,
    ]);
    let screen = screen(desk, shown, body, dock).with("class", class);
    let focus = match desk.look {
        Look::Now => Some("head".to_owned()),
        _ => super::watch::focus(desk, false),
    };
    Some((vec![screen], focus))
}

/// The first open question of the drill that is shown; else of another drill of the chain, which
/// must be turned to first, because a tap is about the drill that is shown.
fn first(desk: &Desk<'_>, shown: &Kit) -> Option<Vec<Node>> {
    if let Some(asked) = of_drill(desk, shown) {
        return Some(asked);
    }
    let mut others = run_kits(desk.live, desk.state);
    let other = others
        .find(|kit| kit.drill().id != shown.drill().id && of_drill(desk, kit).is_some());
    if let Some(drill) = other.map(Kit::drill) {
        let text = desk.say("contradiction-turn", &[("drill", &drill.title)]);
        let act = doing("turn", &[("drill", valued(&drill.id))]);
        let turn = Node::button(text, act).with("id", "question-turn");
        return Some(vec![
            list(vec![head(desk.say("asked-of", &[("drill", &drill.title)]))]),
            keys([turn.with("class", "first")]),
        ]);
    }
    let nodes = contradictions(desk);
    let open = nodes.first()?.with.get("id").is_some_and(|id| id == "question");
    let kids = [head(desk.get("asked-now"))].into_iter().chain(nodes);
    open.then(|| vec![list(kids.collect())])
}

fn keys(keys: impl IntoIterator<Item = Node>) -> Node {
    let group = Node::new("div").with("class", "keys of-answer").with("role", "group");
    group.with("aria-labelledby", "head").holding(keys)
}

fn small(text: String) -> Node {
    Node::text("p", text).with("class", "sees")
}

fn of_drill(desk: &Desk<'_>, kit: &Kit) -> Option<Vec<Node>> {
    // Marks first: what else is asked hangs on which steps were done.
    let part = desk.state.parts.get(&kit.drill().id)?;
    steps(desk, kit)
        .or_else(|| cue(desk, kit, part))
        .or_else(|| critical(desk, kit))
        .or_else(|| over::begun(desk, kit, |id| !part.begun.contains_key(id)))
        .or_else(|| placed(desk, kit, part.unplaced.first()?))
        .or_else(|| order(desk, kit, part))
        .or_else(|| pair(desk, kit, part))
}

/// Steps without a mark.
fn steps(desk: &Desk<'_>, kit: &Kit) -> Option<Vec<Node>> {
    let (all, _) = untouched(desk.live, desk.state);
    // One touch is for the steps of all drills.
    let count = all.len().to_string();
    let drill = &kit.drill().id;
    let open: Vec<&String> =
        all.iter().filter(|(of, _)| of == drill).map(|(_, step)| step).collect();
    let rows = open_steps(desk.live, desk.state, drill)
        .filter(|step| open.contains(&&step.id))
        .map(|step| {
            let text = format!("{}. {}", place(kit, &step.id), step.action);
            Node::text("li", text)
        });
    (!open.is_empty()).then(|| {
        let rows = Node::new("ul").with("class", "plain").holding(rows);
        let text = desk.say("untouched", &[("count", &count)]);
        vec![list(vec![head(text), rows]), keys(rest_keys(desk))]
    })
}

fn cue(desk: &Desk<'_>, kit: &Kit, part: &Part) -> Option<Vec<Node>> {
    let cue = cues(kit, desk.state).find(|cue| !part.cues.contains_key(&cue.id))?;
    let keys = cue_keys(desk, cue).with("class", "keys of-answer");
    let about = [head(desk.get("cue-asked")), small(cue.says.clone())];
    Some(vec![list(about.into()), keys.with("aria-labelledby", "head")])
}

/// Each critical by itself: did this happen?
fn critical(desk: &Desk<'_>, kit: &Kit) -> Option<Vec<Node>> {
    let (_, open) = untouched(desk.live, desk.state);
    let is_open = |id: &String| open.iter().any(|(d, c)| *d == kit.drill().id && c == id);
    let all: Vec<_> = own_criticals(kit, desk.state).collect();
    let at = all.iter().position(|one| is_open(&one.id))?;
    let one = all.get(at)?;
    let (number, count) = ((at + 1).to_string(), all.len().to_string());
    let blanks = [("number", number.as_str()), ("count", count.as_str())];
    let shown =
        mode(desk.state.text("mode")).is_some_and(|mode| one.condition().shown_in(mode));
    let about = [
        small(desk.say("critical-asked", &blanks)),
        head(one.act.clone()),
        small(one.reason.clone()),
    ];
    let about = about.into_iter().chain(linked(desk, kit, one));
    let keys = critical_keys(desk, one, shown).with("class", "keys of-answer");
    Some(vec![list(about.collect()), keys.with("aria-labelledby", "head")])
}

/// One question: as it was recorded, or nobody watched it.
fn order(desk: &Desk<'_>, kit: &Kit, part: &Part) -> Option<Vec<Node>> {
    // Without a step that was recorded there is no order to ask for.
    if part.order_is_told() || part.recorded.is_empty() {
        return None;
    }
    let steps: Vec<String> = part.recorded.iter().map(|id| place(kit, id)).collect();
    let text = desk.say("recorded-as", &[("steps", &steps.join(", "))]);
    let answers = ["as-recorded", "not-watched"].map(|event| {
        // words: live.{as-recorded|not-watched}
        Node::button(desk.get(event), does(event)).with("id", event)
    });
    let about = [head(desk.get("order-asked")), small(text)];
    let about = about.into_iter().chain([small(desk.get("order-unanswered"))]);
    Some(vec![list(about.collect()), keys(answers)])
}

/// Which of two came first, where a critical hangs on it and the order does not tell.
fn pair(desk: &Desk<'_>, kit: &Kit, part: &Part) -> Option<Vec<Node>> {
    let open = pairs(kit, &sheet(desk.live, desk.state, kit));
    let unanswered = |[first, then]: &&[String; 2]| {
        !part.pairs.contains_key(&format!("{first} > {then}"))
    };
    let pair = open.iter().find(unanswered)?;
    let rows = Node::new("ul").with("class", "rows");
    let rows = rows.holding([pair_row(desk, kit, pair)]);
    Some(vec![list(vec![head(desk.get("pairs")), rows])])
}
