//! A drill of the library in the figures of a metric department, each as the trade library has it.

use std::collections::BTreeMap;

use super::text::{Edit, edited, tree};
use crate::quantity::{Quantity, System, find, named_units};
use crate::stock;
use crate::wire::{Node, Shape};

/// Units in words, as crews say them; a sign in the middle of a sentence is no word.
const SAID: [(&str, &str); 4] = [
    ("gallons", "liters"),
    ("gallon", "liter"),
    ("Gallons", "Liters"),
    ("Gallon", "Liter"),
];

/// The figures by what they are in US units.
fn figures() -> BTreeMap<String, String> {
    let trade = stock::trade();
    let text = trade.get("trade/metric.yaml").map(String::as_str).unwrap_or_default();
    let Some(Node { shape: Shape::Map(fields), .. }) = tree("metric.yaml", text) else {
        return BTreeMap::new();
    };
    let figure =
        |(key, node): (crate::wire::Key, Node)| Some((key.text, node.text()?.to_owned()));
    fields.into_iter().filter_map(figure).collect()
}

/// The text with its figures and units in that system; or the first figure that nobody gave.
pub(super) fn metric(file: &str, text: &str, system: System) -> Result<String, String> {
    let figures = figures();
    let mut edits = Vec::new();
    if let Some(node) = tree(file, text) {
        collect(text, &node, &figures, system, &mut edits)?;
    }
    Ok(edited(text, edits))
}

fn collect(
    text: &str,
    node: &Node,
    figures: &BTreeMap<String, String>,
    system: System,
    edits: &mut Vec<Edit>,
) -> Result<(), String> {
    match &node.shape {
        Shape::Map(fields) => {
            for (_, value) in fields {
                collect(text, value, figures, system, edits)?;
            }
        }
        Shape::List(items) => {
            for item in items {
                collect(text, item, figures, system, edits)?;
            }
        }
        Shape::Text(_) => {
            let written = text.get(node.start..node.end).unwrap_or_default();
            let mut put = |start: usize, end: usize, new: String| {
                let (start, end) = (node.start + start, node.start + end);
                edits.push(Edit { start, end, text: new });
            };
            if let Some(unit) = find(written) {
                if let Some(own) = system.instead_of(unit) {
                    put(0, written.len(), own.symbol.to_owned());
                }
                return Ok(());
            }
            if let Some(other) = figures.get(written).filter(|_| !written.contains(' ')) {
                put(0, written.len(), other.clone());
                return Ok(());
            }
            // The name of a value, such as `gal-added`, is no figure.
            let name = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            if written.contains('-') && written.chars().all(name) {
                return Ok(());
            }
            for found in named_units(written) {
                let Some(own) = system.instead_of(found.unit) else { continue };
                let Some(us) = &found.quantity else {
                    let said = SAID.iter().find(|(us, _)| *us == found.text);
                    let own = said.map_or(own.symbol, |(_, own)| *own);
                    put(found.start, found.end, own.to_owned());
                    continue;
                };
                // By the list and never by a factor: a gallon is 4 L there, so that ranges and
                // their steps fit each other and no bound has digits that no gauge shows.
                let known = figures.get(&us.to_string());
                let known = known.and_then(|si| Quantity::read(si).ok());
                // A figure that nobody gave ends it: a drill half in
                // gallons would be worse than none.
                let own =
                    known.and_then(|si| si.in_unit(own)).ok_or_else(|| us.to_string())?;
                put(found.start, found.end, own.to_string());
            }
        }
        Shape::Nothing => {}
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_drill_of_the_library_can_be_metric() {
        for (file, text) in stock::library() {
            if !file.starts_with("drills/") {
                continue;
            }
            for system in [System::Si, System::SiBar] {
                let si = metric(&file, &text, system).unwrap();
                let node = tree(&file, &si).unwrap();
                let mut left = Vec::new();
                collect(&si, &node, &BTreeMap::new(), system, &mut left).unwrap();
                assert!(left.is_empty(), "{file}: {left:?}");
            }
        }
    }

    #[test]
    fn a_metric_figure_is_near_the_one_it_stands_for() {
        for (us, si) in figures().into_iter().filter(|(us, _)| us.contains(' ')) {
            let read = |text: &str| Quantity::read(text).unwrap();
            let (us, si) = (read(&us), read(&si));
            assert_eq!(us.dimension(), si.dimension(), "{us}");
            let own = si.in_unit(us.unit()).unwrap();
            let (own, us_number) = (own.base().float(), us.base().float());
            // A gauge is read to 50 kPa, which is 7 psi for 5; nothing else is as far off.
            let most = if us.to_string() == "5 psi" { 0.5 } else { 0.13 };
            assert!((own - us_number).abs() <= us_number * most, "{us} is no {si}");
        }
    }
}
