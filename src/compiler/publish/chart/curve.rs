//! One curve: its points from the formula, its path on the sheet.

use super::drawing::{Drawing, LEFT, POINTS, TOP};
use super::scale::Scale;
use crate::course;
use crate::formulas::{ExampleGiven, Input, Inputs};
use crate::quantity::{Fraction, Number, Quantity};

type Point = (Fraction, Fraction);

/// A curve with its points; where the formula has no answer there is none.
pub(super) struct Curve<'c> {
    drawing: &'c Drawing<'c>,
    says: &'c course::Curve,
    points: Vec<Option<Point>>,
}

/// As drawn: its path, and where it ends.
pub(super) struct Drawn {
    pub(super) path: String,
    pub(super) end: Option<[i64; 2]>,
}

impl<'c> Curve<'c> {
    pub(super) fn of(drawing: &'c Drawing<'c>, curve: &'c course::Curve) -> Self {
        let mut made = Self { drawing, says: curve, points: Vec::new() };
        let scale = &drawing.across;
        let at = |index| {
            let span = scale.to.sub(scale.from)?;
            scale.from.add(span.mul(Fraction::new(index, POINTS)?)?)
        };
        made.points = (0..=POINTS)
            .map(|index| at(index).and_then(|x| Some((x, made.value(x)?))))
            .collect();
        made
    }

    pub(super) fn label(&self) -> &str {
        &self.says.label
    }

    fn inputs(&self, x: Quantity) -> Inputs {
        let drawing = self.drawing;
        let given = |(name, given): &(String, ExampleGiven)| {
            (name.clone(), given.input(drawing.system, &drawing.figures))
        };
        let mut inputs: Inputs = self.says.with.iter().map(given).collect();
        inputs.insert(self.says.along.clone(), Input::Number(x));
        inputs
    }

    /// The formula of the rig's basis.
    fn formula(&self) -> &str {
        let drawing = self.drawing;
        course::formula_for(
            &drawing.shared.course.bases,
            &self.says.formula,
            drawing.basis,
        )
    }

    /// The value at a place of the axis, in the unit of the other one.
    fn value(&self, x: Fraction) -> Option<Fraction> {
        let drawing = self.drawing;
        let library = &drawing.shared.course.library;
        let inputs = self.inputs(Quantity::new(x, drawing.unit));
        // Values alone: a curve has hundreds of points, and nobody
        // reads the working of any of them.
        let values = library.evaluate(self.formula(), &inputs, drawing.system).ok()?;
        let wanted = self.says.answer.as_ref();
        let answers = &library.formula(self.formula())?.answers;
        let index = wanted.map_or(Some(0), |name| {
            answers.iter().position(|answer| answer.name == *name)
        })?;
        let factor = Number::Exact(drawing.unit_up.factor());
        values.get(index).copied()??.div(factor).ok()?.settled()
    }

    /// The answer as the formula prints it.
    pub(super) fn printed(&self, x: Quantity) -> String {
        let library = &self.drawing.shared.course.library;
        let worked = library.work(self.formula(), &self.inputs(x), self.drawing.system);
        let answer = worked.ok().and_then(|worked| {
            worked.answer(self.says.answer.as_deref()).map(|answer| answer.text.clone())
        });
        answer.unwrap_or_else(|| self.drawing.shared.words.get("page.not-known"))
    }

    pub(super) fn highest(&self) -> Option<Fraction> {
        self.points.iter().flatten().map(|(_, y)| *y).max()
    }

    /// The path below the top of the other axis.
    pub(super) fn view(&self, up: &Scale) -> Drawn {
        let mut drawn = Drawn { path: String::new(), end: None };
        let mut before: Option<Point> = None;
        let mut open = false;
        for point in &self.points {
            // Broken off where the formula has no answer: a stroke across the gap would
            // be figures that nobody worked out.
            let Some(point) = *point else {
                (before, open) = (None, false);
                continue;
            };
            let inside = point.1 <= up.to && point.1 >= up.from;
            // Drawn to the edge itself, or it would seem to end before it.
            if let Some(before) = before
                && inside != open
                && let Some(edge) = crossing(before, point, up.to)
            {
                open = self.put(&mut drawn, edge, up, open);
            }
            open = inside && self.put(&mut drawn, point, up, open);
            before = Some(point);
        }
        drawn
    }

    /// The place on the curve above a place of the axis.
    pub(super) fn over(&self, x: Quantity, up: &Scale) -> Option<[i64; 2]> {
        let x = x.in_unit(self.drawing.unit)?.number();
        let y = self.value(x)?;
        Some([self.drawing.across.near(x, LEFT, false)?, up.near(y, TOP, true)?])
    }

    fn put(&self, drawn: &mut Drawn, (x, y): Point, up: &Scale, open: bool) -> bool {
        let across = &self.drawing.across;
        let end = across.near(x, LEFT, false).zip(up.near(y, TOP, true));
        let x = across.place(x, LEFT, false);
        let (Some(x), Some(y)) = (x, up.place(y, TOP, true)) else { return open };
        drawn.path.push_str(if open { "L" } else { "M" });
        drawn.path.push_str(&format!("{x} {y}"));
        drawn.end = end.map(|(x, y)| [x, y]);
        true
    }
}

/// Where the straight line between two points meets a height.
fn crossing(a: Point, b: Point, height: Fraction) -> Option<Point> {
    let part = height.sub(a.1)?.div(b.1.sub(a.1)?)?;
    let x = a.0.add(b.0.sub(a.0)?.mul(part)?)?;
    Some((x, height))
}
