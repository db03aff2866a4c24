//! The sheet of one drill on one rig.

use std::collections::BTreeMap;

use super::lines;
use super::values::{self, Bench};
use super::view::{CautionLine, Row, SheetView, Tick};
use crate::course::{Course, Drill, Rig, RunSheet, Signal};
use crate::fingerprint::NotCanonical;
use crate::scoring::{Kit, Verdict, runs_on, short_revision};
use crate::words::Words;

/// Whether a drill can be run on a rig at all.
pub fn fits(drill: &Drill, rig: &Rig) -> bool {
    runs_on(rig, drill.condition())
}

/// A blank sheet of a drill on a rig: two sides of one leaf.
pub fn blank(
    course: &Course,
    words: &Words,
    drill: &Drill,
    rig: &Rig,
) -> Result<SheetView, NotCanonical> {
    let kit = Kit::of(course, drill, rig, words)?;
    Ok(Bench { course, words, kit: &kit }.sheet(None))
}

impl Bench<'_> {
    /// A sheet, blank or of a run.
    pub(super) fn sheet(self, run: Option<(&RunSheet, &Verdict)>) -> SheetView {
        let (words, kit) = (self.words, self.kit);
        let drill = kit.drill();
        let marks = run.map(|(run, _)| run);
        SheetView {
            filled: run.is_some(),
            label: labels(words),
            title: drill.title.clone(),
            house: words.say(
                "sheet.house",
                &[
                    ("department", &self.course.module.department),
                    ("module", &self.course.module.title),
                    ("date", &self.course.module.review_by),
                ],
            ),
            revisions: self.revisions(),
            pages: pages(words, if run.is_some() { 3 } else { 2 }, 0, None),
            first: true,
            notices: self.notices(),
            short_notices: self.short_notices(),
            head: self.head(marks),
            uses: self.uses(marks),
            modes: self.modes(marks),
            roles: self.roles(marks),
            staff: self.staff(marks),
            task: drill.task.clone(),
            aloud: words.say(
                "sheet.aloud",
                &[("word", &drill.stop.word), ("sign", &drill.stop.sign)],
            ),
            cautions: cautions(self.course, &drill.cautions),
            fixed: words.get("sheet.fixed"),
            criticals: self.criticals(marks),
            order: lines::order(words, drill),
            steps: self.steps(marks),
            critical_marks: lines::critical_marks(words),
            step_marks: lines::step_marks(words),
            order_seen: self.order_seen(marks),
            again: self.again(
                marks.map(|run| run.id.as_str()),
                marks.map(|run| run.candidate.as_str()),
            ),
            readings: values::readings(words, drill, marks),
            measures: drill.measures.iter().map(|one| self.measure(one, run)).collect(),
            time: self.time(),
            watch: self.watch(marks),
            unsafe_acts: self.unsafe_acts(marks),
            stop: self.stop(marks),
            causes: self.causes(marks),
            safe: self.safe(),
            outcomes: self.outcomes(run.map(|(_, verdict)| verdict)),
            pass_mark: self.pass_mark(),
            after: self.after(marks),
            signatures: self.signatures(),
            attempts: self.attempts(),
            local: self.local(),
            verdict: run.map(|(_, verdict)| self.verdict(verdict)),
            crew: Vec::new(),
        }
    }

    fn criticals(self, run: Option<&RunSheet>) -> Vec<Row> {
        let all = self.kit.drill().criticals.iter();
        all.map(|critical| lines::critical(self.words, self.kit, critical, run)).collect()
    }

    fn steps(self, run: Option<&RunSheet>) -> Vec<Row> {
        let all = self.kit.drill().steps.iter().enumerate();
        all.map(|step| lines::step(self.words, self.kit, step, run)).collect()
    }

    fn unsafe_acts(self, run: Option<&RunSheet>) -> Vec<Tick> {
        let acts = self.kit.data().unsafe_acts.iter();
        let seen = |id| run.is_some_and(|run| run.unsafe_acts.contains(id));
        acts.map(|act| Tick::new(act.act.clone(), seen(&act.id))).collect()
    }

    fn safe(self) -> Vec<Tick> {
        let state = self.kit.drill().stop.safe_state.iter();
        state.map(|line| Tick::new(line.clone(), false)).collect()
    }

    fn revisions(self) -> Vec<String> {
        let (drill, rig) = (self.kit.drill(), self.kit.rig());
        let number = drill.revision.to_string();
        let never = self.words.get("sheet.not-checked");
        vec![
            self.words.say(
                "sheet.drill-revision",
                &[
                    ("number", &number),
                    ("date", &drill.revised_on),
                    ("hash", short_revision(self.kit.drill_revision())),
                ],
            ),
            self.words.say(
                "sheet.rig-revision",
                &[
                    ("rig", &rig.title),
                    ("checked", rig.checked.as_ref().map_or(&never, |check| &check.on)),
                    ("hash", short_revision(self.kit.rig_revision())),
                ],
            ),
        ]
    }

    fn notices(self) -> Vec<String> {
        let mut out: Vec<String> = self.course.module.invented.iter().cloned().collect();
        if !self.kit.rig().verified() {
            out.push(self.words.get("sheet.unverified"));
        }
        if self.course.draft {
            out.push(self.words.get("sheet.draft"));
        }
        out
    }

    fn short_notices(self) -> Vec<String> {
        let invented = self.course.module.invented.is_some();
        let all = [
            (invented, "invented"),
            (!self.kit.rig().verified(), "unverified"),
            (self.course.draft, "draft"),
        ];
        let said = all.into_iter().filter(|(holds, _)| *holds);
        // words: sheet.short.{invented|unverified|draft}
        said.map(|(_, key)| self.words.get(&format!("sheet.short.{key}"))).collect()
    }

    fn pass_mark(self) -> String {
        self.kit.data().pass_mark.as_ref().map_or_else(
            || self.words.get("sheet.no-pass-mark"),
            |mark| {
                let value = mark.value.printed();
                let blanks =
                    [("value", value.as_str()), ("source", mark.source.as_str())];
                self.words.say("sheet.pass-mark", &blanks)
            },
        )
    }

    fn attempts(self) -> Vec<String> {
        let attempts = &self.kit.drill().attempts;
        let most = attempts.most.to_string();
        let say = |key: &str, text: &str| {
            // words: sheet.attempts.{most|remediation|retest|appeal}
            self.words.say(&format!("sheet.attempts.{key}"), &[("text", text)])
        };
        vec![
            say("most", &most),
            say("remediation", &attempts.remediation),
            say("retest", &attempts.retest),
            say("appeal", &attempts.appeal),
        ]
    }
}

/// The labels that the template names.
pub(super) fn labels(words: &Words) -> BTreeMap<String, String> {
    let prefix = "sheet.label.";
    let keys = words.keys().filter_map(|key| key.strip_prefix(prefix));
    keys.map(|key| (key.replace('-', "_"), words.get(&format!("{prefix}{key}"))))
        .collect()
}

/// "page n of m" for `sides` sides after `before` others.
pub(super) fn pages(
    words: &Words,
    sides: usize,
    before: usize,
    all: Option<usize>,
) -> Vec<String> {
    let all = all.unwrap_or(sides).to_string();
    let page = |side: usize| {
        let number = (before + side).to_string();
        words.say("sheet.page", &[("number", &number), ("all", &all)])
    };
    (1..=sides).map(page).collect()
}

/// Cautions in full, in the author's order.
pub(super) fn cautions(course: &Course, ids: &[String]) -> Vec<CautionLine> {
    let known = ids.iter().filter_map(|id| course.cautions.get(id));
    let line = |caution: &crate::course::Caution| CautionLine {
        id: caution.id.clone(),
        signal: signal(caution.signal).to_owned(),
        headline: caution.headline.clone(),
        hazard: caution.hazard.clone(),
        control: caution.control.clone(),
    };
    known.map(line).collect()
}

/// Signal words are those of the standard in every language of the sheet.
const fn signal(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger => "DANGER",
        Signal::Warning => "WARNING",
        Signal::Caution => "CAUTION",
        Signal::Notice => "NOTICE",
    }
}
