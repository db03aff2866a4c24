//! Graded sheets, each drawn once: its paper, its key and the forms for marking are of one draw.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::fault::PublishFault;
use crate::quiz::Sheet;

/// By set.
#[derive(Debug, Default)]
pub(super) struct Graded(Mutex<BTreeMap<String, Arc<Sheet>>>);

impl Graded {
    /// The graded sheet of a set; it is drawn where nobody asked for it before.
    pub(super) fn sheet(
        &self,
        set: &str,
        draw: impl FnOnce() -> Result<Sheet, PublishFault>,
    ) -> Result<Arc<Sheet>, PublishFault> {
        // A worker that broke down leaves whole sheets behind: each is put in when it is made.
        let drawn = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = drawn().get(set).cloned();
        if let Some(sheet) = known {
            return Ok(sheet);
        }
        // Not under the lock, because other pages go on meanwhile. Two may draw the same then;
        // they are equal, and one of them stays.
        let sheet = Arc::new(draw()?);
        Ok(Arc::clone(drawn().entry(set.to_owned()).or_insert(sheet)))
    }
}
