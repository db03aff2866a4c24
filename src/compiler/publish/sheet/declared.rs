//! What is declared before the start and written after the end: fields, boxes, people.

use super::values::Bench;
use super::view::{Field, LocalLine, RoleLine, Tick};
use crate::course::{Decision, Mode, RunSheet, RunUse, StopCause};
use crate::quantity::Quantity;
use crate::scoring::{Outcome, Verdict};

impl Bench<'_> {
    fn field(self, key: &str, width: u8, value: Option<String>) -> Field {
        // words: sheet.field.{self.field(..)|self.person(..)}
        let label = self.words.get(&format!("sheet.field.{key}"));
        Field { label, value, private: false, width }
    }

    fn person(self, key: &str, width: u8, id: Option<&str>) -> Field {
        let value = id.map(|id| self.name(id));
        Field { private: value.is_some(), ..self.field(key, width, value) }
    }

    pub(super) fn name(self, id: &str) -> String {
        let person = self.course.people.get(id);
        person.map_or_else(
            || id.to_owned(),
            |person| {
                let blanks =
                    [("rank", person.rank.as_str()), ("name", person.name.as_str())];
                self.words.say("sheet.person", &blanks)
            },
        )
    }

    pub(super) fn head(self, run: Option<&RunSheet>) -> Vec<Field> {
        let outlet = run.map(|run| {
            let outlet = self.kit.rig().outlet(&run.outlet);
            outlet.map_or_else(|| run.outlet.clone(), |outlet| outlet.title.clone())
        });
        let later = run.map(|run| {
            let same = || self.words.get("sheet.same-time");
            run.entered_at.clone().unwrap_or_else(same)
        });
        vec![
            self.person("candidate", 2, run.map(|run| run.candidate.as_str())),
            self.field("run", 2, run.map(|run| run.id.clone())),
            self.field("attempt", 1, run.map(|run| run.attempt.to_string())),
            self.field("outlet", 1, outlet),
            self.field("performed", 2, run.map(|run| run.performed_at.clone())),
            self.field("entered", 2, later),
            self.field("weather", 1, run.map(|run| run.weather.clone())),
            self.field("light", 1, run.map(|run| run.light.clone())),
        ]
    }

    pub(super) fn uses(self, run: Option<&RunSheet>) -> Vec<Tick> {
        let tick = |(_, known): &(&str, RunUse)| {
            let on = run.is_some_and(|run| run.use_ == *known);
            // words: sheet.use.{RunUse}
            Tick::new(self.words.get(&format!("sheet.use.{}", known.key())), on)
        };
        RunUse::ALL.iter().map(tick).collect()
    }

    pub(super) fn modes(self, run: Option<&RunSheet>) -> Vec<Tick> {
        let tick = |mode: &Mode| {
            let key = mode.key();
            let blanks = [
                // words: sheet.mode-letter.{Mode}
                ("letter", self.words.get(&format!("sheet.mode-letter.{key}"))),
                // words: sheet.mode.{Mode}
                ("mode", self.words.get(&format!("sheet.mode.{key}"))),
            ];
            let blanks: Vec<_> = blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
            let on = run.is_some_and(|run| run.mode == *mode);
            Tick::new(self.words.say("sheet.mode-box", &blanks), on)
        };
        self.kit.drill().modes.iter().map(tick).collect()
    }

    pub(super) fn roles(self, run: Option<&RunSheet>) -> Vec<RoleLine> {
        let line = |role: &crate::course::Role| {
            let name = run.map(|run| {
                if run.role == role.id {
                    return self.name(&run.candidate);
                }
                let person = run.crew.get(&role.id);
                person.map_or_else(String::new, |person| self.name(person))
            });
            RoleLine { title: role.title.clone(), scored: role.scored, name }
        };
        self.kit.drill().roles.iter().map(line).collect()
    }

    pub(super) fn staff(self, run: Option<&RunSheet>) -> Vec<Field> {
        let time = self.kit.drill().time.as_ref();
        let watch = time.map(|time| {
            let blanks =
                [("who", time.watch.as_str()), ("step", &time.resolution.printed())];
            self.words.say("sheet.watch", &blanks)
        });
        let none = || self.words.get("sheet.no-watch");
        let watch = watch.or_else(|| run.map(|_| none()));
        let judge = run.map(|run| &run.evaluator);
        let private = |field: Field| Field { private: run.is_some(), ..field };
        vec![
            self.person("evaluator", 2, judge.map(|judge| judge.person.as_str())),
            private(self.field(
                "qualification",
                2,
                judge.map(|judge| judge.qualification.clone()),
            )),
            private(self.field("relation", 2, judge.map(|judge| judge.relation.clone()))),
            self.person("safety-officer", 2, run.map(|run| run.safety_officer.as_str())),
            self.field(
                "stop-word",
                2,
                Some(run.map_or_else(
                    || self.kit.drill().stop.word.clone(),
                    |run| run.stop_word.clone(),
                )),
            ),
            self.field(
                if time.is_some() { "watch-holder" } else { "watch-free" },
                2,
                watch,
            ),
        ]
    }

    pub(super) fn stop(self, run: Option<&RunSheet>) -> Vec<Field> {
        let stop = run.and_then(|run| run.stop.as_ref());
        let none = run.map(|_| self.words.get("sheet.nobody"));
        let by = stop.map(|stop| self.name(&stop.by)).or(none);
        let why =
            stop.map(|stop| stop.why.clone()).or_else(|| run.map(|_| String::new()));
        vec![
            Field { private: run.is_some(), ..self.field("stopped-by", 3, by) },
            Field { private: run.is_some(), ..self.field("stopped-why", 3, why) },
        ]
    }

    pub(super) fn causes(self, run: Option<&RunSheet>) -> Vec<Tick> {
        let cause = run.and_then(|run| run.stop.as_ref()).map(|stop| stop.cause);
        let tick = |(_, known): &(&str, StopCause)| {
            // words: sheet.cause.{StopCause}
            let label = self.words.get(&format!("sheet.cause.{}", known.key()));
            Tick::new(label, cause == Some(*known))
        };
        StopCause::ALL.iter().map(tick).collect()
    }

    pub(super) fn outcomes(self, verdict: Option<&Verdict>) -> Vec<Tick> {
        let tick = |known: &Outcome| {
            // words: sheet.outcome.{Outcome}
            let label = self.words.get(&format!("sheet.outcome.{}", known.key()));
            Tick::new(label, verdict.is_some_and(|verdict| verdict.outcome == *known))
        };
        Outcome::ALL.iter().map(tick).collect()
    }

    pub(super) fn after(self, run: Option<&RunSheet>) -> Vec<Field> {
        let text = |read: fn(&RunSheet) -> &Option<String>| {
            run.map(|run| read(run).clone().unwrap_or_default())
        };
        let private = |field: Field| Field { private: run.is_some(), ..field };
        vec![
            private(self.field("void", 3, text(|run| &run.void))),
            private(self.field("notes", 3, text(|run| &run.notes))),
            private(self.field("remediation", 3, text(|run| &run.remediation))),
            private(self.field("words", 3, text(|run| &run.words))),
        ]
    }

    /// Lines for signatures stay empty: a typed name is none.
    pub(super) fn signatures(self) -> Vec<Field> {
        // words: sheet.field.{candidate-signs|evaluator-signs|safety-signs}
        ["candidate-signs", "evaluator-signs", "safety-signs"]
            .into_iter()
            .map(|key| self.field(key, 2, None))
            .collect()
    }

    pub(super) fn order_seen(self, run: Option<&RunSheet>) -> Field {
        let steps = &self.kit.drill().steps;
        let number = |id: &String| {
            let at = steps.iter().position(|step| step.id == *id)?;
            Some((at + 1).to_string())
        };
        let value = run.map(|run| {
            let seen = run.order_seen.as_ref();
            seen.map_or_else(
                || self.words.get("sheet.order-not-written"),
                |seen| seen.iter().filter_map(number).collect::<Vec<_>>().join(" "),
            )
        });
        self.field("order-seen", 4, value)
    }

    /// Whose back of the leaf it is: a copy of one side still says so.
    pub(super) fn again(self, run: Option<&str>, candidate: Option<&str>) -> Field {
        let name = candidate.map(|id| self.name(id));
        let parts = [run.map(str::to_owned), name];
        let known: Vec<String> = parts.into_iter().flatten().collect();
        let value = (!known.is_empty()).then(|| known.join(" · "));
        Field { private: candidate.is_some(), ..self.field("again", 2, value) }
    }

    pub(super) fn watch(self, run: Option<&RunSheet>) -> Vec<Field> {
        if self.kit.drill().time.is_none() {
            return Vec::new();
        }
        let time = run.map(|run| run.time.as_ref());
        let taken = time.map(|time| time.map_or_else(String::new, |t| t.taken.printed()));
        let held = time.map(|time| {
            let held = time.and_then(|time| time.held.as_ref());
            held.map_or_else(String::new, Quantity::printed)
        });
        vec![self.field("taken", 3, taken), self.field("held", 3, held)]
    }

    pub(super) fn time(self) -> String {
        let Some(time) = &self.kit.drill().time else {
            return String::new();
        };
        let (within, step) = (time.within.printed(), time.resolution.printed());
        let holds = time.holds.join("; ");
        self.words.say(
            "sheet.time",
            &[
                ("within", within.as_str()),
                ("start", time.starts_at.as_str()),
                ("stop", time.stops_at.as_str()),
                ("step", step.as_str()),
                ("source", time.source.as_str()),
                ("holds", holds.as_str()),
            ],
        )
    }

    pub(super) fn local(self) -> Vec<LocalLine> {
        let drill = self.kit.drill();
        let steps = drill.steps.iter().filter_map(|step| step.local.as_ref());
        let mut ids: Vec<&String> = Vec::new();
        for id in drill.local.iter().chain(steps) {
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
        let topics = ids.into_iter().filter_map(|id| self.course.topic(id));
        topics
            .map(|topic| LocalLine {
                title: topic.title.clone(),
                decision: match &topic.decision {
                    Decision::NotDecidedYet => None,
                    Decision::Decided { rule, by, on } => {
                        let blanks = [
                            ("rule", rule.as_str()),
                            ("by", by.as_str()),
                            ("on", on.as_str()),
                        ];
                        Some(self.words.say("sheet.decided", &blanks))
                    }
                },
                asks: topic.asks.clone(),
            })
            .collect()
    }
}
