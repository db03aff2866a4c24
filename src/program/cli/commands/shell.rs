//! `completions` and `manual`: what a shell and a manual reader know of the program, made of the one
//! description of its arguments.

use clap::Command;
use clap_complete::Shell;
use clap_mangen::Man;

use crate::cli::end::End;
use crate::cli::terminal::Terminal;

/// Print what a shell completes commands and options by
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Print what a shell completes commands and options by, for the file in which \
                  that shell looks for it.",
    after_help = "Examples:\n  drillwright completions bash > \
                  ~/.local/share/bash-completion/completions/drillwright\n  drillwright \
                  completions fish > ~/.config/fish/completions/drillwright.fish"
)]
pub(in crate::cli) struct Completions {
    /// The shell
    shell: Shell,
}

pub(in crate::cli) fn completions(
    arguments: &Completions,
    mut program: Command,
    terminal: &Terminal,
) -> End {
    let name = program.get_name().to_owned();
    let mut text = Vec::new();
    clap_complete::generate(arguments.shell, &mut program, name, &mut text);
    terminal.data(&String::from_utf8_lossy(&text));
    End::Done
}

pub(in crate::cli) fn manual(mut program: Command, terminal: &Terminal) -> End {
    // Else the pages of the commands would lack the options that all of them take.
    program.build();
    let mut text = Vec::new();
    let mut pages = vec![Man::new(program.clone())];
    pages.extend(program.get_subcommands().cloned().map(Man::new));
    match pages.iter().try_for_each(|page| page.render(&mut text)) {
        Ok(()) => terminal.data(&String::from_utf8_lossy(&text)),
        // A buffer takes whatever is written.
        Err(fault) => terminal.talk(&fault.to_string()),
    }
    End::Done
}
