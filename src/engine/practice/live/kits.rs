//! Which kit a run goes on with.

use super::super::decode::from_text;
use super::kit::{Live, LiveKit};
use crate::fingerprint::hex_hash;

/// The kit of the page, and the one that an open run holds on to.
#[derive(Debug)]
pub(super) struct Kits {
    pub(super) own: Live,
    held: Option<Live>,
    /// The hash of the text that `held` was read from.
    hash: String,
    /// What is said where the page carries another revision than the open run began with.
    pub(super) said: Option<&'static str>,
}

impl Kits {
    pub(super) const fn of(own: Live) -> Self {
        Self { own, held: None, hash: String::new(), said: None }
    }

    pub(super) const fn live(&self) -> &Live {
        match &self.held {
            Some(held) => held,
            None => &self.own,
        }
    }

    /// An open run goes on with the kit it began with, whatever the page carries by now.
    pub(super) fn hold(&mut self, stored: Option<&String>) {
        let hash = stored.map(|text| hex_hash(text.as_bytes())).unwrap_or_default();
        // Read again only where it is another text: a kit is large,
        // and this is asked at every tap.
        if self.hash == hash {
            return;
        }
        // The page's own is at hand already, and is not kept twice.
        if stored.is_none() || hash == self.own.revision() {
            (self.held, self.said, self.hash) = (None, None, hash);
            return;
        }
        let read = |text: &String| {
            let kit: LiveKit = from_text(text)?;
            Live::new(kit, text.clone()).ok().filter(Live::fits)
        };
        let held = stored.and_then(read);
        self.said = match &held {
            Some(held) if held.revision() == self.own.revision() => None,
            Some(_) => Some("newer"),
            // It goes on with the page's own, and that must be said.
            None => Some("unread"),
        };
        self.held = held.filter(|_| self.said.is_some());
        self.hash = hash;
    }
}
