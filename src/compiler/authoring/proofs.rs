//! What the questions' draws are worth, as findings with their places.

use super::explain::explain;
use super::library::within;
use super::tree::Trees;
use crate::course::{Course, Draw, Question, QuestionKind, QuestionSet};
use crate::findings::{Code, Finding, Place, Sources};
use crate::quantity::Writing;
use crate::quiz::{
    Depth, KeptProofs, Kit, Prepared, Proof, QuestionFault, question_hash,
};
use crate::wire::Shape;
use crate::words::{Words, nearest};

/// What was proven of all questions of a module.
#[derive(Debug, Clone, Default)]
pub struct Proven {
    /// Questions looked at.
    pub questions: usize,
    /// Usable variants of all of them together.
    pub variants: u64,
    /// Questions that were proven now; the others were kept.
    pub new: usize,
    /// Each question.
    pub each: Vec<ProvenQuestion>,
    /// The proofs without a fault, to be kept.
    pub kept: KeptProofs,
    /// Faults.
    pub findings: Vec<Finding>,
}

/// One question and what its draws are worth.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct ProvenQuestion {
    /// Set.
    pub set: String,
    /// Question.
    pub question: String,
    /// Usable variants: counted, or estimated from the draws that were looked at.
    pub variants: u64,
    /// Draws there are, conditions aside.
    pub grid: u64,
    /// Draws looked at.
    pub seen: usize,
    /// Whether that is all of them.
    pub whole: bool,
    /// Whether it was proven now, not kept from before.
    pub new: bool,
}

/// How questions are proven.
#[derive(Debug, Clone, Copy)]
pub struct ProofWay<'w> {
    /// How much of each grid.
    pub depth: Depth,
    /// What was proven before.
    pub kept: &'w KeptProofs,
    /// Sentences.
    pub words: &'w Words,
}

/// What came out for one question.
#[derive(Debug)]
pub struct Tried {
    hash: Option<String>,
    proof: Proof,
    new: bool,
    findings: Vec<Finding>,
}

/// One question to be tried.
#[derive(Debug)]
pub struct ProofTask<'p> {
    set: &'p QuestionSet,
    at: usize,
    question: &'p Question,
}

/// The questions of a module as tasks: whoever has threads tries several at once, and the
/// order in which they end shows nowhere.
#[derive(Debug)]
pub struct Proofs<'p> {
    course: &'p Course,
    known: &'p [Finding],
    way: ProofWay<'p>,
    trees: Trees,
    tasks: Vec<ProofTask<'p>>,
}

impl<'p> Proofs<'p> {
    /// The tasks of a module.
    ///
    /// `known` are the findings so far: a question that must be fixed anyway is not reported a
    /// second time.
    pub fn of(
        course: &'p Course,
        sources: &Sources,
        known: &'p [Finding],
        way: ProofWay<'p>,
    ) -> Self {
        let sheets: Sources = sources
            .iter()
            .filter(|(file, _)| file.starts_with("questions/"))
            .map(|(file, text)| (file.clone(), text.clone()))
            .collect();
        let trees = Trees::read(&sheets, &mut Vec::new());
        let tasks = course.sets.iter().flat_map(|set| {
            let questions = set.questions.iter().enumerate();
            questions.map(move |(at, question)| ProofTask { set, at, question })
        });
        let tasks = tasks.collect();
        Self { course, known, way, trees, tasks }
    }

    /// The tasks, in the order of the module.
    pub fn tasks(&self) -> &[ProofTask<'p>] {
        &self.tasks
    }

    /// Draws one question and tells what is wrong with it.
    pub fn look(&self, task: &ProofTask<'p>) -> Tried {
        let _numbers = Writing::of(self.course.module.comma);
        let home = Home::of(&self.trees, task.set, task.at, task.question);
        let mut tried = look(self.course, task.set, task.question, self.way);
        if !home.is_at_fault(self.known) && !home.leans_on_fault(self.known) {
            let faults = tried.proof.faults.iter();
            tried.findings =
                faults.map(|fault| home.finding(fault, self.course)).collect();
        }
        tried
    }

    /// Puts together what came out, task by task in their order.
    pub fn told(&self, tried: Vec<Tried>) -> Proven {
        let mut proven = Proven { questions: tried.len(), ..Proven::default() };
        for (task, tried) in self.tasks.iter().zip(tried) {
            let Tried { hash, proof, new, findings } = tried;
            let variants = proof.variants();
            proven.variants = proven.variants.saturating_add(variants);
            proven.new += usize::from(new);
            proven.each.push(ProvenQuestion {
                set: task.set.id.clone(),
                question: task.question.id.clone(),
                variants,
                grid: proof.grid,
                seen: proof.seen,
                whole: proof.whole,
                new,
            });
            // With a fault it is not kept, so that the fault is told again the next time.
            if proof.faults.is_empty() {
                proven.kept.extend(hash.map(|hash| (hash, proof)));
            }
            proven.findings.extend(findings);
        }
        proven
    }

    /// Tries all of them, one after the other.
    pub fn in_order(&self) -> Proven {
        self.told(self.tasks.iter().map(|task| self.look(task)).collect())
    }
}

fn look(
    course: &Course,
    set: &QuestionSet,
    question: &Question,
    way: ProofWay<'_>,
) -> Tried {
    let kit = Kit::of(course, way.words);
    // With depth and calculator in it: what holds for a sample, or with a
    // calculator at hand, is not proven for more.
    let hash = question_hash(question, kit, (way.depth, !set.calculator));
    let kept = hash.as_ref().and_then(|hash| way.kept.get(hash));
    if let Some(proof) = kept {
        return Tried { hash, proof: proof.clone(), new: false, findings: Vec::new() };
    }
    let proof = match Prepared::of(question, kit) {
        Ok(prepared) => {
            let mut proof = prepared.prove(way.depth);
            // Whoever has to work in the head needs numbers that come out round.
            if !set.calculator {
                proof.faults.extend(prepared.not_round(way.depth));
            }
            proof
        }
        Err(faults) => Proof { grid: 0, seen: 0, usable: 0, whole: true, faults },
    };
    Tried { hash, proof, new: true, findings: Vec::new() }
}

/// Where a question stands.
struct Home<'h> {
    trees: &'h Trees,
    file: String,
    at: String,
    question: &'h Question,
}

impl<'h> Home<'h> {
    fn of(
        trees: &'h Trees,
        set: &QuestionSet,
        at: usize,
        question: &'h Question,
    ) -> Self {
        let file = format!("questions/{}.yaml", set.id);
        let at = place_in_list(trees, &file, &question.id).unwrap_or(at).to_string();
        Self { trees, file, at, question }
    }

    fn is_at_fault(&self, known: &[Finding]) -> bool {
        let Some(file) = self.trees.get(&self.file) else { return false };
        let questions = file.child("questions").and_then(|list| list.child(&self.at));
        let Some(node) = questions else { return false };
        known.iter().any(|finding| {
            finding.code.grade() == crate::findings::Grade::MustFix
                && finding.place.as_ref().is_some_and(|place| {
                    place.file == self.file
                        && place.start >= node.start
                        && place.start < node.end.max(node.start + 1)
                })
        })
    }

    /// Whether the sheet of a rig or a drill that it names has a fault of its own, or is missing: what
    /// the question lacks then is told there.
    fn leans_on_fault(&self, known: &[Finding]) -> bool {
        let rigs = self.question.draws.iter().filter_map(|(_, draw)| match draw {
            Draw::FoamLineOf(rig) => Some(rig),
            _ => None,
        });
        let rigs = rigs.chain(&self.question.rig).map(|rig| format!("rigs/{rig}.yaml"));
        let drill = match &self.question.kind {
            QuestionKind::Order { drill, .. } => Some(format!("drills/{drill}.yaml")),
            _ => None,
        };
        let sheets: Vec<String> = rigs.chain(drill).collect();
        known.iter().any(|finding| {
            let place = finding.place.as_ref();
            let missing = finding.code == Code::MissingFile
                && finding.blanks.iter().any(|(_, name)| sheets.contains(name));
            finding.code.grade() == crate::findings::Grade::MustFix
                && (missing || place.is_some_and(|place| sheets.contains(&place.file)))
        })
    }

    fn place(&self, path: &[&str]) -> Place {
        let mut whole = vec!["questions", self.at.as_str()];
        whole.extend(path);
        self.trees.place(&self.file, &whole)
    }

    fn at(&self, code: Code, path: &[&str]) -> Finding {
        Finding::at(code, self.place(path)).with("question", &self.question.id)
    }

    fn unknown<'n>(
        &self,
        path: &[&str],
        (kind, id): (&str, &str),
        known: impl Iterator<Item = &'n str>,
    ) -> Finding {
        let near = nearest(id, known).unwrap_or_default();
        let finding = Finding::at(Code::UnknownId, self.place(path)).with("kind", kind);
        finding.with("id", id).with("nearest", near)
    }

    fn finding(&self, fault: &QuestionFault, course: &Course) -> Finding {
        let words = &course.face.words;
        match fault {
            QuestionFault::NoRig(id) => {
                let path =
                    if self.question.rig.as_ref() == Some(id) { "rig" } else { "draw" };
                let rigs = course.rigs.keys().map(String::as_str);
                self.unknown(&[path], ("rig", id), rigs)
            }
            QuestionFault::NoOutlet(id) => {
                let rig = self.question.rig.as_ref().and_then(|id| course.rigs.get(id));
                let outlets = rig.iter().flat_map(|rig| &rig.outlets);
                let outlets = outlets.map(|outlet| outlet.id.as_str());
                self.unknown(&["outlet"], ("outlet", id), outlets)
            }
            QuestionFault::NoDrill(id) => {
                let drills = course.drills.iter().map(|drill| drill.id.as_str());
                self.unknown(&["drill"], ("drill", id), drills)
            }
            QuestionFault::NoStep(id) => {
                let steps = course.drills.iter().flat_map(|drill| &drill.steps);
                let steps = steps.map(|step| step.id.as_str());
                self.unknown(&["steps"], ("step", id), steps)
            }
            QuestionFault::NoSuchName { given, name } => {
                let drawn = self.question.draws.iter().map(|(name, _)| name.as_str());
                self.unknown(&["ask", "with", given], ("value", name), drawn)
            }
            QuestionFault::NoSuchAnswer(name) => {
                self.unknown(&["ask"], ("formula or answer", name), std::iter::empty())
            }
            QuestionFault::BadCondition(at, fault) => {
                let place = self.place(&["where", &at.to_string()]);
                let place = within(place, fault.start, fault.end);
                explain(Finding::at(Code::BadFormula, place), &fault.kind)
            }
            _ => self.worth(fault, words),
        }
    }

    /// Faults of the question itself and of what is drawn.
    fn worth(&self, fault: &QuestionFault, words: &Words) -> Finding {
        match fault {
            QuestionFault::EmptyDraw(name) => {
                self.at(Code::EmptyDraw, &["draw", name]).with("name", name)
            }
            QuestionFault::EndlessDraw(name) => {
                self.at(Code::EndlessDraw, &["draw", name]).with("name", name)
            }
            QuestionFault::NoSuchBlank(name) => {
                let drawn = self.question.draws.iter().map(|(name, _)| name.as_str());
                let near = nearest(name, drawn).unwrap_or_default();
                let finding = self.at(Code::UnknownBlank, &["text"]).with("name", name);
                finding.with("nearest", near)
            }
            QuestionFault::WrongUnit(text) => {
                self.at(Code::AnswerUnit, &["ask"]).with("found", text)
            }
            QuestionFault::Unworkable { drawn, why, count } => {
                let why = why.say(words);
                let finding = self.at(Code::AnswerOutside, &["draw"]).with("why", why);
                finding.with("drawn", drawn).with("count", count.to_string())
            }
            QuestionFault::FewVariants { usable, wanted } => self
                .at(Code::TooFewVariants, &["draw"])
                .with("usable", usable.to_string())
                .with("wanted", wanted.to_string()),
            QuestionFault::AcceptsSlip(slip) => self
                .at(Code::ToleranceAdmitsSlip, &["tolerance"])
                .with("says", &slip.says)
                .with("drawn", &slip.drawn)
                .with("right", &slip.right)
                .with("wrong", &slip.wrong),
            QuestionFault::NotRound { found, drawn, count } => self
                .at(Code::NotRound, &["draw"])
                .with("found", found)
                .with("drawn", drawn)
                .with("count", count.to_string()),
            QuestionFault::NoOrder => self.at(Code::NoOrder, &["steps"]),
            _ => self.choosing(fault),
        }
    }

    /// Faults of what there is to choose from.
    fn choosing(&self, fault: &QuestionFault) -> Finding {
        match fault {
            QuestionFault::NeverDistinct { slip, says } => self
                .at(Code::SlipNeverDistinct, &["ask"])
                .with("slip", slip)
                .with("says", says),
            QuestionFault::SlipsCollide(one, other) => self
                .at(Code::ChoicesCollide, &["ask"])
                .with("one", one)
                .with("other", other),
            // A check of the sheet speaks of these first, and in the same words.
            QuestionFault::FewSlips { wanted, has } => {
                let formula = match &self.question.kind {
                    QuestionKind::Choice { ask, .. } => ask.feed.formula.clone(),
                    _ => String::new(),
                };
                let finding = self.at(Code::ChoicesCannotBeFilled, &["choices"]);
                let finding = finding.with("found", (wanted + 1).to_string());
                finding.with("formula", formula).with("most", (has + 1).to_string())
            }
            QuestionFault::RightAnswers(count) => self
                .at(Code::RightOptions, &["question"])
                .with("found", count.to_string()),
            QuestionFault::FewOptions(count) => {
                self.at(Code::FewOptions, &[]).with("count", count.to_string())
            }
            QuestionFault::FewVerdicts(count) => {
                self.at(Code::FewVerdicts, &["ask"]).with("count", count.to_string())
            }
            _ => self.at(Code::NoDraw, &["where"]),
        }
    }
}

/// The place of a question in its sheet's list: those that could not be read are not in the
/// course, so counting there would miss it.
fn place_in_list(trees: &Trees, file: &str, id: &str) -> Option<usize> {
    let list = trees.get(file)?.child("questions")?;
    let Shape::List(items) = &list.shape else { return None };
    items
        .iter()
        .position(|item| item.child("question").and_then(|name| name.text()) == Some(id))
}
