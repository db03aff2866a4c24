//! Kits for the outlets that runs were declared on, each made when it is first asked for.
//!
//! A tap asks for its kit many times, and a kit is written out anew for every choice of outlets. A
//! list that only grows hands out the same one again.

use std::sync::OnceLock;

use crate::scoring::Kit;

/// Kits made so far, the oldest first.
#[derive(Debug, Clone, Default)]
pub(super) struct Several(OnceLock<Box<Slot>>);

#[derive(Debug, Clone)]
struct Slot {
    name: Vec<String>,
    kit: Kit,
    next: Several,
}

impl Several {
    /// The kit of that name; it is made where there is none yet.
    pub(super) fn kit(&self, name: &[&str], make: impl Fn() -> Kit) -> &Kit {
        let mut last = self;
        loop {
            // A place is filled once and never moves: what was handed
            // out stays while more are made.
            let slot = last.0.get_or_init(|| {
                let (kit, next) = (make(), Self::default());
                let name = name.iter().map(|part| (*part).to_owned()).collect();
                Box::new(Slot { name, kit, next })
            });
            if slot.name == name {
                return &slot.kit;
            }
            last = &slot.next;
        }
    }
}
