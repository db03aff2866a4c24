//! From which day to which a revision holds (rule 37).
//!
//! Nothing here asks a clock. A revision cannot have been in force before the day that stands in
//! it, and it is replaced on the first later day that stands in another revision of the same
//! drill or rig. Where two have the same day nobody knows when the one took the place of the
//! other, and neither is refused for it. What the department took back for the sake of safety is
//! told by a file of its own.

use super::fault::Fault;
use super::kit::{Kit, short_revision};
use super::kits::Kits;
use crate::course::{Course, Rig, RunSheet, Withdrawn};
use crate::quantity::{Day, Moment};

/// Days for which sheets of a replaced revision are still taken where the department decided
/// nothing else: printed sheets lie in cabs, and a month brings every shift through the station
/// (rule 37).
pub const GRACE: u32 = 30;

/// The local procedure whose days take the place of [`GRACE`].
const OF_GRACE: &str = "revision-grace";

/// The local procedure on whose day the department changed over to these rules.
const OF_RULES: &str = "scoring-rules";

/// A revision with the day that stands in it.
type Dated = (String, Option<Day>);

/// A drill's or a rig's revision on a run, among all of them that the department has.
struct Revision<'r> {
    /// Field of the run sheet.
    field: &'static str,
    /// Its hash.
    own: &'r str,
    /// The day that stands in it.
    since: Option<Day>,
    /// Hash and day of what the module has today.
    today: Option<Dated>,
    /// Days that stand in those that are kept.
    kept: Vec<Day>,
}

impl Revision<'_> {
    /// The day on which another one took its place.
    fn replaced(&self) -> Option<Day> {
        let (hash, day) = self.today.as_ref()?;
        if hash == self.own {
            return None;
        }
        let since = self.since?;
        let later = self.kept.iter().chain(day);
        later.filter(|day| **day > since).min().copied()
    }
}

impl Kits<'_> {
    /// What the days of a run say against it, by the revisions that the department has.
    pub fn dated(&self, kit: &Kit, sheet: &RunSheet, today: Option<Day>) -> Vec<Fault> {
        let Some(performed) = Moment::read(&sheet.performed_at).map(Moment::day) else {
            return Vec::new();
        };
        let mut found = Vec::new();
        let day = performed.to_string();
        if let Some(today) = today.filter(|today| performed > *today) {
            let fault = Fault::at(&["performed-at"], "in-future");
            let fault = fault.with("performed", &sheet.performed_at);
            found.push(fault.with("today", today.to_string()));
        }
        let entered = sheet.entered_at.as_deref().and_then(Moment::read).map(Moment::day);
        if let Some((now, then)) =
            today.zip(entered).filter(|(now, then)| then > now && performed <= *now)
        {
            let fault = Fault::at(&["entered-at"], "entered-in-future");
            let fault = fault.with("entered", then.to_string());
            found.push(fault.with("today", now.to_string()));
        }
        let course = self.course();
        if let Some(since) = decided_on(course, OF_RULES).filter(|on| performed < *on) {
            let fault = Fault::at(&["performed-at"], "before-rules");
            found.push(fault.with("performed", &day).with("since", since.to_string()));
        }
        let grace = days(course, OF_GRACE).unwrap_or(GRACE);
        for revision in [self.of_drill(kit), self.of_rig(kit)] {
            if let Some(told) = course.kept.withdrawn.get(revision.own)
                && Day::read(&told.from).is_some_and(|from| performed >= from)
            {
                found.push(withdrawn(&revision, told, &day));
            } else if let Some(on) = revision.replaced()
                && performed.number() - on.number() > i64::from(grace)
            {
                let fault = Fault::at(&[revision.field], "after-replaced");
                let fault =
                    fault.with("performed", &day).with("replaced", on.to_string());
                let name = short_revision(revision.own);
                found.push(fault.with("name", name).with("grace", grace.to_string()));
            }
        }
        found
    }

    fn of_drill<'r>(&self, kit: &'r Kit) -> Revision<'r> {
        let id = &kit.drill().id;
        let of = self.course().kept.drills.values();
        let kept = of.filter(|one| one.drill.id == *id);
        let kept = kept.filter_map(|one| Day::read(&one.drill.revised_on)).collect();
        let drill = self.course().drill(id);
        let today = drill.zip(self.hash_of_drill(id));
        Revision {
            field: "drill-revision",
            own: kit.drill_revision(),
            since: Day::read(&kit.drill().revised_on),
            today: today.map(|(drill, hash)| (hash, Day::read(&drill.revised_on))),
            kept,
        }
    }

    fn of_rig<'r>(&self, kit: &'r Kit) -> Revision<'r> {
        let id = &kit.rig().id;
        let kept = self.course().kept.rigs.values().filter(|rig| rig.id == *id);
        let today = self.course().rigs.get(id).zip(self.hash_of_rig(id));
        Revision {
            field: "rig-revision",
            own: kit.rig_revision(),
            since: revised(kit.rig()),
            today: today.map(|(rig, hash)| (hash, revised(rig))),
            kept: kept.filter_map(revised).collect(),
        }
    }
}

/// Nobody is held to what was written down later: the run was before the day that stands in its
/// own drill, or in its rig's card. Whoever has a kit alone can tell that.
pub(super) fn too_early(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let performed = Moment::read(&sheet.performed_at).map(Moment::day);
    let fault = |key: &'static str, blank: &'static str, day: Option<Day>| {
        let (performed, day) = performed.zip(day).filter(|(run, day)| run < day)?;
        let fault = Fault::at(&["performed-at"], key);
        Some(fault.with("performed", performed.to_string()).with(blank, day.to_string()))
    };
    let drill = fault("before-revision", "revised", Day::read(&kit.drill().revised_on));
    let card = fault("before-card", "revised", revised(kit.rig()));
    drill.into_iter().chain(card).collect()
}

/// The day that stands in a rig's card. The day of its check says nothing: a card that is held
/// against the rig once more is the same card.
fn revised(rig: &Rig) -> Option<Day> {
    rig.revised_on.as_deref().and_then(Day::read)
}

fn withdrawn(revision: &Revision<'_>, told: &Withdrawn, performed: &str) -> Fault {
    let fault = Fault::at(&[revision.field], "withdrawn").with("performed", performed);
    let fault = fault.with("from", &told.from).with("why", &told.why);
    fault.with("name", short_revision(revision.own))
}

/// The days that a local procedure counts.
fn days(course: &Course, topic: &str) -> Option<u32> {
    course.topic(topic)?.days
}

/// The day on which the department decided on a topic.
fn decided_on(course: &Course, topic: &str) -> Option<Day> {
    match &course.topic(topic)?.decision {
        crate::course::Decision::Decided { on, .. } => Day::read(on),
        crate::course::Decision::NotDecidedYet => None,
    }
}
