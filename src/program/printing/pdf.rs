//! What a browser printed, looked at before anybody sees it.

use std::collections::BTreeMap;

/// A whole PDF.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pdf {
    bytes: Vec<u8>,
    sides: usize,
}

impl Pdf {
    /// A PDF that is whole: it begins and ends as one, and has a side. The day on which it was made
    /// is taken out of it: the same module gives the same bytes.
    pub fn read(mut bytes: Vec<u8>) -> Option<Self> {
        let trimmed = bytes.trim_ascii_end();
        if !bytes.starts_with(b"%PDF-") || !trimmed.ends_with(b"%%EOF") {
            return None;
        }
        // Blanked and not cut: the table at the end of the file counts bytes.
        for key in [&b"/CreationDate ("[..], b"/ModDate ("] {
            blank(&mut bytes, key);
        }
        let sides = objects(&bytes).len();
        (sides > 0).then_some(Self { bytes, sides })
    }

    /// Its bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// How many sides it has.
    pub const fn sides(&self) -> usize {
        self.sides
    }

    /// The sides on which places begin that links lead to, by their names, from 1. Nothing where
    /// this browser writes them in another way.
    pub fn places(&self) -> BTreeMap<String, usize> {
        let pages = objects(&self.bytes);
        let text = String::from_utf8_lossy(&self.bytes);
        let mut found = BTreeMap::new();
        // A table of names: `/part-3 [45 0 R /XYZ 0 792 0]`.
        for part in text.split("/part-").skip(1) {
            let entry = part.split_once(" [").and_then(|(number, rest)| {
                Some((number.parse::<usize>().ok()?, rest.split_once(" 0 R /XYZ")?.0))
            });
            if let Some((number, object)) = entry
                && let Ok(object) = object.parse::<usize>()
                && let Some(side) = pages.iter().position(|page| *page == object)
            {
                found.insert(format!("part-{number}"), side + 1);
            }
        }
        found
    }
}

/// Numbers of the objects that are pages, in the order in which they are written, which is that of
/// the sides: browsers write one after the other.
fn objects(bytes: &[u8]) -> Vec<usize> {
    let text = String::from_utf8_lossy(bytes);
    let mut found = Vec::new();
    let mut rest = &*text;
    while let Some((before, after)) = rest.split_once("/Type /Page") {
        // `/Type /Pages` is the tree above them.
        if !after.starts_with('s') {
            let head = before.rsplit_once(" 0 obj").map(|(head, _)| head);
            let number = head.and_then(|head| head.rsplit(['\n', '\r', ' ']).next());
            found.extend(number.and_then(|number| number.parse::<usize>().ok()));
        }
        rest = after;
    }
    found
}

/// Blanks out an entry `/Key (text)`, so that nothing behind it moves.
fn blank(bytes: &mut [u8], key: &[u8]) {
    let Some(at) = bytes.windows(key.len()).position(|found| found == key) else {
        return;
    };
    let Some(entry) = bytes.get_mut(at..) else { return };
    let end = entry.iter().position(|byte| *byte == b')');
    for byte in entry.iter_mut().take(end.map_or(0, |end| end + 1)) {
        *byte = b' ';
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WHOLE: &str = "%PDF-1.4\n1 0 obj\n<</CreationDate (D:20261127)\n/ModDate (D:2026)>>\n\
        3 0 obj\n<</Type /Page\n>>\n9 0 obj\n<</Type /Page\n>>\n2 0 obj\n<</Type /Pages>>\n\
        <</part-1 [3 0 R /XYZ 0 792 0]\n/part-2 [9 0 R /XYZ 0 792 0]>>\n%%EOF\n";

    #[test]
    fn a_whole_one_is_told_from_half_of_it() {
        assert!(Pdf::read(WHOLE.into()).is_some());
        for end in [0, 4, WHOLE.len() - 90, WHOLE.len() - 3] {
            let half = WHOLE.as_bytes().get(..end).unwrap();
            assert_eq!(Pdf::read(half.to_vec()), None, "{end}");
        }
        assert_eq!(Pdf::read(b"%PDF-1.4\n%%EOF".to_vec()), None, "no side");
        assert_eq!(Pdf::read(b"<html>%%EOF".to_vec()), None);
    }

    #[test]
    fn sides_and_places_are_counted_and_days_taken_out() {
        let pdf = Pdf::read(WHOLE.into()).unwrap();
        let places = [("part-1".to_owned(), 1), ("part-2".to_owned(), 2)];
        assert_eq!((pdf.sides(), pdf.places()), (2, BTreeMap::from(places)));
        assert_eq!(pdf.bytes().len(), WHOLE.len());
        let text = String::from_utf8_lossy(pdf.bytes()).into_owned();
        assert!(!text.contains("Date") && !text.contains("2026"), "{text}");
    }
}
