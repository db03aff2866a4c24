//! The page of a family of formulas: what each needs and gives, an example with a rig of the
//! module, the mistakes it knows, and charts.

use serde::Serialize;

use super::chart::{ChartView, charts};
use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::html::html;
use super::lists::sources_link;
use crate::course::{
    Family, Figures, Outlet, Rig, WhichFoam, foam_outlets, is_open, rig_figures,
};
use crate::formulas::{Answer, Fallback, Formula, Given, GivenKind, System, Worked};
use crate::page::{Working, working};
use crate::quantity::{self, Direction, Quantity};

#[derive(Serialize)]
struct FamilyView {
    about: String,
    charts: Vec<ChartView>,
    formulas: Vec<FormulaView>,
}

#[derive(Serialize)]
struct FormulaView {
    id: String,
    title: String,
    basis: String,
    library_only: String,
    lines: Vec<(String, String)>,
    givens: Vec<GivenView>,
    answers: Vec<(String, String, String)>,
    example_html: String,
    verdicts: Vec<String>,
    slips: Vec<(String, String)>,
    range: String,
    sources: Vec<(String, String)>,
}

#[derive(Serialize)]
struct GivenView {
    name: String,
    label: String,
    takes: String,
}

/// `family-ID.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let missing = || PublishFault::Missing(id.to_owned());
    let family = desk.family(id).ok_or_else(missing)?;
    // Examples and charts try one rig after the other until one has the figures.
    let all = ["library", "rigs", "sources"].map(|all| ("all", all));
    let shared = desk.sees(&[&all[..], &[("module", "")]].concat());
    let mut unverified = false;
    let formulas = of_family(shared, family)
        .map(|formula| formula_view(shared, formula, &mut unverified))
        .collect();
    let view = FamilyView {
        about: quantity::prose_written(&family.about).into_owned(),
        charts: family.charts.iter().flat_map(|chart| charts(shared, chart)).collect(),
        formulas,
    };
    let head = Head {
        title: family.title.clone(),
        kicker: shared.label("family"),
        side: Side::Crew,
        cautions: family.cautions.clone(),
        unverified,
        next: vec![sources_link(desk)],
        kind: "family",
        ..Head::default()
    };
    desk.render("family.html", &head, &view)
}

/// The formulas of a family in the order of the library.
pub(super) fn of_family<'s>(
    shared: &'s Shared<'_>,
    family: &'s Family,
) -> impl Iterator<Item = &'s Formula> {
    let formulas = shared.course.library.formulas();
    let system = shared.course.module.units;
    // What officers alone work out stands on no page of the crew.
    formulas.filter(move |formula| {
        formula.family == family.id && !formula.officers_only && formula.holds_in(system)
    })
}

fn formula_view(
    shared: &Shared<'_>,
    formula: &Formula,
    unverified: &mut bool,
) -> FormulaView {
    let system = shared.course.module.units;
    let si = system.is_metric();
    // A metric module has lines of its own only where the working itself is another one.
    let work =
        if si && !formula.work_si.is_empty() { &formula.work_si } else { &formula.work };
    let shown = example(shared, formula, system);
    // Worked with the figures of an unchecked card, the page is as unchecked as that.
    if let Some((_, Some((rig, _)))) = &shown {
        *unverified |= !rig.verified();
    }
    let example_html = shown.as_ref().map(|shown| example_html(shared, shown));
    let slips = formula.slips.iter().filter(|slip| slip.made_in(system)).map(|slip| {
        let worked = shown.as_ref().map(|(worked, _)| worked);
        let found = worked.and_then(|worked| {
            let slip = worked.slips.iter().find(|found| found.id == slip.id)?;
            let answer = slip.answers.first()?;
            // A slip that happens to print the right answer would teach that it does no harm.
            (answer.text != worked.answers.first()?.text).then(|| answer.text.clone())
        });
        let says = quantity::prose_written(slip.feedback(system)).into_owned();
        (says, found.unwrap_or_default())
    });
    FormulaView {
        id: formula.id.clone(),
        title: formula.title.clone(),
        basis: formula.basis.clone().unwrap_or_default(),
        library_only: if formula.library_only {
            shared.label("library-only")
        } else {
            String::new()
        },
        lines: work
            .iter()
            .map(|line| {
                (
                    line.label.clone(),
                    quantity::prose_written(&symbols(&line.text)).into_owned(),
                )
            })
            .collect(),
        givens: formula.givens.iter().map(|given| takes(shared, given, si)).collect(),
        answers: formula
            .answers
            .iter()
            .map(|answer| {
                (answer.label.clone(), answer.name.clone(), rounded(shared, answer, si))
            })
            .collect(),
        example_html: example_html.unwrap_or_default(),
        verdicts: formula.verdicts.iter().map(|verdict| verdict.says.clone()).collect(),
        slips: slips.collect(),
        range: quantity::prose_written(&formula.range).into_owned(),
        sources: formula
            .sources
            .iter()
            .map(|source| {
                let note = source.note.as_deref().unwrap_or_default();
                let note = quantity::prose_written(note).into_owned();
                (shared.wording().source(source), note)
            })
            .collect(),
    }
}

/// A worked example, and whose figures it was worked with.
type Example<'s> = (Worked, Option<(&'s Rig, &'s Outlet)>);

/// HTML of a worked example; range and sources of its formula stand beside it.
fn example_html(shared: &Shared<'_>, (worked, rig): &Example<'_>) -> String {
    let title = match rig {
        Some((rig, line)) => {
            let blanks = [("rig", rig.title.as_str()), ("line", &line.title)];
            shared.words.say("page.example-of-rig", &blanks)
        }
        None => shared.label("example-plain"),
    };
    let of = Working { title: &title, worked, founded: false };
    html([&working(of, shared.wording())])
}

/// The example worked: with the first rig and foam line that have the figures and stay in
/// the range of the formula, else with the figures that are written.
fn example<'s>(
    shared: &'s Shared<'_>,
    formula: &Formula,
    system: System,
) -> Option<Example<'s>> {
    let library = &shared.course.library;
    let wanted: Vec<&String> =
        formula.example.iter().filter_map(|(_, given)| given.figure()).collect();
    if !wanted.is_empty() {
        // A figure that the basis decides is shown on a rig that has the basis.
        let bases = &shared.course.bases;
        let other =
            |basis| bases.iter().any(|asked| asked.is_of_another(&formula.id, basis));
        let fits = |rig: &&Rig| !rig.basis().is_some_and(other);
        for rig in shared.course.rigs.values().filter(fits) {
            for line in foam_outlets(rig) {
                let figures = rig_figures(rig, Some(line), WhichFoam::First);
                // A figure that is missing is not filled up from elsewhere: an example is of
                // one rig or of none.
                // Nor is it of one of two foams without saying so.
                let open = |name: &&String| is_open(rig, name);
                if wanted.iter().any(|name| !figures.contains_key(*name) || open(name)) {
                    continue;
                }
                let inputs = formula.example(system, &figures);
                if let Ok(worked) = library.work(&formula.id, &inputs, system) {
                    return Some((worked, Some((rig, line))));
                }
            }
        }
    }
    let inputs = formula.example(system, &Figures::new());
    let worked = library.work(&formula.id, &inputs, system).ok()?;
    Some((worked, None))
}

/// A line with the signs of print instead of those of a keyboard.
fn symbols(text: &str) -> String {
    let text = text.replace(" * ", " × ").replace(" / ", " ÷ ");
    text.replace("<=", "≤").replace(">=", "≥")
}

fn takes(shared: &Shared<'_>, given: &Given, si: bool) -> GivenView {
    let words = shared.words;
    let takes = match &given.kind {
        GivenKind::Choice { words } => words.join(", "),
        GivenKind::List { columns } => {
            let inner: Vec<String> = columns
                .iter()
                .map(|column| {
                    let column = takes(shared, column, si);
                    let blanks = [
                        ("name", column.name.as_str()),
                        ("label", &column.label),
                        ("takes", &column.takes),
                    ];
                    words.say("page.given-column", &blanks)
                })
                .collect();
            words.say("page.given-rows", &[("columns", &inner.join("; "))])
        }
        GivenKind::Number { unit, unit_si, least, most, .. } => {
            let unit = quantity::find(if si { unit_si } else { unit });
            let printed = |quantity: &Quantity, way| {
                unit.map_or(*quantity, |unit| quantity.bound(unit, way)).printed()
            };
            let least = printed(least, Direction::Up);
            let most = printed(most, Direction::Down);
            let blanks = [("least", least.as_str()), ("most", &most)];
            let mut text = words.say("page.given-range", &blanks);
            let default = given.default_in(shared.course.module.units);
            if let Some(default) = default.and_then(Fallback::value) {
                let default = printed(&default, Direction::Near);
                text.push_str(&words.say("page.given-default", &[("value", &default)]));
            }
            text
        }
    };
    GivenView { name: given.name.clone(), label: given.label.clone(), takes }
}

fn rounded(shared: &Shared<'_>, answer: &Answer, si: bool) -> String {
    let way = match answer.round {
        Direction::Near => "near",
        Direction::Down => "down",
        Direction::Up => "up",
    };
    let step = if si { answer.shown_si } else { answer.shown };
    // words: page.rounded-{near|down|up}
    shared.words.say(&format!("page.rounded-{way}"), &[("step", &step.printed())])
}
