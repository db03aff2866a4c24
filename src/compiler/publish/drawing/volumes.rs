//! What one, two and three volumes of flush water leave where old and new mix.
//!
//! Shares and volumes are answers of the library, printed as it prints them.

use super::canvas::{Anchor, Canvas, Drawing, Filled, WIDTH};
use super::widths::{Face, LEADING};
use crate::quantity::Fraction;
use crate::words::Words;

/// Left end of the bars and their length: behind them is room for "36.8 % left".
const LEFT: i64 = 4;
const LONG: i64 = 216;
/// Height of a bar: as that of the minutes.
const BAR: i64 = 17;

/// What stands after so many volumes.
#[derive(Debug, Clone)]
pub struct Left {
    /// Volumes that have flowed.
    pub volumes: String,
    /// Water that they are.
    pub water: String,
    /// Share of what was in it that is left.
    pub share: Fraction,
    /// The same as printed.
    pub share_text: String,
}

/// The bars of a line, the one with the fewest volumes first.
pub fn volumes(words: &Words, line: &str, all: &[Left]) -> Drawing {
    let mut canvas = Canvas::default();
    let title = words.say("drawing.volumes.title", &[("line", line)]);
    let title = Face::Head.lines(&title, WIDTH - LEFT);
    let mut y = canvas.lines(Face::Head, Anchor::Start, [LEFT, 14], &title) - 2;
    let mut told = Vec::new();
    for left in all {
        let blanks = [
            ("volumes", left.volumes.as_str()),
            ("water", &left.water),
            ("share", &left.share_text),
        ];
        let name = words.say("drawing.volumes.row", &blanks);
        let name = Face::Name.lines(&name, WIDTH - LEFT);
        let next = canvas.lines(Face::Name, Anchor::Start, [LEFT, y + 4], &name);
        let top = next - LEADING + 6;
        bar(&mut canvas, left, top);
        let said = words.say("drawing.volumes.left", &blanks);
        canvas.text(Face::Name, Anchor::Start, [LEFT + LONG + 8, top + 13], &said);
        told.push(words.say("drawing.volumes.row-says", &blanks));
        y = top + BAR + 18;
    }
    let blanks = [("line", line), ("rows", &told.join("; "))];
    let sentence = words.say("drawing.volumes.says", &blanks);
    canvas.finish(y - 10, sentence, words.get("drawing.volumes.caption"))
}

/// A box with what is left in it.
fn bar(canvas: &mut Canvas, left: &Left, top: i64) {
    let field = [LEFT, top, LONG, BAR];
    canvas.rect("bg", field);
    let long = left.share.mul(Fraction::whole(i128::from(LONG)));
    let long = long.map(Fraction::floor);
    let long = long.and_then(|long| i64::try_from(long).ok()).unwrap_or(LONG);
    // Never beyond the box, whatever a share is; narrower than eight there would be no dot.
    let long = long.clamp(8, LONG);
    canvas.fill(Filled::Foam, [LEFT, top, long, BAR]);
    canvas.path("frame", &format!("M{} {top}V{}", LEFT + long, top + BAR));
    canvas.rect("frame", field);
}
