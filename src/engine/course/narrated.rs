//! A run that is told and never was: whoever learns to evaluate marks it, and the key says what
//! the marks are and why. Nothing of it counts as a run.

use std::collections::{BTreeMap, BTreeSet};

use super::run::{Mark, RunSheet};
use super::spelled::OrderSeen;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// What scoring must make of a key; announced, so that a key whose marks came to mean something else is told.
    Announced {
        /// The drill's standard was met.
        "met" Met,
        /// Met as far as the mode could show it.
        "met-in-part" MetInPart,
        /// It was not met.
        "not-met" NotMet,
        /// Said and pointed at in a walk-through.
        "walked-through" WalkedThrough,
        /// The run was stopped.
        "stopped" Stopped,
        /// Something that decides stays open.
        "incomplete" Incomplete,
        /// No attempt is used.
        "void" Void,
    }
}

record! {
    /// A paragraph of a narrated run: what is seen and heard at the panel, and the marks that follow from it.
    Heard {
        /// Time since the run began.
        at: Quantity = need "at" as MINUTES, eg "40 s";
        /// What is seen and heard, as an evaluator sees and hears it.
        says: String = need "says", eg "The operator looks at the drain cover and says that it lies.";
        /// What of the key rests on it, each with its reason: steps, criticals, cues, readings, measured values, unsafe acts, pairs, order-seen, stop, time, void.
        marks: BTreeMap<String, String> = need "marks", eg "{ cover: Gone to and looked at. }";
    }
}

record! {
    /// A narrated run: a narration to be marked on the drill's ordinary sheet, and the key to it.
    Narrated {
        /// Short name; the file has it too.
        id: String = need "narrated" as own("narrated run"), eg "second-look";
        /// Name as it is printed.
        title: String = need "title", eg "A flush with a second look";
        /// What the evaluator knows before it begins.
        before: String = need "before", eg "The line has flowed foam with air for ten minutes.";
        /// What scoring makes of the key.
        announces: Announced = need "announces", eg "met";
        /// The narration, in the order of its times.
        narration: Vec<Heard> = need "narration";
        /// The right marks, as a run sheet has them; its people stand in no list of people.
        key: RunSheet = need "key";
    }
}

/// Help of all that a narrated run holds.
pub(super) const BOOKS: &[Book] = &[Announced::BOOK, Heard::BOOK, Narrated::BOOK];

impl Narrated {
    /// Names of everything in the key that an evaluator marks, each of which needs its reason.
    pub fn marked(&self) -> BTreeSet<String> {
        let key = &self.key;
        let steps = key.marks.iter();
        // What the rig does not have is struck out on the sheet: nobody decides it.
        let steps = steps.filter(|(_, mark)| **mark != Mark::NotApplicable);
        let mut names: BTreeSet<String> = steps.map(|(name, _)| name.clone()).collect();
        names.extend(key.criticals.keys().cloned());
        names.extend(key.cues.keys().cloned());
        names.extend(key.readings.keys().cloned());
        names.extend(key.measures.keys().cloned());
        names.extend(key.pairs.keys().cloned());
        names.extend(key.others_acts.keys().cloned());
        names.extend(key.unsafe_acts.iter().cloned());
        let whole = [
            ("order-seen", key.order_seen != OrderSeen::NotWatched),
            ("stop", key.stop.is_some()),
            ("time", key.time.is_some()),
            ("void", key.void.is_some()),
        ];
        let whole = whole.into_iter().filter(|(_, there)| *there);
        names.extend(whole.map(|(name, _)| name.to_owned()));
        names
    }

    /// The paragraphs on which a mark rests, each with the reason that it gives.
    pub fn reasons<'n>(
        &'n self,
        name: &'n str,
    ) -> impl Iterator<Item = (&'n Heard, &'n str)> {
        let told = self.narration.iter();
        told.filter_map(move |one| Some((one, one.marks.get(name)?.as_str())))
    }

    /// Everybody in it but the key's own evaluator: whoever marks it names them as the page does.
    pub fn people(&self) -> Vec<&str> {
        let key = &self.key;
        let crew = key.crew.values().flat_map(|held| &held.0);
        let others = [Some(&key.candidate), Some(&key.safety_officer)].into_iter();
        let others = others.chain([
            key.stop.as_ref().map(|stop| &stop.by),
            key.void.as_ref().and_then(|void| void.agreed_by.as_ref()),
        ]);
        let acts = key.others_acts.values();
        let all = crew.chain(others.flatten()).chain(acts).map(String::as_str);
        all.filter(|name| !name.is_empty()).collect()
    }
}
