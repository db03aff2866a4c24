//! What a recruit has answered, and how each question and objective stands.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::decode::from_text;
use super::kit::Opened;

/// So many answers of a question are kept: twice what makes it steady, and the store of a
/// browser stays small.
const KEPT: usize = 6;
/// So many right answers in a row are steady: two come about by luck, and every one has other
/// numbers.
const STEADY: usize = 3;
/// After so many days without practice nothing is steady any more: four weeks, so that what
/// was practised before the last monthly drill is asked again. A habit and no finding.
const FADES_AFTER: i64 = 28;

/// One answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Try {
    /// Its number among all answers.
    pub n: u32,
    /// Days since 1970 on the device's clock.
    pub day: i64,
    /// Whether it was right.
    pub right: bool,
}

/// Everything that was answered, by question. Kept in the browser only.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct History {
    /// How many answers there were.
    pub count: u32,
    /// The last answers to each question.
    pub questions: BTreeMap<String, Vec<Try>>,
}

/// How practice stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// The last answer was wrong.
    Missed,
    /// Nothing was answered yet.
    Untried,
    /// Right, but not three times in a row, or not for four weeks.
    Fading,
    /// Right three times in a row.
    Steady,
}

impl Standing {
    /// Its key under `practice.standing` in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Missed => "missed",
            Self::Untried => "untried",
            Self::Fading => "fading",
            Self::Steady => "steady",
        }
    }

    /// How often it comes, beside others.
    pub(super) const fn weight(self) -> u32 {
        match self {
            // Our choice: what was missed comes soonest, and what is steady stays in the
            // draw, so that it cannot fade unnoticed.
            Self::Missed => 6,
            Self::Untried => 4,
            Self::Fading => 3,
            Self::Steady => 1,
        }
    }

    fn of(tries: &[Try], day: i64) -> Self {
        let Some(last) = tries.last() else { return Self::Untried };
        if !last.right {
            return Self::Missed;
        }
        let row = tries.iter().rev().take_while(|each| each.right).count();
        // A clock that was set back makes nothing fade.
        let rested = day.saturating_sub(last.day) > FADES_AFTER;
        if row >= STEADY && !rested { Self::Steady } else { Self::Fading }
    }
}

impl History {
    /// Reads what was stored; what cannot be read counts as nothing.
    pub fn read(stored: Option<&str>) -> Self {
        stored.and_then(from_text).unwrap_or_default()
    }

    /// With one more answer.
    pub fn add(&mut self, question: &str, day: i64, right: bool) {
        self.count = self.count.saturating_add(1);
        let tries = self.questions.entry(question.to_owned()).or_default();
        tries.push(Try { n: self.count, day, right });
        // The oldest go first: how it stands rests on the last answers alone.
        let beyond = tries.len().saturating_sub(KEPT);
        tries.drain(..beyond);
    }

    /// How a question stands.
    pub fn question(&self, id: &str, day: i64) -> Standing {
        Standing::of(self.questions.get(id).map_or(&[], Vec::as_slice), day)
    }

    /// How an objective stands: over the answers to all its questions.
    pub fn objective(&self, opened: &Opened, id: &str, day: i64) -> Standing {
        let of = opened.data().questions.iter().filter(|q| q.objective == id);
        let tries = of.filter_map(|question| self.questions.get(&question.id));
        let mut tries: Vec<Try> = tries.flatten().copied().collect();
        // Across questions the days are too coarse; the running number tells which answer
        // was last.
        tries.sort_unstable_by_key(|each| each.n);
        Standing::of(&tries, day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_in_a_row_are_steady_for_four_weeks() {
        let mut history = History::default();
        assert_eq!(history.question("q", 0), Standing::Untried);
        let stands = |history: &mut History, right, day| {
            history.add("q", day, right);
            history.question("q", day)
        };
        assert_eq!(stands(&mut history, false, 100), Standing::Missed);
        assert_eq!(stands(&mut history, true, 100), Standing::Fading);
        assert_eq!(stands(&mut history, true, 101), Standing::Fading);
        assert_eq!(stands(&mut history, true, 101), Standing::Steady);
        assert_eq!(history.question("q", 129), Standing::Steady);
        assert_eq!(history.question("q", 130), Standing::Fading);
        assert_eq!(history.question("q", -5), Standing::Steady);
        for _ in 0..20 {
            history.add("q", 140, true);
        }
        assert_eq!(history.questions["q"].len(), KEPT);
        let text = serde_json::to_string(&history).unwrap();
        assert_eq!(History::read(Some(&text)), history);
        assert_eq!(History::read(Some("{nonsense")), History::default());
    }
}
