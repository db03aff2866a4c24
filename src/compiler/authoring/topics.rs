//! What a department has decided: its answer to a topic of the trade, or a topic of its own.

use crate::course::{LocalTopic, Topic};
use crate::findings::Code;
use crate::wire::{Item, read};
use crate::words::nearest;

/// One entry of the local procedures, with title and question of the trade's topic where it has
/// none of its own.
pub(super) fn topic(item: Item<'_>, trade: &[Topic]) -> Option<LocalTopic> {
    let own = item.node.child("topic").and_then(|node| node.text()).map(str::trim);
    let known = own.and_then(|id| trade.iter().find(|topic| topic.id == id));
    let told = match known {
        Some(topic) => Some((topic.title.clone(), topic.asks.clone())),
        None if misspelled(item, own, trade) => None,
        // A topic of its own says all by itself.
        None => item.fields().and_then(|fields| {
            let (title, asks) = (fields.need_text("title"), fields.need_text("asks"));
            title.zip(asks)
        }),
    };
    let topic: LocalTopic = read(item)?;
    let (title, asks) = told?;
    let or = |said: String, told| if said.is_empty() { told } else { said };
    Some(LocalTopic {
        title: or(topic.title, title),
        asks: or(topic.asks, asks),
        ..topic
    })
}

/// Whether it says neither title nor question, as the answer to a topic of the trade does, and its
/// name is near to that of one: then the name is wrong, and nothing is missing.
fn misspelled(item: Item<'_>, own: Option<&str>, trade: &[Topic]) -> bool {
    if ["title", "asks"].iter().any(|key| item.node.child(key).is_some()) {
        return false;
    }
    let names = trade.iter().map(|topic| topic.id.as_str());
    let Some((own, near)) = own.and_then(|own| Some((own, nearest(own, names)?))) else {
        return false;
    };
    let place = item.node.child("topic").map(|node| Item { node, ..item });
    let finding = place.unwrap_or(item).fault(Code::UnknownId).with("kind", "topic");
    item.desk.note(finding.with("id", own).with("nearest", near));
    true
}
