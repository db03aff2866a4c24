//! The face of a module, read before anything else of it.

use super::tree::Trees;
use crate::course::{BOOKS, Face};
use crate::findings::Sources;
use crate::quantity::{Comma, System};
use crate::theme;
use crate::wire::Desk;
use crate::words::Words;

/// The head of a module.
const HEAD: &str = "module.yaml";

/// What a department lays over the plain face.
pub(super) fn face(desk: &Desk, trees: &Trees, texts: &Sources) -> Face {
    let (words, look) = (trees.get(theme::WORDS), trees.get(theme::LOOK));
    theme::read(desk, theme::Own { words, look, texts, books: BOOKS })
}

/// The plain words with the department's laid over them.
pub fn words(texts: &Sources) -> Words {
    let tree =
        // Where it cannot be read the plain words speak; what is wrong
        // with it is told with the rest.
        texts.get(theme::WORDS).and_then(|text| Trees::one(theme::WORDS, text).ok());
    theme::spoken(tree.as_ref(), BOOKS)
}

/// Units and comma of a module by its head alone, for what is told before it is read; those of the
/// plain module where it says none that there are.
pub fn habits(texts: &Sources) -> (System, Comma) {
    let text = texts.get(HEAD).map(String::as_str).unwrap_or_default();
    let head = Trees::one(HEAD, text).map(|node| Trees::of(HEAD, node));
    head.map_or((System::Us, Comma::default()), |head| (head.system(), head.comma()))
}
