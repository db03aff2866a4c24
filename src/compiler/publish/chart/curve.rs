//! One curve: its points from the formula, its path on the sheet.

use serde::Serialize;

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

/// As drawn.
#[derive(Debug, Clone, Serialize)]
pub(super) struct CurveView {
    letter: String,
    label: String,
    path: String,
    at: Option<(String, String)>,
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

    /// The path below the top of the other axis, and a place for the letter.
    pub(super) fn view(&self, index: usize, all: &[Self], up: &Scale) -> CurveView {
        let mut path = String::new();
        let mut before: Option<Point> = None;
        let mut open = false;
        for point in &self.points {
            let Some(point) = *point else {
                (before, open) = (None, false);
                continue;
            };
            let inside = point.1 <= up.to && point.1 >= up.from;
            if let Some(before) = before
                && inside != open
                && let Some(edge) = crossing(before, point, up.to)
            {
                open = self.put(&mut path, edge, up, open);
            }
            open = inside && self.put(&mut path, point, up, open);
            before = Some(point);
        }
        CurveView {
            letter: ["A", "B", "C", "D"].get(index).copied().unwrap_or("E").to_owned(),
            label: self.says.label.clone(),
            path,
            at: self.letter_at(index, all, up),
        }
    }

    /// Where the other curves are farthest away; in the middle when there is no other.
    fn letter_at(
        &self,
        own: usize,
        all: &[Self],
        up: &Scale,
    ) -> Option<(String, String)> {
        let others = || all.iter().enumerate().filter(|(index, _)| *index != own);
        let room = |at: usize, y: Fraction| {
            let apart = |(_, other): (usize, &Self)| {
                let (_, theirs) = (*other.points.get(at)?)?;
                Some(theirs.sub(y)?.absolute())
            };
            others().filter_map(apart).min().unwrap_or(Fraction::ZERO)
        };
        let middle = self.points.len().div_euclid(2);
        let inner = self.points.iter().enumerate().filter_map(|(at, point)| {
            let (x, y) = (*point)?;
            let near_edge = at < 8 || at + 8 > self.points.len();
            (!near_edge && y <= up.to).then(|| (room(at, y), at.abs_diff(middle), x, y))
        });
        let best =
            inner.max_by(|one, other| one.0.cmp(&other.0).then(other.1.cmp(&one.1)));
        let (_, _, x, y) = best?;
        Some((self.drawing.across.place(x, LEFT, false)?, up.place(y, TOP, true)?))
    }

    fn put(&self, path: &mut String, (x, y): Point, up: &Scale, open: bool) -> bool {
        let x = self.drawing.across.place(x, LEFT, false);
        let (Some(x), Some(y)) = (x, up.place(y, TOP, true)) else { return open };
        path.push_str(if open { "L" } else { "M" });
        path.push_str(&format!("{x} {y}"));
        true
    }
}

/// Where the straight line between two points meets a height.
fn crossing(a: Point, b: Point, height: Fraction) -> Option<Point> {
    let part = height.sub(a.1)?.div(b.1.sub(a.1)?)?;
    let x = a.0.add(b.0.sub(a.0)?.mul(part)?)?;
    Some((x, height))
}
