//! A table of run sheets (CSV) as the tree that a YAML list of them would give.
//!
//! One row is one run sheet. The head names the fields, a dot stands for "within":
//! `marks.air-off`, `evaluator.person`. A cell that is empty is a field that is not there.
//! Cells are split by commas, semicolons or tabs, whichever the head has most of.

use super::cells::{Cell, rows};
use crate::findings::{self, Code, Finding, Place};
use crate::wire::{Key, Node, Shape};

/// Fields whose cell holds several ids, with blanks or commas between them.
const LISTS: &[&str] =
    &["order-seen", "undone", "unsafe-acts", "reported", "took-away", "further-outlets"];

/// The rows of a table as a list of groups of fields.
pub(super) fn read(file: &str, text: &str) -> Result<Node, Finding> {
    let mut rows = rows(file, text)?.into_iter();
    let said = |cell: &Cell| !cell.text.is_empty();
    let Some(head) = rows.find(|row| row.iter().any(said)) else {
        let place = Place { file: file.to_owned(), start: 0, end: 0 };
        return Err(Finding::at(Code::Empty, place).with("field", file));
    };
    let mut sheets = Vec::new();
    for row in rows {
        let cells: Vec<(usize, &Cell)> =
            row.iter().enumerate().filter(|(_, cell)| said(cell)).collect();
        if cells.is_empty() {
            continue;
        }
        let mut sheet = Group::default();
        for (column, cell) in &cells {
            let Some(name) = head.get(*column).filter(|name| said(name)) else {
                let place = Place { file: file.into(), start: cell.start, end: cell.end };
                let finding = Finding::at(Code::NamelessColumn, place);
                return Err(finding.with("found", cell.text.clone()));
            };
            sheet.put(name, &name.text, cell);
        }
        sheets.push(sheet.node());
    }
    let end = sheets.last().map_or(0, |last| last.end);
    Ok(Node { start: 0, end, shape: Shape::List(sheets) })
}

/// The rows of a table, to be asked where a finding stands. A table of a department's year has
/// thousands of rows and a faulty one as many findings, so each is looked up and not walked to.
#[derive(Debug, Default)]
pub(super) struct Rows {
    rows: Vec<Vec<Cell>>,
    /// Where each line of a spreadsheet ends: a line's end within quotation marks ends no row, and
    /// an empty line is a row.
    ends: Vec<usize>,
}

impl Rows {
    /// Those of a text; none where it cannot be read.
    pub(super) fn of(file: &str, text: &str) -> Self {
        let mut rows = rows(file, text).unwrap_or_default();
        rows.retain(|row| !row.is_empty());
        let mut open = false;
        let ends = text.bytes().enumerate().filter(|(_, byte)| {
            open ^= *byte == b'"';
            *byte == b'\n' && !open
        });
        Self { rows, ends: ends.map(|(at, _)| at).collect() }
    }

    /// Where a finding is, as a person with a spreadsheet open looks for it.
    pub(super) fn place(&self, finding: &Finding, run: &str) -> Option<findings::Cell> {
        let start = finding.place.as_ref()?.start;
        let begins = |row: &Vec<Cell>| row.first().is_some_and(|one| one.start <= start);
        let row = self.rows.partition_point(begins).checked_sub(1)?;
        let row = self.rows.get(row)?;
        let at = row.partition_point(|cell| cell.start <= start).checked_sub(1)?;
        let first = row.first()?.start;
        let said = |cell: &Cell| !cell.text.is_empty();
        let head = self.rows.iter().find(|row| row.iter().any(said))?;
        let in_head = head.first().is_some_and(|one| one.start == first);
        // What a row lacks is told at the row; the column that would hold it is named by the field.
        let field = finding.blanks.iter().find(|(name, _)| *name == "field");
        let field = field.filter(|(_, field)| at == 0 && !field.is_empty());
        let column = match field {
            Some((_, field)) if !in_head => field.clone(),
            _ => head.get(at).map(|cell| cell.text.clone()).unwrap_or_default(),
        };
        let run = if in_head { String::new() } else { run.to_owned() };
        let row = self.ends.partition_point(|end| *end < first) + 1;
        Some(findings::Cell { row, column, run })
    }
}

/// Fields in the order of their columns.
#[derive(Debug, Default)]
struct Group {
    fields: Vec<(Key, Part)>,
    /// Whether each of its cells may name several.
    list: bool,
}

#[derive(Debug)]
enum Part {
    Cell(Node),
    Group(Group),
}

impl Group {
    fn put(&mut self, column: &Cell, name: &str, cell: &Cell) {
        // The name may stand in quotation marks; what is marked then is the whole cell.
        let whole = column.end - column.start == column.text.len();
        let before = column.text.len() - name.len();
        let mark = |from: usize, length: usize| {
            let start = column.start + before + from;
            if whole { (start, start + length) } else { (column.start, column.end) }
        };
        let Some((outer, inner)) = name.split_once('.') else {
            let (start, end) = mark(0, name.len());
            let key = Key { text: name.to_owned(), start, end };
            let list = self.list || LISTS.contains(&name);
            self.fields.push((key, Part::Cell(value(list, cell))));
            return;
        };
        let known = self.fields.iter_mut().find_map(|(key, part)| match part {
            Part::Group(group) if key.text == outer => Some(group),
            _ => None,
        });
        if let Some(group) = known {
            group.put(column, inner, cell);
            return;
        }
        let (start, end) = mark(0, outer.len());
        // Several may hold one role.
        let mut group = Self { list: outer == "crew", ..Self::default() };
        group.put(column, inner, cell);
        let key = Key { text: outer.to_owned(), start, end };
        self.fields.push((key, Part::Group(group)));
    }

    /// As a tree, from its first cell to its last.
    fn node(self) -> Node {
        let mut fields = Vec::new();
        for (key, part) in self.fields {
            let node = match part {
                Part::Cell(node) => node,
                Part::Group(group) => group.node(),
            };
            fields.push((key, node));
        }
        let nodes = || fields.iter().map(|(_, node): &(Key, Node)| node);
        let start = nodes().map(|node| node.start).min().unwrap_or_default();
        let end = nodes().map(|node| node.end).max().unwrap_or_default();
        Node { start, end, shape: Shape::Map(fields) }
    }
}

fn value(list: bool, cell: &Cell) -> Node {
    let (start, end) = (cell.start, cell.end);
    // An order is a list, or one of two words for it.
    let said = ["as printed", "not watched"].contains(&cell.text.as_str());
    if said || !list {
        return Node { start, end, shape: Shape::Text(cell.text.clone()) };
    }
    let whole = end - start == cell.text.len();
    let between = |c: char| c.is_whitespace() || c == ',' || c == ';';
    let mut at = 0;
    let mut items = Vec::new();
    for part in cell.text.split(between) {
        if !part.is_empty() {
            let (start, end) =
                if whole { (start + at, start + at + part.len()) } else { (start, end) };
            items.push(Node { start, end, shape: Shape::Text(part.to_owned()) });
        }
        // What stands between is one byte, except for the odd blanks of word processors.
        at += part.len();
        let rest = cell.text.get(at..).unwrap_or_default();
        at += rest.chars().next().map_or(0, char::len_utf8);
    }
    Node { start, end, shape: Shape::List(items) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(node: &Node, path: &[&str]) -> (String, usize, usize) {
        let mut node = node;
        for part in path {
            node = node.child(part).unwrap();
        }
        (node.text().unwrap().to_owned(), node.start, node.end)
    }

    #[test]
    fn cells_keep_their_bytes() {
        let text = "\u{feff}run,marks.a,notes,order-seen\r\nr-1, done ,\"x, \"\"y\"\"\",b a\r\n\r\nr-2,,,\r\n";
        let node = read("f.csv", text).unwrap();
        let marked = |path: &[&str]| {
            let (value, start, end) = at(&node, path);
            (value, text.get(start..end).unwrap().to_owned())
        };
        assert_eq!(marked(&["0", "run"]), ("r-1".into(), "r-1".into()));
        assert_eq!(marked(&["0", "marks", "a"]), ("done".into(), "done".into()));
        assert_eq!(marked(&["0", "notes"]).0, "x, \"y\"");
        assert_eq!(marked(&["0", "notes"]).1, "\"x, \"\"y\"\"\"");
        assert_eq!(marked(&["0", "order-seen", "1"]), ("a".into(), "a".into()));
        assert_eq!(marked(&["1", "run"]), ("r-2".into(), "r-2".into()));
        assert!(node.child("1").unwrap().child("notes").is_none());
        assert!(node.child("2").is_none());
        // What a row lacks is told at the row, what the head has wrong at the head.
        let (start, end) = node.child("1").unwrap().mark();
        assert_eq!(text.get(start..end), Some("r-2"));
        let Shape::Map(fields) = &node.child("0").unwrap().shape else { panic!() };
        let Shape::Map(marks) = &fields[1].1.shape else { panic!() };
        assert_eq!(marks[0].0.start, text.find(".a").unwrap() + 1);
    }

    #[test]
    fn a_spreadsheet_may_split_by_semicolons_or_tabs() {
        for mark in [";", "\t"] {
            let text = format!("run{mark}marks.a\nr-1{mark}done, I say");
            let node = read("f.csv", &text).unwrap();
            assert_eq!(at(&node, &["0", "marks", "a"]).0, "done, I say");
        }
    }

    #[test]
    fn faults_of_the_table_have_a_place() {
        let fault = |text: &str| {
            let finding = read("f.csv", text).unwrap_err();
            (finding.code, finding.place.unwrap().start)
        };
        assert_eq!(fault("run,\nr-1,x\n"), (Code::NamelessColumn, 9));
        assert_eq!(fault("run,a\nr-1,\"x\nr-2,y\n"), (Code::OpenQuotation, 10));
        assert_eq!(fault("run,a\nr-1,\"x\nr-2,\"y\"\n"), (Code::OpenQuotation, 10));
        assert_eq!(fault(" \n"), (Code::Empty, 0));
    }
}
