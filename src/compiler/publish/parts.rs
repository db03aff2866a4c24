//! Hashes of the parts of a module that pages ask for.

use std::collections::BTreeMap;
use std::fmt::Debug;
use std::sync::{Mutex, PoisonError};

use crate::fingerprint::hex_hash;

/// Hashes of parts, each made when a page first asks for it.
#[derive(Debug, Default)]
pub(super) struct Parts(Mutex<BTreeMap<String, String>>);

impl Parts {
    /// The hash of a part, made where nobody asked for it before.
    pub(super) fn get(
        &self,
        part: &str,
        make: impl FnOnce() -> Option<String>,
    ) -> Option<String> {
        // A worker that broke down leaves whole hashes behind: each is put in when it is made.
        let all = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = all().get(part).cloned();
        if known.is_some() {
            return known;
        }
        // Not under the lock: a part is made of other parts, and other pages go on meanwhile.
        let hash = make()?;
        all().insert(part.to_owned(), hash.clone());
        Some(hash)
    }
}

/// `Debug` prints every field of a plain value, in the order of its lists and keys; a derived
/// one leaves nothing out, as a form for files may.
pub(super) fn hash_of(value: &impl Debug) -> String {
    hex_hash(format!("{value:?}").as_bytes())
}
