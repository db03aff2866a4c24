//! The sheet of a drawing: an SVG put together from whole units and classes.
//!
//! Whole units, because a half of one is a fifth of a millimetre on paper, and so that every
//! machine writes the same bytes. Colours and widths of strokes stand in `drawing.css`; an id
//! would stand twice on a page that has two drawings, and a pattern makes a printed page large.

use serde::Serialize;

use super::widths::{Face, LEADING};
use crate::publish::html::escape;

/// Width of every drawing: a phone of 360 pixels without its margins.
pub(in crate::publish) const WIDTH: i64 = 336;

/// A drawing with what it shows in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Drawing {
    /// The SVG.
    pub svg_html: String,
    /// What it shows, for those who do not see it.
    pub sentence: String,
    /// How it is read, to stand below it.
    pub caption: String,
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::publish) enum Anchor {
    Start,
    Middle,
    End,
}

/// What a pipe, a tank or a bar is filled with. Each has a mark of its own, so that a printer
/// without colours loses nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::publish) enum Filled {
    /// Plain water in a pipe: open. In a tank or a bar: level lines.
    Water,
    /// Foam: dots.
    Foam,
    /// Concentrate: slanted lines.
    Concentrate,
    /// Air: rings.
    Air,
}

/// The sheet. Walls of all pipes lie below their bores, so that joints are open.
#[derive(Debug, Default)]
pub(in crate::publish) struct Canvas {
    walls: String,
    bores: String,
    marks: String,
    top: String,
}

impl Canvas {
    /// Strokes of a class.
    pub(in crate::publish) fn path(&mut self, class: &str, d: &str) {
        self.top.push_str(&format!("<path class=\"{class}\" d=\"{d}\"/>\n"));
    }

    /// A pipe along a path, from the middle of what it is joined to.
    pub(in crate::publish) fn pipe(&mut self, d: &str, filled: Filled) {
        self.open_pipe(d, d, filled);
    }

    /// A pipe whose wall is longer than its bore: its end is closed.
    pub(in crate::publish) fn open_pipe(
        &mut self,
        wall: &str,
        bore: &str,
        filled: Filled,
    ) {
        // The line of a concentrate is thinner than that of water.
        let thin = if filled == Filled::Concentrate { " thin" } else { "" };
        self.walls.push_str(&format!("<path class=\"wall{thin}\" d=\"{wall}\"/>\n"));
        self.bores.push_str(&format!("<path class=\"bore{thin}\" d=\"{bore}\"/>\n"));
        match filled {
            Filled::Foam => self.mark("dots", bore),
            Filled::Concentrate => self.mark("slant", bore),
            Filled::Water | Filled::Air => {}
        }
    }

    /// What fills a pipe, where only a part of it is filled.
    pub(in crate::publish) fn mark(&mut self, class: &str, d: &str) {
        self.marks.push_str(&format!("<path class=\"{class}\" d=\"{d}\"/>\n"));
    }

    /// A frame, or a ground.
    pub(in crate::publish) fn rect(&mut self, class: &str, [x, y, wide, high]: [i64; 4]) {
        self.top.push_str(&format!(
            "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{wide}\" height=\"{high}\"/>\n"
        ));
    }

    pub(in crate::publish) fn circle(&mut self, class: &str, [x, y, radius]: [i64; 3]) {
        self.top.push_str(&format!(
            "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{radius}\"/>\n"
        ));
    }

    /// One line of text; `y` is its base line.
    pub(in crate::publish) fn text(
        &mut self,
        face: Face,
        anchor: Anchor,
        [x, y]: [i64; 2],
        text: &str,
    ) {
        let end = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " m",
            Anchor::End => " e",
        };
        let class = face.class();
        self.top.push_str(&format!("<text class=\"{class}{end}\" x=\"{x}\" y=\"{y}\">"));
        escape(text, &mut self.top);
        self.top.push_str("</text>\n");
    }

    /// Lines of text; the base line of the first. Gives back that of the line after them.
    pub(in crate::publish) fn lines(
        &mut self,
        face: Face,
        anchor: Anchor,
        [x, y]: [i64; 2],
        lines: &[String],
    ) -> i64 {
        let mut at = y;
        for line in lines {
            self.text(face, anchor, [x, at], line);
            at += LEADING;
        }
        at
    }

    /// The same with a plain ground below each line: a text is not read on lines or dots.
    pub(in crate::publish) fn on_ground(
        &mut self,
        face: Face,
        anchor: Anchor,
        [x, y]: [i64; 2],
        lines: &[String],
    ) -> i64 {
        for (line, at) in lines.iter().zip((0..).map(|index| y + index * LEADING)) {
            let wide = face.width(line);
            let left = match anchor {
                Anchor::Start => x,
                Anchor::Middle => x - wide.div_euclid(2),
                Anchor::End => x - wide,
            };
            self.rect("bg", [left - 3, at - 12, wide + 6, 16]);
        }
        self.lines(face, anchor, [x, y], lines)
    }

    /// Fills a field: level lines, slanted lines, dots or rings, none of them outside it.
    pub(in crate::publish) fn fill(
        &mut self,
        filled: Filled,
        [x, y, wide, high]: [i64; 4],
    ) {
        let (right, foot) = (x + wide, y + high);
        let mut d = String::new();
        match filled {
            Filled::Water => {
                for at in (y + 3..foot).step_by(6) {
                    d.push_str(&format!("M{x} {at}H{right}"));
                }
                self.path("lv", &d);
            }
            Filled::Concentrate => {
                // At 45 degrees, from the left or the lower edge to the upper or the right one.
                for sum in (x + y + 6..right + foot).step_by(6) {
                    let low = (sum - x).min(foot);
                    let high = (sum - right).max(y);
                    d.push_str(&format!("M{} {low}L{} {high}", sum - low, sum - high));
                }
                self.path("lv", &d);
            }
            Filled::Foam => {
                for (row, at) in (y + 4..foot - 2).step_by(8).enumerate() {
                    // Every other row half a step to the right.
                    let from = if row.rem_euclid(2) == 0 { x + 4 } else { x + 8 };
                    if from < right - 2 {
                        d.push_str(&format!("M{from} {at}H{}", right - 3));
                    }
                }
                self.path("dots", &d);
            }
            Filled::Air => {
                for at in (x + 11..right - 6).step_by(16) {
                    self.circle("ring", [at, y + high.div_euclid(2), 4]);
                }
            }
        }
    }

    /// The drawing, so high.
    pub(in crate::publish) fn finish(
        self,
        high: i64,
        sentence: String,
        caption: String,
    ) -> Drawing {
        let mut svg_html = format!(
            "<svg class=\"drawing\" viewBox=\"0 0 {WIDTH} {high}\" role=\"img\" aria-label=\""
        );
        escape(&sentence, &mut svg_html);
        svg_html.push_str("\">\n");
        for layer in [self.walls, self.bores, self.marks, self.top] {
            svg_html.push_str(&layer);
        }
        svg_html.push_str("</svg>");
        Drawing { svg_html, sentence, caption }
    }
}
