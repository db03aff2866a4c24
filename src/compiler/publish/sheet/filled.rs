//! The sheet of a run: what the evaluator saw, the verdict, and every reason.

use super::values::Bench;
use super::view::{Reason, SheetView, VerdictView};
use crate::course::{Course, RunSheet};
use crate::scoring::{Kit, Line, Verdict};
use crate::words::Words;

/// The sheet of a run, unsigned. The kit is the one that the verdict was reached with.
pub fn filled(
    course: &Course,
    words: &Words,
    kit: &Kit,
    run: &RunSheet,
    verdict: &Verdict,
) -> SheetView {
    Bench { course, words, kit }.sheet(Some((run, verdict)))
}

impl Bench<'_> {
    pub(super) fn verdict(self, verdict: &Verdict) -> VerdictView {
        let none = self.words.get("sheet.none-stated");
        let (earned, possible) =
            (verdict.earned.to_string(), verdict.possible.to_string());
        let points = self.words.say(
            "sheet.points",
            &[
                ("earned", &earned),
                ("possible", &possible),
                ("percent", verdict.percent.as_ref().unwrap_or(&none)),
                ("cut", verdict.cut.as_ref().unwrap_or(&none)),
            ],
        );
        VerdictView {
            outcome: verdict.outcome_text.clone(),
            reason: verdict.reason.clone(),
            points,
            reasons: verdict.lines.iter().skip(1).map(|line| self.reason(line)).collect(),
            next: verdict.next.clone(),
        }
    }

    fn reason(self, line: &Line) -> Reason {
        let (points, of) = (line.points.to_string(), line.of.to_string());
        let points = if line.points == 0 && line.of == 0 {
            String::new()
        } else {
            let points = points.replace('-', "\u{2212}");
            self.words.say("sheet.points-of", &[("points", &points), ("of", &of)])
        };
        Reason {
            rule: line.rule_text.clone(),
            sentence: line.sentence.clone(),
            points,
            decision: line.decision_text.clone(),
            heavy: line.decision.against(),
        }
    }
}
