//! A run sheet whose head cannot be read whole.
//!
//! An act that was seen is seen, also where the date, the mode or a name cannot be read (rule 24,
//! and the precedence). Every field that can be read is read beside stand-ins for those that cannot;
//! nothing but an act or a limit is ever told of such a sheet, so no stand-in decides anything.

use crate::course::RunSheet;
use crate::scoring::{ForReading, KitFor};
use crate::wire::{Key, Node, Shape};

/// Fields without which no sheet is read, each with what stands in. In a walk-through nothing but what
/// was marked speaks for an act, and practice counts nowhere. A drill and a rig of no name are then
/// looked for by what is marked.
const HEAD: &[(&str, StandIn)] = &[
    ("drill", StandIn::Text("none")),
    ("rig", StandIn::Text("none")),
    ("use", StandIn::Text("practice")),
    ("mode", StandIn::Text("walk-through")),
    ("performed-at", StandIn::Text("2000-01-01 00:00")),
    ("candidate", StandIn::Text("nobody")),
    ("role", StandIn::Text("none")),
    (
        "evaluator",
        StandIn::Group(&[
            ("person", "nobody"),
            ("qualification", "none"),
            ("relation", "none"),
        ]),
    ),
];

/// What stands in for a field.
#[derive(Clone, Copy)]
enum StandIn {
    Text(&'static str),
    Group(&'static [(&'static str, &'static str)]),
}

impl StandIn {
    fn node(self) -> Node {
        let text = |text: &str| blank(Shape::Text(text.to_owned()));
        match self {
            Self::Text(said) => text(said),
            Self::Group(fields) => {
                let field = |(key, said): &(&str, &str)| (name(key), text(said));
                blank(Shape::Map(fields.iter().map(field).collect()))
            }
        }
    }
}

const fn blank(shape: Shape) -> Node {
    Node { start: 0, end: 0, shape }
}

fn name(text: &str) -> Key {
    Key { text: text.to_owned(), start: 0, end: 0 }
}

/// The sheet with stand-ins, and what of it was not read; nothing where more than its head is
/// missing. What is wrong with it was noted when it was read first.
pub(super) fn beside_stand_ins(
    node: &Node,
    read: &dyn Fn(&Node) -> Option<RunSheet>,
) -> Option<(RunSheet, ForReading)> {
    // A field is unread where all others stand in and the sheet is not read for it.
    let unread: Vec<&str> = HEAD
        .iter()
        .map(|(field, _)| *field)
        .filter(|field| read(&with(node, |other| other != *field)).is_none())
        .collect();
    let mut sheet = read(&with(node, |field| unread.contains(&field)))?;
    let lacks = |field: &str| unread.contains(&field);
    let raw = |field: &str| {
        let text = node.child(field).and_then(Node::text).unwrap_or_default();
        text.trim().to_owned()
    };
    // No stand-in is ever shown: what cannot be read is shown as it stands.
    if lacks("drill") {
        sheet.drill = raw("drill");
    }
    if lacks("rig") {
        sheet.rig = raw("rig");
    }
    if lacks("performed-at") {
        sheet.performed_at = raw("performed-at");
    }
    if lacks("candidate") {
        sheet.candidate = raw("candidate");
    }
    if lacks("role") {
        sheet.role = raw("role");
    }
    if lacks("evaluator") {
        sheet.evaluator = crate::course::Evaluator {
            person: raw("evaluator"),
            qualification: String::new(),
            qualified_on: None,
            relation: String::new(),
        };
    }
    let (mode, use_) = (lacks("mode"), lacks("use"));
    Some((sheet, ForReading::Unread { mode, use_, kit: KitFor::Own }))
}

/// The sheet's tree with stand-ins for some fields of its head.
fn with(node: &Node, stands_in: impl Fn(&str) -> bool) -> Node {
    let Shape::Map(fields) = &node.shape else { return node.clone() };
    let kept = fields.iter().filter(|(key, _)| {
        !HEAD.iter().any(|(field, _)| *field == key.text && stands_in(field))
    });
    let mut fields: Vec<(Key, Node)> = kept.cloned().collect();
    let ins = HEAD.iter().filter(|(field, _)| stands_in(field));
    fields.extend(ins.map(|(field, stand_in)| (name(field), stand_in.node())));
    Node { shape: Shape::Map(fields), ..node.clone() }
}
