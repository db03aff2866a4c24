//! A line between two shut valves: what a gauge at the panel cannot see.

use super::canvas::{Anchor, Canvas, Drawing, Filled, WIDTH};
use super::widths::{Face, LEADING};
use crate::course::{Outlet, Rig};
use crate::words::Words;

/// Where the first valve and the second one begin, and how wide a valve is: between them the hose is
/// the longest part, because it is what the drawing is about.
const FIRST: i64 = 54;
const SECOND: i64 = 226;
const VALVE: i64 = 20;

/// The section of an outlet of a rig.
pub(in crate::publish) fn section(words: &Words, rig: &Rig, outlet: &Outlet) -> Drawing {
    let mut canvas = Canvas::default();
    let blanks = [("line", outlet.title.as_str()), ("rig", rig.title.as_str())];
    let title = Face::Head.lines(&words.say("drawing.section.title", &blanks), WIDTH - 4);
    let top = canvas.lines(Face::Head, Anchor::Start, [2, 14], &title);
    let middle = top + 57;
    gauge(&mut canvas, words, top, middle);
    canvas.rect("frame", [2, middle - 6, FIRST - 2, 12]);
    let hose = [FIRST + VALVE, middle - 11, SECOND - FIRST - VALVE, 22];
    canvas.rect("bg", hose);
    canvas.fill(Filled::Air, hose);
    canvas.rect("frame", hose);
    for x in [FIRST, SECOND] {
        let (right, up, down) = (x + VALVE, middle - 10, middle + 10);
        canvas.path("solid", &format!("M{x} {up}L{right} {down}V{up}L{x} {down}Z"));
    }
    // Behind the second valve the hose lies flat, and the nozzle is open.
    let flat = SECOND + VALVE;
    canvas
        .path("frame", &format!("M{flat} {}H312M{flat} {}H312", middle - 3, middle + 3));
    canvas.rect("solid", [312, middle - 6, 14, 12]);
    above(&mut canvas, &words.get("drawing.section.outlet"), (46, 130), middle);
    above(&mut canvas, &words.get("drawing.section.wye"), (200, WIDTH - 202), middle);
    let mut foot = middle;
    for (face, key, (x, wide)) in [
        (Face::Note, "drawing.section.gauge", (2, 86)),
        (Face::ActNote, "drawing.section.held", (98, 120)),
        (Face::Note, "drawing.section.nozzle", (230, WIDTH - 232)),
    ] {
        // words: drawing.section.{gauge|held|nozzle}
        let lines = face.lines(&words.get(key), wide);
        foot = foot.max(canvas.lines(face, Anchor::Start, [x, middle + 29], &lines));
    }
    let sentence = words.say("drawing.section.says", &blanks);
    canvas.finish(foot - LEADING + 6, sentence, words.get("drawing.section.caption"))
}

/// The gauge at the panel, before the first valve.
fn gauge(canvas: &mut Canvas, words: &Words, top: i64, middle: i64) {
    canvas.path("line", &format!("M20 {}V{}", top + 33, middle - 6));
    canvas.circle("open", [20, top + 17, 16]);
    let nothing = words.get("drawing.section.nothing");
    canvas.text(Face::Figure, Anchor::Middle, [20, top + 22], &nothing);
}

/// A name above its valve, its last line nearest.
fn above(canvas: &mut Canvas, text: &str, (x, wide): (i64, i64), middle: i64) {
    let lines = Face::Name.lines(text, wide);
    let more = i64::try_from(lines.len()).unwrap_or(1) - 1;
    canvas.lines(Face::Name, Anchor::Start, [x, middle - 17 - more * LEADING], &lines);
}
