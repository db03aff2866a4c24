//! Kits of sheets, each put together once for all pages that carry it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::course::{Course, Drill, Rig};
use crate::fingerprint::NotCanonical;
use crate::scoring::Kit;
use crate::words::Words;

/// By drill, then by rig.
#[derive(Debug, Default)]
pub(super) struct SheetKits(Mutex<BTreeMap<String, BTreeMap<String, Arc<Kit>>>>);

impl SheetKits {
    /// The kit of a drill on a rig. The crew's sheet, the officers', those of chains and those
    /// with names all carry the same.
    pub(super) fn kit(
        &self,
        (course, words): (&Course, &Words),
        drill: &Drill,
        rig: &Rig,
    ) -> Result<Arc<Kit>, NotCanonical> {
        let known = {
            let kits = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let of_drill = kits.get(&drill.id);
            if let Some(kit) = of_drill.and_then(|kits| kits.get(&rig.id)) {
                return Ok(Arc::clone(kit));
            }
            of_drill.and_then(|kits| kits.values().next()).map(Arc::clone)
        };
        // Not under the lock, because other pages go on meanwhile. Two may make the same kit
        // then; they are equal, and one of them stays.
        let kit = Arc::new(match known {
            Some(other) => other.on(rig)?,
            None => Kit::of(course, drill, rig, words)?,
        });
        let mut kits = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let of_drill = kits.entry(drill.id.clone()).or_default();
        Ok(Arc::clone(of_drill.entry(rig.id.clone()).or_insert(kit)))
    }
}
