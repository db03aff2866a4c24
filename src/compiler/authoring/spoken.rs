//! The face of a module, read before anything else of it.

use super::tree::Trees;
use crate::course::{BOOKS, Face};
use crate::findings::Sources;
use crate::quantity::{Comma, System};
use crate::theme;
use crate::wire::Desk;
use crate::words::Words;

/// What a department lays over the plain face.
pub(super) fn face(desk: &Desk, trees: &Trees, texts: &Sources) -> Face {
    let (words, look) = (trees.get(theme::WORDS), trees.get(theme::LOOK));
    theme::read(desk, theme::Own { words, look, texts, books: BOOKS })
}

/// The plain words with the department's laid over them.
pub fn words(texts: &Sources) -> Words {
    let tree =
        texts.get(theme::WORDS).and_then(|text| Trees::one(theme::WORDS, text).ok());
    theme::spoken(tree.as_ref(), BOOKS)
}

/// How a department writes its figures, told by the first file of its module alone: whoever only
/// asks what a field is has it too, and a module with faults keeps its units.
pub fn habits(texts: &Sources) -> (System, Comma) {
    let head = texts.iter().filter(|(file, _)| *file == "module.yaml");
    let head: Sources = head.map(|(file, text)| (file.clone(), text.clone())).collect();
    let trees = Trees::read(&head, &mut Vec::new());
    (trees.system(), trees.comma())
}
