//! What the program speaks in a module's folder, before anything else of it is read.

use super::tree::Trees;
use crate::findings::Sources;
use crate::theme;
use crate::words::Words;

/// The plain words with the department's laid over them.
pub fn words(texts: &Sources) -> Words {
    let tree = texts.get(theme::WORDS).and_then(|text| Trees::one(theme::WORDS, text).ok());
    theme::spoken(tree.as_ref(), crate::course::BOOKS)
}
