//! What may happen in a run and what comes of it, entry by entry.

use super::asked;
use super::clock::At;
use super::kit::Live;
use super::last::LOCAL;
use super::log::{Entry, Event, Log};
use super::now::waiting;
use super::seen::{Part, Watch, see};
use super::sheet;
use super::state::{
    AFTER, DECLARED, FORM, FURTHER, MAY_DECLARE, Phase, STOP, State, VOID,
};
use crate::course::{CriticalMark, Mark};
use crate::findings::visible;
use crate::scoring::Kit;

impl Log {
    /// The state after all entries.
    pub fn replay(&self, live: &Live) -> State {
        let mut state = State::new(live);
        for (entry, holds) in self.entries.iter().zip(self.holds()) {
            state.span.on_to(&entry.at);
            // Time goes on through what was taken back.
            if holds {
                state.apply(live, entry);
            }
        }
        state
    }
}

impl State {
    /// Whether this may happen now. What may not leaves no entry.
    pub fn allows(&self, live: &Live, event: &Event) -> bool {
        use Event as E;
        let (run, review) = (self.phase == Phase::Run, self.phase == Phase::Review);
        match event {
            E::Write { field, .. } | E::Press { field, .. } => self.may_write(field),
            // A run without its people and mode could never be scored; it cannot be
            // declared afterwards either.
            E::Begin => {
                self.phase == Phase::Declare && sheet::missing(live, self).is_empty()
            }
            E::Turn { drill } => {
                (run || review) && live.kit(self.text("rig"), drill).is_some()
            }
            // Once: a second start would throw away a time that was taken.
            E::Start => {
                run && self.timed(live) && !self.watch(|watch| watch.start.is_some())
            }
            E::Finish => run && self.watch(Watch::runs),
            E::Hold { .. } => run && self.watch(|w| w.runs() && !w.is_held()),
            E::Release => run && self.watch(|watch| watch.runs() && watch.is_held()),
            // Anybody may say it at any time of a run, so nothing else is asked before
            // it.
            E::Stop => run,
            // Who stopped and why is remembered now and not when the sheet is looked
            // through (rule 32).
            E::End => run || (self.phase == Phase::Stopped && self.stop_is_told()),
            // As long as it was not confirmed, a stop can have been a wrong touch; after
            // that it was said aloud.
            E::NoStop => self.phase == Phase::Stopped,
            E::Back => review,
            E::Rest { mark } => {
                // "Done" for all at once would be a mark that nobody saw; on paper each
                // was seen and is copied.
                let known = matches!(mark, Mark::NotDone | Mark::NotSeen);
                (review && known)
                    || ((run || review) && self.later() && *mark == Mark::Done)
            }
            E::RestCriticals { mark } => {
                // That a critical happened needs a sentence of its own (rule 6), so it is
                // never set for many.
                let known = matches!(mark, CriticalMark::No | CriticalMark::NotSeen);
                (review || run && self.later()) && known
            }
            // What is only incomplete can be saved: the evaluator may have nothing more
            // to say.
            E::Save => review && sheet::faults(live, self).refusing.is_empty(),
            seen => self.allows_seen(live, seen),
        }
    }

    /// Whether something of the drill that is shown may be marked so now.
    fn allows_seen(&self, live: &Live, event: &Event) -> bool {
        use Event as E;
        let (run, review) = (self.phase == Phase::Run, self.phase == Phase::Review);
        match event {
            E::Mark { step, mark } => {
                // What does not apply is known from the rig's card and never from a touch
                // in a hurry; on paper it can be written with its reason.
                let stands = *mark != Mark::NotApplicable && self.stands(live, step);
                (run || review) && stands
            }
            E::Undone { step } => (run || review) && self.stands(live, step),
            E::Order { step } => review && self.stands(live, step),
            E::AsPrinted | E::NotWatched => review,
            // What was typed in from paper was not recorded as it happened.
            E::AsRecorded => {
                let told = self.part().is_some_and(|part| part.unplaced.is_empty());
                review && told && !self.later()
            }
            // Only what is waited for: whatever has a mark by now came before that anyway.
            E::First { step } => {
                run && waiting(live, self).iter().any(|item| item.id() == step)
            }
            E::Placed { step, .. } => {
                let asked = self.part().is_some_and(|part| part.unplaced.contains(step));
                (run || review) && asked
            }
            E::Pair { pair, .. } => review && !pair.is_empty(),
            E::Begun { step, .. } => (run || review) && self.prompted(step),
            E::Cue { cue, .. } => {
                let has = |kit| asked::cues(kit, self).any(|one| one.id == *cue);
                (run || review) && self.kit(live).is_some_and(has)
            }
            E::Reported { measure, .. } => {
                let has = |kit| asked::reportable(kit, self).contains(&measure.as_str());
                (run || review) && self.kit(live).is_some_and(has)
            }
            E::Critical { critical, mark } => {
                let own =
                    |kit| asked::own_criticals(kit, self).find(|c| c.id == *critical);
                let known = self.kit(live).and_then(|kit| own(kit).zip(Some(kit)));
                let mode = asked::mode(self.text("mode"));
                // What a mode cannot show can be seen happening, and not seen left undone.
                let happened =
                    matches!(mark, CriticalMark::Yes | CriticalMark::Prevented);
                let open = known.is_some_and(|(critical, kit)| {
                    let condition = critical.condition();
                    let shown = mode.is_some_and(|mode| condition.shown_in(mode));
                    condition.lacks(kit.rig()).is_none() && (shown || happened)
                });
                (run || review) && open
            }
            E::Unsafe { act } => {
                let kit = self.kit(live);
                let known =
                    |kit: &Kit| kit.standard().unsafe_acts.iter().any(|a| a.id == *act);
                (run || review) && kit.is_some_and(known)
            }
            _ => false,
        }
    }

    fn may_write(&self, field: &str) -> bool {
        let declared = DECLARED.contains(&field)
            || MAY_DECLARE.contains(&field)
            || field.starts_with("crew.")
            || field.starts_with(LOCAL)
            || field.starts_with(FORM)
            || field.starts_with(FURTHER);
        let of_part = field.split_once('/').is_some_and(|(drill, name)| {
            self.parts.contains_key(drill) && !name.is_empty()
        });
        let of_stop = STOP.contains(&field) || field == "stop.act";
        let after = AFTER.contains(&field) || VOID.contains(&field);
        match self.phase {
            Phase::Declare => declared,
            Phase::Run => of_part || field == "notes",
            Phase::Stopped => of_stop,
            Phase::Review => of_part || after || (of_stop && self.stopped),
            // A saved sheet is handed over; what changes now would be in no file.
            Phase::Done => false,
        }
    }

    fn watch(&self, holds: impl Fn(&Watch) -> bool) -> bool {
        self.part().is_some_and(|part| holds(&part.watch))
    }

    fn prompted(&self, step: &str) -> bool {
        let mark = self.part().and_then(|part| part.marks.get(step));
        mark == Some(&Mark::Prompted)
    }

    fn timed(&self, live: &Live) -> bool {
        self.kit(live).is_some_and(|kit| kit.drill().time.is_some())
    }

    /// Whether a step of the candidate can be seen on this rig in this mode.
    fn stands(&self, live: &Live, step: &str) -> bool {
        asked::open_steps(live, self, &self.drill).any(|open| open.id == step)
    }

    /// Takes one entry of the log; what is not allowed changes nothing.
    pub(super) fn apply(&mut self, live: &Live, entry: &Entry) -> bool {
        if !self.allows(live, &entry.event) {
            return false;
        }
        let now = self.span.now;
        match &entry.event {
            Event::Write { field, text } => self.write(field, text),
            Event::Begin => self.begin(live, &entry.at),
            Event::Turn { drill } => self.drill.clone_from(drill),
            Event::Stop => {
                (self.phase, self.stopped) = (Phase::Stopped, true);
                self.stopped_in.clone_from(&self.drill);
            }
            Event::NoStop => (self.phase, self.stopped) = (Phase::Run, false),
            Event::End => self.phase = Phase::Review,
            Event::Back if self.stopped => self.phase = Phase::Stopped,
            Event::Back => self.phase = Phase::Run,
            Event::Save => {
                self.phase = Phase::Done;
                self.saved = Some(entry.at.clone());
            }
            Event::Rest { mark } => {
                for (drill, step) in asked::untouched(live, self).0 {
                    self.part_mut(&drill).marks.insert(step, *mark);
                }
            }
            Event::RestCriticals { mark } => {
                for (drill, critical) in asked::untouched(live, self).1 {
                    self.part_mut(&drill).criticals.insert(critical, *mark);
                }
            }
            Event::Placed { step, late } => {
                let kit = self.kit(live).map(Kit::drill);
                let steps = kit.map_or(&[][..], |drill| drill.steps.as_slice());
                let printed: Vec<&str> =
                    steps.iter().map(|step| step.id.as_str()).collect();
                let drill = self.drill.clone();
                self.part_mut(&drill).place(step, *late, &printed);
            }
            seen => {
                let loads = self.span.loads;
                let drill = self.drill.clone();
                see(self.part_mut(&drill), seen, (now, loads));
            }
        }
        true
    }

    /// Whether who, why and cause of the stop are told, and the sheet can be looked through.
    fn stop_is_told(&self) -> bool {
        STOP.iter().all(|field| !self.text(field).is_empty())
    }

    fn write(&mut self, field: &str, text: &str) {
        // A text that fills a whole sheet of paper is long enough.
        let text: String = text.chars().take(2000).collect();
        // The saved file is read so; else the verdict on the page and that of its file differ.
        let text = visible(&text).into_owned();
        // An outlet belongs to its rig; the same name on another one is another line.
        if field == "rig" && self.text("rig") != text {
            self.texts.remove("outlet");
            self.texts.remove("draws-from");
            self.texts.retain(|field, _| !field.starts_with(FURTHER));
        }
        // The first outlet is no further one.
        if field == "outlet" {
            self.texts.remove(&format!("{FURTHER}{text}"));
        }
        self.texts.insert(field.to_owned(), text);
    }

    fn begin(&mut self, live: &Live, at: &At) {
        self.phase = Phase::Run;
        self.began = Some(at.clone());
        self.began_at = self.span.now;
        for kit in live.kits(self.text("rig")) {
            self.parts.insert(kit.drill().id.clone(), Part::default());
        }
        let first = live.kits(self.text("rig")).first();
        self.drill = first.map(|kit| kit.drill().id.clone()).unwrap_or_default();
    }

    fn part_mut(&mut self, drill: &str) -> &mut Part {
        self.parts.entry(drill.to_owned()).or_default()
    }
}
