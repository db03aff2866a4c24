//! Before the start: use, mode, people, weather.

use super::super::asked::holders;
use super::super::desk::Desk;
use super::super::kit::Live;
use super::super::last::{LOCAL, standing};
use super::super::log::Event;
use super::super::look::Look;
use super::super::sheet::{missing, on_a_line, sheet};
use super::super::state::{FORM, FURTHER, State};
use super::field::{
    buttons, choice, id, label, line, line_as, officers, people, several_of,
};
use super::parts::{focus_or_head, heading, pressed};
use crate::course::{Decision, Drill, Rig};
use crate::practice::view::{Node, does, doing, opens, valued};
use crate::scoring::{Kit, faults, has_repeats, tanks};

/// So many candidates have a key of their own: two rows on a phone, with one for all others.
const KEYS: usize = 3;

/// Three touches: who, the same as last time, begin.
pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let whole = desk.last.is_empty() || matches!(desk.look, Look::Change | Look::Gaps);
    let mut nodes = vec![heading(desk.get("who")).with("class", "step-head")];
    nodes.extend(who(desk, whole));
    nodes.extend(same(desk));
    if whole {
        nodes.push(Node::text("p", desk.get("declare-about")));
        nodes.push(Node::new("div").with("class", "fields").holding(fields(desk)));
    }
    nodes.extend(unverified(desk));
    nodes.extend(undecided(desk));
    nodes.extend(unheld(desk));
    nodes.push(Node::text("h2", desk.get("aloud-head")).with("class", "step-head"));
    nodes.push(Node::text("p", aloud(desk)).with("class", "aloud"));
    nodes.push(
        Node::button(begin(desk), does("begin"))
            .with("id", "begin")
            .with("class", "first begin"),
    );
    // Here too, because a page that is opened again begins here.
    nodes.extend(super::done::finished(desk));
    (nodes, focus(desk))
}

fn focus(desk: &Desk<'_>) -> Option<String> {
    match desk.event {
        Event::Write { field, text } => {
            let one = ["use", "mode", "later"].contains(&field.as_str());
            let pressed = id(field);
            Some(if one { format!("{pressed}-{text}") } else { pressed })
        }
        Event::Who { candidate } => Some(format!("who-{candidate}")),
        Event::Same => Some("same".to_owned()),
        // A start that was refused leads to the first thing that is missing.
        Event::Begin => missing(desk.live, desk.state).first().map(|field| {
            let modes = desk.live.modes();
            match *field {
                "use" => "f-use-practice".to_owned(),
                "mode" => {
                    let first = modes.first().map_or("", |mode| mode.word());
                    format!("f-mode-{first}")
                }
                field => id(field),
            }
        }),
        Event::Open { what } if what == "who" => Some(id("candidate")),
        Event::Open { what } if what == "change" => Some("change".to_owned()),
        _ => focus_or_head(None),
    }
}

/// Keys of candidates, those who are due first; and everybody, for those who have none.
fn who(desk: &Desk<'_>, whole: bool) -> Vec<Node> {
    let data = desk.live.data();
    let chosen = desk.state.text("candidate");
    let posts = ["evaluator", "safety-officer"];
    let held = |id: &str| {
        let last = posts.iter().any(|post| {
            desk.last.get(*post).is_some_and(|held| held == id)
                || desk.state.text(post) == id
        });
        last && id != chosen
    };
    let due = data.due.iter().map(|due| due.candidate.as_str());
    let mut shown: Vec<&str> = Vec::new();
    let others = data.people.iter().map(|person| person.id.as_str());
    // Somebody who was chosen from the list of all stands among the keys from then on.
    let picked = Some(chosen).filter(|id| !id.is_empty()).into_iter();
    for id in due.chain(picked).chain(others.filter(|id| !held(id))) {
        let wanted = id == chosen || shown.len() < KEYS;
        if wanted && !shown.contains(&id) {
            shown.push(id);
        }
    }
    let key = |id: &str| {
        let act = doing("who", &[("candidate", valued(&id))]);
        let button = pressed(desk.live.name(id).to_owned(), act, id == chosen);
        let due = data.due.iter().find(|due| due.candidate == id).map(|due| {
            let attempt = due.attempt.map(|attempt| attempt.to_string());
            match attempt {
                Some(attempt) => desk.say("due-attempt", &[("attempt", &attempt)]),
                None => desk.get("due"),
            }
        });
        let due = due.map(|text| Node::text("small", text));
        button.with("id", format!("who-{id}")).holding(due)
    };
    let open = whole || *desk.look == Look::Who;
    let another = (!open).then(|| {
        let act = opens("who");
        Node::button(desk.get("another"), act).with("id", "another")
    });
    let group = Node::new("div").with("class", "two").with("role", "group");
    let keys: Vec<Node> = shown.into_iter().map(key).collect();
    let group = group.with("aria-labelledby", "head").holding(keys).holding(another);
    let all =
        open.then(|| choice(desk, "candidate", label(desk, "candidate"), people(desk)));
    [group].into_iter().chain(all).collect()
}

/// The last run of this browser in one key, and the way to change it.
fn same(desk: &Desk<'_>) -> Vec<Node> {
    let head = |key: String| {
        Node::text("h2", key).with("id", "same-head").with("class", "step-head")
    };
    let last = standing(desk.live, &desk.last, desk.state.text("candidate"));
    let Some(rig) = last.get("rig").and_then(|rig| desk.live.kits(rig).first()) else {
        return vec![head(desk.get("declare"))];
    };
    let rig = rig.rig();
    let words = desk.live.words();
    let text = |field: &str| last.get(field).map_or("", String::as_str);
    let outlet = rig.outlet(text("outlet")).map_or("", |outlet| outlet.title.as_str());
    let tank = rig.foam_tanks().find(|tank| tank.id == text("draws-from"));
    let tank = tank.map_or("", |tank| tank.title.as_str());
    // The percent hangs on the fuel, where a label has several.
    let line = [rig.title.as_str(), outlet, tank, text("fuel")].map(str::to_owned);
    let line: Vec<String> = line.into_iter().filter(|text| !text.is_empty()).collect();
    let rig = line.join(", ");
    // words: scoring.use.{RunUse}
    let use_ = words.get(&format!("scoring.use.{}", text("use")));
    // words: scoring.mode.{Mode}
    let mode = words.get(&format!("scoring.mode.{}", text("mode")));
    let blanks = [("rig", rig.as_str()), ("mode", &mode), ("use", &use_)];
    let crew = last.iter().filter(|(field, _)| field.starts_with("crew."));
    let crew: Vec<&str> = crew.map(|(_, id)| desk.live.name(id)).collect();
    let crew = crew.join(", ");
    let of_people = [
        ("evaluator", desk.live.name(text("evaluator"))),
        ("safety", desk.live.name(text("safety-officer"))),
        ("crew", crew.as_str()),
    ];
    let of_day = [
        ("weather", text("weather")),
        ("light", text("light")),
        ("word", text("stop-word")),
    ];
    let lines = [
        Node::text("b", desk.say("same-rig", &blanks)),
        Node::text("small", desk.say("same-people", &of_people)),
        Node::text("small", desk.say("same-day", &of_day)),
    ];
    let taken = last.iter().all(|(field, text)| desk.state.text(field) == text.trim());
    let key = |id: &str, act: serde_json::Value| {
        Node::new("button").with("type", "button").with("id", id).acts(act)
    };
    let same = key("same", does("same"))
        .with("class", "summary")
        .with("aria-pressed", taken.to_string())
        .holding(lines);
    let open = matches!(desk.look, Look::Change | Look::Gaps);
    let what = if open { "" } else { "change" };
    let change = key("change", doing("open", &[("what", valued(&what))]))
        .with("aria-expanded", open.to_string())
        .holding([Node::text("span", desk.get("change"))]);
    vec![head(desk.get("same-asked")), same, change]
}

/// Said once a rig is chosen that nobody compared with its plate and manual.
fn unverified(desk: &Desk<'_>) -> Option<Node> {
    let kit = desk.live.kits(desk.state.text("rig")).first()?;
    let text = desk.say("unverified", &[("rig", &kit.rig().title)]);
    (!kit.rig().verified()).then(|| Node::text("p", text).with("class", "note"))
}

/// Posts that nobody holds, once all else is declared. They keep no run from its start, because
/// somebody may still come; left empty they leave it incomplete (rule 27).
fn unheld(desk: &Desk<'_>) -> Vec<Node> {
    if !missing(desk.live, desk.state).is_empty() {
        return Vec::new();
    }
    let mut told: Vec<String> = Vec::new();
    for kit in desk.live.kits(desk.state.text("rig")) {
        let found = faults(kit, &sheet(desk.live, desk.state, kit)).into_iter();
        let empty = found.filter(|fault| fault.key == "role-empty");
        told.extend(empty.map(|fault| fault.says(desk.live.words())));
    }
    told.sort();
    told.dedup();
    told.into_iter().map(|text| Node::text("p", text).with("class", "note")).collect()
}

/// Local rules that nobody has decided yet: what holds for this run stands in its notes.
fn undecided(desk: &Desk<'_>) -> Option<Node> {
    let topics = desk.live.data().house.topics.iter();
    let open = topics.filter(|topic| topic.decision == Decision::NotDecidedYet);
    let fields: Vec<Node> = open
        .map(|topic| {
            let asked = if topic.asks.is_empty() { &topic.title } else { &topic.asks };
            line_as(desk, &format!("{LOCAL}{}", topic.id), asked.clone())
        })
        .collect();
    (!fields.is_empty()).then(|| {
        Node::new("div").with("class", "note").holding([
            Node::new("p").holding([Node::text("b", desk.get("undecided"))]),
            Node::new("div").with("class", "fields").holding(fields),
        ])
    })
}

/// The key to begin names what is missing; it never looks dead.
pub(super) fn begin(desk: &Desk<'_>) -> String {
    begin_text(desk.live, desk.state)
}

/// The same without a view: it changes while somebody types.
pub(super) fn begin_text(live: &Live, state: &State) -> String {
    let words = live.words();
    let missing = missing(live, state);
    let Some(first) = missing.first() else { return words.get("live.begin") };
    // words: live.gaps.{DECLARED|fuel|draws-from}
    let what = words.get(&format!("live.gaps.{first}"));
    let count = missing.len().to_string();
    let blanks = [("count", count.as_str()), ("what", what.as_str())];
    match missing.len() {
        1 => words.say("live.begin-gap", blanks.get(1..).unwrap_or_default()),
        _ => words.say("live.begin-gaps", &blanks),
    }
}

/// What is read aloud about stopping.
fn aloud(desk: &Desk<'_>) -> String {
    let first = desk.live.data().drills.first().map(|standard| &standard.drill);
    let sign = first.map_or("", |drill| drill.stop.sign.as_str());
    let word = desk.state.text("stop-word");
    desk.say("aloud", &[("word", word), ("sign", sign)])
}

fn fields(desk: &Desk<'_>) -> Vec<Node> {
    let words = desk.live.words();
    // words: scoring.{use}.{RunUse}
    let say = |key: &str, name: &str| words.get(&format!("scoring.{key}.{name}"));
    let uses = ["practice", "evaluation"];
    let uses = uses.map(|one| (one.to_owned(), say("use", one)));
    let modes: Vec<(String, String)> = desk
        .live
        .modes()
        .into_iter()
        .map(|mode| (mode.word().to_owned(), say("mode", mode.word())))
        .collect();
    let later = ["no", "yes"];
    // words: live.later.{no|yes}
    let later = later.map(|one| (one.to_owned(), desk.get(&format!("later.{one}"))));
    let mut nodes = vec![
        buttons(desk, "use", label(desk, "use"), &uses),
        buttons(desk, "mode", label(desk, "mode"), &modes),
    ];
    nodes.extend(of_rig(desk));
    nodes.extend(of_people(desk));
    nodes.extend(of_forms(desk));
    for field in ["weather", "light", "stop-word"] {
        nodes.push(line(desk, field));
    }
    nodes.push(line(desk, "run"));
    nodes.push(buttons(desk, "later", label(desk, "later"), &later));
    if desk.state.later() {
        let mut field = line(desk, "performed-at");
        for input in field.kids.iter_mut().filter(|kid| kid.tag == "input") {
            // The device's own picker: nobody types a date with gloves on.
            input.with.insert("type", "datetime-local".into());
            let value = desk.state.text("performed-at").replace(' ', "T");
            input.with.insert("value", value);
        }
        nodes.push(field);
    }
    nodes
}

/// The form code of the numbered sheet that the run is made by, of each drill that has some.
fn of_forms(desk: &Desk<'_>) -> Vec<Node> {
    let drills = desk.live.data().drills.iter().map(|standard| &standard.drill);
    let drawn = drills.filter(|drill| drill.drawn.is_some());
    let asked = |drill: &Drill| {
        let blanks = [("drill", drill.title.as_str())];
        let title = desk.say("form-of", &blanks);
        line_as(desk, &format!("{FORM}{}", drill.id), title)
    };
    drawn.map(asked).collect()
}

fn of_rig(desk: &Desk<'_>) -> Vec<Node> {
    let rigs = || desk.live.rigs();
    let named = rigs().map(|rig| (rig.id.clone(), rig.title.clone()));
    let mut nodes = Vec::new();
    // A drill that needs no rig asks for none.
    if !rigs().all(Rig::is_nowhere) {
        nodes.push(choice(desk, "rig", label(desk, "rig"), named.collect()));
    }
    let kit = desk.live.kits(desk.state.text("rig")).first();
    let outlets = kit.map_or(&[][..], |kit| kit.rig().outlets.as_slice());
    let outlets = outlets.iter().map(|outlet| (outlet.id.clone(), outlet.title.clone()));
    let outlets: Vec<(String, String)> = outlets.collect();
    if on_a_line(desk.live, desk.state) {
        nodes.push(choice(desk, "outlet", label(desk, "outlet"), outlets.clone()));
    }
    // Where something repeats for each outlet, those beside the first are pressed.
    let kits = desk.live.kits(desk.state.text("rig")).iter();
    let first = desk.state.text("outlet");
    if !first.is_empty() && kits.map(Kit::drill).any(has_repeats) {
        let others = outlets.into_iter().filter(|(id, _)| id != first);
        let others = others.map(|(id, title)| (format!("{FURTHER}{id}"), title));
        nodes.extend(several_of(desk, "further", &others.collect::<Vec<_>>()));
    }
    // Where a label names several, an order is for one of them.
    let agents = kit.map_or(&[][..], |kit| kit.rig().agents.as_slice());
    let fuels = agents.iter().flat_map(|agent| &agent.allowed);
    let fuels: Vec<(String, String)> =
        fuels.map(|one| (one.fuel.clone(), one.fuel.clone())).collect();
    if fuels.len() > 1 {
        nodes.push(choice(desk, "fuel", label(desk, "fuel"), fuels));
    }
    let drawn = kit.map(tanks).unwrap_or_default();
    let drawn = drawn.iter().map(|tank| (tank.id.clone(), tank.title.clone()));
    let drawn: Vec<(String, String)> = drawn.collect();
    if !drawn.is_empty() {
        nodes.push(choice(desk, "draws-from", label(desk, "draws-from"), drawn));
    }
    nodes
}

fn of_people(desk: &Desk<'_>) -> Vec<Node> {
    let one = |field: &str| choice(desk, field, label(desk, field), people(desk));
    let roles = desk.live.scored();
    let roles = roles.iter().map(|role| (role.id.clone(), role.title.clone()));
    let mut nodes = Vec::new();
    nodes.push(choice(desk, "role", label(desk, "role"), roles.collect()));
    let mut attempt = line(desk, "attempt");
    for input in attempt.kids.iter_mut().filter(|kid| kid.tag == "input") {
        input.with.insert("inputmode", "numeric".into());
    }
    nodes.push(attempt);
    // Rule 30: one try more than the drill has is granted by a named officer.
    let drills = desk.live.data().drills.iter();
    let most = drills.map(|standard| standard.drill.attempts.most).min();
    let tried: Option<u32> = desk.state.text("attempt").parse().ok();
    if tried.zip(most).is_some_and(|(tried, most)| tried > most) {
        nodes.push(choice(desk, "granted.by", label(desk, "granted.by"), officers(desk)));
        nodes.push(line(desk, "granted.why"));
    }
    nodes.push(line(desk, "completes"));
    let chosen = desk.state.text("role");
    for role in desk.live.roles() {
        let fields = holders(desk.live, desk.state, role);
        let many = fields.len() > 1 || role.id == chosen;
        let own = usize::from(role.id == chosen);
        for (at, field) in fields.iter().enumerate() {
            let number = (at + 1 + own).to_string();
            let blanks = [("role", role.title.as_str()), ("number", &number)];
            let title =
                if many { desk.say("holder", &blanks) } else { role.title.clone() };
            nodes.push(choice(desk, field, title, people(desk)));
        }
    }
    nodes.push(one("evaluator"));
    nodes.push(line(desk, "qualification"));
    nodes.push(line(desk, "qualified-on"));
    nodes.push(line(desk, "relation"));
    nodes.push(one("safety-officer"));
    nodes
}
