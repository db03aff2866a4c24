//! `work`: a formula worked for one set of values, line by line.

mod describe;
mod givens;
mod session;
mod shelf;
mod tell;

use std::path::{Path, PathBuf};

use clap::ValueEnum;
use serde_json::json;

use self::shelf::{Shelf, needed};
use crate::authoring;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::findings::Sources;
use crate::formulas::{Formula, System};
use crate::workshop::{Trouble, read_folder};

/// Work out a formula, line by line
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Work out a formula line by line, as it stands on the board: what is given, \
                  the working in words and in numbers, the answer, and where people go wrong. \
                  Without values it says what the formula needs.",
    after_help = "Examples:\n  \
      drillwright work --list\n  \
      drillwright work --list flush\n  \
      drillwright work concentrate-flow\n  \
      drillwright work concentrate-flow \"flow=95 gpm\" \"percent=0.5 %\"\n  \
      drillwright work concentrate-flow flow=360L/min percent=0.5% --units si\n  \
      drillwright work --code C9C9-AGZE-ZC01-2BA4-65    a practice session of a page\n\n\
      Where a formula takes rows, a semicolon ends a row and a comma a value. The values stand \
      in the order of the columns, or behind the column's name and a colon:\n  \
      drillwright work flush-time \"sections=1.75 in, 200 ft; 1 in, 50 ft\" \"flow=95 gpm\" volumes=3\n  \
      drillwright work flush-time \"sections=length: 200 ft, bore: 1.75 in\" \"flow=95 gpm\" volumes=3"
)]
pub(in crate::cli) struct Arguments {
    /// Name of the formula; with --list, a word to look for
    #[arg(required_unless_present_any = ["list", "code"])]
    formula: Option<String>,
    /// What is given, each as name=value with its unit
    #[arg(value_name = "NAME=VALUE")]
    values: Vec<String>,
    /// Units of the working; those of the module when none are named
    #[arg(long, value_enum)]
    units: Option<Units>,
    /// List the formulas
    #[arg(long)]
    list: bool,
    /// Show the questions of a practice session by the code that its page shows
    #[arg(long, value_name = "CODE", conflicts_with_all = ["formula", "list", "units"])]
    code: Option<String>,
    /// Folder of the module whose own formulas and figures count too [default: content, where
    /// there is one]
    #[arg(long, value_name = "DIR")]
    content: Option<PathBuf>,
}

/// The units a working is shown in.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Units {
    /// Gallons, feet, psi.
    Us,
    /// Litres, metres, kPa.
    Si,
    /// Litres, metres, bar.
    SiBar,
}

impl Arguments {
    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        self.content.as_deref().unwrap_or(Path::new("content"))
    }
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    if let Some(code) = &arguments.code {
        let content = arguments.content.as_deref().unwrap_or(Path::new("content"));
        return session::run(content, code, terminal);
    }
    let shelf = shelf(arguments, terminal)?;
    if arguments.list {
        let word = arguments.formula.as_deref().unwrap_or_default();
        return Ok(describe::list(&shelf, word, terminal));
    }
    let name = arguments.formula.as_deref().unwrap_or_default();
    let Some(formula) = shelf.library.formula(name) else {
        let words = &terminal.words;
        terminal.talk(&words.say("cli.work.unknown-formula", &[("formula", name)]));
        if let Some(near) = shelf.library.nearest(name) {
            terminal.talk(&words.say("cli.work.nearest", &[("nearest", &near)]));
        }
        terminal.talk(&words.get("cli.work.listing"));
        return Ok(End::ToFix);
    };
    // A formula that needs nothing is worked at once, even where nothing was typed.
    if arguments.values.is_empty() && formula.givens.iter().any(needed) {
        describe::formula(&shelf, formula, terminal);
        return Ok(End::Done);
    }
    Ok(work(&shelf, formula, &arguments.values, terminal))
}

fn work(shelf: &Shelf, formula: &Formula, values: &[String], terminal: &Terminal) -> End {
    let inputs = match givens::read(formula, values, shelf.system, terminal) {
        Ok(inputs) => inputs,
        Err(faults) => {
            refused(formula, &faults, terminal);
            return End::ToFix;
        }
    };
    match shelf.library.work(&formula.id, &inputs, shelf.system) {
        Ok(worked) if terminal.for_machine() => terminal.json(&worked),
        Ok(worked) => terminal.data(&tell::worked(
            &worked,
            shelf.wording(&terminal.words),
            terminal,
        )),
        Err(fault) => {
            let words = &terminal.words;
            refused(formula, &[fault.say(words)], terminal);
            let given = fault
                .given
                .as_ref()
                .and_then(|name| formula.givens.iter().find(|given| given.name == *name));
            if let Some(given) = given {
                let example = givens::assignment(given, shelf.system);
                let blanks = [("example", example.as_str())];
                terminal.talk(&words.say("cli.work.write-given", &blanks));
            }
            return End::ToFix;
        }
    }
    End::Done
}

/// Says why there is no answer; another program reads it where the answer would stand.
fn refused(formula: &Formula, faults: &[String], terminal: &Terminal) {
    terminal.talk(&faults.join("\n"));
    if terminal.for_machine() {
        terminal.json(&json!({ "formula": formula.id, "faults": faults }));
    }
}

/// The module's formulas, or those of the trade where there is no module.
fn shelf(arguments: &Arguments, terminal: &Terminal) -> Result<Shelf, Fault> {
    let named = arguments.content.as_deref();
    let sources = match read_folder(named.unwrap_or(Path::new("content"))) {
        Ok((folder, _)) => folder.texts,
        // The usual folder may be missing; one that was named must be there.
        Err(fault) if named.is_none() && fault.trouble == Trouble::NotThere => {
            Sources::new()
        }
        Err(fault) => return Err(fault.into()),
    };
    let system = match arguments.units {
        Some(Units::Us) => System::Us,
        Some(Units::Si) => System::Si,
        Some(Units::SiBar) => System::SiBar,
        None => terminal.system,
    };
    let (library, _) = authoring::library_in(&sources, system);
    let sources = authoring::short_sources(&sources, &terminal.words);
    Ok(Shelf { library, sources, system })
}
