//! The screen for watching: one step, its marks, the next two, and what may be needed at any
//! moment. It is fixed to the screen; what lies over the step takes the step's place and leaves
//! STOP where it is.

use serde_json::Value;

use super::super::asked::{asked_steps, numbers, own_criticals};
use super::super::desk::{Desk, can_undo};
use super::super::filled::happened;
use super::super::log::Event;
use super::super::look::Look;
use super::super::now::{Item, waiting};
use super::field::{id, pad_shown};
use super::over;
use super::parts::clock;
use super::run;
use super::steps::place;
use crate::course::{CueMark, Mark, Step, drill_name};
use crate::practice::view::{Node, does, doing, opens, valued};
use crate::scoring::Kit;

/// The whole screen.
pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let Some(kit) = desk.state.kit(desk.live) else { return (Vec::new(), None) };
    let over = over::view(desk, kit);
    let free = over.is_none();
    let body = over.unwrap_or_else(|| step(desk, kit));
    let keys = [stop(desk), critical(desk, kit), last(desk, free)];
    let dock = Node::new("div").with("class", "dock").holding(keys);
    let screen = screen(desk, kit, body, dock);
    let screen = if free { screen } else { screen.with("class", "watch over") };
    (vec![screen], focus(desk, free))
}

/// A screen of its own: who and the clock, the gravest caution, what is shown, a row of keys.
pub(super) fn screen(desk: &Desk<'_>, kit: &Kit, body: Vec<Node>, dock: Node) -> Node {
    let mut nodes = vec![top(desk, kit)];
    nodes.extend(hazard(desk));
    nodes.extend(body);
    nodes.push(dock);
    Node::new("div").with("class", "watch").holding(nodes)
}

/// What must be told on a screen stands on it, below the caution: it covers all else of the page.
pub(super) fn tell(body: &mut [Node], told: &mut Vec<Node>) {
    let has = |node: &Node, name: &str| {
        node.with
            .get("class")
            .is_some_and(|class| class.split(' ').any(|one| one == name))
    };
    let Some(screen) = body.first_mut().filter(|node| has(node, "watch")) else { return };
    let above = |kid: &&Node| has(kid, "top") || has(kid, "haz");
    let at = screen.kids.iter().take_while(above).count();
    if !told.is_empty() {
        let strip = Node::new("div").with("class", "strip").holding(told.drain(..));
        screen.kids.insert(at, strip);
    }
}

/// What the focus goes to: a new step is read from its head.
pub(super) fn focus(desk: &Desk<'_>, free: bool) -> Option<String> {
    match (desk.event, desk.look) {
        (Event::Undo, _) if free => Some("undo".to_owned()),
        (Event::Open { .. } | Event::Show, Look::Number(field)) => Some(id(field)),
        (Event::Open { what }, Look::Now) if what == "caution-read" => {
            Some("caution".to_owned())
        }
        (Event::Press { .. }, Look::Number(field)) => Some(id(field)),
        (
            Event::Write { .. }
            | Event::Critical { .. }
            | Event::Unsafe { .. }
            | Event::Reported { .. },
            _,
        ) if !free => {
            run::focus(desk).filter(|id| id != "head" || *desk.look != Look::Criticals)
        }
        (Event::Start | Event::Finish | Event::Hold { .. } | Event::Release, _) => {
            Some("timer".to_owned())
        }
        _ => Some("head".to_owned()),
    }
}

/// Who, the drill, the line, the try; and the time since the start.
fn top(desk: &Desk<'_>, kit: &Kit) -> Node {
    let state = desk.state;
    // Where the drill is done on no line there is no name of one, and no mark before it.
    let outlet = kit.rig().outlet(state.text("outlet")).map(|line| line.title.clone());
    let what: Vec<String> =
        std::iter::once(drill_name(kit.drill()).0).chain(outlet).collect();
    let blanks = [
        ("candidate", desk.live.name(state.text("candidate")).to_owned()),
        ("drill", what.join(" · ")),
        ("attempt", state.text("attempt").to_owned()),
    ];
    let blanks = blanks.each_ref().map(|(name, text)| (*name, text.as_str()));
    let time = clock(desk.live, state).map(|text| {
        Node::text("span", text)
            .with("id", "clock")
            .with("role", "timer")
            .with("aria-label", desk.get("clock"))
    });
    Node::new("div")
        .with("class", "top")
        .holding([Node::text("span", desk.say("watching", &blanks))])
        .holding(time)
}

/// The gravest headline; a touch shows the text of all.
fn hazard(desk: &Desk<'_>) -> Option<Node> {
    let cautions = over::cautions(desk);
    let first = cautions.first()?;
    let (word, class) = over::signal(first.signal, desk.live.words());
    let more = cautions.len().saturating_sub(1);
    let more = (more > 0).then(|| {
        let count = more.to_string();
        let text = desk.say("more-cautions", &[("count", &count)]);
        Node::text("b", text).with("class", "more")
    });
    let head = Node::text("span", first.headline.clone());
    let open = if *desk.look == Look::Caution { "caution-read" } else { "caution" };
    Some(
        Node::new("button")
            .with("type", "button")
            .with("id", "caution")
            .with("class", "haz")
            .with("aria-expanded", (*desk.look == Look::Caution).to_string())
            .acts(opens(open))
            .holding([Node::text("strong", word).with("class", class), head])
            .holding(more),
    )
}

/// The step, its marks, and the next two.
fn step(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let waiting = waiting(desk.live, desk.state);
    let Some((now, after)) = waiting.split_first() else { return all_marked(desk, kit) };
    let mut nodes = vec![shown(desk, kit, *now)];
    nodes.extend(timer(desk, kit));
    nodes.push(marks(desk, *now));
    nodes.extend(next(desk, kit, after));
    nodes
}

/// Large, so that it is read at arm's length; a long one smaller, so that it is not cut.
fn size(text: &str) -> &'static str {
    // Two lines of the largest letters hold some 32 of them on a phone, three of the middle
    // ones some 60.
    match text.chars().count() {
        0..=32 => "s1",
        33..=60 => "s2",
        _ => "s3",
    }
}

fn shown(desk: &Desk<'_>, kit: &Kit, now: Item<'_>) -> Node {
    let (number, of) = match now {
        Item::Cue(_) => (desk.get("cue-sign"), desk.get("cue-word")),
        Item::Step(step) => {
            let count = asked_steps(Some(kit), desk.state).count().to_string();
            (place(kit, &step.id), desk.say("of-steps", &[("count", &count)]))
        }
    };
    let number = Node::new("button")
        .with("type", "button")
        .with("id", "whole")
        .with("class", "num")
        .with("aria-label", desk.say("whole-from", &[("number", &number), ("of", &of)]))
        .acts(opens("sheet"))
        .holding([
            Node::text("b", number),
            Node::text("span", of),
            Node::text("small", desk.get("whole-short")),
        ]);
    let head = Node::text("h2", now.text())
        .with("id", "head")
        .with("tabindex", "-1")
        .with("class", size(now.text()));
    let mut body = vec![head];
    match now {
        Item::Cue(_) => body.push(told(desk.get("cue-about"))),
        Item::Step(step) => body.extend(of_step(desk, kit, step)),
    }
    body.extend(bridged(desk, kit).map(|text| Node::text("p", text)));
    Node::new("div")
        .with("class", "now")
        .holding([number, Node::new("div").with("class", "body").holding(body)])
}

fn told(text: String) -> Node {
    Node::text("p", text).with("class", "sees")
}

/// What is seen, what must be said, whose step it is, and what is read at it.
fn of_step(desk: &Desk<'_>, kit: &Kit, step: &Step) -> Vec<Node> {
    let mut nodes = vec![told(step.sees.clone())];
    if let Some(radio) = &step.radio {
        let content = radio.content.join(", ");
        nodes.push(told(desk.say("said", &[("content", &content)])));
    }
    if step.role != desk.state.text("role") {
        let role = kit.drill().roles.iter().find(|role| role.id == step.role);
        let role = role.map_or(step.role.as_str(), |role| role.title.as_str());
        nodes.push(told(desk.say("step-of", &[("role", role)])));
    }
    let criticals: Vec<String> = own_criticals(kit, desk.state)
        .enumerate()
        .filter(|(_, critical)| {
            let mut links = critical.links.iter();
            links.any(|link| super::super::asked::steps_of(link).contains(&&*step.id))
        })
        .map(|(at, _)| (at + 1).to_string())
        .collect();
    if !criticals.is_empty() {
        let numbers = criticals.join(", ");
        let text = desk.say("hangs-on-it", &[("numbers", &numbers)]);
        nodes.push(Node::text("p", text).with("class", "need"));
    }
    nodes.extend(readings(desk, kit, step));
    nodes
}

/// Values that are read at this step, or were to be read at the one before it.
fn readings(desk: &Desk<'_>, kit: &Kit, step: &Step) -> Option<Node> {
    let part = desk.state.part()?;
    let last = part.recorded.last();
    let of = |field: &str| {
        let (_, measure) = field.split_once("/measure.")?;
        let known = kit.drill().measures.iter().find(|one| one.id == measure)?;
        Some(known.step.clone())
    };
    // The tap that marks a step may come before the reading of its gauge.
    let keys = numbers(kit, desk.state).into_iter().filter(|(field, _, _)| {
        let unread = desk.state.text(field).is_empty();
        of(field).is_some_and(|at| at == step.id || (unread && last == Some(&at)))
    });
    let keys: Vec<Node> = keys.map(|number| number_key(desk, &number)).collect();
    (!keys.is_empty()).then(|| Node::new("div").with("class", "reads").holding(keys))
}

/// Opens the keypad of a number.
pub(super) fn number_key(
    desk: &Desk<'_>,
    (field, unit, label): &(String, String, String),
) -> Node {
    let act = opens(&Look::Number(field.clone()).text());
    let read = pad_shown(desk.state.text(field), unit);
    let read = if read.is_empty() { desk.get("not-read") } else { read };
    Node::button(label.clone(), act)
        .with("id", format!("read-{}", id(field)))
        .with("class", "read")
        .holding([Node::text("b", read)])
}

/// The keys of the watch, where the drill has a limit of time.
fn timer(desk: &Desk<'_>, kit: &Kit) -> Option<Node> {
    let keys = run::watch_keys(desk, kit);
    let timed = !keys.is_empty();
    timed.then(|| {
        let group = Node::new("div").with("class", "timer").with("role", "group");
        let group = group.with("id", "timer").with("tabindex", "-1");
        group.with("aria-label", desk.get("watch")).holding(keys)
    })
}

fn bridged(desk: &Desk<'_>, kit: &Kit) -> impl Iterator<Item = String> {
    let keys = run::clock_notes(desk, kit);
    // words: live.{clock-bridged|clock-set}
    keys.into_iter().map(|key| desk.get(key)).collect::<Vec<_>>().into_iter()
}

/// One large key and the others; they are the same elements for every step, so that the second
/// tap of a hasty finger marks nothing.
fn marks(desk: &Desk<'_>, now: Item<'_>) -> Node {
    let key = |name: &str, text: String, act: Value| {
        Node::button(text, act).with("id", format!("mark-{name}"))
    };
    let keys: Vec<Node> = match now {
        Item::Step(step) => {
            [Mark::Done, Mark::Prompted, Mark::NotDone, Mark::NotSeen]
                .into_iter()
                .map(|mark| {
                    let marked = [("step", valued(&step.id)), ("mark", valued(&mark))];
                    let act = doing("mark", &marked);
                    // words: live.mark-key.{Mark}
                    let text = desk.get(&format!("mark-key.{}", mark.key()));
                    key(&mark.key(), text, act)
                })
                .collect()
        }
        Item::Cue(cue) => CueMark::ALL
            .iter()
            .map(|(_, mark)| {
                let act =
                    doing("cue", &[("cue", valued(&cue.id)), ("mark", valued(&mark))]);
                // words: live.cue-key.{CueMark}
                let text = desk.get(&format!("cue-key.{}", mark.key()));
                key(&mark.key(), text, act)
            })
            .collect(),
    };
    let cue = matches!(now, Item::Cue(_));
    let class = if cue { "keys marks-now of-cue" } else { "keys marks-now" };
    Node::new("div")
        .with("class", class)
        .with("role", "group")
        .with("aria-labelledby", "head")
        .holding(keys)
}

/// The next two: a touch says that one of them came first.
fn next(desk: &Desk<'_>, kit: &Kit, after: &[Item<'_>]) -> Option<Node> {
    // Two, because a third would push the step's keys off a phone.
    let rows = after.iter().take(2).enumerate().map(|(at, item)| {
        let number = match item {
            Item::Cue(_) => desk.get("cue-sign"),
            Item::Step(step) => place(kit, &step.id),
        };
        let act = doing("first", &[("step", valued(&item.id()))]);
        Node::new("button")
            .with("type", "button")
            .with("id", format!("next-{}", at + 1))
            .acts(act)
            .holding([Node::text("b", number), Node::text("span", item.text())])
    });
    (!after.is_empty()).then(|| {
        let head = Node::text("p", desk.get("came-first")).with("id", "came-first");
        Node::new("div")
            .with("class", "next")
            .with("role", "group")
            .with("aria-labelledby", "came-first")
            .holding([head])
            .holding(rows)
    })
}

/// After the last step: the numbers, another drill of the chain, and the end.
fn all_marked(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let head = Node::text("h2", desk.get("all-marked")).with("id", "head");
    let mut body = vec![head.with("tabindex", "-1").with("class", "s2")];
    body.extend(bridged(desk, kit).map(|text| Node::text("p", text)));
    body.extend(run::drills(desk));
    let numbers = numbers(kit, desk.state);
    if !numbers.is_empty() {
        body.push(Node::text("h3", desk.get("numbers")));
        let keys = numbers.iter().map(|number| number_key(desk, number));
        body.push(Node::new("div").with("class", "reads").holding(keys));
    }
    let whole = Node::button(desk.get("whole"), opens("sheet"));
    let end = Node::button(desk.get("end"), does("end"));
    let mut nodes = vec![Node::new("div").with("class", "list").holding(body)];
    nodes.extend(timer(desk, kit));
    nodes.push(Node::new("div").with("class", "keys of-end").holding([
        end.with("id", "end").with("class", "first"),
        whole.with("id", "whole"),
    ]));
    nodes
}

fn stop(desk: &Desk<'_>) -> Node {
    Node::button(desk.get("stop"), does("stop")).with("id", "stop").with("class", "stop")
}

/// "Critical seen, 0 of 5": what may happen at any moment is never more than one touch away.
fn critical(desk: &Desk<'_>, kit: &Kit) -> Node {
    let part = desk.state.part();
    let own: Vec<_> = own_criticals(kit, desk.state).collect();
    let seen = own.iter().filter(|one| part.is_some_and(|part| happened(part, &one.id)));
    let acts = part.map_or(0, |part| part.acts.len());
    let blanks = [
        ("seen", seen.count().to_string()),
        ("count", own.len().to_string()),
        ("acts", acts.to_string()),
    ];
    let blanks = blanks.each_ref().map(|(name, text)| (*name, text.as_str()));
    let count = match acts {
        0 => desk.say("seen-count", blanks.get(..2).unwrap_or_default()),
        _ => desk.say("seen-count-acts", &blanks),
    };
    Node::button(desk.get("critical-seen"), opens("criticals"))
        .with("id", "critical")
        .with("aria-expanded", (*desk.look == Look::Criticals).to_string())
        .holding([Node::text("small", count)])
}

/// Undo; or, where something lies over the step, the way back to it.
fn last(desk: &Desk<'_>, free: bool) -> Node {
    if !free {
        let back = Node::button(desk.get("to-step"), does("open"));
        return back.with("id", "to-step");
    }
    let count = desk.state.part().map_or(0, |part| part.marks.len()).to_string();
    let count = desk.say("marked-count", &[("count", &count)]);
    let undo = Node::button(desk.get("undo"), does("undo"))
        .with("id", "undo")
        .with("data-again", "yes")
        .holding([Node::text("small", count)]);
    if can_undo(desk.log, desk.state) { undo } else { undo.with("aria-disabled", "true") }
}
