//! Fields of a live sheet, and the keypad of a number: keys for cold fingers, with the units the
//! number may be in.
//!
//! A keypad shows while its field has the focus, on devices that are touched; elsewhere the field
//! is typed in. A pressed key is written like typed text, so that the log knows one way only.

use super::super::asked::numbers;
use super::super::desk::Desk;
use super::super::kit::Live;
use super::super::log::{Event, Key};
use super::super::look::Look;
use super::super::sheet::missing;
use super::super::state::{Phase, State};
use crate::practice::view::{Node, doing, valued};
use crate::quantity::{Comma, Kind, Quantity, ReadFault, find};

/// The id of a field's element.
pub(super) fn id(field: &str) -> String {
    format!("f-{}", field.replace(['/', '.'], "-"))
}

fn write(field: &str) -> serde_json::Value {
    doing("write", &[("field", valued(&field))])
}

fn labelled(desk: &Desk<'_>, field: &str, label: String, control: Node) -> Node {
    let label = Node::text("label", label).with("for", id(field));
    if is_gap(desk, field) {
        let control = control.with("aria-invalid", "true");
        let label = label.holding([gap(desk)]);
        return Node::new("div").with("class", "field gap").holding([label, control]);
    }
    Node::new("div").with("class", "field").holding([label, control])
}

/// Whether a start was refused for want of this field.
fn is_gap(desk: &Desk<'_>, field: &str) -> bool {
    let asked = *desk.look == Look::Gaps && desk.state.phase == Phase::Declare;
    asked && missing(desk.live, desk.state).contains(&field)
}

/// It is told in a word, because a frame alone tells it to the eyes only.
fn gap(desk: &Desk<'_>) -> Node {
    Node::text("b", desk.get("gap")).with("class", "gap-word")
}

/// A line to type in.
pub(super) fn line(desk: &Desk<'_>, field: &str) -> Node {
    line_as(desk, field, label(desk, field))
}

/// A line to type in, of a field that belongs to a drill.
pub(super) fn line_as(desk: &Desk<'_>, field: &str, label: String) -> Node {
    let input = Node::new("input")
        .with("id", id(field))
        .with("autocomplete", "off")
        .with("value", desk.state.texts.get(field).cloned().unwrap_or_default())
        .acts(write(field));
    labelled(desk, field, label, input)
}

/// Several lines to type in.
pub(super) fn lines(desk: &Desk<'_>, field: &str) -> Node {
    let area = Node::new("textarea")
        .with("id", id(field))
        .with("rows", "3")
        .with("value", desk.state.texts.get(field).cloned().unwrap_or_default())
        .acts(write(field));
    labelled(desk, field, label(desk, field), area)
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
    labelled(desk, field, text, input).holding([pad(desk, field, unit, label)])
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
    // Nothing is chosen beforehand: a choice that nobody made would be an answer.
    let nothing = (String::new(), desk.get("choose"));
    let all = [nothing].into_iter().chain(options).map(option);
    let select = Node::new("select").with("id", id(field)).acts(write(field));
    labelled(desk, field, label, select.holding(all))
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
        let act = doing("write", &[("field", valued(&field)), ("text", valued(&value))]);
        Node::button(text.clone(), act)
            .with("id", format!("{}-{value}", id(field)))
            .with("aria-pressed", if *value == chosen { "true" } else { "false" })
    };
    let missing = is_gap(desk, field);
    let name = Node::text("span", label).with("class", "label").with("id", id(field));
    let name = if missing { name.holding([gap(desk)]) } else { name };
    let group = Node::new("div")
        .with("class", "buttons")
        .with("role", "group")
        .with("aria-labelledby", id(field))
        .holding(options.iter().map(button));
    let class = if missing { "field wide-field gap" } else { "field wide-field" };
    Node::new("div").with("class", class).holding([name, group])
}

/// Several of few, each a field of its own that is pressed or not; nothing where there is none.
pub(super) fn several_of(
    desk: &Desk<'_>,
    name: &str,
    options: &[(String, String)],
) -> Option<Node> {
    let button = |(field, text): &(String, String)| {
        let down = !desk.state.text(field).is_empty();
        let written = if down { "" } else { "yes" };
        let act =
            doing("write", &[("field", valued(&field)), ("text", valued(&written))]);
        Node::button(text.clone(), act)
            .with("id", id(field))
            .with("aria-pressed", if down { "true" } else { "false" })
    };
    let title = Node::text("span", label(desk, name)).with("class", "label");
    let group = Node::new("div")
        .with("class", "buttons")
        .with("role", "group")
        .with("aria-labelledby", id(name))
        .holding(options.iter().map(button));
    let field = Node::new("div").with("class", "field wide-field");
    let field = field.holding([title.with("id", id(name)), group]);
    (!options.is_empty()).then_some(field)
}

/// People who can agree or have seen it too: neither candidate nor evaluator.
pub(super) fn officers(desk: &Desk<'_>) -> Vec<(String, String)> {
    let own = ["candidate", "evaluator"].map(|field| desk.state.text(field));
    let mut all = people(desk);
    all.retain(|(id, _)| !own.contains(&id.as_str()));
    all
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

/// Units of one gauge: a watch shows minutes and seconds. Every other gauge shows one unit, and a
/// key of another would only be touched by mistake.
const TOGETHER: &[&[&str]] = &[&["s", "min"]];

/// Digits as they stand on a telephone: nobody looks for them.
const DIGITS: &str = "123456789.0";

fn units(unit: &str) -> Vec<&str> {
    let group = TOGETHER.iter().find(|group| group.contains(&unit));
    let others = group.map_or(&[][..], |group| group).iter().copied();
    let all = [unit].into_iter().chain(others.filter(|other| *other != unit));
    all.filter(|unit| !unit.is_empty()).collect()
}

/// What stands in a field after a key was pressed; its own unit is not written out.
pub(in crate::practice::live) fn pressed(text: &str, key: &Key) -> String {
    let unit_at = |c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-'));
    let number = text.split(unit_at).next().unwrap_or_default();
    let unit = text.get(number.len()..).unwrap_or_default().trim();
    let joined = |number: &str, unit: &str| {
        if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
    };
    match key {
        // One sign before decimals, whichever of the two it is.
        Key::Digit('.' | ',') if number.contains(['.', ',']) => text.to_owned(),
        Key::Digit(digit) if DIGITS.contains(*digit) || *digit == ',' => {
            joined(&format!("{number}{digit}"), unit)
        }
        Key::Digit(_) => text.to_owned(),
        Key::Sign => match number.strip_prefix('-') {
            Some(number) => joined(number, unit),
            None => joined(&format!("-{number}"), unit),
        },
        Key::Unit(unit) => joined(number, unit),
        Key::Back => {
            let shorter = number.get(..number.len().saturating_sub(1));
            let shorter = shorter.unwrap_or_default();
            if shorter.is_empty() { String::new() } else { joined(shorter, unit) }
        }
        Key::On => text.to_owned(),
    }
}

/// The keypad of a field.
pub(super) fn pad(desk: &Desk<'_>, field: &str, unit: &str, label: &str) -> Node {
    let key = |text: String, key: Key| {
        // A keyboard needs no keys of a keypad to go through.
        Node::button(
            text,
            doing("press", &[("field", valued(&field)), ("key", valued(&key))]),
        )
        .with("tabindex", "-1")
        .with("data-again", "yes")
    };
    let mark = |digit| match (digit, desk.live.comma()) {
        ('.', Comma::Decimal) => ',',
        (digit, _) => digit,
    };
    let mut keys: Vec<Node> = DIGITS
        .chars()
        .map(mark)
        .map(|digit| key(digit.to_string(), Key::Digit(digit)))
        .collect();
    keys.push(
        key(desk.get("pad.back-sign"), Key::Back)
            .with("aria-label", desk.get("pad.back")),
    );
    if find(unit).is_some_and(|unit| unit.kind == Kind::Reading) {
        keys.push(key("−".into(), Key::Sign).with("aria-label", desk.get("pad.sign")));
    }
    let units = units(unit);
    let units = if units.len() > 1 { units } else { Vec::new() };
    let mut side: Vec<Node> = units
        .into_iter()
        .map(|unit| key(unit.to_owned(), Key::Unit(unit.to_owned())))
        .collect();
    side.push(key(desk.get("pad.on"), Key::On).with("class", "first"));
    let shown = desk.state.text(field);
    Node::new("div")
        .with("class", "pad")
        .with("role", "group")
        .with("aria-label", desk.say("pad.of", &[("label", label)]))
        .holding([
            Node::new("p").with("class", "pad-head").holding([
                Node::text("span", label),
                Node::text("b", with_unit(shown, unit)).with("id", shown_id(field)),
            ]),
            Node::new("div").with("class", "pad-keys").holding(keys),
            Node::new("div").with("class", "pad-side").holding(side),
        ])
}

/// What changes with a pressed key or a typed letter: the field, and what its keypad shows.
pub(in crate::practice::live) fn texts(
    live: &Live,
    state: &State,
    event: &Event,
) -> Vec<(String, String)> {
    let (field, pressed) = match event {
        Event::Press { field, .. } => (field, true),
        Event::Write { field, .. } => (field, false),
        _ => return Vec::new(),
    };
    let fields = fields(live, state);
    let Some((_, unit)) = fields.iter().find(|(known, _)| known == field) else {
        return Vec::new();
    };
    let text = state.text(field);
    let shown = (shown_id(field), with_unit(text, unit));
    // What is being typed stands in its field already.
    let typed = pressed.then(|| (id(field), text.to_owned()));
    typed.into_iter().chain([shown]).collect()
}

/// Whether a field is a number with a keypad.
pub(in crate::practice::live) fn has(live: &Live, state: &State, field: &str) -> bool {
    fields(live, state).iter().any(|(known, _)| known == field)
}

/// Where the focus goes on to: the next number, or the heading above them all.
pub(super) fn after(desk: &Desk<'_>, field: &str) -> String {
    let mut fields = fields(desk.live, desk.state).into_iter();
    fields.find(|(known, _)| known == field);
    fields.next().map_or_else(|| NUMBERS.to_owned(), |(next, _)| id(&next))
}

/// The id of the heading above the numbers.
pub(super) const NUMBERS: &str = "numbers";

/// Number fields of the drill that is shown, from top to bottom, with their units.
fn fields(live: &Live, state: &State) -> Vec<(String, String)> {
    let Some(kit) = state.kit(live) else { return Vec::new() };
    let timed = state.later() && kit.drill().time.is_some();
    let of_time = TIMES
        .iter()
        .filter(|_| timed)
        .map(|name| (format!("{}/{name}", kit.drill().id), "s".to_owned()));
    let numbers = numbers(kit, state).into_iter();
    of_time.chain(numbers.map(|(field, unit, _)| (field, unit))).collect()
}

/// Fields of a watch that was read on paper.
pub(super) const TIMES: [&str; 2] = ["taken", "held"];

/// The id of the element in which a keypad shows its number.
fn shown_id(field: &str) -> String {
    format!("p-{}", id(field))
}

/// A number as it is understood: with the unit of its field where none is written.
pub(super) fn pad_shown(text: &str, unit: &str) -> String {
    if text.is_empty() { String::new() } else { with_unit(text, unit) }
}

fn with_unit(text: &str, unit: &str) -> String {
    let whole = match Quantity::read_with(text, Comma::Decimal) {
        Ok(read) => read.unit().kind != Kind::Plain,
        // Two readings, with the unit behind both.
        Err(ReadFault::Ambiguous(text)) => !text.ends_with(|c: char| c.is_ascii_digit()),
        Err(_) => text.is_empty(),
    };
    if whole { text.to_owned() } else { format!("{text} {unit}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &[Key]) -> String {
        keys.iter().fold(String::new(), |text, key| pressed(&text, key))
    }

    #[test]
    fn keys_write_what_a_keyboard_would() {
        let digit = |digit| Key::Digit(digit);
        let unit = |unit: &str| Key::Unit(unit.into());
        let mut keys = vec![digit('3'), digit('.'), digit('.'), digit('2')];
        assert_eq!(typed(&keys), "3.2", "a second point is none");
        keys.push(unit("qt"));
        assert_eq!(typed(&keys), "3.2 qt");
        keys.push(digit('5'));
        assert_eq!(typed(&keys), "3.25 qt", "a digit goes on with the number");
        keys.extend([Key::Back, Key::Back, Key::Sign]);
        assert_eq!(typed(&keys), "-3. qt");
        keys.extend([Key::Sign, Key::Back, Key::Back]);
        assert_eq!(typed(&keys), "", "with the last digit the unit goes");
        assert_eq!(typed(&[digit('x'), digit('é')]), "");
        assert_eq!(pressed("é7 gal", &digit('1')), "1 é7 gal");
    }

    #[test]
    fn the_unit_of_the_field_comes_first() {
        assert_eq!(units("gal"), ["gal"], "no quart on a counter");
        assert_eq!(units("gpm"), ["gpm"]);
        assert_eq!(units("min"), ["min", "s"]);
        assert_eq!(units("%"), ["%"]);
        assert_eq!(with_unit("3", "gal"), "3 gal");
        assert_eq!(with_unit("3 qt", "gal"), "3 qt");
    }

    #[test]
    fn every_unit_is_known_and_of_one_dimension() {
        for group in TOGETHER {
            let known: Vec<_> = group.iter().filter_map(|unit| find(unit)).collect();
            assert_eq!(known.len(), group.len(), "{group:?}");
            assert!(known.windows(2).all(|two| two[0].dimension == two[1].dimension));
        }
    }
}
