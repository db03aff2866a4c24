//! The command line: arguments in, exit code out.
//!
//! One file per command in `commands`; the terminal is the one mouth. This room reads the
//! arguments and the few variables of the environment, and asks the system for chance when a
//! paper's seed is wanted. It never computes anything of the trade.
//!
//! To add a command: one file in `commands`, one line in [`Command`] and one in its `run`,
//! and a transcript in `tests/transcripts`.

mod arguments;
mod commands;
mod end;
mod progress;
mod terminal;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use arguments::{Arguments, Command};
use terminal::Terminal;

use crate::quantity::Writing;

/// Runs the program with the arguments it was started with.
///
/// The exit code is 0 when the work is done, 1 when there is something to fix, 2 when the tool
/// could not do its work.
#[expect(clippy::disallowed_methods, reason = "this is where the arguments are read")]
pub fn run() -> ExitCode {
    let typed: Vec<OsString> = std::env::args_os().collect();
    // Fewer than two: the name of the program alone, because nobody typed anything.
    let by_hand = if typed.len() < 2 { commands::open::by_hand() } else { None };
    let arguments = match Arguments::try_parse_from(by_hand.unwrap_or(typed)) {
        Ok(arguments) => arguments,
        Err(told) => {
            // Help that was asked for is told on standard output, a wrong usage is not.
            let lost = told.print().is_err();
            return ExitCode::from(if lost || told.exit_code() != 0 { 2 } else { 0 });
        }
    };
    let terminal = Terminal::new(arguments.format).speaking(arguments.command.content());
    let stayed = matches!(&arguments.command, Command::Open(open) if open.stays());
    // What a command tells of a module, it tells in the numbers of the module.
    let _numbers = Writing::of(terminal.comma);
    let ended = match arguments.command {
        Command::Start(start) => commands::start::run(&start, &terminal),
        Command::Compile(compile) => commands::compile::run(&compile, &terminal),
        Command::Open(open) => commands::open::run(&open, &terminal),
        Command::Preview(preview) => commands::preview::run(&preview, &terminal),
        Command::Inspect(inspect) => commands::inspect::run(&inspect, &terminal),
        Command::Mark(mark) => commands::mark::run(&mark, &terminal),
        Command::Papers(papers) => commands::papers::run(&papers, &terminal),
        Command::Sheets(sheets) => commands::sheets::run(&sheets, &terminal),
        Command::Score(score) => commands::score::run(&score, &terminal),
        Command::Revise(revise) => commands::revise::run(&revise, &terminal),
        Command::Compare(two) => commands::compare::run(&two, &terminal),
        Command::Why(why) => Ok(commands::why::run(&why, &terminal)),
        Command::Schema(schema) => Ok(commands::schema::run(&schema, &terminal)),
        Command::Words(words) => Ok(commands::words::run(&words, &terminal)),
        Command::Completions(shell) => {
            Ok(commands::shell::completions(&shell, Arguments::command(), &terminal))
        }
        Command::Manual => Ok(commands::shell::manual(Arguments::command(), &terminal)),
        Command::Work(work) => commands::work::run(&work, &terminal),
    };
    // Before all else: a result that nobody got is none, however the command ended.
    match terminal.lost() {
        Some(reason) => {
            let said = terminal.words.say("cli.output-lost", &[("reason", &reason)]);
            terminal.talk(&said);
            ExitCode::from(2)
        }
        None => match ended {
            Ok(end) => ExitCode::from(end.code()),
            // A window that stayed open has said it before it was closed.
            Err(_) if stayed => ExitCode::from(2),
            Err(fault) => {
                terminal.talk(&fault.say(&terminal.words));
                ExitCode::from(2)
            }
        },
    }
}
