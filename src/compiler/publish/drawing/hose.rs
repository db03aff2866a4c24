//! Hose from the side and cut through: what is in it is not seen from outside.

use super::canvas::{Anchor, Canvas, Drawing, Filled};
use super::widths::Face;
use crate::words::Words;

/// What is in a hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hose {
    /// Nothing, and no pressure: flat over its whole length.
    Flat,
    /// Water under pressure.
    Water,
    /// Foam under pressure.
    Foam,
    /// Air under pressure.
    Air,
}

impl Hose {
    /// All of them, in the order in which they are taught.
    pub const ALL: [Self; 4] = [Self::Flat, Self::Water, Self::Foam, Self::Air];

    fn name(self, words: &Words) -> String {
        words.get(match self {
            Self::Flat => "drawing.hose.flat",
            Self::Water => "drawing.hose.water",
            Self::Foam => "drawing.hose.foam",
            Self::Air => "drawing.hose.air",
        })
    }

    fn note(self, words: &Words) -> String {
        words.get(match self {
            Self::Flat => "drawing.hose.flat-note",
            Self::Water => "drawing.hose.water-note",
            Self::Foam => "drawing.hose.foam-note",
            Self::Air => "drawing.hose.air-note",
        })
    }

    const fn filled(self) -> Option<Filled> {
        match self {
            Self::Flat => None,
            Self::Water => Some(Filled::Water),
            Self::Foam => Some(Filled::Foam),
            Self::Air => Some(Filled::Air),
        }
    }
}

/// Hose in these states, one below the other.
pub fn hose(words: &Words, states: &[Hose]) -> Drawing {
    let mut canvas = Canvas::default();
    let mut y = 4;
    for state in states {
        y = row(&mut canvas, words, *state, y);
    }
    let told: Vec<String> = states
        .iter()
        .map(|state| {
            let blanks = [("state", &*state.name(words)), ("note", &state.note(words))];
            words.say("drawing.hose.one", &blanks)
        })
        .collect();
    let sentence = words.say("drawing.hose.says", &[("states", &told.join("; "))]);
    canvas.finish(y, sentence, words.get("drawing.hose.caption"))
}

/// One row from its top; gives back the top of the next.
fn row(canvas: &mut Canvas, words: &Words, state: Hose, y: i64) -> i64 {
    let middle = y + 13;
    match state.filled() {
        Some(filled) => {
            let side = [78, y + 2, 152, 22];
            canvas.rect("bg", side);
            canvas.fill(filled, side);
            canvas.rect("frame", side);
            cut(canvas, filled, middle);
        }
        None => {
            // Two walls that lie on each other, and creases.
            for wall in [middle - 2, middle + 2] {
                let (up, down) = (wall - 4, wall + 4);
                canvas.path(
                    "frame",
                    &format!(
                        "M78 {wall}C98 {up} 108 {down} 128 {wall}C148 {up} 158 {down} 178 \
                         {wall}C196 {up} 212 {down} 230 {wall}"
                    ),
                );
            }
            canvas.path(
                "frame",
                &format!(
                    "M262 {middle}C274 {} 290 {} 302 {middle}C290 {} 274 {} 262 {middle}Z",
                    middle - 5,
                    middle - 5,
                    middle + 5,
                    middle + 5
                ),
            );
        }
    }
    let half = if state == Hose::Flat { 7 } else { 13 };
    for coupling in [70, 230] {
        canvas.rect("solid", [coupling, middle - half, 8, 2 * half]);
    }
    canvas.lines(
        Face::Name,
        Anchor::Start,
        [2, middle + 4],
        &Face::Name.lines(&state.name(words), 62),
    );
    let note = Face::Note.lines(&state.note(words), 262);
    canvas.lines(Face::Note, Anchor::Start, [70, y + 41], &note) + 2
}

/// The same cut through.
fn cut(canvas: &mut Canvas, filled: Filled, middle: i64) {
    canvas.circle("open", [282, middle, 12]);
    match filled {
        // No hose here carries concentrate; it would look like any liquid.
        Filled::Water | Filled::Concentrate => canvas.path(
            "lv",
            &format!("M273 {}H291M271 {middle}H293M273 {}H291", middle - 5, middle + 5),
        ),
        Filled::Foam => canvas.path(
            "dots",
            &format!("M278 {}H287M275 {middle}H290M278 {}H287", middle - 6, middle + 6),
        ),
        Filled::Air => canvas.circle("ring", [282, middle, 4]),
    }
}
