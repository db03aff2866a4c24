//! The files of a site that are no pages: what `compile` writes and `preview` shows beside them.

use std::collections::BTreeMap;

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::{keys, papers};
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::publish::sheet::SiteSheets;
use crate::publish::{self, PublishFault, Shared};

/// Style, scripts, engine, list of words to find, pictures.
pub(super) fn loaded(course: &Course, shared: &Shared<'_>) -> BTreeMap<String, Vec<u8>> {
    let mut files: BTreeMap<String, Vec<u8>> =
        publish::assets(course).into_iter().collect();
    files.extend([publish::find(shared)]);
    let pictures = publish::pictures(shared).into_iter();
    files.extend(pictures.map(|(path, bytes)| (path, bytes.to_vec())));
    files
}

/// What officers have: the forms of the papers, numbered sheets with theirs, and the seed. What a
/// draft cannot print yet is left out.
pub(super) fn officers(
    shared: &Shared<'_>,
    (draft, seed): (bool, &str),
    terminal: &Terminal,
) -> Result<BTreeMap<String, Vec<u8>>, PublishFault> {
    let mut files = BTreeMap::new();
    match publish::site_forms(shared) {
        Ok(forms) => {
            files.insert(keys::FORMS.to_owned(), papers::text(&forms));
        }
        Err(_) if draft => {}
        Err(fault) => return Err(fault),
    }
    let each = publish::sheet::site_sheets(shared);
    // The slowest of what is made beside the pages, and none needs another.
    let made: Vec<Result<SiteSheets, PublishFault>> = each
        .par_iter()
        .map(|(drill, rig)| publish::sheet::site_sheets_of(shared, drill, rig))
        .collect();
    let mut drawn = Vec::new();
    // In their order, so that the first fault is the one that is told.
    for one in made {
        let (pages, sheets) = one?;
        files.extend(pages);
        drawn.extend(sheets);
    }
    if !drawn.is_empty() {
        let forms = publish::sheet::site_drawn(shared, drawn);
        files.insert(keys::DRAWN.to_owned(), papers::text(&forms));
    }
    // Beside the keys and never with the crew: whoever has the seed can make both.
    files.insert(keys::SEED.to_owned(), super::seed::file(seed, terminal));
    files.insert(keys::IGNORE.to_owned(), keys::ALL.to_vec());
    Ok(files)
}
