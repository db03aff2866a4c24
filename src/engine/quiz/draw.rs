//! Drawn values: whole steps in exact arithmetic, never a random float.

use std::collections::BTreeMap;

use super::chance::Chance;
use super::fault::QuestionFault;
use super::kit::Kit;
use crate::course::{
    Draw, Figures, Names, Outlet, Question, Rig, Spread, WhichFoam, foam_outlets,
    rig_figures,
};
use crate::formulas::Condition;
use crate::quantity::{Fraction, Quantity};

/// Most steps of one range. People meet whole gallons and half percents; more steps than this
/// are a step that was mistyped, and all of them are counted in a proof.
const MOST_STEPS: i128 = 1_000_000;

/// Where one drawn value comes from, with its values counted.
#[derive(Debug, Clone)]
enum Pool<'k> {
    Steps { from: Quantity, step: Fraction, count: u32 },
    Of(&'k [Quantity]),
    Words(&'k [String]),
    Lines(Vec<&'k Outlet>),
}

impl Pool<'_> {
    fn count(&self) -> u32 {
        let length = match self {
            Self::Steps { count, .. } => return *count,
            Self::Of(values) => values.len(),
            Self::Words(words) => words.len(),
            Self::Lines(lines) => lines.len(),
        };
        u32::try_from(length).unwrap_or(u32::MAX)
    }
}

/// What is drawn and under which conditions, as an author wrote it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source<'k> {
    pub(super) draws: &'k [(String, Draw)],
    pub(super) conditions: &'k [String],
}

/// Of what the figures are that stand beside the draws.
#[derive(Debug, Clone, Copy)]
pub(super) struct Of<'k> {
    pub(super) rig: Option<&'k Rig>,
    pub(super) outlet: Option<&'k Outlet>,
    /// Which of the rig's foams.
    pub(super) foam: WhichFoam<'k>,
}

/// Draws, ready to be drawn from.
#[derive(Debug, Clone)]
pub(super) struct Draws<'k> {
    kit: Kit<'k>,
    pools: Vec<(&'k str, Pool<'k>)>,
    conditions: Vec<Condition>,
    of: Of<'k>,
    /// Whether a condition names a figure of the rig.
    rig_in_conditions: bool,
}

/// Values of one variant.
#[derive(Debug, Clone, Default)]
pub(super) struct Drawn {
    /// Place of each value in its pool, in the author's order.
    pub(super) places: Vec<u32>,
    /// Quantities by name; those of a line as `line.flow`.
    pub(super) numbers: BTreeMap<String, Quantity>,
    /// Words by name; the title of a line under its own name.
    pub(super) words: BTreeMap<String, String>,
    /// Figures of the rig, with those of the drawn or named outlet.
    pub(super) figures: Figures,
}

impl Names for Drawn {
    fn number(&self, name: &str) -> Option<Quantity> {
        self.numbers.get(name).copied()
    }

    fn word(&self, name: &str) -> Option<String> {
        self.words.get(name).cloned()
    }
}

impl<'k> Draws<'k> {
    /// Reads the draws and conditions of a question; every fault of them is reported.
    pub(super) fn of(
        question: &'k Question,
        kit: Kit<'k>,
    ) -> Result<Self, Vec<QuestionFault>> {
        let mut faults = Vec::new();
        let mut rig = None;
        if let Some(id) = &question.rig {
            rig = kit.rigs.get(id);
            if rig.is_none() {
                faults.push(QuestionFault::NoRig(id.clone()));
            }
        }
        let mut outlet = None;
        if let (Some(id), Some(rig)) = (&question.outlet, rig) {
            // Looked for on the rig of the question alone: two rigs may each have a
            // crosslay-1, with other figures.
            outlet = rig.outlet(id);
            if outlet.is_none() {
                faults.push(QuestionFault::NoOutlet(id.clone()));
            }
        }
        let source = Source { draws: &question.draws, conditions: &question.conditions };
        let of = Of { rig, outlet, foam: WhichFoam::of(question.class) };
        Self::from(source, of, kit, faults)
    }

    /// Reads draws and conditions, whatever they are for; `faults` are those found before.
    pub(super) fn from(
        source: Source<'k>,
        mut of: Of<'k>,
        kit: Kit<'k>,
        mut faults: Vec<QuestionFault>,
    ) -> Result<Self, Vec<QuestionFault>> {
        let mut pools = Vec::new();
        for (name, draw) in source.draws {
            // A drawn foam line brings its rig along, so that the other figures are of the same
            // rig.
            if let Draw::FoamLineOf(id) = draw
                && of.rig.is_none()
            {
                of.rig = kit.rigs.get(id);
            }
            match pool(name, draw, kit) {
                Ok(pool) => pools.push((name.as_str(), pool)),
                Err(fault) => faults.push(fault),
            }
        }
        let texts = source.conditions;
        // Only then are the figures of the rig laid out for each draw: proofs try thousands of
        // them.
        let rig_in_conditions = texts.iter().any(|text| text.contains("rig."));
        let conditions = Vec::new();
        let mut draws = Self { kit, pools, conditions, of, rig_in_conditions };
        if faults.is_empty() {
            // Any draw will do here: all draws of a value have one dimension.
            let names = draws.condition_names(&draws.drawn(&vec![0; draws.pools.len()]));
            for (index, text) in texts.iter().enumerate() {
                match kit.library.condition(&hyphened(text, &names), &names) {
                    Ok(condition) => draws.conditions.push(condition),
                    Err(fault) => {
                        faults.push(QuestionFault::BadCondition(index, Box::new(fault)));
                    }
                }
            }
        }
        if faults.is_empty() { Ok(draws) } else { Err(faults) }
    }

    /// Whether anything is drawn at all.
    pub(super) fn any(&self) -> bool {
        !self.pools.is_empty()
    }

    /// How many variants the draws make, conditions aside.
    pub(super) fn grid(&self) -> u64 {
        let counts = self.pools.iter().map(|(_, pool)| u64::from(pool.count()));
        counts.fold(1, u64::saturating_mul)
    }

    /// One value after the other, in the author's order: one number below the count of each.
    pub(super) fn random(&self, chance: &mut Chance) -> Drawn {
        let places: Vec<u32> =
            self.pools.iter().map(|(_, pool)| chance.below(pool.count())).collect();
        self.drawn(&places)
    }

    /// The variant of that index in the whole grid; the first draw changes fastest.
    pub(super) fn at(&self, index: u64) -> Drawn {
        let mut rest = index;
        let mut places = Vec::with_capacity(self.pools.len());
        for (_, pool) in &self.pools {
            let count = u64::from(pool.count()).max(1);
            places.push(u32::try_from(rest.rem_euclid(count)).unwrap_or(0));
            rest = rest.div_euclid(count);
        }
        self.drawn(&places)
    }

    /// The values at these places.
    pub(super) fn drawn(&self, places: &[u32]) -> Drawn {
        let mut drawn = Drawn { places: places.to_vec(), ..Drawn::default() };
        let mut outlet = self.of.outlet;
        for ((name, pool), place) in self.pools.iter().zip(places) {
            let at = usize::try_from(*place).unwrap_or(0);
            let name = (*name).to_owned();
            match pool {
                Pool::Steps { from, step, .. } => {
                    let up = step.mul(Fraction::whole(i128::from(*place)));
                    let value = up.and_then(|up| from.number().add(up));
                    let value = value.unwrap_or(from.number());
                    drawn.numbers.insert(name, Quantity::new(value, from.unit()));
                }
                Pool::Of(values) => {
                    drawn.numbers.extend(values.get(at).map(|value| (name, *value)));
                }
                Pool::Words(words) => {
                    drawn.words.extend(words.get(at).map(|word| (name, word.clone())));
                }
                Pool::Lines(lines) => {
                    let Some(line) = lines.get(at).copied() else { continue };
                    outlet = Some(line);
                    drawn.words.insert(format!("{name}.nozzle"), line.nozzle.clone());
                    drawn.numbers.extend(line_figures(&name, line, self.of.rig));
                    drawn.words.insert(name, line.title.clone());
                }
            }
        }
        if let Some(rig) = self.of.rig {
            drawn.figures = rig_figures(rig, outlet, self.of.foam);
        }
        drawn
    }

    /// Names of the draws whose value also stands on the neighbour's paper, in whichever blank.
    /// A draw with one value only is no draw.
    pub(super) fn in_common(&self, drawn: &Drawn, neighbour: &Drawn) -> Vec<&'k str> {
        // A value that never changes tells a neighbour nothing.
        let varied = || self.pools.iter().filter(|(_, pool)| pool.count() > 1);
        let same = |name: &str| {
            varied().any(|(other, _)| match drawn.numbers.get(name) {
                Some(value) => {
                    let there = neighbour.numbers.get(*other);
                    there == Some(value)
                }
                None => drawn.words.get(name) == neighbour.words.get(*other),
            })
        };
        varied().map(|(name, _)| *name).filter(|name| same(name)).collect()
    }

    /// Names of the draws that have the same value on both papers in the same blank.
    pub(super) fn in_place(&self, drawn: &Drawn, neighbour: &Drawn) -> Vec<&'k str> {
        let places = drawn.places.iter().zip(&neighbour.places);
        let both = self.pools.iter().zip(places);
        let both =
            both.filter(|((_, pool), (one, other))| one == other && pool.count() > 1);
        both.map(|((name, _), _)| *name).collect()
    }

    /// Whether all conditions hold.
    pub(super) fn holds(&self, drawn: &Drawn) -> bool {
        if self.conditions.is_empty() {
            return true;
        }
        let names = self.condition_names(drawn);
        self.conditions.iter().all(|condition| self.kit.library.holds(condition, &names))
    }

    fn condition_names(&self, drawn: &Drawn) -> BTreeMap<String, Quantity> {
        let own =
            drawn.numbers.iter().map(|(name, value)| (name.replace('.', "-"), *value));
        let rig = drawn.figures.iter().filter(|_| self.rig_in_conditions);
        let rig =
            rig.map(|(name, value)| (format!("rig-{}", name.replace('.', "-")), *value));
        own.chain(rig).collect()
    }

    /// Values that cover each draw evenly: the whole grid when it is small enough, else its
    /// corners and rows in which every draw runs once through its range, each in an order of
    /// its own.
    pub(super) fn sample(&self, id: &str, size: usize) -> Vec<Vec<u32>> {
        let wanted = u64::try_from(size).unwrap_or(u64::MAX);
        if self.grid() <= wanted {
            return (0..self.grid()).map(|index| self.at(index).places).collect();
        }
        // A quarter for the ends of the ranges: there a formula leaves its range first.
        let mut rows = self.corners(size >> 2);
        let left = size.saturating_sub(rows.len());
        let mut columns = Vec::new();
        for (name, pool) in &self.pools {
            let mut column: Vec<u32> =
                // Each value of each draw comes up as evenly as the size allows, and what
                // stands beside it is shuffled: a few dozen rows then meet most pairs.
                (0..left).map(|row| spread_over(pool.count(), row, left)).collect();
            // From the question's own name: the same draws are looked at on every machine.
            Chance::of(&["proof", super::DRAW_VERSION, id, name]).shuffle(&mut column);
            columns.push(column);
        }
        for row in 0..left {
            rows.push(
                columns.iter().filter_map(|column| column.get(row).copied()).collect(),
            );
        }
        rows.sort_unstable();
        rows.dedup();
        rows
    }

    /// Least and largest of every draw in all combinations, as many as fit.
    fn corners(&self, most: usize) -> Vec<Vec<u32>> {
        let mut rows = vec![Vec::new()];
        for (_, pool) in &self.pools {
            let last = pool.count().saturating_sub(1);
            let both =
                if rows.len().saturating_mul(2) <= most && last > 0 { 2 } else { 1 };
            let mut grown = Vec::new();
            for row in rows {
                for end in [0, last].into_iter().take(both) {
                    let mut longer: Vec<u32> = row.clone();
                    longer.push(end);
                    grown.push(longer);
                }
            }
            rows = grown;
        }
        rows
    }
}

/// Place of row `row` of `rows` in a pool: both ends are reached, the rest evenly between.
fn spread_over(count: u32, row: usize, rows: usize) -> u32 {
    let last = u64::from(count.saturating_sub(1));
    let row = u64::try_from(row).unwrap_or(0);
    let gaps = u64::try_from(rows.saturating_sub(1)).unwrap_or(1).max(1);
    u32::try_from((row * last + (gaps >> 1)).div_euclid(gaps)).unwrap_or(0)
}

/// A condition with the points of known names made hyphens, which the language can read;
/// places inside the text stay the same.
fn hyphened(text: &str, names: &BTreeMap<String, Quantity>) -> String {
    let mut out = text.to_owned();
    let mut dotted: Vec<String> = Vec::new();
    for word in
        text.split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-')))
    {
        let word = word.trim_matches('.');
        if word.contains('.') && names.contains_key(&word.replace('.', "-")) {
            dotted.push(word.to_owned());
        }
    }
    // The longest first, because `rig.flow` is the beginning of `rig.flow-two`.
    dotted.sort_by_key(|word| std::cmp::Reverse(word.len()));
    for word in dotted {
        out = out.replace(&word, &word.replace('.', "-"));
    }
    out
}

fn pool<'k>(name: &str, draw: &'k Draw, kit: Kit<'k>) -> Result<Pool<'k>, QuestionFault> {
    let pool = match draw {
        Draw::Spread(spread) => steps(name, spread)?,
        Draw::Of(values) => Pool::Of(values),
        Draw::Words(words) => Pool::Words(words),
        Draw::FoamLineOf(id) => {
            let rig = kit.rigs.get(id).ok_or_else(|| QuestionFault::NoRig(id.clone()))?;
            Pool::Lines(foam_outlets(rig).collect())
        }
    };
    let like = |values: &[Quantity]| {
        let first = values.first().map(Quantity::dimension);
        values.iter().all(|value| Some(value.dimension()) == first)
    };
    let mixed = matches!(&pool, Pool::Of(values) if !like(values));
    if pool.count() == 0 || mixed {
        return Err(QuestionFault::EmptyDraw(name.to_owned()));
    }
    Ok(pool)
}

fn steps<'k>(name: &str, spread: &Spread) -> Result<Pool<'k>, QuestionFault> {
    let empty = || QuestionFault::EmptyDraw(name.to_owned());
    let unit = spread.from.unit();
    let to = spread.to.in_unit(unit).ok_or_else(empty)?.number();
    let step = spread.step.in_unit(unit).ok_or_else(empty)?.number();
    // A range that goes down or stands still would never end.
    if step.signum() <= 0 {
        return Err(empty());
    }
    let across = to.sub(spread.from.number()).and_then(|across| across.div(step));
    let last = across.ok_or_else(empty)?.floor();
    if last < 0 {
        return Err(empty());
    }
    if last >= MOST_STEPS {
        return Err(QuestionFault::EndlessDraw(name.to_owned()));
    }
    let count = u32::try_from(last + 1).ok().ok_or_else(empty)?;
    Ok(Pool::Steps { from: spread.from, step, count })
}

/// The figures of a line under its own name: `line.flow` from `outlet.flow`.
fn line_figures(name: &str, line: &Outlet, rig: Option<&Rig>) -> Vec<(String, Quantity)> {
    let Some(rig) = rig else { return Vec::new() };
    let figures = rig_figures(rig, Some(line), WhichFoam::First).into_iter();
    let own = figures.filter_map(|(figure, value)| {
        Some((format!("{name}.{}", figure.strip_prefix("outlet.")?), value))
    });
    own.collect()
}
