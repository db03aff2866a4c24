//! `open`: the pages are made and shown, for whoever opens the program by hand and not from a
//! terminal.

use std::ffi::OsString;
use std::io::{IsTerminal, stdin, stdout};
use std::path::{Path, PathBuf};

use super::compile;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;

/// Make all pages of a module and show the first one
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Make all pages of a module, as compile does, and show the officers' first page \
                  in the browser of this machine. When the program is opened by hand in a folder \
                  that holds a folder `content`, this is what it does, and its window stays \
                  until Enter is pressed.",
    after_help = "Examples:\n  drillwright open\n  drillwright open --content my-module --out my-site"
)]
pub(in crate::cli) struct Arguments {
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder the pages are written to
    #[arg(long, value_name = "DIR", default_value = "site")]
    out: PathBuf,
    /// Keep the window open until Enter is pressed
    #[arg(long)]
    stay: bool,
}

impl Arguments {
    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        &self.content
    }

    /// Whether the window stays open until somebody has read it.
    pub(in crate::cli) const fn stays(&self) -> bool {
        self.stay
    }
}

/// What a program does that was started with no argument: from a terminal or a double click, beside
/// a folder `content`, its pages are made and shown. Nothing where a script started it, which
/// waits for no Enter, or where there is no such folder.
pub(in crate::cli) fn by_hand() -> Option<Vec<OsString>> {
    // Both must be a terminal's: a script reads no window and waits for no Enter.
    if !(stdin().is_terminal() && stdout().is_terminal()) {
        return None;
    }
    // A desktop starts a program in the reader's own folder, or in the one where it lies.
    let beside = std::env::current_exe().ok();
    let beside = beside.as_deref().and_then(Path::parent).map(Path::to_path_buf);
    let here = Some(PathBuf::new()).into_iter().chain(beside);
    let stands = |folder: &PathBuf| has_content(folder);
    let folder = here.into_iter().find(stands)?;
    let (content, out) = (folder.join("content"), folder.join("site"));
    let named = [("--content", content), ("--out", out)];
    let named = named.into_iter().flat_map(|(name, path)| [name.into(), path.into()]);
    let first = ["drillwright", "open", "--stay"].map(OsString::from);
    Some(first.into_iter().chain(named).collect())
}

#[expect(
    clippy::disallowed_methods,
    reason = "what a double click means is the command line's"
)]
fn has_content(folder: &Path) -> bool {
    folder.join("content").is_dir()
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let compile = compile::Arguments::of(&arguments.content, &arguments.out);
    let ended = compile::run(&compile, terminal);
    match &ended {
        // The pages of an earlier day are not what was asked for.
        Ok(End::ToFix) => {}
        Ok(End::Done) => show(&arguments.out, terminal),
        // The window is gone before the last line of the program would be read.
        Err(fault) if arguments.stay => terminal.talk(&fault.say(&terminal.words)),
        Err(_) => {}
    }
    if arguments.stay {
        terminal.talk(&terminal.words.get("cli.open.stays"));
        // Whoever closes the window instead is done as well.
        drop(stdin().read_line(&mut String::new()));
    }
    ended
}

/// Shows the officers' first page, or says where it is.
fn show(out: &Path, terminal: &Terminal) {
    let index = out.join("staff").join("index.html");
    let path = index.display().to_string();
    // A path from the root, because a browser has a working folder of its own.
    let shown = std::path::absolute(&index).and_then(open::that_detached);
    let key = if shown.is_ok() { "shown" } else { "by-hand" };
    // words: cli.open.{shown|by-hand}
    terminal.talk(&terminal.words.say(&format!("cli.open.{key}"), &[("path", &path)]));
}
