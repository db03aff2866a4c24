//! How a drill is marked: criticals, order, measured values, time, attempts.

use std::collections::BTreeMap;

use super::mode::Mode;
use super::repeats::Repeats;
use super::spelled::{Bind, Edge};
use crate::formulas::Means;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{cases, record, words};

cases! {
    // All that a sheet can show of an act: an order, an unanswered cue, something undone,
    // a value beyond its limit. What it cannot show is "free" and says why (rule 3).
    /// What shows on a run sheet that a critical happened.
    Link {
        /// The one step before the others: broken when one of them is done without it, or before it.
        "order" Order {
            /// Step that comes first.
            first: String = need "order" as refers("step"), eg "air-off";
            /// Steps that may only come after it.
            then: Vec<String> = need "then" as refers("step"), eg "[foam-off]";
        },
        /// The answer to a cue: broken when the cue is given and the step not done.
        "cue" Answer {
            /// The cue.
            cue: String = need "cue" as refers("cue"), eg "foam-lost";
            /// The step that answers it.
            step: String = need "answered-by" as refers("step"), eg "air-off";
        },
        /// Something that stays so to the end: broken when the step is not done, or undone.
        "holds" Hold {
            /// The step.
            step: String = need "holds" as refers("step"), eg "air-off";
        },
        /// A measured value: broken beyond its limit.
        "limit" Limit {
            /// The measured value.
            measure: String = need "limit" as refers("measure"), eg "pressure-held";
            /// Whether it is broken only where the candidate did not report it.
            // A pressure may leave its band through no fault of the candidate;
            // to keep silent about it is an act.
            unreported: bool = may "unless-reported", or "no", eg "yes";
        },
        /// An act that no step shows.
        "free" Free {
            /// Why no step shows it.
            // A reason is asked for, because no contradiction can find
            // that such a critical happened.
            why: String = need "free", prose, eg "Only the evaluator sees who stands in the zone.";
        },
    }
}

record! {
    /// One act of one role that cannot be bought back with points, worded as a thing that happens.
    Critical {
        /// Short name.
        id: String = need "critical" as own("critical"), eg "clear-on-time-alone";
        /// Whose act it is.
        // Of one role, because a result rests on the candidate's own acts (rule 35).
        role: String = need "role" as refers("role"), else CriticalIncomplete, eg "operator";
        /// The act that fails the run, as seen.
        act: String = need "act", else CriticalIncomplete, eg "Opens a coupling under pressure.";
        /// Why it fails the run.
        reason: String = need "reason", else CriticalIncomplete, prose,
            eg "The loose end strikes whoever stands there.";
        /// Where that comes from, or: common practice.
        source: String = need "source", prose, eg "common practice";
        /// Modes that can show it; another mode signs off in part. Left out, all of the drill.
        modes: Vec<Mode> = may "modes", eg "[training-foam, agent]";
        /// What the rig must have, else it is not applicable.
        needs: Option<String> = may "needs" as NAME, eg "compressor";
        /// What shows on the sheet that it happened; a critical that nothing shows cannot be checked.
        links: Vec<Link> = need "links", least 1 CriticalUnlinked;
    }
}

record! {
    /// Something that the evaluator shows or says during the run, to be answered.
    Cue {
        /// Short name.
        id: String = need "cue" as own("cue"), eg "foam-lost";
        /// What is shown or said.
        // An event of its own (rule 13): else nobody could tell a cue that was not given
        // from one that was not answered.
        says: String = need "says", eg "Nozzle reports plain water.";
        /// Modes in which it can be given; left out, all of the drill.
        modes: Vec<Mode> = may "modes", eg "[training-foam, agent]";
        /// What the rig must have, else it is not given.
        needs: Option<String> = may "needs" as NAME, eg "compressor";
    }
}

record! {
    /// One step comes before another, with the reason.
    OrderRule {
        /// Step that comes first.
        first: String = need "first" as refers("step"), eg "air-off";
        /// Step that comes after it.
        then: String = need "then" as refers("step"), eg "foam-off";
        /// Why in that order.
        because: String = need "because", prose, eg "Air without foam makes the nozzle kick.";
        /// Whether it cannot be otherwise: the second cannot be done at all before the first.
        // A sheet that has the second without the first is then a slip of the
        // pen, and is asked about (rule 7g).
        cannot: bool = may "cannot-be-otherwise", or "no", eg "yes";
    }
}

record! {
    /// A formula with its givens.
    Feed {
        /// The formula.
        formula: String = need "formula" as refers("formula"), eg "endurance";
        /// Which answer of the formula; left out, its first.
        answer: Option<String> = may "answer" as NAME, eg "water-time";
        /// What its givens are bound to.
        with: BTreeMap<String, Bind> = may "with", eg "{ flow: day.flow }";
    }
}

words! {
    /// What a value is, where a rule of every drill asks for it.
    Meaning {
        /// Percent that the officer ordered.
        "percent-ordered" PercentOrdered,
        /// Percent that the candidate set, or said could be set.
        "percent-set" PercentSet,
        /// Flow through the line in hand, as read.
        "flow" Flow,
        /// Flow through all foam lines together.
        "foam-flow" FoamFlow,
        /// Flow through lines of plain water.
        "plain-flow" PlainFlow,
        /// Pressure that the pump gives the line.
        "pump-pressure" PumpPressure,
        /// Pressure at the intake.
        "intake-pressure" IntakePressure,
        /// Pressure of the compressed air.
        "air-pressure" AirPressure,
        /// Concentrate left that can be used.
        "foam-left" FoamLeft,
        /// Water left that can be used.
        "water-left" WaterLeft,
        /// Concentrate used.
        "foam-used" FoamUsed,
        /// Concentrate filled into a tank.
        "foam-added" FoamAdded,
        /// Water used.
        "water-used" WaterUsed,
        /// Flow of a supply that really holds.
        "supply" Supply,
        /// Minutes that the candidate said are left.
        "minutes-told" MinutesTold,
    }
}

impl Meaning {
    /// What a value of that meaning stands for when it feeds a formula.
    pub const fn means(self) -> Option<Means> {
        Some(match self {
            Self::Flow | Self::FoamFlow | Self::PlainFlow => Means::LineFlow,
            // A supply brings water alone; what a line carries hangs
            // on where its flow was read.
            Self::Supply => Means::WaterFlow,
            Self::PumpPressure | Self::IntakePressure | Self::AirPressure => {
                Means::GaugePressure
            }
            // What is left is what a pump can still use: by the gauge's total there would
            // be minutes that nobody has.
            Self::FoamLeft | Self::WaterLeft => Means::UsableVolume,
            Self::FoamUsed | Self::FoamAdded | Self::WaterUsed => Means::CountedVolume,
            // A percent is told apart by its basis, and of times there is one sort.
            Self::PercentOrdered | Self::PercentSet | Self::MinutesTold => return None,
        })
    }
}

words! {
    /// Whose a measured value is: only what the candidate sets, says or holds is the candidate's.
    Whose {
        /// Set, said or held by the candidate.
        "act" Act,
        /// What the machine did: for the rig's log, it costs nobody anything.
        // Rule 15: a percent out of totals is the machine's; the candidate is scored on
        // the sum and on telling what is out of its band.
        "rig" Machine,
    }
}

record! {
    /// A number read off on the day and written on the run sheet.
    Reading {
        /// Short name; values are bound to it as day.NAME.
        id: String = need "reading" as own("reading"), eg "flow-read";
        /// Label on the sheet.
        label: String = need "label", prose, eg "Flow read at the panel";
        /// Unit it is written in.
        unit: String = need "unit" as UNIT, eg "gpm";
        /// Least value that instrument or rig can show.
        // Needed, both of them: a digit too many is found by what the instrument can show
        // and by nothing else (rule 16).
        least: Quantity = need "least", eg "20 gpm";
        /// Largest such value.
        most: Quantity = need "most", eg "500 gpm";
        /// What it is, where a rule of every drill asks for it.
        is: Option<Meaning> = may "is", eg "flow";
        /// Whether it is read on each outlet of the run.
        each: Option<Repeats> = may "each", eg "outlet";
    }
}

words! {
    /// How a measured value is come by. A setting is never an achievement.
    How {
        /// Set at the panel.
        "set" Set,
        /// Shown by an instrument.
        "shown" Shown,
        /// Worked out from totals.
        "from-totals" FromTotals,
    }
}

record! {
    /// What deviation is accepted; edges are inside.
    Tolerance {
        /// Below the expected value.
        // Each side for itself: minutes told short cost nothing, and
        // one too many can cost a crew.
        below: Edge = need "below", eg "0.1 %";
        /// Above it.
        above: Edge = need "above", eg "10 % of expected";
    }
}

cases! {
    /// An expected value.
    Expect {
        /// A value that is bound directly: the ordered percent, a figure of the rig.
        "value" Bound(
            /// What it is bound to.
            bind: Bind = need "value", eg "day.percent-ordered"
        ),
        /// A formula's answer.
        "" Formula(
            /// The formula with its givens.
            feed: Feed = flat
        ),
    }
}

record! {
    /// A measured value of a run.
    Measure {
        /// Short name.
        id: String = need "measure" as own("measure"), eg "percent-made";
        /// Label on the sheet.
        label: String = need "label", prose, eg "Percent from totals";
        /// How it is come by.
        how: How = need "how", eg "from-totals";
        /// Step whose points it decides.
        step: String = need "step" as refers("step"), eg "totals-b";
        /// What it should be: a formula fed from rig and day, or a reading or figure by name.
        expect: Expect = need "expect";
        /// Formula that works it out, when it is itself worked out of the day's readings.
        measured: Option<Feed> = may "measured";
        /// Unit it is written in.
        unit: String = need "unit" as UNIT, eg "gpm";
        /// Accepted deviation.
        tolerance: Tolerance = need "tolerance";
        /// What the instrument can show.
        // Needed, because a band of less than half a step cannot be
        // told from a reading (rule 16).
        resolution: Quantity = need "resolution", eg "0.1 gpm";
        /// Where the tolerance comes from.
        source: String = need "source", prose, eg "order 4 of the training officer";
        /// Whether a value outside fails the run: the outcome that the drill is about.
        // Rule 21: a drill whose outcome is wrong was not done, whatever else was right.
        critical: bool = may "critical", or "no", eg "yes";
        /// Whose it is.
        whose: Whose = may "whose", or "act", eg "rig";
        /// How far from the expected value it may be before a critical that it is linked to has happened.
        // Another one than the band: outside the band costs points,
        // beyond the limit breaks (rule 15).
        limit: Option<Tolerance> = may "limit";
        /// Least value that the instrument can show.
        least: Option<Quantity> = may "least", eg "0 gpm";
        /// Largest such value.
        most: Option<Quantity> = may "most", eg "500 gpm";
        /// What it is, where a rule of every drill asks for it.
        is: Option<Meaning> = may "is", eg "pump-pressure";
        /// Whether each outlet of the run has one, expected by that outlet's own figures.
        each: Option<Repeats> = may "each", eg "outlet";
        /// Whether it is one value for all outlets of the run: what is expected of each, added up.
        together: bool = may "together", or "no", eg "yes";
    }
}

record! {
    /// A limit of time; only with a source.
    TimeStandard {
        /// The limit, up to and including.
        within: Quantity = need "within" as LIMIT, eg "60 s";
        /// The smallest step of the watch; a reading is rounded to it before it is compared.
        resolution: Quantity = need "resolution" as LIMIT, eg "1 s";
        /// Event that starts the watch.
        starts_at: String = need "starts-at", eg "the order to begin";
        /// Event that stops it.
        stops_at: String = need "stops-at", eg "the last report";
        /// Who holds the watch.
        watch: String = need "watch", eg "the evaluator";
        /// Whose limit it is.
        // Needed by rule 22: a time that nobody set is haste without a reason.
        source: String = need "source", else TimeWithoutSource, prose, eg "order 9 of the training officer";
        /// Delays that are not the candidate's and stop the watch.
        holds: Vec<String> = may "holds", eg "[radio traffic of others]";
    }
}

record! {
    /// Attempts, and what follows a run that did not meet the standard.
    Attempts {
        /// Attempts before the officer must decide.
        most: u32 = need "most", eg "2";
        /// Days between a run and its retest, at least; never on the same day.
        wait: u32 = may "wait-days", or "1", eg "7";
        /// What is done before a retest.
        remediation: String = need "remediation", eg "Read the lesson, walk it through.";
        /// How a retest differs.
        retest: String = need "retest", eg "The whole drill with new numbers.";
        /// Officer to whom a candidate can appeal.
        appeal: String = need "appeal", eg "The training officer.";
    }
}

impl Measure {
    /// The formulas that it asks: for what is expected, and for what was measured.
    pub fn feeds(&self) -> impl Iterator<Item = &Feed> {
        let expect = match &self.expect {
            Expect::Formula(feed) => Some(feed),
            Expect::Bound(_) => None,
        };
        expect.into_iter().chain(&self.measured)
    }
}

impl Expect {
    /// Whether it rests on a figure of the rig's card.
    pub fn rests_on_card(&self) -> bool {
        match self {
            Self::Bound(bind) => bind.of_card(),
            Self::Formula(feed) => feed.with.values().any(Bind::of_card),
        }
    }
}

impl Link {
    /// Steps that it rests on.
    pub fn steps(&self) -> Vec<&String> {
        match self {
            Self::Order { first, then } => std::iter::once(first).chain(then).collect(),
            Self::Answer { step, .. } | Self::Hold { step } => vec![step],
            Self::Limit { .. } | Self::Free { .. } => Vec::new(),
        }
    }
}

/// Help of all that says how a drill is marked.
pub(super) const BOOKS: &[Book] = &[
    Critical::BOOK,
    Cue::BOOK,
    Meaning::BOOK,
    Whose::BOOK,
    OrderRule::BOOK,
    Feed::BOOK,
    Reading::BOOK,
    How::BOOK,
    Tolerance::BOOK,
    Measure::BOOK,
    TimeStandard::BOOK,
    Attempts::BOOK,
];
