//! The drills of a chain as one hose: a length for each, charged as far as they are met.

use super::canvas::{Anchor, Canvas, Drawing, Filled, WIDTH};
use super::widths::Face;
use crate::words::Words;

/// Lengths in one row: more would leave no room for a name.
const IN_ROW: usize = 5;

/// The hose of a chain. `names` are the drills' short names in their order; `met` of them are
/// met, from the first.
pub fn evolution(words: &Words, title: &str, names: &[&str], met: usize) -> Drawing {
    let mut canvas = Canvas::default();
    let mut y = 0;
    let numbered: Vec<(usize, &&str)> = names.iter().enumerate().collect();
    for row in numbered.chunks(IN_ROW) {
        y = lengths(&mut canvas, words, (row, met), y);
    }
    let parts: Vec<String> = numbered
        .iter()
        .map(|(index, name)| {
            let key = if *index < met {
                "drawing.evolution.met"
            } else {
                "drawing.evolution.to-come"
            };
            words.say(key, &[("drill", name)])
        })
        .collect();
    let blanks = [("title", title), ("drills", &parts.join(", "))];
    let sentence = words.say("drawing.evolution.says", &blanks);
    canvas.finish(y, sentence, words.get("drawing.evolution.caption"))
}

/// One row of lengths from its top; gives back the top of the next.
fn lengths(
    canvas: &mut Canvas,
    words: &Words,
    (row, met): (&[(usize, &&str)], usize),
    top: i64,
) -> i64 {
    let count = i64::try_from(row.len()).unwrap_or(1).max(1);
    // Shared by five at least: a chain of two drills as wide as the page would look longer
    // than one of five. Three on each side are left for the marks at the ends.
    let long = (WIDTH - 6).div_euclid(count.max(5));
    let middle = top + 16;
    let mut foot = top + 46;
    for ((index, name), place) in row.iter().zip(0_i64..) {
        let (from, to) = (3 + place * long, 3 + (place + 1) * long);
        if *index < met {
            let field = [from, middle - 6, to - from, 12];
            canvas.rect("bg", field);
            // The last that is met is where the next begins: foam stands in it.
            if *index + 1 == met {
                canvas.fill(Filled::Foam, field);
            }
            canvas.path(
                "frame",
                &format!("M{from} {0}H{to}M{from} {1}H{to}", middle - 6, middle + 6),
            );
        } else {
            canvas.path("frame", &format!("M{from} {0}H{to}", middle + 2));
        }
        canvas.rect("solid", [from - 3, middle - 11, 6, 22]);
        let number = (index + 1).to_string();
        let blanks = [("number", number.as_str()), ("drill", name)];
        let label = words.say("drawing.evolution.length", &blanks);
        let lines = Face::Name.lines(&label, long - 3);
        let after = canvas.lines(Face::Name, Anchor::Start, [from - 2, top + 42], &lines);
        foot = foot.max(after - 8);
    }
    canvas.rect("solid", [3 + count * long - 3, middle - 7, 6, 14]);
    foot + 6
}
