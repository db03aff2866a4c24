//! What a module writes in the units of the other system, and pressures in kPa and bar beside
//! each other. A metric crew that is asked in gallons guesses, and so does the reverse.

use super::super::library::within;
use super::Checked;
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Dimension, Quantity, System, Unit, named_units};
use crate::wire::{Node, Shape};

/// Files whose figures are written in both systems, or in those of whoever wrote a sheet: a
/// formula has a unit for each, a run was made on the instruments there were.
const OF_BOTH: &[&str] = &[
    "trade/",
    "formulas/",
    "tables/",
    "runs/",
    "revisions/",
    "constants.yaml",
    "families.yaml",
    "sources.yaml",
    "people.yaml",
    "roster.yaml",
];

/// Fields that cite: a source's title is as its publisher wrote it.
const CITES: &[&str] = &["source", "by", "order", "department"];

pub(super) fn check(checked: &Checked<'_>) {
    let mut pressures = Pressures::default();
    let files = checked.trees.files();
    for file in files.filter(|file| !OF_BOTH.iter().any(|both| file.starts_with(both))) {
        let Some(node) = checked.trees.get(file) else { continue };
        let sheet = Sheet { checked, file, asks: file.starts_with("questions/") };
        sheet.value(node, &mut pressures);
    }
    for lesson in &checked.course.lessons {
        let place = Place { file: lesson.file.clone(), start: 0, end: lesson.text.len() };
        let mut line = None;
        for found in named_units(&lesson.text) {
            pressures.count(found.unit, || within(place.clone(), found.start, found.end));
            // Once for each line, where a reader looks for all of them at once.
            let before = lesson.text.get(..found.start).unwrap_or_default();
            let own = before.matches('\n').count();
            if line != Some(own) && told(checked, &place, &found, Code::UnitsSaid) {
                line = Some(own);
            }
        }
    }
    pressures.told(checked);
}

/// One file of the module.
struct Sheet<'s, 'c> {
    checked: &'s Checked<'c>,
    file: &'s str,
    /// Whether what it says is asked on a paper.
    asks: bool,
}

impl Sheet<'_, '_> {
    fn value(&self, node: &Node, pressures: &mut Pressures) {
        match &node.shape {
            Shape::Map(fields) => {
                let metric = fields.iter().any(|(key, _)| key.text == "si");
                let system = self.checked.course.module.units;
                for (key, value) in fields {
                    // A draw that has a group for metric modules is read from that group
                    // there, and from what stands beside it everywhere else.
                    let read = !metric || (key.text == "si") == (system == System::Si);
                    if read && !CITES.contains(&key.text.as_str()) {
                        self.value(value, pressures);
                    }
                }
            }
            Shape::List(items) => {
                for item in items {
                    self.value(item, pressures);
                }
            }
            Shape::Text(text) => self.text(node, text, pressures),
            Shape::Nothing => {}
        }
    }

    fn text(&self, node: &Node, text: &str, pressures: &mut Pressures) {
        let place =
            Place { file: self.file.to_owned(), start: node.start, end: node.end };
        // Places are those of the file, where a folded text is longer than what it says.
        let source = self.checked.sources.get(self.file);
        let written = source.and_then(|source| source.get(node.start..node.end));
        let written = written.unwrap_or(text);
        // A coefficient of hose may be copied from a table of the other system: it is converted
        // and printed in the module's own.
        let whole = Quantity::read(text).ok();
        if whole.is_some_and(|whole| whole.dimension() == Dimension::FRICTION) {
            return;
        }
        let value = whole.is_some() || crate::quantity::find(text).is_some();
        let code = if value || self.asks { Code::OtherUnits } else { Code::UnitsSaid };
        let mut once = false;
        for found in named_units(written) {
            pressures.count(found.unit, || within(place.clone(), found.start, found.end));
            // One finding for each text: its author reads all of it again.
            once = once || told(self.checked, &place, &found, code);
        }
    }
}

/// Notes a unit of the other system; says whether it is one.
fn told(
    checked: &Checked<'_>,
    place: &Place,
    found: &crate::quantity::NamedUnit,
    code: Code,
) -> bool {
    let system = checked.course.module.units;
    let Some(instead) = system.instead_of(found.unit) else { return false };
    let example = match &found.quantity {
        Some(quantity) => system.example(quantity).to_string(),
        None => instead.symbol.to_owned(),
    };
    let place = within(place.clone(), found.start, found.end);
    let finding = Finding::at(code, place).with("found", found.text.clone());
    let own = if system == System::Si { "si" } else { "us" };
    checked.note(finding.with("example", example).with("units", own));
    true
}

/// Where the two metric units of pressure stand first.
#[derive(Default)]
struct Pressures {
    kilopascals: Option<Place>,
    bars: Option<Place>,
}

impl Pressures {
    fn count(&mut self, unit: &Unit, place: impl FnOnce() -> Place) {
        let first = match unit.symbol {
            "kPa" => &mut self.kilopascals,
            "bar" => &mut self.bars,
            _ => return,
        };
        first.get_or_insert_with(place);
    }

    /// Once for each module: which of the two it is to be is one decision.
    fn told(self, checked: &Checked<'_>) {
        let both = self.kilopascals.zip(self.bars);
        if let Some((_, place)) = both
            && checked.course.module.units == System::Si
        {
            checked.note(Finding::at(Code::PressuresMixed, place));
        }
    }
}
