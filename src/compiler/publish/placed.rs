//! A drawing that a lesson's text calls: everything on it is a rig's, a chain's, or an answer of one of
//! the lesson's own worked examples.

use super::card::Card;
use super::desk::Desk;
use super::drawing::{
    Counted, Drawing, Hose, Left, counter, evolution, flow_path, hose, minutes_bars,
    section, tanks, usual_preset, volumes,
};
use super::text::inputs;
use crate::course::{Lesson, Shows, WhichFoam, WorkedExample, drill_name, rig_figures};
use crate::formulas::{Input, Inputs};
use crate::quantity::Quantity;

/// What stays behind in what mixes, by the volumes that flowed: the library's, asked by its name
/// because no lesson has to know that the bars are worked by it.
const RESIDUAL: &str = "mixed-residual";

/// One, two and three: what is taught, and the least and the most that orders ask for.
const VOLUMES: [&str; 3] = ["1", "2", "3"];

/// The drawing of that name; nothing where what it is made from is not there.
pub(super) fn placed(desk: &Desk<'_>, lesson: &Lesson, id: &str) -> Option<Drawing> {
    let drawing = lesson.drawings.iter().find(|drawing| drawing.id == id)?;
    let card = |rig: &String| Some(Card { desk, rig: desk.rig(rig)? });
    match &drawing.shows {
        Shows::FoamPath { rig } => Some(flow_path(card(rig)?)),
        Shows::Tanks { rig } => Some(tanks(card(rig)?)),
        Shows::Minutes { rig } => {
            let card = card(rig)?;
            minutes_bars(card, usual_preset(card)?)
        }
        Shows::Section { rig, outlet } => {
            let rig = desk.rig(rig)?;
            Some(section(desk.words, rig, rig.outlet(outlet)?))
        }
        Shows::Volumes { example } => flushed(desk, example_of(lesson, example)?),
        Shows::Hose => Some(hose(desk.words, &Hose::ALL)),
        Shows::Counter { example } => counted(desk, example_of(lesson, example)?),
        Shows::Evolution { chain } => {
            let chain = desk.chain(chain)?;
            let drills = chain.drills.iter().filter_map(|id| desk.drill(id));
            let names: Vec<String> = drills.map(|drill| drill_name(drill).0).collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            Some(evolution(desk.words, &chain.title, &names, 0))
        }
    }
}

fn example_of<'l>(lesson: &'l Lesson, id: &str) -> Option<&'l WorkedExample> {
    lesson.examples.iter().find(|example| example.id == id)
}

/// What a worked example is fed with, the figures of its rig put in.
pub(super) fn fed(desk: &Desk<'_>, example: &WorkedExample) -> Option<Inputs> {
    let rig = example.rig.as_deref().and_then(|id| desk.rig(id));
    let figures = rig.map(|rig| {
        let outlet = example.outlet.as_deref().and_then(|id| rig.outlet(id));
        rig_figures(rig, outlet, WhichFoam::of(example.class))
    });
    inputs(&example.feed, &figures.unwrap_or_default())
}

/// A flush of one, two and three volumes, worked by the example's own formula.
fn flushed(desk: &Desk<'_>, example: &WorkedExample) -> Option<Drawing> {
    let (library, system) = (desk.library(), desk.module().units);
    let fed = fed(desk, example)?;
    let mut all = Vec::new();
    for volumes in VOLUMES {
        let given = Input::Number(Quantity::read(volumes).ok()?);
        let mut inputs = fed.clone();
        inputs.insert("volumes".to_owned(), given.clone());
        let flush = library.work(&example.feed.formula, &inputs, system).ok()?;
        // What is left hangs on the volumes alone, whatever hose they flowed through.
        let given: Inputs = [("volumes".to_owned(), given)].into_iter().collect();
        let left = library.work(RESIDUAL, &given, system).ok()?;
        let left = left.answer(None)?;
        all.push(Left {
            volumes: volumes.to_owned(),
            water: flush.answer(Some("water"))?.text.clone(),
            share: left.number?.settled()?,
            share_text: left.text.clone(),
        });
    }
    let rig = example.rig.as_deref().and_then(|id| desk.rig(id))?;
    let outlet = example.outlet.as_deref().and_then(|id| rig.outlet(id))?;
    Some(volumes(desk.words, &outlet.title, &all))
}

/// The counter with the foam, the water and the flush that an example was given.
fn counted(desk: &Desk<'_>, example: &WorkedExample) -> Option<Drawing> {
    let fed = fed(desk, example)?;
    let number = |name: &str| match fed.get(name) {
        Some(Input::Number(quantity)) => Some(*quantity),
        _ => None,
    };
    let counted = Counted {
        foam_part: number("water")?,
        flush_part: number("flush")?,
        concentrate: number("foam"),
    };
    Some(counter(desk.words, &counted))
}
