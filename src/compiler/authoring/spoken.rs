//! The face of a module, read before anything else of it.

use super::tree::Trees;
use crate::course::{BOOKS, Face};
use crate::findings::Sources;
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
