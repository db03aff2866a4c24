//! Files → values by their tables: every fault of a file in one run, each with its place.

use super::desk::BLANK;
use super::fields::Fields;
use super::item::Item;
use super::node::{Node, Shape};
use super::table::{Bound, Case, Cases, Field, Kind, Layout, Need, Table, WordList};
use super::thing::Wire;
use super::value::Value;
use crate::findings::{Code, Finding};
use crate::quantity::{Comma, Quantity};

/// The thing that a file or a part of one describes.
pub fn read<T: Wire>(item: Item<'_>) -> Option<T> {
    T::take(value(item, T::LAYOUT, T::KIND))
}

/// The value that stands somewhere; nothing where it cannot be read, which has been noted.
pub fn value(item: Item<'_>, layout: Layout, kind: Kind) -> Value {
    match layout {
        Layout::One => one(item, kind).unwrap_or(Value::Nothing),
        Layout::List => Value::List(listed(item, kind)),
        Layout::Map => Value::Map(entries(item, kind)),
        Layout::MapOf(words) => Value::Map(named(item, words, kind)),
    }
}

fn listed(item: Item<'_>, kind: Kind) -> Vec<Value> {
    let items = item.list();
    let figures = matches!(kind, Kind::Quantity(..) | Kind::Percent | Kind::Figure);
    let decimal = !item.desk.kept && item.desk.comma.get() == Comma::Decimal;
    if !(figures && decimal) {
        return items.into_iter().filter_map(|item| one(item, kind)).collect();
    }
    let nodes = joined(items.iter().map(|item| item.node));
    nodes.iter().filter_map(|node| one(Item { node, ..item }, kind)).collect()
}

/// Figures of a list in brackets, `[0,3 %, 0,5 %]`, where YAML ends an entry at every comma: one
/// with no blank behind it, between two digits, is the decimal sign of the department. What stands
/// before it has no unit and could be no figure of the list.
fn joined<'n>(nodes: impl Iterator<Item = &'n Node>) -> Vec<Node> {
    let mut out: Vec<Node> = Vec::new();
    for node in nodes {
        let (Some(last), Some(part)) = (out.last_mut(), node.text()) else {
            out.push(node.clone());
            continue;
        };
        let whole = last.text().filter(|text| text.chars().all(|c| c.is_ascii_digit()));
        let touches =
            node.start == last.end + 1 && part.starts_with(|c: char| c.is_ascii_digit());
        let text = whole.filter(|text| touches && !text.is_empty());
        match text.map(|whole| format!("{whole},{part}")) {
            Some(text) => {
                *last =
                    Node { start: last.start, end: node.end, shape: Shape::Text(text) };
            }
            None => out.push(node.clone()),
        }
    }
    out
}

fn one(item: Item<'_>, kind: Kind) -> Option<Value> {
    match kind {
        Kind::Text => item.text().map(Value::Text),
        Kind::Name | Kind::Own(_) => item.id().map(Value::Text),
        Kind::Refers(_) => item.refers().map(Value::Text),
        Kind::Day => item.date().map(Value::Text),
        Kind::Moment => item.moment().map(Value::Text),
        Kind::Whole => item.whole().map(Value::Whole),
        Kind::Word(list) => {
            let word = item.one_of(list.words.iter().copied());
            word.map(|word| Value::Text(word.to_owned()))
        }
        Kind::Quantity(dimension, example) => {
            item.quantity(dimension, example).map(Value::Quantity)
        }
        Kind::Percent => item.percent().map(Value::Quantity),
        Kind::Figure => item.any_quantity().map(Value::Quantity),
        Kind::Unit => item.unit().map(Value::Text),
        Kind::Group(table) => {
            let fields = item.fields()?;
            let values = group(&fields, table());
            // Only after all fields were asked for: what is left over then is what nobody
            // knows, and is told with what it may have meant.
            fields.finish();
            Some(Value::Group(values))
        }
        Kind::OneOf(cases) => {
            let fields = item.fields()?;
            let chosen = choose(&fields, cases());
            fields.finish();
            Some(chosen)
        }
        Kind::Spelled(own) => (own.read)(item),
    }
}

/// The entries of a map with the author's keys.
fn entries(item: Item<'_>, kind: Kind) -> Vec<(String, Value)> {
    if let (true, Shape::List(items)) = (item.desk.kept, &item.node.shape) {
        // How a program writes those whose order counts.
        let pair = |node| entries(Item { node, ..item }, kind);
        return items.iter().flat_map(pair).collect();
    }
    // Opening it reports what is no map, and keys that stand twice.
    let opened = item.fields();
    let Shape::Map(entries) = &item.node.shape else { return Vec::new() };
    drop(opened);
    let read = |(key, node)| {
        let (key, node): (&super::node::Key, &Node) = (key, node);
        Some((key.text.clone(), one(Item { node, name: &key.text, ..item }, kind)?))
    };
    entries.iter().filter_map(|(key, node)| read((key, node))).collect()
}

/// The entries of a map whose keys are words of a list.
fn named(item: Item<'_>, list: &'static WordList, kind: Kind) -> Vec<(String, Value)> {
    let Some(fields) = item.fields() else { return Vec::new() };
    let read =
        |word: &&'static str| Some(((*word).to_owned(), one(fields.may(word)?, kind)?));
    let entries = list.words.iter().filter_map(read).collect();
    fields.finish();
    entries
}

/// One value for each field of a table.
fn group(fields: &Fields<'_>, table: &'static Table) -> Vec<Value> {
    let read = |field| at_field(fields, table, field);
    // All fields first and those that are like another after them: which of the two an
    // author writes first must not matter.
    let mut values: Vec<Value> = table.fields.iter().map(read).collect();
    for (at, field) in table.fields.iter().enumerate() {
        let Some(key) = field.like else { continue };
        let other = beside(table, &values, key).cloned().unwrap_or(Value::Nothing);
        if let Some(value) = values.get_mut(at).filter(|value| **value == Value::Nothing)
        {
            *value = other;
        }
    }
    values
}

/// The value of another field of the same group.
pub(super) fn beside<'v>(
    table: &Table,
    values: &'v [Value],
    key: &str,
) -> Option<&'v Value> {
    let mut both = table.fields.iter().zip(values);
    both.find(|(field, _)| field.key == key).map(|(_, value)| value)
}

/// One of several groups, whose fields stand among these.
fn choose(fields: &Fields<'_>, cases: &'static Cases) -> Value {
    if cases.by.is_none() {
        // The key of a group that was not chosen may be what a misspelled one means.
        let named = cases.of.iter().filter(|case| !case.word.is_empty());
        named.for_each(|case| fields.known(case.word));
    }
    let item = cases.by.and_then(|key| {
        let left = cases.of.iter().any(|case| case.word.is_empty());
        // A group that may stand without its word has a case for that; only where none has,
        // a missing word is a fault.
        if left { fields.may(key) } else { fields.need(key) }
    });
    let said = item.and_then(|item| item.node.text()).unwrap_or_default().trim();
    let chosen = case_of(cases, said, |word| fields.has(word));
    if let (None, Some(item)) = (chosen, item) {
        // Tells which words there are; none of them was found.
        let words = cases.of.iter().map(|case| case.word);
        let _none = item.one_of(words.filter(|word| !word.is_empty()));
        // Which of the fields beside it are its own nobody knows before the word can be read.
        cases.of.iter().for_each(|case| there(fields, case.table));
    }
    // Nothing unknown stands in a group without a field, and what is left out in silence would be
    // missed by nobody: a critical whose one link is empty would have none.
    let first = cases.of.first().filter(|_| cases.by.is_none() && fields.is_empty());
    if let Some(first) = first {
        let _missing = fields.need(first.word);
    }
    match chosen {
        Some(case) => Value::Case(case.word, group(fields, case.table)),
        None => Value::Nothing,
    }
}

/// The fields of a group that are there are no unknown ones, though nobody reads them.
fn there(fields: &Fields<'_>, table: &'static Table) {
    for field in table.fields {
        match (field.need, field.kind) {
            (Need::Flat, Kind::Group(inner)) => there(fields, inner()),
            (Need::Flat, Kind::OneOf(cases)) => {
                cases().of.iter().for_each(|case| there(fields, case.table));
            }
            _ if fields.has(field.key) => fields.asked.borrow_mut().push(field.key),
            _ => {}
        }
    }
}

/// The group that is chosen: by the word that was said, or by the keys that are there.
pub(super) fn case_of(
    cases: &'static Cases,
    said: &str,
    has: impl Fn(&str) -> bool,
) -> Option<&'static Case> {
    let mut named = cases.of.iter().filter(|case| !case.word.is_empty());
    let chosen = match cases.by {
        None => named.find(|case| has(case.word)),
        Some(_) => named.find(|case| case.word == said),
    };
    chosen.or_else(|| cases.of.iter().find(|case| case.word.is_empty()))
}

fn at_field(fields: &Fields<'_>, table: &'static Table, field: &Field) -> Value {
    if field.need == Need::Flat {
        return match field.kind {
            Kind::Group(inner) => Value::Group(group(fields, inner())),
            Kind::OneOf(cases) => choose(fields, cases()),
            _ => Value::Nothing,
        };
    }
    if field.need == Need::Carried && !fields.desk.kept {
        return implied(field);
    }
    let Some(item) = fields.may(field.key) else {
        return missing(fields, table, field);
    };
    let empty = says_nothing(item.node);
    if field.nothing.is_some_and(|said| match item.node.text() {
        Some(text) => text.trim() == said,
        None => said.is_empty() && item.node.shape == Shape::Nothing,
    }) {
        return Value::Nothing;
    }
    if empty && let Some(code) = field.lacking {
        fields.note(lacking(fields, table, field, code));
        return implied(field);
    }
    if item.desk.kept {
        // A program that writes `null` for what is absent says the same.
        return match item.node.shape {
            Shape::Nothing => implied(field),
            _ => or(value(item, field.layout, field.kind), field),
        };
    }
    if let Some(least) = &field.least
        && entries_of(item.node).is_some_and(|count| count < least.at)
    {
        fields.note(Finding::at(least.code, fields.key(field.key)));
        return Value::Nothing;
    }
    if let Some(most) = &field.most {
        over(item, field, most);
    }
    let before = item.desk.findings.borrow().len();
    let read = value(item, field.layout, field.kind);
    of_line(item, before, (table, field));
    match (&read, &field.most) {
        (Value::Whole(number), Some(most)) if beyond(*number, most) => {
            let finding = item.fault(most.code).with("found", number.to_string());
            item.desk.note(finding);
            Value::Nothing
        }
        _ => or(read, field),
    }
}

/// Faults of a value know the line of the table that they were read by: what to write instead is
/// an example of that line, and not of all lines of its kind. What a group inside has noted of its
/// own lines stays.
fn of_line(item: Item<'_>, before: usize, (table, field): (&Table, &Field)) {
    let of_values = |code: Code| {
        matches!(
            code,
            Code::NotANumber
                | Code::NoUnit
                | Code::UnknownUnit
                | Code::WrongDimension
                | Code::WrongType
                | Code::BadDate
        )
    };
    let mut found = item.desk.findings.borrow_mut();
    for finding in found.iter_mut().skip(before).filter(|one| of_values(one.code)) {
        if !finding.blanks.iter().any(|(name, _)| *name == "line") {
            finding.blanks.push(("table", table.name.to_owned()));
            finding.blanks.push(("line", field.key.to_owned()));
            if let (Layout::One, Some(group)) = (field.layout, field.group()) {
                finding.blanks.push(("holds", field.holds()));
                finding.blanks.push(("holds-of", group.name.to_owned()));
            }
        }
    }
}

fn beyond(number: u32, most: &Bound) -> bool {
    usize::try_from(number).map_or(true, |number| number > most.at)
}

/// How many entries a list has, as far as it is one; nothing after the colon is none.
fn entries_of(node: &Node) -> Option<usize> {
    match &node.shape {
        Shape::List(items) => Some(items.len()),
        Shape::Nothing => Some(0),
        _ => None,
    }
}

fn says_nothing(node: &Node) -> bool {
    match &node.shape {
        Shape::Text(text) => text.trim().is_empty(),
        shape => *shape == Shape::Nothing,
    }
}

/// A list that is too long is marked at the first entry too many: at its name, if it has one.
fn over(item: Item<'_>, field: &Field, most: &Bound) {
    let Shape::List(items) = &item.node.shape else { return };
    let Some(entry) = items.get(most.at) else { return };
    let entry = Item { node: entry, ..item };
    let name = match field.kind {
        Kind::Group(table) => own_key(table()).and_then(|key| entry.node.child(key)),
        _ => None,
    };
    let place = name.map_or(entry, |node| Item { node, ..item }).place();
    let finding = Finding::at(most.code, place);
    item.desk.note(finding.with("found", items.len().to_string()));
}

/// The key of the name by which others know the things of a table.
fn own_key(table: &Table) -> Option<&'static str> {
    let own = |field: &&Field| matches!(field.kind, Kind::Own(_));
    table.fields.iter().find(own).map(|field| field.key)
}

fn missing(fields: &Fields<'_>, table: &'static Table, field: &Field) -> Value {
    let desk = fields.desk;
    if field.need != Need::Must && field.least.is_none()
        || desk.kept && field.or.is_some()
    {
        return implied(field);
    }
    let plain = matches!((field.kind, field.layout), (Kind::Text, Layout::One));
    let finding = match (&field.least, field.lacking) {
        (Some(_), _) if desk.kept => return Value::Nothing,
        (Some(least), _) => Finding::at(least.code, fields.head()),
        (None, Some(code)) => lacking(fields, table, field, code),
        (None, None) if desk.draft && plain => {
            let finding = Finding::at(Code::BlankInDraft, fields.head());
            fields.note(finding.with("field", field.key).with("of", table.name));
            return Value::Text(BLANK.to_owned());
        }
        (None, None) => {
            let finding = Finding::at(Code::MissingField, fields.head());
            let finding = finding.with("field", field.key).with("of", table.name);
            // Of a map whose keys are the author's no example can be made.
            let (blank, of) = match (field.layout, field.group()) {
                (Layout::One, Some(table)) => ("holds-of", table.name),
                (Layout::List, Some(table)) => ("holds-list-of", table.name),
                _ => ("holds-of", ""),
            };
            finding.with("holds", field.holds()).with(blank, of)
        }
    };
    fields.note(finding);
    implied(field)
}

/// A field without which its group is none: told at the name of the group.
fn lacking(fields: &Fields<'_>, table: &Table, field: &Field, code: Code) -> Finding {
    let Some(own) = own_key(table) else { return Finding::at(code, fields.head()) };
    let finding = Finding::at(code, fields.value(own)).with("field", field.key);
    finding.with("id", fields.said(own))
}

fn or(value: Value, field: &Field) -> Value {
    if value == Value::Nothing { implied(field) } else { value }
}

/// What a field is when it is left out.
pub(super) fn implied(field: &Field) -> Value {
    let Some(text) = field.or else { return Value::Nothing };
    match field.kind {
        Kind::Whole => text.parse().map_or(Value::Nothing, Value::Whole),
        Kind::Quantity(..) | Kind::Percent | Kind::Figure => {
            Quantity::read(text).map_or(Value::Nothing, Value::Quantity)
        }
        _ => Value::Text(text.to_owned()),
    }
}
