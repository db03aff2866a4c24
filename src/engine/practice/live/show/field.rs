//! Fields of a live sheet.

use serde_json::json;

use super::super::turn::Desk;
use super::pad::pad;
use crate::practice::view::Node;

/// The id of a field's element.
pub(super) fn id(field: &str) -> String {
    format!("f-{}", field.replace(['/', '.'], "-"))
}

fn write(field: &str) -> serde_json::Value {
    json!({ "do": "write", "field": field })
}

fn labelled(field: &str, label: String, control: Node) -> Node {
    let label = Node::text("label", label).with("for", id(field));
    Node::new("div").with("class", "field").holding([label, control])
}

/// A line to type in.
pub(super) fn line(desk: &Desk<'_>, field: &str) -> Node {
    let input = Node::new("input")
        .with("id", id(field))
        .with("autocomplete", "off")
        .with("value", desk.state.texts.get(field).cloned().unwrap_or_default())
        .acts(write(field));
    labelled(field, label(desk, field), input)
}

/// Several lines to type in.
pub(super) fn lines(desk: &Desk<'_>, field: &str) -> Node {
    let area = Node::new("textarea")
        .with("id", id(field))
        .with("rows", "3")
        .with("value", desk.state.texts.get(field).cloned().unwrap_or_default())
        .acts(write(field));
    labelled(field, label(desk, field), area)
}

/// A number with its unit, and its own keypad in place of the keyboard of a device.
pub(super) fn number(desk: &Desk<'_>, field: &str, unit: &str, label: &str) -> Node {
    let input = Node::new("input")
        .with("id", id(field))
        .with("inputmode", "none")
        .with("autocomplete", "off")
        .with("value", desk.state.texts.get(field).cloned().unwrap_or_default())
        .acts(write(field));
    let text = desk.say("with-unit", &[("label", label), ("unit", unit)]);
    labelled(field, text, input).holding([pad(desk, field, unit, label)])
}

/// One of several: value and label.
pub(super) fn choice(
    desk: &Desk<'_>,
    field: &str,
    label: String,
    options: Vec<(String, String)>,
) -> Node {
    let chosen = desk.state.text(field).to_owned();
    let option = |(value, text): (String, String)| {
        let node = Node::text("option", text).with("value", value.clone());
        if value == chosen { node.with("selected", "selected") } else { node }
    };
    let nothing = (String::new(), desk.get("choose"));
    let all = [nothing].into_iter().chain(options).map(option);
    let select = Node::new("select").with("id", id(field)).acts(write(field));
    labelled(field, label, select.holding(all))
}

/// One of few, as large buttons.
pub(super) fn buttons(
    desk: &Desk<'_>,
    field: &str,
    label: String,
    options: &[(String, String)],
) -> Node {
    let chosen = desk.state.text(field).to_owned();
    let button = |(value, text): &(String, String)| {
        let act = json!({ "do": "write", "field": field, "text": value });
        Node::button(text.clone(), act)
            .with("id", format!("{}-{value}", id(field)))
            .with("aria-pressed", if *value == chosen { "true" } else { "false" })
    };
    let name = Node::text("span", label).with("class", "label").with("id", id(field));
    let group = Node::new("div")
        .with("class", "buttons")
        .with("role", "group")
        .with("aria-labelledby", id(field))
        .holding(options.iter().map(button));
    Node::new("div").with("class", "field wide-field").holding([name, group])
}

/// People to choose from.
pub(super) fn people(desk: &Desk<'_>) -> Vec<(String, String)> {
    let people = desk.live.data().people.iter();
    people
        .map(|person| {
            let blanks = [("name", person.name.as_str()), ("rank", person.rank.as_str())];
            (person.id.clone(), desk.say("person", &blanks))
        })
        .collect()
}

pub(super) fn label(desk: &Desk<'_>, field: &str) -> String {
    // words: live.field.{label(_, ..)|*}
    desk.get(&format!("field.{field}"))
}
