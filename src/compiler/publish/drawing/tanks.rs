//! The tanks of a rig: the outline is what the plate says, filled is what can be used, and the
//! low mark is a pencil line where the gauge shows it.

use super::canvas::{Anchor, Canvas, Drawing, Filled};
use super::widths::{Face, LEADING};
use crate::course::{MarkIn, Tank};
use crate::publish::card::Card;
use crate::quantity::{Fraction, Quantity};
use crate::words::Words;

/// Height of an outline and width of a place: two stand side by side.
const HIGH: i64 = 96;
const WIDE: i64 = 168;

/// All tanks of a rig.
pub(in crate::publish) fn tanks(card: Card<'_>) -> Drawing {
    let words = card.desk.words;
    let mut canvas = Canvas::default();
    let mut y = 8;
    // Two stand side by side on a phone without their names running into each other.
    for pair in card.rig.tanks.chunks(2) {
        let feet = pair
            .iter()
            .zip([0, WIDE])
            .map(|(tank, x)| one(&mut canvas, words, tank, [x, y]));
        y = feet.max().unwrap_or(y) + 10;
    }
    let told: Vec<String> = card.rig.tanks.iter().map(|tank| said(words, tank)).collect();
    let sentence = words.say(
        "drawing.tanks.says",
        &[("rig", &card.rig.title), ("tanks", &told.join("; "))],
    );
    // No row comes after the last one.
    canvas.finish(y - 6, sentence, words.get("drawing.tanks.caption"))
}

/// A tank in words.
fn said(words: &Words, tank: &Tank) -> String {
    let blanks = [
        ("tank", tank.title.clone()),
        ("usable", tank.usable.printed()),
        ("nominal", tank.nominal.printed()),
        ("dead", dead(words, tank).unwrap_or_default()),
        ("mark", mark(words, tank)),
    ];
    let blanks: Vec<(&str, &str)> =
        blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let key =
        if tank.dead.is_some() { "drawing.tanks.one-dead" } else { "drawing.tanks.one" };
    words.say(key, &blanks)
}

fn dead(words: &Words, tank: &Tank) -> Option<String> {
    let dead = tank.dead.as_ref()?.printed();
    Some(words.say("drawing.tanks.dead", &[("volume", &dead)]))
}

/// The mark as the plate counts it: it warns, and does not say when to call.
fn mark(words: &Words, tank: &Tank) -> String {
    let Some(mark) = &tank.warning else { return words.get("drawing.tanks.no-mark") };
    let key = match tank.mark_in {
        MarkIn::Usable => "drawing.tanks.mark-usable",
        MarkIn::Total => "drawing.tanks.mark-total",
    };
    words.say(key, &[("volume", &mark.printed())])
}

/// So many units of the outline, from its foot: never beyond it, whatever is written.
fn height(part: Quantity, tank: &Tank) -> i64 {
    let high = || {
        let part = part.in_unit(tank.nominal.unit())?.number();
        let share = part.div(tank.nominal.number())?;
        let high = share.mul(Fraction::whole(i128::from(HIGH - 2)))?;
        i64::try_from(high.add(Fraction::new(1, 2)?)?.floor()).ok()
    };
    high().unwrap_or(0).clamp(0, HIGH - 2)
}

/// A tank at its place; gives back the foot of its name.
fn one(canvas: &mut Canvas, words: &Words, tank: &Tank, [x, y]: [i64; 2]) -> i64 {
    let foot = y + HIGH - 1;
    canvas.rect("open", [x + 6, y, 56, HIGH]);
    let low = tank.dead.map_or(0, |dead| height(dead, tank));
    // As in the tank itself: what can be used stands on what no pump reaches.
    let full = (low + height(tank.usable, tank)).min(HIGH - 2);
    let filled =
        if tank.concentrate.is_some() { Filled::Concentrate } else { Filled::Water };
    if full > low {
        canvas.fill(filled, [x + 7, foot - full, 54, full - low]);
    }
    canvas.path("frame", &format!("M{} {}H{}", x + 2, foot - full, x + 66));
    if tank.dead.is_some() {
        canvas.path("frame dashed", &format!("M{} {}H{}", x + 7, foot - low, x + 61));
    }
    let at = tank.mark_on_gauge().map(|mark| foot - height(mark, tank));
    if let Some(at) = at {
        canvas.path("pen", &format!("M{} {at}H{}", x + 2, x + 66));
    }
    let beside = labels(canvas, words, tank, ([x + 71, y], at));
    let name = Face::Name.lines(&tank.title, WIDE - 12);
    let below = (y + HIGH + 19).max(beside + 2);
    canvas.lines(Face::Name, Anchor::Start, [x + 6, below], &name) - LEADING + 4
}

/// Beside the outline: what it holds above, the mark where it is, what no pump reaches below;
/// each as near to its place as the others leave room. Gives back the base line after them.
fn labels(
    canvas: &mut Canvas,
    words: &Words,
    tank: &Tank,
    ([x, y], mark_at): ([i64; 2], Option<i64>),
) -> i64 {
    let wide = WIDE - 74;
    let say = |key: &str, volume: &Quantity| {
        // words: drawing.tanks.{usable|nominal}
        words.say(&format!("drawing.tanks.{key}"), &[("volume", &volume.printed())])
    };
    let face = if tank.warning.is_some() { Face::ActNote } else { Face::Note };
    let mut blocks = vec![
        (Face::Name, say("usable", &tank.usable), y + 12),
        (Face::Note, say("nominal", &tank.nominal), y + 26),
        (face, mark(words, tank), mark_at.unwrap_or(y + HIGH - 36) + 4),
    ];
    if let Some(dead) = dead(words, tank) {
        blocks.push((Face::Note, dead, y + HIGH - 2));
    }
    let blocks: Vec<(Face, Vec<String>, i64)> = blocks
        .into_iter()
        .map(|(face, text, at)| (face, face.lines(&text, wide), at))
        .collect();
    // From below: no block may begin so low that those after it do not end at the foot.
    let mut latest = y + HIGH + 2 + LEADING;
    let mut places = Vec::new();
    for (_, lines, at) in blocks.iter().rev() {
        let count = i64::try_from(lines.len()).unwrap_or(0);
        let place = (*at).min(latest - count * LEADING);
        latest = place;
        places.push(place);
    }
    let mut next = y + 12;
    for ((face, lines, _), place) in blocks.iter().zip(places.into_iter().rev()) {
        next = canvas.lines(*face, Anchor::Start, [x, place.max(next)], lines);
    }
    next
}
