//! A run sheet: what the evaluator saw. Never changed by scoring.

use std::collections::BTreeMap;

use super::mode::Mode;
use super::remediation::Remediation;
use super::spelled::{Carried, Holders, OrderSeen, TimeTaken};
use crate::quantity::{Moment, Quantity};
use crate::wire::Book;
use crate::{record, words};

record! {
    /// Somebody named on a run sheet.
    Person {
        /// Short name used on run sheets.
        id: String = need "person" as own("person"), eg "alder";
        /// Name printed on the sheet.
        name: String = need "name", eg "A. Alder (invented)";
        /// Rank or office, as printed.
        rank: String = need "rank", eg "Firefighter";
        /// Whether this is an officer, who can grant one try more and see an act beside the evaluator.
        officer: Option<bool> = may "officer", since 2, eg "yes";
    }
}

words! {
    /// Whether the run counts. Practice never counts against anyone.
    RunUse {
        /// Does not count.
        "practice" Practice,
        /// Counts.
        "evaluation" Evaluation,
    }
}

words! {
    /// Mark of one step. There are no half points.
    Mark {
        /// Done unprompted.
        "done" Done,
        /// Done after a prompt.
        // It counts as done at its place in the order and earns nothing (rule 11).
        "prompted" Prompted,
        /// Not done.
        "not done" NotDone,
        /// The evaluator could not see it.
        "not seen" NotSeen,
        /// Does not apply on this rig.
        // By the written condition; by hand it needs a reason (rule 14).
        "not applicable" NotApplicable,
    }
}

words! {
    /// Mark of one critical: did this happen?
    CriticalMark {
        // No mark says "not applicable": only the written condition
        // decides that (rule 2). And none says kept or missed, because the
        // question is whether it happened (rule 1).
        /// It did not happen.
        "no" No,
        /// It happened.
        "yes" Yes,
        /// It was begun, and stopped by a prompt, a hand, an interlock or the stop word: counts as yes.
        // What only another's hand stopped was begun all the same (rule 1).
        "prevented" Prevented,
        /// The evaluator could not see whether it happened.
        "not seen" NotSeen,
    }
}

words! {
    /// Whether a cue was given.
    CueMark {
        /// It was given.
        "given" Given,
        /// It was not given: what rests on it was not shown.
        // What nobody showed cannot be failed; it is at best met in part (rule 13).
        "not given" NotGiven,
    }
}

words! {
    /// Which of two steps came first, where nobody watched the whole order.
    PairSeen {
        // Asked of single pairs that decide: an honest evaluator can answer for two
        // valves what they cannot answer for a whole list (rule 12).
        /// In the order that the drill asks for.
        "seen" Seen,
        /// The other way round.
        "reversed" Reversed,
        /// Nobody saw.
        "not seen" NotSeen,
    }
}

words! {
    /// What made a run void.
    VoidCause {
        // None of them is the candidate's own act: else every
        // failure could be made void (rule 33).
        /// Rig or equipment.
        "equipment" Equipment,
        /// Weather.
        "weather" Weather,
        /// A real call.
        "real-call" RealCall,
        /// A mistake of the evaluator.
        "evaluator" Evaluator,
    }
}

record! {
    /// Why a run is void, and who agrees.
    Void {
        /// Sort of cause.
        cause: VoidCause = need "cause", eg "weather";
        /// What happened.
        why: String = need "why", eg "The wind turned onto the road.";
        /// Local time at which it was called.
        at: Option<String> = may "at" as MOMENT, eg "2026-11-14 10:31";
        /// Who agreed; neither candidate nor evaluator.
        // May be missing, because such a run is read and told to be
        // incomplete, not refused (rule 33).
        agreed_by: Option<String> = may "agreed-by" as refers("person"), eg "hazel";
        /// Whether evaluator and whoever agreed state that this cause produced the acts that were seen.
        // Unless both say so, what was seen before the void stays and decides (rule 33).
        produced_acts: bool = may "produced-acts", or "no", eg "yes";
    }
}

record! {
    /// An entry that stands against another one, with its reason.
    Settled {
        /// Why it stands although the sheet speaks against it.
        why: String = need "why", eg "The door was shut from the other side first.";
        /// Second officer who saw it so.
        // Against a broken link one person's word is not enough (rule 8).
        officer: Option<String> = may "second-officer" as refers("person"), eg "hazel";
    }
}

record! {
    /// One try more than the drill allows, or one that a rule would refuse.
    Granted {
        /// Named officer who granted it; neither candidate nor evaluator.
        by: String = need "by" as refers("person"), eg "hazel";
        /// Why it was granted.
        why: String = need "why", eg "Away for a year after an injury.";
    }
}

words! {
    /// Why a run was stopped.
    StopCause {
        /// The candidate's own act.
        // The one cause that uses an attempt, so it must name the act (rule 32).
        "candidate" Candidate,
        /// Somebody else of the crew.
        "crew" Crew,
        /// Rig or equipment.
        "equipment" Equipment,
        /// Anything outside: weather, a real call, bystanders.
        "outside" Outside,
    }
}

record! {
    /// The evaluator of a run.
    Evaluator {
        /// Who it is.
        person: String = need "person" as refers("person"), eg "cedar";
        /// Qualification to evaluate.
        qualification: String = need "qualification", eg "evaluator course";
        /// Day from which that qualification holds.
        qualified_on: Option<String> = may "qualified-on" as DAY, eg "2025-03-01";
        // Stated, so that whoever reads the sheet later can weigh it (rule 28).
        /// Relation to the candidate.
        relation: String = need "relation", eg "other station";
    }
}

record! {
    /// A stop of the run.
    Stop {
        /// Who called it.
        by: String = need "by" as refers("person"), eg "elm";
        // Told, and never held against anybody: whoever fears for the own
        // result would not call a stop (rule 32).
        /// Why it was called.
        why: String = need "why", eg "A hose crossed the road.";
        /// What caused it.
        cause: StopCause = need "cause", eg "outside";
        /// Critical, unsafe act or limit for which the candidate was stopped.
        // Without it the run is incomplete: nobody could say
        // afterwards what it failed by (rule 32).
        act: Option<String> = may "act" as NAME, eg "foam-off-with-air-on";
    }
}

record! {
    /// One run of one drill by one candidate.
    RunSheet {
        /// Name of the run, once in the department; the roles of a crew and the drills of a chain share it.
        id: String = need "run" as own("run"), or "", eg "tv-2026-001";
        /// Chain that the run is a part of.
        chain: Option<String> = may "chain" as refers("chain"), eg "evening";
        /// The drill.
        drill: String = need "drill" as refers("drill"), eg "flush";
        /// First letters of the drill's revision, as printed on the blank sheet.
        drill_revision: Option<String> = may "drill-revision", eg "\"0c1f22ab\"";
        /// The rig.
        rig: String = need "rig" as refers("rig"), eg "engine-7";
        /// First letters of the rig's revision, as printed on the blank sheet.
        rig_revision: Option<String> = may "rig-revision", eg "\"77d0a1e2\"";
        /// Version of the scoring rules, as printed on the blank sheet.
        rules: Option<u32> = may "rules", eg "1";
        /// Code of the numbered sheet, where the order was drawn; what was drawn for it is read from there.
        form: Option<String> = may "form", eg "7110-4A29-K";
        /// Outlet used; left out where the drill is done on no line.
        outlet: String = may "outlet" as refers("outlet"), or "", eg "crosslay-1";
        /// Outlets beside that one on which the drill was done in the same run.
        further: Vec<String> = may "further-outlets" as refers("outlet"), eg "[crosslay-3]";
        /// Foam tank from which the run drew, where the rig has several of that foam.
        tank: Option<String> = may "draws-from" as refers("tank"), eg "foam-a-2";
        /// Fuel or use that the order was for, as the label of the concentrate names it.
        fuel: Option<String> = may "fuel", eg "hydrocarbon";
        /// Practice or evaluation, declared before the start.
        use_: RunUse = need "use", eg "evaluation";
        /// Mode, declared before the start.
        mode: Mode = need "mode", eg "plain-water";
        /// Weather, in words.
        weather: String = need "weather", or "", eg "dry, 50 degF";
        /// Light, in words.
        light: String = need "light", or "", eg "day";
        /// Local date and time of the run.
        performed_at: String = need "performed-at" as MOMENT, eg "2026-11-14 10:20";
        /// When it was entered, if later.
        entered_at: Option<String> = may "entered-at" as MOMENT, eg "2026-11-14 18:00";
        /// Attempt, from 1. A sheet without it is read, because an act that it tells decides all the same.
        attempt: u32 = may "attempt", or "0", eg "1";
        /// Run of the same evaluation that this one completes: what neither shows alone, both may.
        // Within one declared evaluation alone: halves of two are no whole (rule 23).
        completes: Option<String> = may "completes" as NAME, eg "tv-2026-004";
        /// Who granted one try more, and why.
        granted: Option<Granted> = may "granted";
        /// Who is scored.
        candidate: String = need "candidate" as refers("person"), eg "alder";
        /// The role the candidate is scored in.
        role: String = need "role" as refers("role"), eg "operator";
        /// Everybody else by role; a list where several hold one.
        crew: BTreeMap<String, Holders> = may "crew", eg "{ nozzle: [birch, elm] }";
        /// The evaluator.
        evaluator: Evaluator = need "evaluator";
        /// Safety officer; neither evaluator nor candidate.
        safety_officer: String = may "safety-officer" as refers("person"), or "", eg "elm";
        /// Stop word that was briefed.
        stop_word: String = may "stop-word", or "", eg "STOP";
        /// Marks by step.
        marks: BTreeMap<String, Mark> = may "marks", eg "{ air-off: done }";
        /// Order of the steps: as printed, a list of them as they were done, or not watched. Left out, not watched.
        order_seen: OrderSeen = may "order-seen", or "not watched", eg "as printed";
        /// Pairs of steps that decide, first > then, where the order was not watched.
        pairs: BTreeMap<String, PairSeen> = may "pairs", eg "{ air-off > foam-off: seen }";
        /// Whether what must wait for a step had begun when that step was prompted.
        // Rule 11: had it begun, the prompt prevented an act; had it not, the step's
        // points are lost and no more.
        begun: BTreeMap<String, bool> = may "begun", eg "{ air-off: no }";
        /// Steps that were undone before the end.
        undone: Vec<String> = may "undone" as refers("step"), eg "[air-off]";
        /// Why a step was left out by hand.
        // A step that is left out without a word would be the
        // cheapest way to a pass (rule 14).
        left_out: BTreeMap<String, String> = may "left-out", eg "{ freeze: The yard is heated. }";
        /// Cues.
        cues: BTreeMap<String, CueMark> = may "cues", eg "{ foam-lost: given }";
        /// Marks by critical.
        criticals: BTreeMap<String, CriticalMark> = may "criticals", eg "{ clear-on-time-alone: no }";
        /// What was seen, in a sentence, for each critical or unsafe act that happened.
        // An act without its sentence stands, and cannot be signed (rule 6).
        happened: BTreeMap<String, String> = may "happened", eg "{ astride-the-hose: Stepped over it to the panel. }";
        /// What stands although another entry speaks against it: a critical, a step, a value.
        settled: BTreeMap<String, Settled> = may "settled";
        /// Unsafe acts of the common list that the candidate was seen to do.
        unsafe_acts: Vec<String> = may "unsafe-acts" as refers("unsafe act"), eg "[astride-the-hose]";
        /// Unsafe acts of others, and whose they were; they fail only their own.
        // With the name of whoever did it, because it fails that
        // person and nobody else (rule 35).
        others_acts: BTreeMap<String, String> = may "acts-of-others" as refers("person"), eg "{ astride-the-hose: birch }";
        /// Steps of the candidate that somebody else's act took away: they were not seen.
        // What another's act took from the candidate was not shown, and is
        // neither earned nor lost (rule 35).
        took_away: Vec<String> = may "took-away" as refers("step"), eg "[bleed]";
        /// Measured values whose leaving their band the candidate reported.
        reported: Vec<String> = may "reported" as refers("measure"), eg "[pressure-held]";
        /// Readings of the day.
        readings: BTreeMap<String, Quantity> = may "readings", eg "{ flow-read: 125 gpm }";
        /// Measured values.
        measures: BTreeMap<String, Quantity> = may "measures", eg "{ percent-made: 0.5 % }";
        /// Whether a value that no card gives was as the manual says.
        // Rule 20: without a figure on the card there is no band, and the
        // manual is looked at on the spot.
        as_manual: BTreeMap<String, bool> = may "as-manual", eg "{ line-pressure: yes }";
        /// What the watch showed.
        time: Option<TimeTaken> = may "time", eg "{ taken: 55 s }";
        /// A stop.
        stop: Option<Stop> = may "stop";
        /// Why the run is void; no attempt is used.
        void: Option<Void> = may "void";
        /// Remediation given or ordered: a text, or what, by whom and on which day. A retest rests on its day.
        remediation: Option<Remediation> = may "remediation", eg "{ what: The lesson once more., by: rowan, on: 2026-11-16 }";
        /// The candidate's own words.
        words: Option<String> = may "words", eg "I lost the count.";
        /// Notes of the evaluator.
        notes: Option<String> = may "notes", eg "Wind from the west.";
    }
}

record! {
    /// A run sheet as a file has it, with what it may carry along.
    RunFile {
        /// The sheet.
        sheet: RunSheet = flat;
        /// How the sheet came about on a tablet, line by line.
        log: Carried = may "log";
        /// Every tap of it with its clocks, as the tablet stored them.
        taps: Carried = may "taps";
        /// First letters of the hash of those taps.
        log_code: Carried = may "log-code";
        /// What it is scored by, where that is not the module at hand.
        kit: Carried = may "kit";
    }
}

/// Help of all that a run's file holds.
pub(super) const BOOKS: &[Book] = &[
    Person::BOOK,
    RunFile::BOOK,
    RunSheet::BOOK,
    RunUse::BOOK,
    Mark::BOOK,
    CriticalMark::BOOK,
    StopCause::BOOK,
    Evaluator::BOOK,
    CueMark::BOOK,
    PairSeen::BOOK,
    VoidCause::BOOK,
    Void::BOOK,
    Settled::BOOK,
    Granted::BOOK,
    Stop::BOOK,
];

impl RunSheet {
    /// What it is known by: run, drill, role and evaluator. Two evaluators may watch one
    /// candidate, each with a sheet of his own; the same evaluator has one.
    pub fn known_by(&self) -> [String; 4] {
        let by = &self.evaluator.person;
        [&self.id, &self.drill, &self.role, by].map(String::clone)
    }

    /// Whether it was entered before the run that it is about: one of the two is a slip.
    pub fn entered_early(&self) -> bool {
        let entered = self.entered_at.as_deref().and_then(Moment::read);
        let performed = Moment::read(&self.performed_at);
        entered.zip(performed).is_some_and(|(entered, performed)| entered < performed)
    }
}
