//! The trees of the trade library, as the build read them.
//!
//! To read YAML is most of what a small command would do, and the library is the same each time. So the
//! build script reads it, with the same reader and the same places, and writes the trees down in a form
//! that is taken up in a hundredth of the time. The sheets stay the source: a text that differs from them
//! in one letter is read anew.

use super::TRADE;
use crate::wire::{Key, Node, Shape};

/// For each sheet its name, the bytes of its tree, and the tree, written by the build script.
static TREES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/trees"));

/// The tree of a sheet of the trade library, where this text is that of the library.
pub(crate) fn tree(file: &str, text: &str) -> Option<Node> {
    let sheet = file.strip_prefix("trade/")?;
    let own = TRADE.get_file(sheet)?;
    if own.contents() != text.as_bytes() {
        return None;
    }
    let mut all = Bytes(TREES);
    loop {
        let (name, length) = (all.text()?, all.number()?);
        let tree = all.some(length)?;
        if name == sheet {
            return Bytes(tree).node();
        }
    }
}

/// What is not taken up yet.
struct Bytes(&'static [u8]);

impl Bytes {
    fn some(&mut self, length: usize) -> Option<&'static [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    fn number(&mut self) -> Option<usize> {
        let four = self.some(4)?.try_into().ok()?;
        usize::try_from(u32::from_le_bytes(four)).ok()
    }

    fn text(&mut self) -> Option<&'static str> {
        let length = self.number()?;
        str::from_utf8(self.some(length)?).ok()
    }

    fn node(&mut self) -> Option<Node> {
        let (start, end) = (self.number()?, self.number()?);
        let shape = match self.some(1)? {
            b"t" => Shape::Text(self.text()?.to_owned()),
            b"n" => Shape::Nothing,
            b"l" => {
                let count = self.number()?;
                Shape::List((0..count).map(|_| self.node()).collect::<Option<_>>()?)
            }
            b"m" => {
                let count = self.number()?;
                Shape::Map((0..count).map(|_| self.field()).collect::<Option<_>>()?)
            }
            _ => return None,
        };
        Some(Node { start, end, shape })
    }

    fn field(&mut self) -> Option<(Key, Node)> {
        let (start, end) = (self.number()?, self.number()?);
        let text = self.text()?.to_owned();
        Some((Key { text, start, end }, self.node()?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::authoring::Trees;

    #[test]
    fn each_tree_is_what_the_reader_makes_of_its_sheet() {
        let trade = crate::stock::trade();
        assert!(trade.len() > 10);
        for (file, text) in &trade {
            let read = Trees::one(file, text).unwrap();
            assert!(tree(file, text) == Some(read), "{file} is not what the build read");
        }
    }

    #[test]
    fn another_text_is_read_anew() {
        let trade = crate::stock::trade();
        let (file, text) = trade.iter().next().unwrap();
        assert_eq!(tree(file, &format!("{text} ")), None);
        assert_eq!(tree(&file.replace("trade/", ""), text), None);
        assert_eq!(tree("trade/of-nobody.yaml", text), None);
        assert_eq!(tree("trade/", ""), None);
    }

    #[test]
    fn a_form_that_is_cut_off_is_no_tree() {
        let whole = [0, 0, 0, 0, 3, 0, 0, 0, b't', 3, 0, 0, 0, b'a', b'b', b'c'];
        let whole: &'static [u8] = Box::leak(Box::new(whole));
        assert_eq!(Bytes(whole).node().unwrap().text(), Some("abc"));
        for cut in 0..whole.len() {
            assert_eq!(Bytes(&whole[..cut]).node(), None, "cut at {cut}");
        }
    }
}
