//! Charts: curves of formulas, drawn for paper without colours.
//!
//! Every point comes from the formula library; this folder only places it on the sheet.

mod curve;
mod drawing;
mod scale;
mod sheet;

use serde::Serialize;

use super::frame::Shared;
use curve::Curve;
use drawing::{Drawing, HEIGHT, WIDTH};
use scale::Scale;
use sheet::{Example, sheet};

use crate::course::{
    Chart, Each, Outlet, Rig, WhichFoam, foam_outlets, is_open, rig_figures,
};
use crate::formulas::FigureShown;
use crate::publish::drawing::Drawing as Drawn;
use crate::quantity::{self, Fraction, Quantity, Unit};

/// A chart as drawn.
#[derive(Debug, Clone, Serialize)]
pub(super) struct ChartView {
    id: String,
    title: String,
    about: String,
    drawing: Drawn,
    rows: Vec<(String, Vec<String>)>,
    heads: Vec<String>,
}

/// The chart for every rig that has its figures, or once.
pub(super) fn charts(shared: &Shared<'_>, chart: &Chart) -> Vec<ChartView> {
    match chart.each {
        Each::Once => draw(shared, chart, None).into_iter().collect(),
        Each::Rig => {
            let rigs = shared.course.rigs.values();
            rigs.filter_map(|rig| draw(shared, chart, Some(rig))).collect()
        }
    }
}

fn draw(shared: &Shared<'_>, chart: &Chart, rig: Option<&Rig>) -> Option<ChartView> {
    let line = rig.and_then(|rig| foam_outlets(rig).next());
    let figures =
        rig.map(|rig| rig_figures(rig, line, WhichFoam::First)).unwrap_or_default();
    let ends = [&chart.across.from, &chart.across.to].into_iter().flatten();
    let along = chart.curves.iter().flat_map(|curve| &curve.with);
    let wanted = along
        .filter_map(|(_, given)| given.figure())
        .chain(ends.filter_map(|end| end.0.figure.as_ref()));
    let open = |name: &String| rig.is_some_and(|rig| is_open(rig, name));
    // A chart says of which line it is and not of which foam: where that matters there is none.
    if rig.is_some()
        && wanted.clone().any(|name| !figures.contains_key(name) || open(name))
    {
        return None;
    }
    let uses_line = wanted.clone().any(|name| name.starts_with("outlet."));
    let system = shared.course.module.units;
    let named =
        |us: &str, si: &str| quantity::find(if system.is_metric() { si } else { us });
    let unit = named(&chart.across.unit, &chart.across.unit_si)?;
    let unit_up = named(&chart.up.unit, &chart.up.unit_si)?;
    let end = |end: &Option<FigureShown>, unit: &'static Unit| {
        let value = end.as_ref()?.0.on(system, &figures);
        Some(value.in_unit(unit)?.number())
    };
    let from = end(&chart.across.from, unit).unwrap_or(Fraction::ZERO);
    let across = Scale::between(from, end(&chart.across.to, unit)?, WIDTH)?;
    let top = end(&chart.up.to, unit_up);
    let basis = rig.and_then(Rig::basis);
    let drawing = Drawing { shared, figures, basis, system, across, unit, unit_up };
    let curves: Vec<Curve<'_>> =
        chart.curves.iter().map(|curve| Curve::of(&drawing, curve)).collect();
    let highest = curves.iter().filter_map(Curve::highest).max()?;
    // As high as the author wants it, else as high as the highest curve goes.
    let up = Scale::above(top.unwrap_or(highest), HEIGHT)?;
    let title = match (rig, line.filter(|_| uses_line)) {
        (Some(rig), Some(line)) => {
            let blanks = [
                ("chart", chart.title.as_str()),
                ("rig", &rig.title),
                ("line", &line.title),
            ];
            shared.words.say("page.chart-of-line", &blanks)
        }
        (Some(rig), None) => {
            let blanks = [("chart", chart.title.as_str()), ("rig", &rig.title)];
            shared.words.say("page.chart-of-rig", &blanks)
        }
        (None, _) => chart.title.clone(),
    };
    Some(view(&drawing, (chart, title), rig.zip(line), &curves, &up))
}

fn view(
    drawing: &Drawing<'_>,
    (chart, title): (&Chart, String),
    own: Option<(&Rig, &Outlet)>,
    curves: &[Curve<'_>],
    up: &Scale,
) -> ChartView {
    let words = drawing.shared.words;
    let with_unit = |label: &str, unit: &Unit| {
        let blanks = [("label", label), ("unit", unit.symbol)];
        words.say("page.chart-axis", &blanks)
    };
    let across = with_unit(&chart.across.label, drawing.unit);
    let up_label = with_unit(&chart.up.label, drawing.unit_up);
    let ticks = drawing.across.ticks();
    let rows = ticks.iter().map(|at| {
        let quantity = Quantity::new(*at, drawing.unit);
        let cells = curves.iter().map(|curve| curve.printed(quantity)).collect();
        (quantity.printed(), cells)
    });
    let lines = own.filter(|_| chart.lines).map(|(rig, _)| marks(drawing, rig, curves));
    let blanks =
        [("title", title.as_str()), ("across", across.as_str()), ("up", &up_label)];
    let sentence = words.say("page.chart-describe", &blanks);
    let example = own.and_then(|(rig, line)| Example::of(drawing, rig, line));
    ChartView {
        // One chart of two rigs may stand on one page.
        id: match own {
            Some((rig, _)) => format!("{}-{}", chart.id, rig.id),
            None => chart.id.clone(),
        },
        about: chart.about.clone(),
        drawing: sheet(drawing, chart, curves, (up, example), sentence),
        heads: std::iter::once(across)
            .chain(curves.iter().map(|curve| curve.label().to_owned()))
            .collect(),
        rows: rows.chain(lines.into_iter().flatten()).collect(),
        title,
    }
}

/// Rows of the foam lines of the rig whose flow lies on the axis, smallest flow first.
fn marks(
    drawing: &Drawing<'_>,
    rig: &Rig,
    curves: &[Curve<'_>],
) -> Vec<(String, Vec<String>)> {
    let mut lines: Vec<_> = foam_outlets(rig).collect();
    lines.sort_by_key(|line| line.flow.in_unit(drawing.unit).map(|q| q.number()));
    let placed = lines.iter().filter_map(|line| {
        let flow = line.flow.in_unit(drawing.unit)?;
        drawing.across.near(flow.number(), 0, false)?;
        let blanks = [("line", line.title.as_str()), ("flow", &line.flow.printed())];
        let label = drawing.shared.words.say("page.chart-line", &blanks);
        Some((label, curves.iter().map(|curve| curve.printed(flow)).collect()))
    });
    placed.collect()
}
