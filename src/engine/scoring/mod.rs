//! A run sheet scored: what an evaluator saw becomes a verdict with a reason per line.
//!
//! ```text
//! course + drill + rig ─► Kit ─┐
//! run sheet ───────────────────┴─(score)─► Verdict { outcome, reason, lines … }
//! ```
//!
//! Two officers who watch the same run get the same result, the candidate can be told
//! exactly why, and the sheet still explains itself years later. The rules are printed by
//! [`rules`]. This room asks no clock and no disk; it never hides a weight, never changes a
//! run sheet, and never says more than that a person met this drill's standard on this
//! date.

mod verdict;
mod kit;
mod lines;
mod outlets;
mod stands;
mod kits;
mod instead;
mod cover;
mod order;
mod shares;
mod say;
mod no_value;
mod expected;
mod fault;
mod contradictions;
mod counters;
mod names_told;
mod sheet_values;
mod evidence;
mod links;
mod values;
mod parts;
mod percent;
mod air;
mod card;
mod minutes;
mod limits;
mod posts;
mod questions;
mod criticals;
mod missing;
mod steps;
mod unwatched;
mod measures;
mod watch;
mod outcome;
mod reread;
mod score;
mod group;
mod keep;
mod written;
mod compare;
mod form;
mod drawn;
mod table;
mod tanks;
mod dates;
mod discharge;
mod reading;
mod together;
mod chained;
mod near;
mod earlier;
mod retest;
mod unplaced;
mod open;
mod reach;
mod joint;
mod narrated;

pub use card::nine_tenths;
pub use chained::place_in_chain;
pub use compare::{Change, Compared, Part, compare};
pub use counters::counted;
pub use dates::GRACE;
pub use drawn::{NoSheets, drawn_sheets, drawn_up_to, most_percent, most_sheets};
pub use earlier::{Run, score, score_all};
pub use expected::{Expected, Readings, expectation};
pub use fault::{Fault, faults, faults_alone};
pub use form::{DRAWN_FORMAT, DrawnForms, DrawnSheet, KnownForms, form_misread};
pub use group::{Crew, Link, Member, Results, by_run, crew, results};
pub use instead::Instead;
pub use joint::{Joint, jointly, one_candidate};
pub use keep::{all_of, is_kept, kept_files, to_keep, withdrawal};
pub use kit::{Kit, KitData, RULES, at_nozzle, short_revision, standard};
pub use kits::{Kits, NoKit, OtherRevision};
pub use limits::LIMITS;
pub use lines::{has_repeats, takes_outlet};
pub use minutes::unread as unread_for_minutes;
pub use narrated::{BesideKey, Entry, alone, beside_key, entries, keyed};
pub use no_value::NoValue;
pub use open::open;
pub use order::{OrderStatistics, Precedence, order_statistics, printed_tau};
pub use percent::fuels;
pub use posts::no_officers;
pub use questions::{
    Question, by_the_manual, hanging, pairs, prompts, questions, settleable, stop_acts,
};
pub use reach::{Broken, Past, broken, held_against, past};
pub use reading::{ForReading, KitFor, act_seen};
pub use reread::read_again;
pub use stands::{Standing, flows, measured, runs_on, stands};
pub use table::{Worked, day_tables, empty_table};
pub use tanks::tanks;
pub use verdict::{Decision, Line, Outcome, Rule, Verdict};
pub use written::written;
