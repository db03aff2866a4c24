//! What a module writes in the units of the other system, and pressures in kPa and bar beside
//! each other. A metric crew that is asked in gallons guesses, and so does the reverse.

use super::super::library::within;
use super::Checked;
use crate::findings::{Code, Finding, Place};
use crate::quantity::{
    Dimension, Kind, NamedUnit, Quantity, System, Unit, find, named_units,
};
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

/// Of those the department's own, whose metric side is in one unit of pressure too.
const OWN_FIGURES: &[&str] = &["formulas/", "tables/", "constants.yaml"];

/// Fields that cite: a source's title is as its publisher wrote it.
const CITES: &[&str] = &["source", "by", "order", "department"];

/// Whether a value is of a unit's sort; a percent never passes for a bare number, though both
/// are without a dimension: whoever writes 3 for 3 % is a hundred times too high.
pub(super) fn measures(value: &Quantity, unit: &str) -> bool {
    let share = |kind| kind == Kind::Share;
    find(unit).is_none_or(|unit| {
        unit.dimension == value.dimension()
            && share(unit.kind) == share(value.unit().kind)
    })
}

pub(super) fn check(checked: &Checked<'_>) {
    let mut pressures = Pressures::default();
    let system = checked.course.module.units;
    let files = checked.trees.files();
    for file in files.filter(|file| !OF_BOTH.iter().any(|both| file.starts_with(both))) {
        let Some(node) = checked.trees.get(file) else { continue };
        let sheet = Sheet { checked, file, asks: file.starts_with("questions/") };
        sheet.value(node, &mut pressures);
    }
    for file in checked
        .trees
        .files()
        .filter(|file| OWN_FIGURES.iter().any(|own| file.starts_with(own)))
    {
        if let Some(node) = checked.trees.get(file) {
            pressures.of_figures(system, file, node);
        }
    }
    for lesson in &checked.course.lessons {
        let place = Place { file: lesson.file.clone(), start: 0, end: lesson.text.len() };
        let mut line = None;
        for found in named_units(&lesson.text) {
            pressures.count(system, found.unit, || {
                within(place.clone(), found.start, found.end)
            });
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
                    let read = !metric || (key.text == "si") == (system.is_metric());
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
        // What could not be read is told there, whatever its unit is.
        if self.checked.before.iter().any(|one| one.place.as_ref() == Some(&place)) {
            return;
        }
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
        let is_value = whole.is_some() || find(text).is_some();
        let code = if is_value || self.asks { Code::OtherUnits } else { Code::UnitsSaid };
        let mut once = false;
        let system = self.checked.course.module.units;
        let slip = self.checked.slip_at(&place);
        // A value is told as a whole, 1 3/4 in and not 3/4 in.
        let value = whole.map(|whole| NamedUnit {
            start: 0,
            end: written.len(),
            text: text.to_owned(),
            unit: whole.unit(),
            quantity: Some(whole),
        });
        let all = value.map_or_else(|| named_units(written), |value| vec![value]);
        for found in all {
            // Of a figure that is a slip most likely the unit is as open as the number.
            if !slip {
                pressures.count(system, found.unit, || {
                    within(place.clone(), found.start, found.end)
                });
            }
            // One finding for each text: its author reads all of it again.
            once = once || told(self.checked, &place, &found, code);
        }
    }
}

/// Notes a unit of the other system; says whether it is one.
fn told(checked: &Checked<'_>, place: &Place, found: &NamedUnit, code: Code) -> bool {
    let system = checked.course.module.units;
    let Some(instead) = system.instead_of(found.unit) else { return false };
    let place = within(place.clone(), found.start, found.end);
    // A figure that cannot be in any unit is told once, with what is usual instead of what it would
    // be in the other.
    let usual = checked.taken_up(&place);
    let example = match &found.quantity {
        _ if usual.is_some() => "⟨findings.usual⟩".to_owned(),
        Some(quantity) => system.example(quantity).to_string(),
        None => instead.symbol.to_owned(),
    };
    let mut finding = Finding::at(code, place).with("found", found.text.clone());
    if let Some((least, most)) = usual {
        finding = finding.with("least", least).with("most", most);
    }
    let own = match system {
        System::Us => "us",
        System::Si => "si",
        System::SiBar => "si-bar",
    };
    checked.note(finding.with("example", example).with("units", own));
    true
}

/// Where a unit of pressure stands that the module does not write.
#[derive(Default)]
struct Pressures {
    first: Option<Place>,
}

impl Pressures {
    fn count(&mut self, system: System, unit: &Unit, place: impl FnOnce() -> Place) {
        let other = match system {
            System::Us => &[][..],
            System::Si => &["bar", "bar/(100 L/min)^2/100 m"],
            System::SiBar => &["kPa", "MPa", "kPa/(100 L/min)^2/100 m"],
        };
        if other.contains(&unit.symbol) {
            self.first.get_or_insert_with(place);
        }
    }

    /// Figures and units, and no lines: a line may take a pressure in any unit as a number.
    fn of_figures(&mut self, system: System, file: &str, node: &Node) {
        match &node.shape {
            Shape::Map(fields) => {
                for (_, value) in fields {
                    self.of_figures(system, file, value);
                }
            }
            Shape::List(items) => {
                for item in items {
                    self.of_figures(system, file, item);
                }
            }
            Shape::Text(text) => {
                let unit = Quantity::read(text).ok().map(|whole| whole.unit());
                if let Some(unit) = unit.or_else(|| find(text)) {
                    let place = || Place {
                        file: file.to_owned(),
                        start: node.start,
                        end: node.end,
                    };
                    self.count(system, unit, place);
                }
            }
            Shape::Nothing => {}
        }
    }

    /// Once for each module: which of the two it is to be is one decision.
    fn told(self, checked: &Checked<'_>) {
        if let Some(place) = self.first {
            let own = if checked.course.module.units == System::SiBar {
                "si-bar"
            } else {
                "si"
            };
            checked.note(Finding::at(Code::PressuresMixed, place).with("units", own));
        }
    }
}
