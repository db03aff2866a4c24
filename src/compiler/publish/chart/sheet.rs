//! A chart on its sheet: axes with the unit at the last figure, curves told apart by their dash
//! and a name at their end, and one marked example of the own rig.

use super::curve::{Curve, Drawn};
use super::drawing::{Drawing, HEIGHT, LEFT, TOP, WIDTH};
use super::scale::Scale;
use crate::course::{Chart, Outlet, Rig};
use crate::publish::drawing::Drawing as Sheet;
use crate::publish::drawing::canvas::{Anchor, Canvas, WIDTH as WIDE};
use crate::publish::drawing::widths::{Face, LEADING};
use crate::quantity::{Dimension, Kind, Quantity, Unit, written};

/// Edges of the field in whole steps.
const X: i64 = LEFT;
const Y: i64 = TOP;
const RIGHT: i64 = LEFT + WIDTH;
const FOOT: i64 = TOP + HEIGHT;
/// Strokes of the curves, by which they are told apart without a colour.
const DASHES: [&str; 4] = ["curve one", "curve two", "curve three", "curve four"];

/// The rig's own line on the axis.
pub(super) struct Example {
    at: Quantity,
    label: String,
}

impl Example {
    /// Where the line lies on the axis; nothing where the axis tells of something else.
    pub(super) fn of(drawing: &Drawing<'_>, rig: &Rig, line: &Outlet) -> Option<Self> {
        let at = along(rig, line, drawing.unit)?;
        let within = at.in_unit(drawing.unit)?.number();
        drawing.across.near(within, LEFT, false)?;
        let blanks = [("line", line.title.as_str()), ("flow", &at.printed())];
        let label = drawing.shared.words.say("page.chart-line", &blanks);
        Some(Self { at, label })
    }
}

/// What of a rig's foam line lies on an axis of that unit: of the percents the middle preset.
fn along(rig: &Rig, line: &Outlet, unit: &Unit) -> Option<Quantity> {
    if unit.kind == Kind::Share {
        let unit = rig.proportioner.as_ref()?;
        let presets = &unit.classes.values().next()?.presets;
        return presets.get(presets.len().saturating_sub(1).div_euclid(2)).copied();
    }
    match unit.dimension {
        Dimension::FLOW => Some(line.flow),
        Dimension::LENGTH => line.length,
        // An axis of anything else has no place for a line.
        _ => None,
    }
}

/// The sheet of a chart.
pub(super) fn sheet(
    drawing: &Drawing<'_>,
    chart: &Chart,
    curves: &[Curve<'_>],
    (up, example): (&Scale, Option<Example>),
    sentence: String,
) -> Sheet {
    let mut canvas = Canvas::default();
    let label = axis_up(&mut canvas, drawing, up, &chart.up.label);
    canvas.text(Face::Note, Anchor::Start, [2, 12], &label);
    let foot = axis_across(&mut canvas, drawing, &chart.across.label);
    canvas.path("axes", &format!("M{X} {Y}V{FOOT}H{RIGHT}"));
    let drawn: Vec<Drawn> = curves.iter().map(|curve| curve.view(up)).collect();
    for (one, dash) in drawn.iter().zip(DASHES.iter().cycle()) {
        if !one.path.is_empty() {
            canvas.path(dash, &one.path);
        }
    }
    let names = names(&mut canvas, curves, &drawn);
    if let Some(example) = example {
        mark(&mut canvas, curves, up, &example);
    }
    canvas.finish(foot.max(names), sentence, String::new())
}

/// The axis that runs up; gives back its label, with the unit where the last figure has no room
/// for it.
fn axis_up(
    canvas: &mut Canvas,
    drawing: &Drawing<'_>,
    up: &Scale,
    label: &str,
) -> String {
    let ticks = up.ticks();
    let mut told = with_unit(drawing, label, drawing.unit_up.symbol);
    for (index, tick) in ticks.iter().enumerate() {
        let Some(y) = up.near(*tick, TOP, true) else { continue };
        canvas.path("mesh", &format!("M{X} {y}H{RIGHT}"));
        let mut text = written(&tick.to_string());
        let whole = Quantity::new(*tick, drawing.unit_up).printed();
        if index + 1 == ticks.len() && Face::Note.width(&whole) <= X - 6 {
            (text, told) = (whole, label.to_owned());
        }
        canvas.text(Face::Note, Anchor::End, [X - 5, y + 4], &text);
    }
    told
}

/// The axis that runs across with its label; gives back the foot.
fn axis_across(canvas: &mut Canvas, drawing: &Drawing<'_>, label: &str) -> i64 {
    let ticks = drawing.across.ticks();
    let mut free = X - 20;
    for (index, tick) in ticks.iter().enumerate() {
        let Some(x) = drawing.across.near(*tick, LEFT, false) else { continue };
        canvas.path("mesh", &format!("M{x} {Y}V{FOOT}"));
        let text = written(&tick.to_string());
        let left = x - Face::Note.width(&text).div_euclid(2);
        // The unit stands behind its figure, which stays below its mark.
        let text = if index + 1 == ticks.len() {
            Quantity::new(*tick, drawing.unit).printed()
        } else {
            text
        };
        if left > free {
            canvas.text(Face::Note, Anchor::Start, [left, FOOT + 15], &text);
            free = left + Face::Note.width(&text) + 3;
        }
    }
    let lines = Face::Note.lines(label, WIDE - X);
    canvas.lines(Face::Note, Anchor::Start, [X, FOOT + 31], &lines) - LEADING + 5
}

fn with_unit(drawing: &Drawing<'_>, label: &str, unit: &str) -> String {
    let blanks = [("label", label), ("unit", unit)];
    drawing.shared.words.say("page.chart-axis", &blanks)
}

/// The name of each curve at its end, one below the other where the ends lie close together;
/// gives back their foot.
fn names(canvas: &mut Canvas, curves: &[Curve<'_>], drawn: &[Drawn]) -> i64 {
    // Behind the field, so that a line has room from each end to its name.
    const COLUMN: i64 = RIGHT + 10;
    let mut ends: Vec<([i64; 2], Vec<String>)> = curves
        .iter()
        .zip(drawn)
        .filter_map(|(curve, drawn)| {
            Some((drawn.end?, Face::Name.lines(curve.label(), WIDE - 2 - COLUMN)))
        })
        .collect();
    ends.sort_by_key(|([_, y], _)| *y);
    // With half a line free, so that two names are not read as one.
    let high = |lines: &[String]| i64::try_from(lines.len()).unwrap_or(0) * LEADING + 6;
    let mut rest: i64 = ends.iter().map(|(_, lines)| high(lines)).sum();
    let mut free = Y;
    for ([x, y], lines) in ends {
        let high = high(&lines);
        // Not so low that the others have no room, nor on the one before.
        let top = (y - high.div_euclid(2)).min(FOOT - rest).max(free);
        rest -= high;
        let middle = top + high.div_euclid(2);
        canvas.path("line dashed", &format!("M{x} {y}L{} {middle}", COLUMN - 3));
        let first = [COLUMN, top + 11];
        free = canvas.lines(Face::Name, Anchor::Start, first, &lines) - 5;
    }
    free + 5
}

/// The rig's own line: a dotted line up from the axis, a ring on each curve, its name above.
fn mark(canvas: &mut Canvas, curves: &[Curve<'_>], up: &Scale, example: &Example) {
    let places: Vec<[i64; 2]> =
        curves.iter().filter_map(|curve| curve.over(example.at, up)).collect();
    let Some([x, _]) = places.first().copied() else { return };
    canvas.path("mark", &format!("M{x} {}V{FOOT}", Y - 2));
    for [x, y] in places {
        canvas.circle("open", [x, y, 4]);
    }
    let lines = Face::Name.lines(&example.label, WIDE - 4);
    let count = i64::try_from(lines.len()).unwrap_or(1);
    for (line, back) in lines.iter().zip((0..count).rev()) {
        let half = (Face::Name.width(line) + 1).div_euclid(2);
        let middle = x.min(WIDE - 2 - half).max(half + 2);
        let at = [middle, Y - 9 - back * LEADING];
        canvas.text(Face::Name, Anchor::Middle, at, line);
    }
}
