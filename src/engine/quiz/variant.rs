//! A question with drawn numbers: what stands on the paper, its key, and what marks it.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::asked::{Asked, Band, Format, SlipAnswer};
use super::chance::Chance;
use super::choose::pick;
use super::draw::Drawn;
use super::fault::QuestionFault;
use super::paper::{
    DrawnValue, Item, ItemKey, ItemKind, Lettered, OrderReason, Purpose, WrongAnswer,
};
use super::question::{Prepared, Trial, verdicts};
use super::text::filled;
use super::{DRAW_VERSION, order::Before};
use crate::course::{OptionText, PercentBasis, QuestionKind};
use crate::quantity::{Direction, Fraction, Quantity};

/// Most draws that are thrown away for one variant. A condition that keeps one draw of a
/// hundred is still met, but for one variant in thirty thousand; what keeps less is told as
/// a fault of the question, because an author can mend it and a reader only wait.
const MOST_REDRAWS: u32 = 1024;

/// So many draws are thrown away before a wrong method that happens to give the right value
/// is put up with: another variant is better, but one that cannot tell that slip is better
/// than none.
const STRICT_REDRAWS: u32 = 32;

/// So many draws are thrown away before a value of the neighbour's paper is put up with in
/// another blank, and so many before it is put up with in the same: a glance at the next desk
/// helps less the further the values stand apart, and a paper must come about.
const APART_REDRAWS: u32 = 384;
const PLACE_REDRAWS: u32 = 768;

/// What a variant is drawn from, beside the question.
#[derive(Debug, Clone, Copy)]
pub struct Ticket<'t> {
    /// Graded or practice.
    pub purpose: Purpose,
    /// Seed of a graded paper, number of a practice sheet, or a session's code.
    pub seed: &'t str,
    /// From 1; a retest draws other numbers.
    pub attempt: u32,
}

impl Ticket<'_> {
    /// The chance of one question; `more` keeps uses apart.
    pub(super) fn chance(&self, id: &str, more: &[&str]) -> Chance {
        let attempt = self.attempt.to_string();
        let mut parts = vec![self.purpose.part(), DRAW_VERSION, id, self.seed, &attempt];
        parts.extend(more);
        Chance::of(&parts)
    }
}

/// How an answer to a variant is judged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Marking {
    Number {
        format: Format,
        right: Fraction,
        band: Band,
        slips: Vec<SlipAnswer>,
    },
    Letter {
        right: String,
    },
    /// Steps by letter, as places in the drill's order, and the rules.
    Order {
        places: Vec<usize>,
        rules: Vec<Before>,
    },
}

/// A question with its numbers.
#[derive(Debug, Clone)]
pub struct Variant {
    pub(super) item: Item,
    pub(super) key: ItemKey,
    pub(super) marking: Marking,
    /// Place of each drawn value in its pool: equal places, equal numbers.
    pub(super) places: Vec<u32>,
}

impl Prepared<'_> {
    /// The variant of a ticket, under a number on the paper. Draws whose places are in
    /// `avoid` are thrown away too.
    pub fn variant(
        &self,
        ticket: Ticket<'_>,
        number: usize,
        avoid: &BTreeSet<Vec<u32>>,
    ) -> Result<Variant, QuestionFault> {
        self.variant_beside(ticket, number, avoid, None)
    }

    /// [`Prepared::variant`] for a paper beside another: none of the neighbour's drawn values,
    /// as long as the draws leave others.
    pub(super) fn variant_beside(
        &self,
        ticket: Ticket<'_>,
        number: usize,
        avoid: &BTreeSet<Vec<u32>>,
        neighbour: Option<&[u32]>,
    ) -> Result<Variant, QuestionFault> {
        // Compared as values and not as places: two pools may hold the same figure at
        // different places, and a neighbour reads figures.
        let neighbour = neighbour.map(|places| self.draws.drawn(places));
        let mut chance = ticket.chance(&self.question.id, &[]);
        // A stream of its own: how many draws were thrown away must not change the order of the
        // choices.
        let mut arranged = ticket.chance(&self.question.id, &["arrange"]);
        let wanted = match &self.question.kind {
            QuestionKind::Verdict { ask } => {
                Some(arranged.place(verdicts(ask, self.kit).len()))
            }
            _ => None,
        };
        // Counted apart from all draws: how long to be strict hangs on what could have been
        // printed, not on what was thrown away before.
        let mut usable = 0;
        for redraws in 0..=MOST_REDRAWS {
            let drawn = self.draws.random(&mut chance);
            // A question without draws has the same numbers on every sheet and cannot avoid
            // them.
            if self.draws.any() && avoid.contains(&drawn.places) {
                continue;
            }
            let draws = &self.draws;
            let shares = neighbour.as_ref().is_some_and(|beside| match redraws {
                0..APART_REDRAWS => !draws.in_common(&drawn, beside).is_empty(),
                APART_REDRAWS..PLACE_REDRAWS => {
                    !draws.in_place(&drawn, beside).is_empty()
                }
                _ => false,
            });
            if shares {
                continue;
            }
            // Worked after the cheap looks: a try works every
            // slip of the formula.
            let Ok(trial) = self.attempt(&drawn) else { continue };
            usable += 1;
            // Each verdict is right as often as the draws allow, not as often as they give it.
            let strict = usable <= STRICT_REDRAWS;
            let other = wanted.is_some() && trial.verdict != wanted;
            let coincides = !trial.coincidences.is_empty();
            if strict && (other || coincides) {
                continue;
            }
            let mut variant = self.arranged(trial, &drawn, &mut arranged);
            variant.key.redraws = redraws;
            variant.item.number = number;
            variant.key.number = number;
            return Ok(variant);
        }
        Err(QuestionFault::NoDraw)
    }

    fn arranged(&self, trial: Trial, drawn: &Drawn, chance: &mut Chance) -> Variant {
        let (item, key) = self.blank(drawn);
        let mut variant = Variant {
            item,
            key,
            marking: Marking::Letter { right: String::new() },
            places: drawn.places.clone(),
        };
        match (&self.question.kind, trial.asked) {
            (QuestionKind::Number { ask, .. }, Some(asked)) => {
                variant.put_number(&asked, trial.band, &trial.kept);
                variant.key.worked = asked.board(self.kit, ask);
            }
            (QuestionKind::Choice { ask, choices }, Some(asked)) => {
                let kept: Vec<&SlipAnswer> =
                    trial.kept.iter().filter_map(|at| asked.slips.get(*at)).collect();
                let picked = pick(&asked.right, &kept, choices.saturating_sub(1), chance);
                let wrong = picked.iter().map(|slip| Choice {
                    text: slip.value.text.clone(),
                    slip: slip.id.clone(),
                    says: slip.says.clone(),
                    right: false,
                });
                let right = Choice {
                    text: asked.right.text.clone(),
                    right: true,
                    ..Choice::default()
                };
                variant.put_choices(wrong.chain([right]).collect(), chance);
                variant.key.worked = asked.board(self.kit, ask);
            }
            (QuestionKind::Judge { options, ask }, asked) => {
                let choices =
                    options.iter().map(|option| judged(option, drawn)).collect();
                variant.put_choices(choices, chance);
                let both = asked.zip(ask.as_ref());
                variant.key.worked =
                    both.and_then(|(asked, ask)| asked.whole_board(self.kit, ask));
            }
            (QuestionKind::Verdict { ask }, Some(asked)) => {
                let all = verdicts(ask, self.kit).into_iter().enumerate();
                let choices = all.map(|(at, text)| Choice {
                    right: trial.verdict == Some(at),
                    text,
                    ..Choice::default()
                });
                variant.put_choices(choices.collect(), chance);
                variant.key.worked = asked.whole_board(self.kit, ask);
            }
            _ => self.put_steps(&mut variant, chance),
        }
        variant
    }

    fn blank(&self, drawn: &Drawn) -> (Item, ItemKey) {
        let question = self.question;
        let kind = match &question.kind {
            QuestionKind::Number { .. } => ItemKind::Number,
            QuestionKind::Choice { .. } => ItemKind::Choice,
            QuestionKind::Judge { .. } => ItemKind::Judge,
            QuestionKind::Verdict { .. } => ItemKind::Verdict,
            QuestionKind::Order { .. } => ItemKind::Order,
        };
        let item = Item {
            number: 0,
            question: question.id.clone(),
            topic: question.topic.clone(),
            marks: question.marks,
            kind,
            text: self.text(drawn),
            unit: None,
            options: Vec::new(),
        };
        let value = |name: &String| {
            let number = drawn.numbers.get(name).map(Quantity::in_text);
            let text = number.or_else(|| drawn.words.get(name).cloned())?;
            Some(DrawnValue { name: name.clone(), text })
        };
        let key = ItemKey {
            number: 0,
            question: question.id.clone(),
            marks: question.marks,
            kind,
            answer: String::new(),
            letter: None,
            least: None,
            most: None,
            because: None,
            worked: None,
            wrong: Vec::new(),
            order: Vec::new(),
            remark: question.remark.as_deref().map(|remark| filled(remark, drawn)),
            drawn: question.draws.iter().filter_map(|(name, _)| value(name)).collect(),
            redraws: 0,
        };
        (item, key)
    }

    /// The text, and behind it what its percents are shares of where no rig says so: on paper
    /// nobody can ask, and both answers are right at some panel.
    fn text(&self, drawn: &Drawn) -> String {
        let text = filled(&self.question.text, drawn);
        // words: quiz.basis.{solution|water}
        let key = match self.question.basis {
            Some(PercentBasis::Solution) => "quiz.basis.solution",
            Some(PercentBasis::Water) => "quiz.basis.water",
            Some(PercentBasis::NotKnown) | None => return text,
        };
        format!("{text} {}", self.kit.words.get(key))
    }

    fn put_steps(&self, variant: &mut Variant, chance: &mut Chance) {
        let Some(steps) = &self.steps else { return };
        let places = steps.shuffled(chance);
        let at = |place: &usize| {
            let found = places.iter().position(|other| other == place);
            letter(found.unwrap_or(0))
        };
        let options = places.iter().enumerate().filter_map(|(at, place)| {
            let step = steps.steps.get(*place)?;
            Some(Lettered { letter: letter(at), text: step.action.clone() })
        });
        variant.item.options = options.collect();
        let right: Vec<String> = (0..steps.steps.len()).map(|place| at(&place)).collect();
        variant.key.answer = right.join(" ");
        let reasons = steps.rules.iter().map(|rule| OrderReason {
            first: at(&rule.first),
            then: at(&rule.then),
            because: rule.because.clone(),
        });
        variant.key.order = reasons.collect();
        variant.marking = Marking::Order { places, rules: steps.rules.clone() };
    }
}

/// A choice before it has a letter.
#[derive(Debug, Clone, Default)]
struct Choice {
    text: String,
    slip: String,
    says: String,
    right: bool,
}

fn judged(option: &OptionText, drawn: &Drawn) -> Choice {
    Choice {
        text: filled(&option.says, drawn),
        slip: String::new(),
        says: filled(&option.because, drawn),
        right: option.right,
    }
}

impl Variant {
    /// As on the paper.
    pub const fn item(&self) -> &Item {
        &self.item
    }

    /// As on the key.
    pub const fn key(&self) -> &ItemKey {
        &self.key
    }

    fn put_number(&mut self, asked: &Asked, band: Option<Band>, kept: &[usize]) {
        let band = band.unwrap_or(Band { least: None, most: None });
        let format = asked.format;
        self.item.unit = Some(format.unit_text());
        self.key.answer.clone_from(&asked.right.text);
        // Edges are printed inward: a marker by hand never accepts what the program would
        // refuse.
        self.key.least = band.least.and_then(|least| format.edge(least, Direction::Up));
        self.key.most = band.most.and_then(|most| format.edge(most, Direction::Down));
        let slips: Vec<SlipAnswer> =
            kept.iter().filter_map(|at| asked.slips.get(*at)).cloned().collect();
        let wrong = slips.iter().map(|slip| WrongAnswer {
            letter: None,
            text: slip.value.text.clone(),
            slip: slip.id.clone(),
            says: slip.says.clone(),
        });
        self.key.wrong = wrong.collect();
        self.marking = Marking::Number { format, right: asked.right.exact, band, slips };
    }

    fn put_choices(&mut self, mut choices: Vec<Choice>, chance: &mut Chance) {
        chance.shuffle(&mut choices);
        for (at, choice) in choices.into_iter().enumerate() {
            let letter = letter(at);
            if choice.right {
                self.key.answer.clone_from(&choice.text);
                self.key.letter = Some(letter.clone());
                self.key.because = Some(choice.says).filter(|says| !says.is_empty());
                self.marking = Marking::Letter { right: letter.clone() };
            } else {
                self.key.wrong.push(WrongAnswer {
                    letter: Some(letter.clone()),
                    text: choice.text.clone(),
                    slip: choice.slip,
                    says: choice.says,
                });
            }
            self.item.options.push(Lettered { letter, text: choice.text });
        }
    }
}

/// A, B, C … and after Z numbers.
fn letter(place: usize) -> String {
    // The alphabet has 26; a paper with more choices than that goes on in numbers rather
    // than in signs nobody can say aloud.
    let letter = u8::try_from(place).ok().filter(|place| *place < 26);
    letter.map_or_else(
        || (place + 1).to_string(),
        |place| char::from(b'A' + place).to_string(),
    )
}
