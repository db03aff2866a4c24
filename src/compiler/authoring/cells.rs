//! The cells of a table (CSV), each with its place.
//!
//! They are split by commas, semicolons or tabs, whichever the head has most of.

use csv_core::{ReadFieldResult, ReaderBuilder};

use crate::findings::{Code, Finding, Place};

/// A cell with its bytes in the file, without the mark that ends it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    pub(super) text: String,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Every row with the places of its cells.
pub(super) fn rows(file: &str, text: &str) -> Result<Vec<Vec<Cell>>, Finding> {
    match rows_from((file, text), 0) {
        (rows, None) => Ok(rows),
        (_, Some(finding)) => Err(finding),
    }
}

/// The rows that begin at a byte, which is that of a line, and those behind it, as far as a row
/// with an open quotation mark.
pub(super) fn rows_from(
    (file, text): (&str, &str),
    from: usize,
) -> (Vec<Vec<Cell>>, Option<Finding>) {
    // A spreadsheet marks its file as UTF-8 with a letter of no width.
    let mark = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let between = delimiter(text.get(mark..).unwrap_or_default());
    let skip = from.max(mark);
    let body = text.get(skip..).unwrap_or_default();
    let mut reader = ReaderBuilder::new().delimiter(between).build();
    let mut out = vec![0; body.len() + 1];
    let mut rows = vec![Vec::new()];
    // Where the next byte is read, where its cell began, and how much of that is written.
    let (mut at, mut from, mut have) = (0, 0, 0);
    loop {
        let input = body.as_bytes().get(at..).unwrap_or_default();
        let space = out.get_mut(have..).unwrap_or_default();
        let (result, read, written) = reader.read_field(input, space);
        at += read;
        have += written;
        match result {
            // Told once more that nothing comes, the reader ends the last cell.
            ReadFieldResult::InputEmpty if !input.is_empty() => {}
            ReadFieldResult::Field { record_end } => {
                let bytes = out.get(..have).unwrap_or_default();
                let cell = cell(text, (skip + from, skip + at), bytes, between);
                if let Some(open) = open_quote(text, &cell) {
                    let place = Place { file: file.into(), start: open, end: open + 1 };
                    rows.pop();
                    return (rows, Some(Finding::at(Code::OpenQuotation, place)));
                }
                (from, have) = (at, 0);
                if let Some(row) = rows.last_mut() {
                    row.push(cell);
                }
                if record_end {
                    rows.push(Vec::new());
                }
            }
            // The room for a cell is as large as the whole file, so it is never full.
            _ => break,
        }
    }
    (rows, None)
}

/// The mark that splits the head most often.
fn delimiter(text: &str) -> u8 {
    let head = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |mark: u8| head.bytes().filter(|byte| *byte == mark).count();
    // Spreadsheets write semicolons where the comma is the decimal mark, and tabs when
    // cells are pasted.
    let most = [b'\t', b';', b','].into_iter().max_by_key(|mark| count(*mark));
    most.unwrap_or(b',')
}

fn cell(text: &str, (start, end): (usize, usize), bytes: &[u8], between: u8) -> Cell {
    let raw = text.get(start..end).unwrap_or_default();
    let line_end = |c: char| c == '\n' || c == '\r';
    let front = raw.len() - raw.trim_start_matches(line_end).len();
    let raw = raw.trim_matches(line_end);
    let raw = raw.strip_suffix(char::from(between)).unwrap_or(raw);
    let blank = |c: char| c.is_whitespace() && c != char::from(between);
    let lead = raw.len() - raw.trim_start_matches(blank).len();
    let raw = raw.trim_matches(blank);
    let start = start + front + lead;
    // The value is without quotation marks; the place is that of what stands in the file,
    // with them.
    let value = String::from_utf8_lossy(bytes).trim().to_owned();
    Cell { text: value, start, end: start + raw.len() }
}

/// Where a quotation mark opens that closes nowhere, or in a cell further on: it swallows
/// what stands between.
fn open_quote(text: &str, cell: &Cell) -> Option<usize> {
    let raw = text.get(cell.start..cell.end).unwrap_or_default();
    let marks = raw.bytes().filter(|byte| *byte == b'"').count();
    let closed = marks.is_multiple_of(2) && raw.ends_with('"');
    (raw.starts_with('"') && !closed).then_some(cell.start)
}
