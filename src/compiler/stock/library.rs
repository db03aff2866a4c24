//! The drills that the program carries: those of the example module, with what they need.
//!
//! They are read like the module of another department, so that a drill of the library and one of
//! a neighbour come over by the same code.

use include_dir::{Dir, include_dir};

use crate::findings::Sources;

static DRILLS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../content/drills");
static FORMULAS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../content/formulas");
static QUESTIONS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../content/questions");

/// Lists of the example from which its drills call something.
// No rig, product, person or run: those are the invented district's own.
const LISTS: &[(&str, &str)] = &[
    ("module.yaml", include_str!("../../../content/module.yaml")),
    ("local.yaml", include_str!("../../../content/local.yaml")),
    ("cautions.yaml", include_str!("../../../content/cautions.yaml")),
    ("objectives.yaml", include_str!("../../../content/objectives.yaml")),
    ("terms.yaml", include_str!("../../../content/terms.yaml")),
    ("sources.yaml", include_str!("../../../content/sources.yaml")),
];

/// The texts under the names that a module has.
pub fn library() -> Sources {
    let folders =
        [("drills", &DRILLS), ("formulas", &FORMULAS), ("questions", &QUESTIONS)];
    let mut all = Sources::new();
    for (folder, dir) in folders {
        for file in dir.files() {
            let name = file.path().to_string_lossy().into_owned();
            if let Some(text) = file.contents_utf8() {
                all.insert(format!("{folder}/{name}"), text.to_owned());
            }
        }
    }
    all.extend(LISTS.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())));
    all
}
