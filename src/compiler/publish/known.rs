//! What a card cannot say of a line: a gauge reading that rests on a figure which nobody stated, a
//! level above a full tank, and anything at all of a foam that an eductor does not draw.

use super::card::{At, Card, Preset};
use crate::course::{Bind, CardFor, CardLine, Eductor, Outlet, ProportionerKind, bound};
use crate::formulas::Worked;

impl<'c> Card<'c> {
    /// What the formula says of its result, and of a level that no full tank shows.
    pub(super) fn verdicts(
        self,
        line: &CardLine,
        at: &At<'c>,
        worked: &Worked,
    ) -> Vec<String> {
        let above = line.rests.iter().filter_map(|(answer, bind)| {
            let answer = worked.answer(Some(answer))?;
            let dead = bound(bind, &at.figures, at).ok()?;
            let Bind::Rig(name) = bind else { return None };
            // Only with what no pump reaches is it known what a full tank shows.
            let tank = name.strip_suffix("-dead")?;
            let full = at.figures.get(tank)?.base().add(dead.base()).ok()?;
            let over = answer.number?.compare(full).is_gt();
            let blanks = [("level", answer.text.as_str())];
            over.then(|| self.desk.words.say("page.level-above-tank", &blanks))
        });
        worked.verdicts.iter().cloned().chain(above).collect()
    }

    /// What the formula says of a preset; nothing where it has no answer.
    pub(super) fn said(
        self,
        line: &CardLine,
        outlet: &Outlet,
        preset: Preset,
    ) -> Option<Vec<String>> {
        let (_, worked) = self.figure(&line.id, outlet, Some(preset))?;
        Some(self.verdicts(line, &self.at(Some(outlet), Some(preset)), &worked))
    }

    /// An answer as it is printed, where the card has all that it rests on.
    pub(super) fn answer(
        self,
        id: &str,
        answer: Option<&str>,
        (outlet, preset): (&Outlet, Preset),
    ) -> Option<String> {
        let (line, worked) = self.figure(id, outlet, Some(preset))?;
        let at = self.at(Some(outlet), Some(preset));
        let bind = answer.and_then(|name| line.rests.get(name));
        if bind.is_some_and(|bind| at.lacks(bind)) {
            return None;
        }
        worked.answer(answer).map(|answer| answer.text.clone())
    }

    /// Whether an eductor of the line has more behind it than it allows: then it draws no foam,
    /// whatever percent is set. Where that is not known, nothing is taken away.
    pub(super) fn draws_none(self, outlet: &Outlet) -> bool {
        let kind = self.rig.proportioner.as_ref().map(|unit| unit.kind);
        // Where a unit injects, the percent of a line is not that of an eductor.
        if kind.is_some_and(|kind| kind != ProportionerKind::InLineEductor) {
            return false;
        }
        let columns = || self.lines(CardFor::Eductor);
        let number = |at: &At<'c>, answer: &str| {
            let line =
                columns().find(|line| line.feed.answer.as_deref() == Some(answer))?;
            if line.needs.as_ref().is_some_and(|bind| at.lacks(bind)) {
                return None;
            }
            at.worked(&line.feed)?.ok()?.answer(Some(answer))?.number
        };
        let fails = |eductor: &&'c Eductor| {
            let at = self.on(&placed(eductor, outlet));
            let both = number(&at, BACK).zip(number(&at, LIMIT));
            both.is_some_and(|(back, limit)| back.compare(limit).is_gt())
        };
        self.eductors_on(outlet).iter().any(fails)
    }
}

/// An eductor on a line: one without a place works on whichever line it is put into.
pub(super) fn placed(eductor: &Eductor, outlet: &Outlet) -> Eductor {
    Eductor { outlet: Some(outlet.id.clone()), ..eductor.clone() }
}

/// The answers of the two columns that tell whether an eductor works: what stands behind it, and
/// what may.
const BACK: &str = "back";
const LIMIT: &str = "limit";
