//! A drill: what is given, what is done, by whom, and how it leaves the rig.

use super::concentrate::FoamClass;
use super::drawn::DrawnPlan;
use super::marking::{
    Attempts, Critical, Cue, Link, Measure, OrderRule, Reading, TimeStandard,
};
use super::meant::settle;
use super::mode::Mode;
use super::repeats::Repeats;
use super::state::DrillState;
use super::unit::ProportionerKind;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// What the drill uses unless the officer declares otherwise.
    AgentUse {
        /// No concentrate is opened.
        "plain-water" PlainWater,
        /// Fluorine-free training foam, with a runoff plan.
        "training-foam" TrainingFoam,
    }
}

words! {
    /// The kind of work, for the rule that some work is never done against a watch.
    // Haste at any of these opens a line that holds air, spills
    // concentrate or lets somebody fall.
    Physical {
        /// Flushing.
        "flush" Flush,
        /// Bleeding a stored-air line.
        "purge" Purge,
        /// Filling a concentrate tank.
        "refill" Refill,
        /// Climbing or lifting.
        "climb" Climb,
        /// Anything else.
        "other" Other,
    }
}

record! {
    /// Somebody on the drill ground.
    Role {
        /// Short name, such as operator or nozzle.
        id: String = need "role" as own("role"), eg "operator";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Pump operator";
        /// What the role does in this drill.
        does: String = need "does", eg "Works the panel.";
        /// Whether this role gets a result of its own.
        scored: bool = need "scored", eg "yes";
        /// How many hold it.
        holders: u32 = may "holders", or "1", eg "1";
        /// How many hold it where the line carries air; left out, as many.
        // Air makes a line kick: one pair of hands does not hold it (rule 27).
        with_air: Option<u32> = may "with-air", eg "2";
        /// Step for which alone somebody holds it: where that step is left out nobody does.
        only_at: Option<String> = may "only-at" as refers("step"), eg "handed-up";
        /// Whether it only speaks written orders and cues, so that the evaluator may hold it.
        scripted: bool = may "scripted", or "no", eg "yes";
    }
}

record! {
    /// What is said on the radio: content is scored, wording is not.
    Radio {
        /// An example of the call.
        call: String = need "call", eg "Pump from nozzle, water running clear.";
        /// An example of the answer.
        answer: String = need "answer", eg "Nozzle from pump, water running clear.";
        /// What must be in it: line, value, unit, read-back.
        content: Vec<String> = need "content", eg "[line, read-back]";
    }
}

words! {
    /// What a step does to the air on a line, where a rule of every drill asks for it.
    Does {
        /// Opens the air.
        "opens-air" OpensAir,
        /// Shuts the air.
        "shuts-air" ShutsAir,
        /// Gets the word that foam comes.
        "confirms-foam" ConfirmsFoam,
        /// Shuts the foam.
        "shuts-foam" ShutsFoam,
        /// Shuts tank to pump, so that all water is the supply's.
        "shuts-tank" ShutsTank,
    }
}

record! {
    /// One step.
    Step {
        /// Short name.
        id: String = need "step" as own("step"), eg "air-off";
        /// The act, as an order.
        action: String = need "do", eg "Shut the air.";
        /// Why it is done.
        why: String = need "why", prose, eg "Air over plain water makes slugs.";
        /// What can hurt while doing it.
        hazard: Option<String> = may "hazard", prose, eg "The nozzle kicks.";
        /// Who does it.
        role: String = need "role" as refers("role"), eg "operator";
        /// What the evaluator sees or hears.
        sees: String = need "sees", eg "Air shut first.";
        /// Weight 1 to 3; 0 for a step that is not scored.
        // Three, because an evaluator outdoors tells "matters", "matters more" and "what the drill is
        // about" apart and nothing finer; whatever must not go wrong is a critical and has no weight.
        weight: u32 = need "weight", most 3 WeightOutside, eg "2";
        /// Modes in which it can be observed; left out, all of the drill.
        modes: Vec<Mode> = may "modes", eg "[training-foam, agent]";
        /// What the rig must have, else the step is not applicable.
        needs: Option<String> = may "needs" as NAME, eg "compressor";
        /// What it does to air, foam or water of a line, where a rule of every drill asks for it.
        is: Option<Does> = may "is", eg "opens-air";
        // What a drill is for is not outweighed by points elsewhere (rule 21).
        /// Whether the drill is for it: without it the drill is not met, whatever the points.
        produces: bool = may "produces", or "no", eg "yes";
        /// Cue that it answers; without the cue it cannot be shown.
        cue: Option<String> = may "cue" as refers("cue"), eg "foam-lost";
        /// Whether it is done on each outlet of the run, with a mark of its own there.
        each: Option<Repeats> = may "each", eg "outlet";
        /// Radio traffic that belongs to it.
        radio: Option<Radio> = may "radio";
        /// Local topic that decides how it is done.
        local: Option<String> = may "local" as refers("topic"), eg "volumes";
    }
}

record! {
    /// How anybody stops the run, and what is done then.
    StopPlan {
        /// The word.
        word: String = need "word", eg "STOP";
        /// The hand sign.
        sign: String = need "sign", eg "Both arms crossed above the head.";
        /// Safe state, in order.
        safe_state: Vec<String> = need "safe-state", eg "[Shut the nozzle.]";
    }
}

record! {
    /// Which rigs a drill is for; it is printed for no other.
    ForRigs {
        /// Class of foam that the rig must carry.
        class: Option<FoamClass> = may "class", eg "A";
        /// Ways of proportioning for which it is written; left out, any.
        kinds: Vec<ProportionerKind> = may "kinds", eg "[direct-injection]";
        /// Rigs by name; left out, all that fit.
        rigs: Vec<String> = may "rigs" as refers("rig"), eg "[engine-7]";
        /// Whether it is done without any rig, as knots are; its sheets then ask for none.
        without: bool = may "without-rig", or "no", eg "yes";
    }
}

record! {
    /// One drill. Its revision is made of what a candidate is held to, and of no rig.
    Drill {
        /// Short name; the file has it too.
        id: String = need "drill" as own("drill"), eg "flush";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Flush until the water runs clear";
        /// One or two words for it, 18 letters at most, for places where the title is too long.
        short: Option<String> = may "short", prose, eg "Flush";
        /// Number of its revision, from 1.
        revision: u32 = need "revision", eg "1";
        /// Day of that revision.
        revised_on: String = need "revised-on" as DAY, eg "2026-11-02";
        /// What the candidate is told to do, read aloud.
        task: String = need "task", eg "Flush the line you have used.";
        /// What is provided.
        given: Vec<String> = need "given", eg "[the rig at the pump panel]";
        /// What must be true at the end.
        outcome: String = need "outcome", eg "Every outlet gives clear water.";
        /// State of the rig before it.
        starts_with: DrillState = need "starts-with";
        /// State of the rig after it.
        leaves: DrillState = need "leaves";
        /// Plain water or training foam.
        agent: AgentUse = need "agent", eg "plain-water";
        /// Where the runoff goes; asked for where foam may flow.
        // Small amounts kill fish, so its place is agreed before any foam flows.
        runoff: Option<String> = may "runoff", eg "Into the lined basin.";
        /// What the rig must have for the drill to be run at all.
        needs: Option<String> = may "needs" as NAME, eg "compressor";
        /// Which rigs it is for, where that hangs on more than one part of the rig.
        rigs: Option<ForRigs> = may "for";
        /// Modes in which the drill may be run.
        modes: Vec<Mode> = need "modes", eg "[walk-through, plain-water]";
        /// Modes in which all of it can be met; left out, those in which foam flows.
        // Each drill says it: what water alone can show is all of one
        // drill and half of another (rule 23).
        met_in: Vec<Mode> = may "met-in", eg "[hands-on-dry]";
        /// Who takes part.
        roles: Vec<Role> = need "roles";
        /// Objectives it assesses.
        objectives: Vec<String> = need "objectives" as refers("objective"), eg "[flush]";
        /// Cautions of its task: one at least, three at most, because more are not read.
        cautions: Vec<String> = need "cautions" as refers("caution"),
            least 1 NoCautions, most 3 TooManyCautions, eg "[slug-flow]";
        /// Local topics it depends on.
        local: Vec<String> = may "local" as refers("topic"), eg "[volumes]";
        /// The way round through which it recirculates; it must lie before the injection.
        recirculates: Option<String> = may "recirculates" as refers("return path"), eg "recirculation";
        /// Kind of work; only other work may have a time standard.
        physical: Physical = may "physical", or "other", eg "flush";
        /// Steps in teaching order.
        steps: Vec<Step> = need "steps";
        /// Acts that fail the run, five at most, because an evaluator cannot watch for more.
        // Rule 5; the unsafe acts and limits of every drill stand beside them.
        criticals: Vec<Critical> = need "criticals", most 5 TooManyCriticals;
        /// Cues that the evaluator gives.
        cues: Vec<Cue> = may "cues";
        /// Which step comes before which.
        order: Vec<OrderRule> = may "order";
        /// Readings of the day that measured values are fed from.
        readings: Vec<Reading> = may "readings";
        /// Measured values.
        measures: Vec<Measure> = may "measures";
        /// What is drawn for each of its numbered sheets; left out, it has none.
        drawn: Option<DrawnPlan> = may "drawn";
        /// Limit of time; only with a source.
        time: Option<TimeStandard> = may "time";
        /// How anybody stops the run.
        stop: StopPlan = need "stop";
        /// Attempts, retest and appeal.
        attempts: Attempts = need "attempts";
    }
}

/// Modes in which no foam is made and no air is on a line.
const DRY: &[Mode] = &[Mode::HandsOnDry, Mode::PlainWater];

/// Parts of the names of roles that only work, never only speak (rule 26).
const WORKING: &[&str] =
    &["nozzle", "branch", "hydrant", "zone", "walk", "reader", "reads"];

impl Role {
    fn named(&self, parts: &[&str]) -> bool {
        let names = [&self.id, &self.title].map(|name| name.to_lowercase());
        names.iter().any(|name| parts.iter().any(|part| name.contains(part)))
    }

    /// Whether it holds the end of the line, where air needs two (rule 27).
    fn at_nozzle(&self) -> bool {
        self.with_air.is_some() || self.named(&["nozzle", "branch"])
    }

    /// How many must hold it: one at least, because a role that a drill lists is held; two at the
    /// nozzle of a line that carries air, whatever its author writes (rule 27).
    pub fn wanted(&self, air: bool) -> u32 {
        let stated = self.with_air.filter(|_| air).unwrap_or(self.holders);
        stated.max(if air && self.at_nozzle() { 2 } else { 1 })
    }

    /// Whether the evaluator may hold it: it is marked as one that only speaks what is written, and
    /// nothing of the drill says that it does more. An author's mark alone puts no evaluator at the
    /// nozzle, the hydrant, the zone, or at the second reading (rule 26).
    pub fn only_speaks(&self, drill: &Drill) -> bool {
        let works = drill.steps.iter().any(|step| step.role == self.id);
        let one = self.holders <= 1 && self.with_air.is_none();
        self.scripted && !self.scored && one && !works && !self.named(WORKING)
    }
}

impl Drill {
    /// Every order between its steps, those that its criticals rest on first.
    pub fn orders(&self) -> Vec<OrderRule> {
        let mut all = Vec::new();
        for critical in &self.criticals {
            for link in &critical.links {
                let Link::Order { first, then } = link else { continue };
                all.extend(then.iter().map(|then| OrderRule {
                    first: first.clone(),
                    then: then.clone(),
                    because: critical.reason.clone(),
                    cannot: false,
                }));
            }
        }
        all.extend(self.order.iter().cloned());
        all
    }

    /// The drill with all modes and meanings that its author leaves to be understood.
    #[must_use]
    pub fn settled(mut self) -> Self {
        let own = self.steps.iter_mut().map(|step| &mut step.modes);
        let own = own.chain(self.cues.iter_mut().map(|cue| &mut cue.modes));
        for modes in own.chain(self.criticals.iter_mut().map(|act| &mut act.modes)) {
            if modes.is_empty() {
                modes.clone_from(&self.modes);
            }
        }
        settle(&mut self.measures, &mut self.readings);
        // What water alone, or nothing that flows, cannot show is in no such mode (rule 22).
        let wet = |step: &&mut Step| step.is.is_some_and(|is| is != Does::ShutsTank);
        for step in self.steps.iter_mut().filter(wet) {
            step.modes.retain(|mode| !DRY.contains(mode));
            // None left would stand for all of them.
            if step.modes.is_empty() {
                step.modes.push(Mode::WalkThrough);
            }
        }
        self
    }
}

record! {
    /// Drills run one after the other on one rig, on one sheet.
    Chain {
        /// Short name.
        id: String = need "chain" as own("chain"), eg "evening";
        /// Name as it is printed.
        title: String = need "title", prose, eg "An evening at the yard";
        /// What it is for, in a sentence.
        about: String = need "about", prose, eg "From the first line to a clean rig.";
        /// Drills in order; the state that one leaves must fit the next.
        drills: Vec<String> = need "drills" as refers("drill"), eg "[startup, flush]";
    }
}

/// Help of all that a drill's file holds, but for its marking.
pub(super) const BOOKS: &[Book] = &[
    Drill::BOOK,
    Mode::BOOK,
    AgentUse::BOOK,
    Physical::BOOK,
    Role::BOOK,
    ForRigs::BOOK,
    Step::BOOK,
    Does::BOOK,
    Radio::BOOK,
    StopPlan::BOOK,
    Chain::BOOK,
];
