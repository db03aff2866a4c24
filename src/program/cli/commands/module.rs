//! A module's folder read, checked and its questions tried: what `inspect`, `compile` and
//! `score` begin with.

use std::path::Path;

use rayon::iter::{IndexedParallelIterator, IntoParallelRefIterator, ParallelIterator};
use serde_json::json;

use super::report;
use crate::authoring::{self, Options, ProofWay, Proofs, Proven};
use crate::cli::progress::Progress;
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::findings::{self, Finding, Printed, Sources, first_of_each_file};
use crate::quantity::Writing;
use crate::quiz::{Depth, KeptProofs};
use crate::workshop::{Folder, WorldFault, read_folder};

/// A module as it was found.
#[derive(Debug)]
pub(super) struct Module {
    /// Files.
    pub(super) folder: Folder,
    /// The course, whenever it could be put together.
    pub(super) course: Option<Course>,
    /// Everything that is wrong, in the order in which it is mended.
    pub(super) findings: Vec<Finding>,
    /// What a command tells of a module, it tells in the numbers of the module.
    #[expect(dead_code, reason = "numbers are written so while it stands")]
    numbers: Writing,
}

impl Module {
    /// Reads and checks a folder.
    pub(super) fn read(content: &Path, draft: bool) -> Result<Self, WorldFault> {
        let (folder, found) = read_folder(content)?;
        Ok(Self::of(folder, found, draft))
    }

    /// Checks a folder that has been read.
    pub(super) fn of(folder: Folder, mut findings: Vec<Finding>, draft: bool) -> Self {
        let others = folder.others.keys().cloned().collect();
        let (course, found) = authoring::read(&folder.texts, &others, Options { draft });
        findings.extend(found);
        findings::sort(&mut findings);
        let comma = course.as_ref().map(|course| course.module.comma);
        let numbers = Writing::of(comma.unwrap_or_default());
        Self { folder, course, findings, numbers }
    }

    /// Tries the questions and adds what is wrong with them. What was kept of earlier proofs is
    /// not tried again.
    pub(super) fn prove(
        &mut self,
        depth: Depth,
        kept: &KeptProofs,
        terminal: &Terminal,
    ) -> Proven {
        let Some(course) = &self.course else { return Proven::default() };
        let way = ProofWay { depth, kept, words: &terminal.words };
        let proofs = Proofs::of(course, &self.folder.texts, &self.findings, way);
        let progress = Progress::new(terminal, proofs.tasks().len(), "proving");
        // One question can take as long as all others together: each is a piece of its own.
        let tasks = proofs.tasks().par_iter().with_max_len(1);
        let tried = tasks.map(|task| {
            let tried = proofs.look(task);
            progress.step();
            tried
        });
        let proven = proofs.told(tried.collect());
        self.findings.extend(proven.findings.iter().cloned());
        findings::sort(&mut self.findings);
        proven
    }

    /// Whether anything must be fixed before pages are made.
    pub(super) fn blocks(&self) -> bool {
        match &self.course {
            // What could not be put together has no page, whatever its findings say.
            None => true,
            Some(course) if course.draft => findings::blocks_draft(&self.findings),
            Some(_) => findings::blocks(&self.findings),
        }
    }

    /// The course, where pages and forms can be made of it. Where they cannot, it is told why:
    /// `list` is what a machine was to get a list of, and `last` the sentence that ends the
    /// findings.
    pub(super) fn sound(
        &self,
        (content, terminal): (&Path, &Terminal),
        list: &str,
        last: &str,
    ) -> Option<&Course> {
        let course = self.course.as_ref().filter(|_| !self.blocks());
        if course.is_none() {
            let found = self.printed(terminal);
            if terminal.for_machine() {
                // A list that is empty and not missing: whoever counts what was made counts none.
                terminal.json(&json!({ list: [], "findings": found }));
            } else {
                terminal.data(&report::findings(&found, content, terminal));
                terminal.data(last);
            }
        }
        course
    }

    /// The findings with their sentences and lines.
    pub(super) fn printed(&self, terminal: &Terminal) -> Vec<Printed> {
        let sources = with_trade(&self.folder.texts);
        let print = |finding| findings::printed(finding, &sources, &terminal.words);
        first_of_each_file(self.findings.clone()).iter().map(print).collect()
    }
}

/// The texts that findings may point into.
fn with_trade(texts: &Sources) -> Sources {
    let mut all = texts.clone();
    if !all.keys().any(|file| file.starts_with("trade/")) {
        all.extend(crate::stock::trade());
    }
    all
}
