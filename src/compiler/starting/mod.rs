//! Answers → the files of a new module; a thing by its name → its file in a module that is there; a
//! drill of another module → what is added.
//!
//! All texts, no disk: who calls writes the files, whole or not at all. This room asks nobody, never
//! invents a figure, and never changes what an author wrote but by adding behind it. What nobody
//! knows yet is written as not known, and its sheet prints a blank.

mod answers;
mod names;
mod text;
mod units;
mod rig;
mod made;
mod metric;
mod other;
mod needs;
mod asking;
mod bring;
mod asked;
mod adding;

pub use adding::{Adding, New, add, add_rig, products};
pub use answers::{Answers, BOOKS, RigFile};
pub use asked::{Asked, module_answers, rig_answers};
pub use bring::{bring, drills};
pub use made::schemas;
pub use names::name_of;
pub use other::{Brought, Other, Refused, printed, worse};

use std::collections::BTreeSet;

use crate::authoring::{Options, read};
use crate::findings::{Finding, Sources};
use crate::stock;
use crate::words::Words;

/// A module that is begun.
#[derive(Debug, Default)]
pub struct Begun {
    /// Its files.
    pub files: Sources,
    /// Drills of the library that came into it.
    pub drills: Vec<String>,
    /// Drills of the library that fit none of its rigs, or need more than is known of them.
    pub left: Vec<String>,
}

/// Whether a text with answers says something under a key, be it nothing at all.
pub fn says(text: &str, key: &str) -> bool {
    text::tree("answers", text).is_some_and(|node| node.child(key).is_some())
}

/// The files of a module by these answers. `drills` are those that were asked for; none stands for
/// all that fit one of the rigs. `today` is the day on which it is begun.
pub fn begin(
    answers: &Answers,
    drills: Option<&[String]>,
    today: &str,
    words: &Words,
) -> Result<Begun, Refused> {
    let library = stock::library();
    let other = Other { texts: &library, library: true };
    let files = made::module(answers, today, words);
    // Without any drill first, so that a fault of the answers is told as
    // theirs and not as one of every drill.
    let (course, found) = read(&files, &BTreeSet::new(), Options::default());
    let found = other::must_fix(found);
    if !found.is_empty() {
        return Err(Refused::Faults(found, files));
    }
    let mut wanted: Vec<String> =
        drills.map_or_else(|| bring::drills(&library), <[_]>::to_vec);
    let mut undrawn: BTreeSet<String> = BTreeSet::new();
    // Once more without drawing where too little is known for it, then without the drills
    // that still have a fault. Each round has less in it, so it comes to an end.
    loop {
        let mut all = files.clone();
        let mut came = Vec::new();
        // Each on top of those before it, because two drills
        // may bring the same objective.
        for id in &wanted {
            match bring::turn(
                other,
                (&all, course.as_ref()),
                (id, !undrawn.contains(id)),
                words,
            ) {
                Ok(brought) => {
                    all.extend(brought.files);
                    came.push(id.clone());
                }
                // Asked for by name it is refused; of all that there are it just does not fit.
                Err(refused) if drills.is_some() => return Err(refused),
                Err(_) => {}
            }
        }
        let worse = worse(&files, &all);
        if worse.is_empty() {
            let all_drills = bring::drills(&library).into_iter();
            let left =
                all_drills.filter(|id| drills.is_none() && !came.contains(id)).collect();
            return Ok(Begun { files: all, drills: came, left });
        }
        let own = |id: &String| -> Vec<&Finding> {
            let file = format!("drills/{id}.yaml");
            let here = |finding: &&Finding| {
                finding.place.as_ref().is_some_and(|place| place.file == file)
            };
            worse.iter().filter(here).collect()
        };
        let before = undrawn.len();
        for id in &came {
            let own = own(id);
            if !own.is_empty() && own.iter().all(|finding| bring::undrawable(finding)) {
                undrawn.insert(id.clone());
            }
        }
        if undrawn.len() > before {
            continue;
        }
        // Of what was asked for by name nothing is left out in silence; and a fault that is no
        // drill's own would be there for ever.
        let good: Vec<String> =
            came.iter().filter(|id| own(id).is_empty()).cloned().collect();
        if drills.is_some() || good.len() == came.len() {
            return Err(Refused::Faults(worse, all));
        }
        wanted = good;
    }
}
