//! The water counter over time: the part that was foam, then the flush. Reading A ends the
//! first, reading B the second.

use super::canvas::{Anchor, Canvas, Drawing, Filled};
use super::widths::{Face, LEADING};
use crate::quantity::{Fraction, Quantity};
use crate::words::Words;

/// Left end of the bar, and its length: room for a letter over the last reading.
const LEFT: i64 = 3;
const LONG: i64 = 315;

/// What the counters showed, as it is printed.
#[derive(Debug, Clone, Copy)]
pub struct Counted {
    /// Water while the foam was on: reading A.
    pub foam_part: Quantity,
    /// Water from there to reading B.
    pub flush_part: Quantity,
    /// Concentrate that went in; left out where nobody read it.
    pub concentrate: Option<Quantity>,
}

/// The counter with both readings.
pub fn counter(words: &Words, counted: &Counted) -> Drawing {
    let mut canvas = Canvas::default();
    let told = Told::of(words, counted);
    let shares = (LEFT, split(counted, &told), LEFT + LONG);
    bar(&mut canvas, shares);
    let foot = labels(&mut canvas, words, &told, shares);
    let blanks =
        [("foam", counted.foam_part.printed()), ("flush", counted.flush_part.printed())];
    let blanks: Vec<(&str, &str)> =
        blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let mut sentence = words.say("drawing.counter.says", &blanks);
    if let Some(concentrate) = &told.concentrate {
        sentence.push(' ');
        sentence.push_str(
            &words.say("drawing.counter.says-concentrate", &[("foam", concentrate)]),
        );
    }
    canvas.finish(foot, sentence, words.get("drawing.counter.caption"))
}

/// The texts on it.
struct Told {
    foam: String,
    flush: String,
    concentrate: Option<String>,
}

impl Told {
    fn of(words: &Words, counted: &Counted) -> Self {
        let part = counted.foam_part.printed();
        Self {
            foam: words.say("drawing.counter.foam-part", &[("water", &part)]),
            flush: counted.flush_part.printed(),
            concentrate: counted.concentrate.as_ref().map(Quantity::printed),
        }
    }
}

/// Where reading A stands: by the shares of the water, and so far from either end that each
/// part has room for its figure.
fn split(counted: &Counted, told: &Told) -> i64 {
    let flush = counted.flush_part.in_unit(counted.foam_part.unit());
    let share = |flush: Quantity| {
        let foam = counted.foam_part.number();
        let part = foam.div(foam.add(flush.number())?)?;
        Some(part.mul(Fraction::whole(i128::from(LONG)))?.floor())
    };
    let long = flush.and_then(share).and_then(|long| i64::try_from(long).ok());
    let room = |text: &str| Face::Name.width(text) + 16;
    // Both parts stay wide enough to be seen and to hold their name, even where one is a
    // hundredth of the other: the figures beside them say how much it was.
    let most = LONG - room(&told.flush).max(60);
    let long = long.unwrap_or(0).min(most).max(room(&told.foam)).min(LONG - 20);
    LEFT + long
}

fn bar(canvas: &mut Canvas, (from, middle, to): (i64, i64, i64)) {
    for (filled, from, to) in [(Filled::Foam, from, middle), (Filled::Water, middle, to)]
    {
        let field = [from, 26, to - from, 24];
        canvas.rect("bg", field);
        canvas.fill(filled, field);
        canvas.rect("frame", field);
    }
    canvas.path("frame heavy", &format!("M{middle} 18V58M{to} 18V58"));
}

fn labels(
    canvas: &mut Canvas,
    words: &Words,
    told: &Told,
    (from, middle, to): (i64, i64, i64),
) -> i64 {
    let (a, b) = (words.get("drawing.counter.a"), words.get("drawing.counter.b"));
    canvas.text(Face::Figure, Anchor::Middle, [middle, 12], &a);
    canvas.text(Face::Figure, Anchor::Middle, [to, 12], &b);
    let one = |text: &str| [text.to_owned()];
    canvas.on_ground(Face::Name, Anchor::Start, [from + 9, 43], &one(&told.foam));
    let between = (middle + to).div_euclid(2);
    canvas.on_ground(Face::Name, Anchor::Middle, [between, 43], &one(&told.flush));
    under(canvas, words, told, (from, middle, to))
}

/// What happened at each reading, below the bar: beside each other where there is room, so that
/// they stand free wherever A is. Gives back the foot.
fn under(
    canvas: &mut Canvas,
    words: &Words,
    told: &Told,
    (from, middle, to): (i64, i64, i64),
) -> i64 {
    // Between two texts of a line: wider than a blank, so that they are read as two.
    const GAP: i64 = 8;
    let (off, flushed) =
        (words.get("drawing.counter.foam-off"), words.get("drawing.counter.flushed"));
    let (mut y, row) = (73, LEADING);
    canvas.text(Face::Note, Anchor::End, [middle + 3, y], &off);
    let mut free = middle + 3 - Face::Note.width(&off);
    if Face::Note.width(&flushed) + GAP > to - middle {
        y += row;
        free = to + 3 - Face::Note.width(&flushed);
    }
    canvas.text(Face::Note, Anchor::End, [to + 3, y], &flushed);
    if let Some(concentrate) = &told.concentrate {
        let text = words.say("drawing.counter.concentrate", &[("foam", concentrate)]);
        if from + Face::Note.width(&text) + GAP > free {
            y += row;
        }
        canvas.text(Face::Note, Anchor::Start, [from, y], &text);
    }
    y + 5
}
