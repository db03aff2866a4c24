//! `compare`: what changed between two revisions of a module.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::layout::wrapped;
use super::module::Module;
use super::touched::{Touched, cards_kept, cards_of, touched};
use crate::authoring;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::Kept;
use crate::fingerprint::NotCanonical;
use crate::quantity::Writing;
use crate::scoring::{Change, Compared, compare};
use crate::workshop::read_file;

/// Tell what changed between two revisions
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Tell what changed between two revisions of a module: in steps, criticals, \
                  standards and figures, on the rest of the drills' sheets, in concentrates, and \
                  in who permits what. Each of the two is the folder of a module, or a file that revise has kept.",
    after_help = "Examples:\n  \
      drillwright compare last-year/content content\n  \
      drillwright compare content/revisions/drill-flush-1a2b3c4d.json content\n\n\
      With a file that holds one drill or one rig, only that drill or rig is compared.\n\
      Where figures changed, the pages that are other pages by them are listed, and the texts\n\
      that name them or hold their old numbers."
)]
pub(in crate::cli) struct Arguments {
    /// As it was: the folder of a module, or a kept file
    old: PathBuf,
    /// As it is: the same
    new: PathBuf,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let (old, new) = (side(&arguments.old, terminal)?, side(&arguments.new, terminal)?);
    let touches = match (&old, &new) {
        (Side::Module(old, _), Side::Module(new, _)) => {
            touched(new, &cards_of(old), &terminal.words)
        }
        (Side::Kept(kept), Side::Module(module, _))
        | (Side::Module(module, _), Side::Kept(kept)) => {
            touched(module, &cards_kept(kept), &terminal.words)
        }
        // Two files know no page and no text.
        (Side::Kept(_), Side::Kept(_)) => Some(Touched::default()),
    };
    let (old, new) = match (old, new) {
        (Side::Kept(kept), Side::Module(_, module)) => {
            let module = only(module.kept, &kept);
            (alone(kept), alone(module))
        }
        (Side::Module(_, module), Side::Kept(kept)) => {
            (alone(only(module.kept, &kept)), alone(kept))
        }
        (Side::Kept(a), Side::Kept(b)) => (alone(a), alone(b)),
        (Side::Module(_, a), Side::Module(_, b)) => (a, b),
    };
    // The two modules have brought their own signs along and taken them away again.
    let _numbers = Writing::of(terminal.comma);
    let changes = compare(&old, &new, &terminal.words);
    if terminal.for_machine() {
        terminal.json(&json!({ "changes": changes, "touches": touches }));
    } else {
        terminal.data(&told(&changes, terminal));
        if !changes.is_empty() {
            terminal.data(&told_touched(touches.as_ref(), terminal));
        }
    }
    Ok(End::Done)
}

impl Arguments {
    /// Folder of the module whose figures are told: of two the newer, of a folder and a kept file
    /// the folder.
    pub(in crate::cli) fn content(&self) -> &Path {
        let kept = self.new.extension().is_some_and(|end| end == "json");
        if kept { &self.old } else { &self.new }
    }
}

/// What is compared.
enum Side {
    Module(Box<Module>, Compared),
    Kept(Kept),
}

/// A kept file by itself: it knows neither concentrates nor local procedures.
fn alone(kept: Kept) -> Compared {
    Compared { kept, ..Compared::default() }
}

fn side(path: &Path, terminal: &Terminal) -> Result<Side, Fault> {
    let words = &terminal.words;
    if path.extension().is_some_and(|end| end == "json") {
        let text = read_file(path, 20_000_000)?;
        let text = String::from_utf8_lossy(&text).into_owned();
        let path = path.display().to_string();
        return authoring::kept_file(&text, words).map(Side::Kept).map_err(|reason| {
            let blanks = [("path", path.as_str()), ("reason", &reason)];
            Fault::Said(words.say("compare.unusable", &blanks))
        });
    }
    let module = Module::read(path, false)?;
    // What has something to fix has no revision that could be compared.
    let Some(course) = module.course.as_ref().filter(|_| !module.blocks()) else {
        let path = path.display().to_string();
        return Err(Fault::Said(words.say("compare.module", &[("path", &path)])));
    };
    let compared = Compared::of(course).map_err(|fault| broken(&fault, terminal))?;
    Ok(Side::Module(Box::new(module), compared))
}

/// Of a module what the other side has too: a file holds one drill or one rig.
fn only(mut module: Kept, kept: &Kept) -> Kept {
    module
        .drills
        .retain(|_, one| kept.drills.values().any(|k| k.drill.id == one.drill.id));
    module.rigs.retain(|_, one| kept.rigs.values().any(|k| k.id == one.id));
    module
}

fn broken(fault: &NotCanonical, terminal: &Terminal) -> Fault {
    let reason = fault.to_string();
    Fault::Said(terminal.words.say("cli.broken", &[("reason", &reason)]))
}

/// The pages and texts that the changed figures touch.
fn told_touched(touched: Option<&Touched>, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let Some(touched) = touched else {
        return wrapped(&words.get("compare.touches-not-known"), "");
    };
    let mut out = String::new();
    let texts = touched.texts.iter().map(|text| {
        let line = text.line.to_string();
        let blanks =
            [("file", text.file.as_str()), ("line", &line), ("found", &text.found)];
        words.say("compare.text", &blanks)
    });
    let texts: Vec<String> = texts.collect();
    for (head, all) in
        [("compare.touches-pages", &touched.pages), ("compare.touches-texts", &texts)]
    {
        if !all.is_empty() {
            out.push_str(&format!("\n{}\n", terminal.strong(&words.get(head))));
            for one in all {
                out.push_str(&wrapped(one, "  "));
            }
        }
    }
    out
}

fn told(changes: &[Change], terminal: &Terminal) -> String {
    let words = &terminal.words;
    if changes.is_empty() {
        return words.get("compare.same");
    }
    let mut out = String::new();
    let mut head = None;
    for change in changes {
        let here = Some((&change.of, change.part));
        if head != here {
            // words: compare.part.{Part}
            let part = words.get(&format!("compare.part.{}", change.part.key()));
            let blanks = [("of", change.of.join(", ")), ("part", part)];
            let blanks: Vec<_> = blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
            let gap = if out.is_empty() { "" } else { "\n" };
            let said = terminal.strong(&words.say("compare.head", &blanks));
            out.push_str(&format!("{gap}{said}\n"));
            head = here;
        }
        let (old, new) = (change.old.as_deref(), change.new.as_deref());
        let key = match (old, new) {
            (None, _) => "added",
            (_, None) => "gone",
            _ => "changed",
        };
        let blanks = [
            ("what", change.what.as_str()),
            ("old", old.unwrap_or_default()),
            ("new", new.unwrap_or_default()),
        ];
        // words: compare.{added|gone|changed}
        out.push_str(&wrapped(&words.say(&format!("compare.{key}"), &blanks), "  "));
    }
    out
}
