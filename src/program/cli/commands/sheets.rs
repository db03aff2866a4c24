//! `sheets`: numbered sign-off sheets with drawn orders, and the file that scores them.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::module::Module;
use super::papers::{LARGEST, few_enough, tell_written, text};
use super::{keys, seed};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::{Course, Drill, Rig};
use crate::fingerprint::short_code;
use crate::publish::Shared;
use crate::publish::sheet::{drawn_pages, fits};
use crate::quiz::{self, key};
use crate::scoring::{DrawnForms, DrawnSheet, Kit, NoSheets, drawn_sheets, most_sheets};
use crate::workshop::{find_files, keep_apart, write_files};

/// The folder of the site that holds the numbered sheets.
const SHEETS: &str = "keys/sheets";

/// The file of a sheets folder that `score` reads. It does not end like the forms files of
/// papers, because `mark` reads all of those.
const DRAWN: &str = "drawn.json";

/// Make numbered sign-off sheets with drawn orders
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Make numbered sign-off sheets of a drill on a rig, for officers. Each has its \
                  own numbers: the order that can be followed, the one that must be refused, the \
                  outlet, as the drill draws them; what the candidate should say and set is \
                  printed beside them. A file beside them holds what score needs.",
    after_help = "Examples:\n  \
      drillwright sheets percent-change --copies 12\n  \
      drillwright sheets startup --rig engine-7 --first 13 --copies 12     twelve more\n  \
      drillwright sheets totals --seed new           from a seed that is made\n\n\
      No two sheets of one seed have the same numbers. Without --seed that of the site is used, \
      so sheets that are made later go on where the first ones ended: say --first. Each sheet \
      is for one run; write its form code on the run sheet as form, and score compares it."
)]
pub(in crate::cli) struct Arguments {
    /// Drill
    #[arg(value_name = "DRILL")]
    drill: String,
    /// Rig; needed where the drill can be run on several
    #[arg(long, value_name = "RIG")]
    rig: Option<String>,
    /// How many sheets
    #[arg(long, value_name = "N", default_value_t = 8)]
    copies: u32,
    /// Number of the first one
    // More than ten thousand sheets of one drill are a slip of the keyboard: it would be drawn,
    // and printed, for an hour.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    first: u32,
    /// Words or letters from which the numbers are drawn, 64 bits of chance at least; new has
    /// them made
    #[arg(long, value_name = "TEXT", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    seed: Option<String>,
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder of the site; the sheets go into a folder of their own in keys/sheets
    #[arg(long, value_name = "DIR", default_value = "site")]
    site: PathBuf,
    /// Folder the sheets are written to, instead of one in the site
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

impl Arguments {
    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        &self.content
    }
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let words = &terminal.words;
    few_enough(arguments.copies, terminal)?;
    // What was drawn must not go wherever the module goes.
    keep_apart(&arguments.content, arguments.out.as_ref().unwrap_or(&arguments.site))?;
    let module = Module::read(&arguments.content, false)?;
    let typed = arguments.seed.as_deref();
    let seed = seed::choose(typed, &arguments.site, (&module.folder, terminal))?;
    let made = (arguments.content.as_path(), terminal);
    let Some(course) = module.sound(made, "sheets", &words.get("cli.not-published"))
    else {
        return Ok(End::ToFix);
    };
    let (drill, rig) = chosen(course, arguments, terminal)?;
    let kit = Kit::of(course, drill, rig, words)
        .map_err(|fault| broken(&fault.to_string(), terminal))?;
    let sheets = drawn(course, &kit, &seed, arguments, terminal)?;
    let shared = Shared::new(course, words, "")
        .map_err(|fault| broken(&fault.to_string(), terminal))?;
    let mut files = drawn_pages(&shared, (drill, rig, &kit), &sheets, None)
        .map_err(|fault| broken(&fault.to_string(), terminal))?;
    let forms = DrawnForms::of(words, &seed, sheets);
    files.insert(DRAWN.to_owned(), text(&forms));
    let dir = match &arguments.out {
        Some(out) => out.clone(),
        None => keys::guarded(&arguments.site)?
            .join(SHEETS)
            .join(name(arguments, &kit, &seed)),
    };
    let written = write_files(&dir, &files)?;
    tell((drill, rig), &forms.sheets, (&dir, files.len(), &written), terminal);
    Ok(End::Done)
}

/// The drill and the rig it is drawn for.
fn chosen<'c>(
    course: &'c Course,
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<(&'c Drill, &'c Rig), Fault> {
    let said = |key: &str, known: Vec<&str>| {
        let known = known.join(", ");
        let rig = arguments.rig.as_deref().unwrap_or_default();
        let blanks =
            [("drill", arguments.drill.as_str()), ("rig", rig), ("known", &known)];
        // words: cli.numbered.{said(..)}
        Fault::Said(terminal.words.say(&format!("cli.numbered.{key}"), &blanks))
    };
    let drill = course.drill(&arguments.drill).ok_or_else(|| {
        said("unknown-drill", course.drills.iter().map(|d| d.id.as_str()).collect())
    })?;
    let rigs: Vec<&Rig> = course.rigs.values().filter(|rig| fits(drill, rig)).collect();
    let known = || rigs.iter().map(|rig| rig.id.as_str()).collect();
    let rig = match (&arguments.rig, rigs.as_slice()) {
        (Some(id), _) => rigs.iter().find(|rig| rig.id == *id).copied(),
        (None, [rig]) => Some(*rig),
        // Not the first of several: sheets of the wrong rig look
        // right until the day of the run.
        (None, _) => return Err(said("which-rig", known())),
    };
    Ok((drill, rig.ok_or_else(|| said("no-rig", known()))?))
}

/// The sheets that were asked for.
fn drawn(
    course: &Course,
    kit: &Kit,
    seed: &str,
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<Vec<DrawnSheet>, Fault> {
    let words = &terminal.words;
    let at = quiz::Kit::of(course, words);
    // Drawn from the first on, whichever are wanted: each is drawn past those before it,
    // so that none has the numbers of another.
    let last = arguments.first.saturating_add(arguments.copies - 1);
    let sheets = drawn_sheets(kit, at, seed, last).map_err(|no| {
        let most = match no {
            NoSheets::NothingDrawn => None,
            NoSheets::Only(most) => Some(most),
            NoSheets::Faults(_) => most_sheets(kit, at).ok(),
        };
        let (drill, rig) = (kit.drill().title.as_str(), kit.rig().title.as_str());
        let most = most.map(|most| most.to_string());
        Fault::Said(match &most {
            None => words.say("cli.numbered.nothing", &[("drill", drill)]),
            Some(most) => words.say(
                "cli.numbered.only",
                &[("drill", drill), ("rig", rig), ("most", most)],
            ),
        })
    })?;
    Ok(sheets.into_iter().filter(|sheet| sheet.number >= arguments.first).collect())
}

/// The folder of one run: drill, rig and a one-way hash of what it was made from.
fn name(arguments: &Arguments, kit: &Kit, seed: &str) -> String {
    let (first, copies) = (arguments.first.to_string(), arguments.copies.to_string());
    let (drill, rig) = (&kit.drill().id, &kit.rig().id);
    // The seed itself must not stand in the name of a folder; what a changed drill or card
    // draws goes beside what was printed before.
    let parts =
        ["sheets", kit.drill_revision(), kit.rig_revision(), seed, &first, &copies];
    format!("{drill}-{rig}-{}", short_code(&key(&parts), 8))
}

fn broken(reason: &str, terminal: &Terminal) -> Fault {
    Fault::Said(terminal.words.say("cli.broken", &[("reason", reason)]))
}

/// The forms of numbered sheets in the site and in folders that were named. A file that was
/// changed since it was made is not read.
pub(super) fn known_forms(
    folders: &[PathBuf],
    site: &Path,
    terminal: &Terminal,
) -> Result<Vec<DrawnForms>, Fault> {
    let mut all = Vec::new();
    for folder in folders.iter().chain(&keys::folders(site)) {
        for (path, bytes) in find_files(folder, DRAWN, LARGEST)? {
            let read: Option<DrawnForms> = serde_json::from_slice(&bytes).ok();
            let path = path.display().to_string();
            let changed = || {
                let said = terminal.words.say("cli.numbered.forms", &[("path", &path)]);
                Fault::Said(said)
            };
            all.push(read.filter(DrawnForms::is_sound).ok_or_else(changed)?);
        }
    }
    Ok(all)
}

fn tell(
    (drill, rig): (&Drill, &Rig),
    sheets: &[DrawnSheet],
    (dir, files, written): (&Path, usize, &[String]),
    terminal: &Terminal,
) {
    let index = dir.join("index.html").display().to_string();
    let forms = dir.join(DRAWN).display().to_string();
    if terminal.for_machine() {
        let row =
            |sheet: &DrawnSheet| json!({ "number": sheet.number, "code": sheet.code });
        terminal.json(&json!({
            "open": index,
            "forms": forms,
            "sheets": sheets.iter().map(row).collect::<Vec<_>>(),
            "written": written,
            "findings": [],
        }));
        return;
    }
    let words = &terminal.words;
    let count = sheets.len().to_string();
    let blanks =
        [("count", count.as_str()), ("drill", &drill.title), ("rig", &rig.title)];
    terminal.data(&terminal.strong(&words.say("cli.numbered.made", &blanks)));
    for sheet in sheets {
        let number = format!("{:>3}", sheet.number);
        let blanks = [("number", number.as_str()), ("code", sheet.code.as_str())];
        terminal.data(&format!("  {}", words.say("cli.numbered.row", &blanks)));
    }
    tell_written((files, written), &index, terminal);
    terminal.data(&words.say("cli.numbered.staff", &[("forms", &forms)]));
}
