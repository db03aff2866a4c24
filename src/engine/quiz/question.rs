//! A question with everything it refers to found and checked, and what one draw makes of it.

use std::collections::BTreeMap;

use super::asked::{Asked, Band, CLOCK_AS_DECIMAL, Format, work};
use super::choose::{Dropped, distinct, plausible, visual_gap};
use super::draw::{Drawn, Draws};
use super::fault::{QuestionFault, Unusable};
use super::kit::Kit;
use super::order::Steps;
use super::text::unfilled;
use crate::course::{Ask, Edge, Question, QuestionKind, Tolerance};
use crate::formulas::{Slip, SlipKind};
use crate::quantity::{Kind, prose_written};

/// A question ready to be drawn.
#[derive(Debug, Clone)]
pub struct Prepared<'k> {
    pub(super) kit: Kit<'k>,
    pub(super) question: &'k Question,
    pub(super) draws: Draws<'k>,
    pub(super) steps: Option<Steps<'k>>,
}

/// One draw that makes a usable variant.
#[derive(Debug, Clone)]
pub(super) struct Trial {
    pub(super) asked: Option<Asked>,
    pub(super) band: Option<Band>,
    /// Slips that can be told apart, by place in [`Asked::slips`].
    pub(super) kept: Vec<usize>,
    /// Slips that were dropped, with the reason.
    pub(super) dropped: Vec<(String, Dropped)>,
    /// Slips that give exactly the right value by coincidence of the numbers.
    pub(super) coincidences: Vec<String>,
    /// Place of the verdict that holds, among those that can be chosen.
    pub(super) verdict: Option<usize>,
}

impl<'k> Prepared<'k> {
    /// Finds what the question refers to; every fault that needs no drawing is reported.
    pub fn of(question: &'k Question, kit: Kit<'k>) -> Result<Self, Vec<QuestionFault>> {
        let draws = Draws::of(question, kit)?;
        let mut faults = Vec::new();
        let mut steps = None;
        match &question.kind {
            QuestionKind::Number { ask, tolerance } => {
                faults.extend(check_ask(ask, kit).err());
                faults.extend(check_tolerance(tolerance, ask, kit));
            }
            QuestionKind::Choice { ask, choices } => {
                faults.extend(check_ask(ask, kit).err());
                let slips =
                    kit.library.formula(&ask.feed.formula).map_or(0, |f| f.slips.len());
                let wanted = choices.saturating_sub(1);
                if wanted == 0 {
                    faults.push(QuestionFault::FewOptions(*choices));
                } else if slips < wanted {
                    faults.push(QuestionFault::FewSlips { wanted, has: slips });
                }
            }
            QuestionKind::Judge { ask, options } => {
                faults.extend(ask.as_ref().and_then(|ask| check_ask(ask, kit).err()));
                let right = options.iter().filter(|option| option.right).count();
                if right != 1 {
                    faults.push(QuestionFault::RightAnswers(right));
                }
                // A single option would be the answer.
                if options.len() < 2 {
                    faults.push(QuestionFault::FewOptions(options.len()));
                }
            }
            QuestionKind::Verdict { ask } => {
                faults.extend(check_ask(ask, kit).err());
                let count = verdicts(ask, kit).len();
                // A formula that can only come out one way asks for no judgment, and its
                // answer is known without work.
                if count < 2 {
                    faults.push(QuestionFault::FewVerdicts(count));
                }
            }
            QuestionKind::Order { drill, steps: names } => {
                match kit.drills.iter().find(|known| known.id == *drill) {
                    None => faults.push(QuestionFault::NoDrill(drill.clone())),
                    Some(drill) => match Steps::of(drill, names) {
                        Ok(found) => steps = Some(found),
                        Err(fault) => faults.push(fault),
                    },
                }
            }
        }
        // Whether a blank is filled depends on its name alone, so the first draw tells for all.
        let first = draws.at(0);
        let blanks = texts(question).flat_map(|text| unfilled(text, &first));
        faults.extend(blanks.map(QuestionFault::NoSuchBlank));
        if faults.is_empty() {
            Ok(Self { kit, question, draws, steps })
        } else {
            Err(faults)
        }
    }

    /// What one draw makes of the question, or why it makes nothing.
    pub(super) fn attempt(&self, drawn: &Drawn) -> Result<Trial, Unusable> {
        if !self.draws.holds(drawn) {
            return Err(Unusable::Condition);
        }
        let mut trial = Trial {
            asked: None,
            band: None,
            kept: Vec::new(),
            dropped: Vec::new(),
            coincidences: Vec::new(),
            verdict: None,
        };
        match &self.question.kind {
            QuestionKind::Number { ask, tolerance } => {
                let asked = work(self.kit, ask, drawn)?;
                let band = Band::around(&asked.right, tolerance, asked.half)
                    .ok_or(Unusable::NoAnswer)?;
                trial.band = Some(band);
                trial.sort_slips(asked)?;
                let accepted =
                    trial.dropped.iter().filter(|(_, why)| *why == Dropped::Accepted);
                let accepted: Vec<String> =
                    accepted.map(|(slip, _)| slip.clone()).collect();
                if !accepted.is_empty() {
                    return Err(Unusable::AcceptsSlip(accepted));
                }
            }
            QuestionKind::Choice { ask, choices } => {
                let mut asked = work(self.kit, ask, drawn)?;
                // A slip of writing has another form than the rest, which would give it away.
                asked.slips.retain(|slip| slip.id != CLOCK_AS_DECIMAL);
                trial.sort_slips(asked)?;
                trial.drop_implausible(&decimal_slips(ask, self.kit));
                if trial.kept.len() < choices.saturating_sub(1) {
                    return Err(Unusable::FewChoices(trial.kept.len()));
                }
            }
            QuestionKind::Judge { ask, .. } => {
                trial.asked = match ask {
                    Some(ask) => Some(work(self.kit, ask, drawn)?),
                    None => None,
                };
            }
            QuestionKind::Verdict { ask } => {
                let asked = work(self.kit, ask, drawn)?;
                let all = verdicts(ask, self.kit);
                let [held] = asked.verdicts.as_slice() else {
                    return Err(Unusable::Verdicts(asked.verdicts.len()));
                };
                trial.verdict = all.iter().position(|says| says == held);
                if trial.verdict.is_none() {
                    return Err(Unusable::Verdicts(0));
                }
                trial.asked = Some(asked);
            }
            QuestionKind::Order { .. } => {}
        }
        Ok(trial)
    }
}

impl Trial {
    fn sort_slips(&mut self, asked: Asked) -> Result<(), Unusable> {
        // An answer of zero has no slips that could be told from it, and no person trusts it.
        if asked.right.bare.signum() == 0 {
            return Err(Unusable::NoAnswer);
        }
        // A typed number is compared by value, so nothing has to look different at a glance.
        let gap = match self.band {
            Some(_) => crate::quantity::Fraction::ZERO,
            None => visual_gap(&asked.right, asked.format.step),
        };
        let (kept, dropped) =
            distinct(&asked.right, &asked.slips, self.band.as_ref(), gap);
        let place = |id: &str| asked.slips.iter().position(|slip| slip.id == id);
        self.kept = kept.iter().filter_map(|slip| place(&slip.id)).collect();
        let exact = |slip: &&(&super::asked::SlipAnswer, Dropped)| {
            slip.0.value.exact == asked.right.exact
        };
        // A choice is printed beside others; only a typed number is taken for what it says.
        if self.band.is_some() {
            let found = dropped.iter().filter(exact);
            self.coincidences = found.map(|(slip, _)| slip.id.clone()).collect();
        }
        self.dropped =
            dropped.into_iter().map(|(slip, why)| (slip.id.clone(), why)).collect();
        self.asked = Some(asked);
        Ok(())
    }
}

impl Trial {
    /// Takes out what nobody would tick; `decimal` are the slips of the decimal point.
    fn drop_implausible(&mut self, decimal: &[&str]) {
        let Some(asked) = &self.asked else { return };
        let (mut kept, mut out) = (Vec::new(), Vec::new());
        for at in &self.kept {
            let Some(slip) = asked.slips.get(*at) else { continue };
            let decimal = decimal.contains(&slip.id.as_str());
            if plausible(&asked.right, &slip.value, decimal) {
                kept.push(*at);
            } else {
                out.push((slip.id.clone(), Dropped::Implausible));
            }
        }
        self.kept = kept;
        self.dropped.extend(out);
    }
}

/// Slips of the decimal point among those of a question's formula.
fn decimal_slips<'k>(ask: &Ask, kit: Kit<'k>) -> Vec<&'k str> {
    let formula = kit.library.formula(&ask.feed.formula);
    let slips = formula.map_or(&[][..], |formula| &formula.slips).iter();
    let decimal = slips.filter(|slip| slip.kind == SlipKind::PowerOfTen);
    decimal.map(|slip| slip.id.as_str()).collect()
}

/// The verdicts of a formula that can be chosen: those that leave it an answer.
pub(super) fn verdicts(ask: &Ask, kit: Kit<'_>) -> Vec<String> {
    let formula = kit.library.formula(&ask.feed.formula);
    let all = formula.map_or(&[][..], |formula| &formula.verdicts).iter();
    let mut out: Vec<String> = Vec::new();
    // A refusal has no answer and is no choice.
    for verdict in all.filter(|verdict| !verdict.refuses) {
        if !out.contains(&verdict.says) {
            out.push(verdict.says.clone());
        }
    }
    out
}

/// Every text of a question that may have blanks.
fn texts(question: &Question) -> impl Iterator<Item = &str> {
    let options = match &question.kind {
        QuestionKind::Judge { options, .. } => options.as_slice(),
        _ => &[],
    };
    let options =
        options.iter().flat_map(|option| [option.says.as_str(), &option.because]);
    std::iter::once(question.text.as_str())
        .chain(options)
        .chain(question.remark.as_deref())
}

fn check_ask(ask: &Ask, kit: Kit<'_>) -> Result<Format, QuestionFault> {
    let name = ask.feed.answer.as_deref();
    let none =
        || QuestionFault::NoSuchAnswer(name.unwrap_or(&ask.feed.formula).to_owned());
    let formula = kit.library.formula(&ask.feed.formula).ok_or_else(none)?;
    let answer = match name {
        Some(name) => formula.answers.iter().find(|answer| answer.name == name),
        None => formula.answers.first(),
    };
    Format::of(ask, answer.ok_or_else(none)?, kit.system)
}

fn check_tolerance(tolerance: &Tolerance, ask: &Ask, kit: Kit<'_>) -> Vec<QuestionFault> {
    let Ok(format) = check_ask(ask, kit) else { return Vec::new() };
    let fits = |edge: &Edge| match edge {
        Edge::Open => None,
        Edge::Absolute(away) => {
            let fits =
                away.dimension() == format.dimension() && away.number().signum() >= 0;
            (!fits).then(|| QuestionFault::WrongUnit(away.to_string()))
        }
        Edge::Relative(share) => {
            let fits = share.unit().kind == Kind::Share && share.number().signum() >= 0;
            (!fits).then(|| QuestionFault::WrongUnit(share.to_string()))
        }
    };
    [&tolerance.below, &tolerance.above].into_iter().filter_map(fits).collect()
}

/// Names and reasons of the slips of a question's formula.
pub(super) fn slip_names(ask: &Ask, kit: Kit<'_>) -> BTreeMap<String, String> {
    let formula = kit.library.formula(&ask.feed.formula);
    let slips = formula.map_or(&[][..], |formula| &formula.slips).iter();
    let says = |slip: &Slip| prose_written(slip.feedback(kit.system)).into_owned();
    slips.map(|slip| (slip.id.clone(), says(slip))).collect()
}
