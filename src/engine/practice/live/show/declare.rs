//! Before the start: use, mode, people, weather.

use serde_json::json;

use super::super::asked::holders;
use super::super::desk::Desk;
use super::super::log::Event;
use super::super::state::FORM;
use super::field::{buttons, choice, id, label, line, line_as, officers, people};
use super::parts::{focus_or_head, heading};
use crate::course::Drill;
use crate::practice::view::Node;

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes =
        vec![heading(desk.get("declare")), Node::text("p", desk.get("declare-about"))];
    nodes.push(Node::new("div").with("class", "fields").holding(fields(desk)));
    nodes.push(Node::text("p", aloud(desk)).with("class", "aloud"));
    nodes.push(
        Node::new("p").with("class", "buttons").holding([Node::button(
            desk.get("begin"),
            json!({ "do": "begin" }),
        )
        .with("id", "begin")
        .with("class", "first")]),
    );
    // Here too, because a page that is opened again begins here.
    nodes.extend(super::done::finished(desk));
    let focus = match desk.event {
        Event::Write { field, text } => {
            let one = ["use", "mode", "later"].contains(&field.as_str());
            let pressed = id(field);
            Some(if one { format!("{pressed}-{text}") } else { pressed })
        }
        _ => focus_or_head(None),
    };
    (nodes, focus)
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
    let rigs = desk.live.rigs().map(|rig| (rig.id.clone(), rig.title.clone()));
    let mut nodes = vec![choice(desk, "rig", label(desk, "rig"), rigs.collect())];
    let kit = desk.live.kits(desk.state.text("rig")).first();
    let outlets = kit.map_or(&[][..], |kit| kit.rig().outlets.as_slice());
    let outlets = outlets.iter().map(|outlet| (outlet.id.clone(), outlet.title.clone()));
    nodes.push(choice(desk, "outlet", label(desk, "outlet"), outlets.collect()));
    // Where a label names several, an order is for one of them.
    let agents = kit.map_or(&[][..], |kit| kit.rig().agents.as_slice());
    let fuels = agents.iter().flat_map(|agent| &agent.allowed);
    let fuels: Vec<(String, String)> =
        fuels.map(|one| (one.fuel.clone(), one.fuel.clone())).collect();
    if fuels.len() > 1 {
        nodes.push(choice(desk, "fuel", label(desk, "fuel"), fuels));
    }
    nodes
}

fn of_people(desk: &Desk<'_>) -> Vec<Node> {
    let one = |field: &str| choice(desk, field, label(desk, field), people(desk));
    let roles = desk.live.scored();
    let roles = roles.iter().map(|role| (role.id.clone(), role.title.clone()));
    let mut nodes = vec![one("candidate")];
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
