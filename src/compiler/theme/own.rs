//! Where a department's own face stands in its folder.

use crate::findings::Sources;
use crate::wire::{Books, Node};

/// The file of a department's own sentences.
pub const WORDS: &str = "theme/words.yaml";
/// The file of a department's own look.
pub const LOOK: &str = "theme/look.yaml";

/// What a department's folder has under `theme/`.
#[derive(Debug, Clone, Copy)]
pub struct Own<'o> {
    /// The tree of [`WORDS`].
    pub words: Option<&'o Node>,
    /// The tree of [`LOOK`].
    pub look: Option<&'o Node>,
    /// All texts of the folder; an SVG under `theme/` is one.
    pub texts: &'o Sources,
    /// The help of fields, each of whose sentences has a key too.
    pub books: Books,
}
