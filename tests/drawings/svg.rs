//! A drawing read back: where its texts stand, by widths of their own and not by the program's.

use drillwright::stock;
use regex_lite::Regex;

/// A field of the sheet, in hundredths of a unit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field {
    pub(super) left: i64,
    pub(super) top: i64,
    pub(super) right: i64,
    pub(super) foot: i64,
}

impl Field {
    fn meets(self, other: Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.foot
            && other.top < self.foot
    }
}

/// One line of text.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub(super) text: String,
    pub(super) at: Field,
}

/// A drawing.
#[derive(Debug, Clone)]
pub(super) struct Svg {
    pub(super) code: String,
    pub(super) said: String,
    pub(super) high: i64,
    pub(super) lines: Vec<Line>,
    /// Segments of walls and frames with half their stroke.
    strokes: Vec<(String, Field)>,
}

fn plain(text: &str) -> String {
    let marks = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'")];
    let text =
        marks.iter().fold(text.to_owned(), |text, (from, to)| text.replace(from, to));
    text.replace("&amp;", "&")
}

/// A number as it is written in a drawing, in hundredths.
fn hundredths(text: &str) -> i64 {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let part: i64 = format!("{part:0<2}").parse().unwrap();
    let whole: i64 = whole.parse().unwrap();
    whole * 100 + if text.starts_with('-') { -part } else { part }
}

/// Widths of a common sans in thousandths, as its metric file has them: regular and bold.
fn thousandths(letter: char, bold: bool) -> i64 {
    let wide = match letter {
        ' ' | '\u{a0}' | ',' | '.' | '/' | '!' | ':' | ';' | 'I' => (278, 320),
        'i' | 'j' | 'l' => (222, 278),
        'f' | 't' => (278, 333),
        '(' | ')' | '-' | 'r' => (333, 389),
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => (500, 556),
        'm' | 'M' => (833, 889),
        'w' => (722, 778),
        'W' => (944, 944),
        '%' => (889, 889),
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => (667, 722),
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' => (722, 722),
        'F' | 'L' | 'T' | 'Z' => (611, 611),
        'G' | 'O' | 'Q' => (778, 778),
        _ => (556, 611),
    };
    if bold { wide.1 } else { wide.0 }
}

/// Size of a text by its classes, out of the style sheet itself.
fn size(classes: &str) -> i64 {
    let css = stock::theme("drawing.css").unwrap();
    let of = |rule: &str| {
        let rest = css.split_once(rule).unwrap_or_else(|| panic!("no {rule}")).1;
        let rest = rest.split_once("font-size: ").unwrap().1;
        hundredths(rest.split_once("px").unwrap().0)
    };
    let size = ["s", "h", "f"].iter().find(|own| classes.split(' ').any(|c| c == **own));
    size.map_or_else(|| of(".drawing text"), |own| of(&format!(".drawing .{own} ")))
}

fn line(classes: &str, x: i64, y: i64, text: &str) -> Line {
    let (size, bold) = (size(classes), classes.split(' ').any(|c| c == "b"));
    // Below this a text cannot be read on a phone.
    assert!(size >= 1100, "{text} is {size} px high");
    let wide: i64 = text.chars().map(|letter| thousandths(letter, bold)).sum();
    let wide = (wide * size).div_euclid(1000);
    let left = match classes.split(' ').next_back() {
        Some("e") => x - wide,
        Some("m") => x - wide.div_euclid(2),
        _ => x,
    };
    let at = Field {
        left,
        right: left + wide,
        top: y - (size * 74).div_euclid(100),
        foot: y + (size * 21).div_euclid(100),
    };
    Line { text: text.to_owned(), at }
}

/// The corners of a path, pen down or not.
fn corners(d: &str) -> Vec<(bool, i64, i64)> {
    let part = Regex::new("([MLHVCZ])([^MLHVCZ]*)").unwrap();
    let (mut found, mut x, mut y) = (Vec::new(), 0, 0);
    for one in part.captures_iter(d) {
        let numbers: Vec<i64> = one[2]
            .split([' ', ','])
            .filter(|number| !number.is_empty())
            .map(hundredths)
            .collect();
        match &one[1] {
            "H" => numbers.iter().for_each(|to| {
                x = *to;
                found.push((true, x, y));
            }),
            "V" => numbers.iter().for_each(|to| {
                y = *to;
                found.push((true, x, y));
            }),
            "Z" => {}
            letter => {
                for pair in numbers.chunks(2) {
                    (x, y) = (pair[0], pair[1]);
                    found.push((letter != "M", x, y));
                }
            }
        }
    }
    assert!(!found.is_empty(), "no path: {d}");
    found
}

/// Half the stroke of the classes that a text must not stand on.
fn half(class: &str) -> Option<i64> {
    match class {
        "wall" => Some(600),
        "wall thin" => Some(450),
        "frame heavy" => Some(200),
        "frame" | "pen" => Some(120),
        "line" | "line dashed" | "frame dashed" | "mark" => Some(50),
        "circle open" | "rect solid" | "solid" | "penf" => Some(0),
        _ => None,
    }
}

/// Everything that is drawn but for the texts.
fn strokes(code: &str) -> Vec<(String, Field)> {
    let path = Regex::new("<path class=\"([^\"]*)\" d=\"([^\"]*)\"/>").unwrap();
    assert_eq!(path.find_iter(code).count(), code.matches("<path").count(), "{code}");
    let mut strokes = Vec::new();
    for found in path.captures_iter(code) {
        let all = corners(&found[2]);
        for pair in all.windows(2) {
            let ((_, ax, ay), (down, bx, by)) = (pair[0], pair[1]);
            let half = if down { half(&found[1]).unwrap_or(0) } else { 0 };
            let at = Field {
                left: ax.min(bx) - half,
                right: ax.max(bx) + half,
                top: ay.min(by) - half,
                foot: ay.max(by) + half,
            };
            strokes
                .push((if down { found[1].to_owned() } else { "move".to_owned() }, at));
        }
    }
    shapes(code, &mut strokes);
    strokes
}

/// Frames, grounds and rings.
fn shapes(code: &str, strokes: &mut Vec<(String, Field)>) {
    let rect = Regex::new(
        "<rect class=\"([^\"]*)\" x=\"(-?\\d+)\" y=\"(-?\\d+)\" width=\"(\\d+)\" height=\"(\\d+)\"/>",
    );
    let rect = rect.unwrap();
    assert_eq!(rect.find_iter(code).count(), code.matches("<rect").count(), "{code}");
    for r in rect.captures_iter(code) {
        let number = |at: usize| hundredths(&r[at]);
        let (left, top) = (number(2), number(3));
        let at = Field { left, top, right: left + number(4), foot: top + number(5) };
        strokes.push((format!("rect {}", &r[1]), at));
    }
    let circle = Regex::new(
        "<circle class=\"([^\"]*)\" cx=\"(\\d+)\" cy=\"(\\d+)\" r=\"(\\d+)\"/>",
    );
    let circle = circle.unwrap();
    assert_eq!(circle.find_iter(code).count(), code.matches("<circle").count());
    for c in circle.captures_iter(code) {
        let number = |at: usize| hundredths(&c[at]);
        let (x, y, r) = (number(2), number(3), number(4));
        let at = Field { left: x - r, top: y - r, right: x + r, foot: y + r };
        strokes.push((format!("circle {}", &c[1]), at));
    }
}

impl Svg {
    /// All drawings of a page.
    pub(super) fn all(page: &str) -> Vec<Self> {
        let one = Regex::new("(?s)<svg class=\"drawing\".*?</svg>").unwrap();
        let mut all: Vec<Self> =
            one.find_iter(page).map(|found| Self::read(found.as_str())).collect();
        // The way of foam first, wherever the page has it.
        all.sort_by_key(|drawing| !drawing.said.starts_with("Flow path"));
        all
    }

    /// One drawing.
    pub(super) fn read(code: &str) -> Self {
        let head = Regex::new(
            "^<svg class=\"drawing\" viewBox=\"0 0 336 (\\d+)\" role=\"img\" aria-label=\"([^\"]+)\">",
        );
        let head = head.unwrap().captures(code).unwrap_or_else(|| panic!("{code}"));
        for not in [" id=", " style=", "<pattern", "url(", "<script", "⟨", "on="] {
            assert!(!code.contains(not), "{not} in {code}");
        }
        let text = Regex::new(
            "<text class=\"([^\"]*)\" x=\"(-?\\d+)\" y=\"(-?\\d+)\">([^<]*)</text>",
        );
        let text = text.unwrap();
        let lines: Vec<Line> = text
            .captures_iter(code)
            .map(|t| line(&t[1], hundredths(&t[2]), hundredths(&t[3]), &plain(&t[4])))
            .collect();
        assert_eq!(lines.len(), code.matches("<text").count(), "{code}");
        let strokes = strokes(code);
        Self {
            code: code.to_owned(),
            said: plain(&head[2]),
            high: hundredths(&head[1]),
            lines,
            strokes,
        }
    }

    /// All its texts without blanks: a name may be broken anywhere.
    pub(super) fn letters(&self) -> String {
        bare(&self.lines.iter().map(|line| line.text.as_str()).collect::<String>())
    }

    /// No two texts overlap, no text stands on a stroke, nothing leaves its frame.
    pub(super) fn is_sound(&self, name: &str) {
        let inside = |at: Field| {
            at.left >= 0 && at.top >= 0 && at.right <= 33600 && at.foot <= self.high
        };
        for (index, line) in self.lines.iter().enumerate() {
            assert!(inside(line.at), "{name}: {line:?} leaves the frame\n{}", self.code);
            for other in &self.lines[..index] {
                let meet = line.at.meets(other.at);
                assert!(!meet, "{name}: {line:?} on {other:?}\n{}", self.code);
            }
            for (class, at) in &self.strokes {
                let on = half(class).is_some() && line.at.meets(*at);
                assert!(!on, "{name}: {line:?} on {class} {at:?}\n{}", self.code);
            }
        }
        for (class, at) in &self.strokes {
            assert!(
                inside(*at),
                "{name}: {class} {at:?} leaves the frame\n{}",
                self.code
            );
        }
    }
}

/// A text without its blanks.
pub(super) fn bare(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}
