//! Run sheets that are given to `score`, apart from those of the module.

use super::checks;
use super::decode::Desk;
use super::sheets;
use super::tree::{Shape, Trees, read};
use crate::course::{Course, RunSheet};
use crate::findings::{self, Finding, Sources};

/// Run sheets of one file: one, or a list of them; YAML, or JSON, which is YAML too.
pub fn run_sheets(
    text: &str,
    file: &str,
    course: &Course,
) -> (Vec<RunSheet>, Vec<Finding>) {
    let desk = Desk::default();
    let node = match read(file, text) {
        Ok(node) => node,
        Err(finding) => return (Vec::new(), vec![finding]),
    };
    let item = desk.item(file, &node);
    let sheets = match &node.shape {
        Shape::List(_) => item.list().into_iter().filter_map(sheets::run_sheet).collect(),
        _ => sheets::run_sheet(item).into_iter().collect::<Vec<_>>(),
    };
    let sources = Sources::from([(file.to_owned(), text.to_owned())]);
    let mut found = Vec::new();
    let trees = Trees::of(file, node.clone());
    checks::run_sheets(course, &sheets, &trees, &sources, &mut found);
    found.extend(desk.findings.into_inner());
    findings::sort(&mut found);
    (sheets, found)
}
