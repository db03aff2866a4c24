//! The browser at work: one page in, one PDF out, within a time.

#![expect(
    clippy::disallowed_methods,
    reason = "the one place that starts a program: a browser that prints a page of ours"
)]

use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc;
use std::time::Duration;

/// How often it is looked whether the browser is done: a wait that nobody feels.
const LOOK: Duration = Duration::from_millis(50);

/// A browser that can print.
#[derive(Debug)]
pub struct Browser {
    /// Its program.
    pub program: PathBuf,
    /// Seconds that it may take for one document.
    pub seconds: u64,
}

/// Why there is no PDF.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PrintFault {
    /// It cannot be started, for the reason given.
    NotStarted(String),
    /// It took too long and was ended.
    TooLong,
    /// It ended without a whole PDF.
    Broken,
}

impl Browser {
    /// Prints a page into a file, with a folder for what the browser keeps meanwhile. All of them are
    /// in a scratch folder; whether the file is a whole PDF is for the caller to see.
    pub fn print(&self, page: &Path, kept: &Path, into: &Path) -> Result<(), PrintFault> {
        // A browser that runs as root, or where the system gives it no cell of its own, does not
        // start with one. The page is ours: it runs no script and loads nothing from elsewhere.
        let well = self.try_once(page, (kept, into), false)?
            || self.try_once(page, (kept, into), true)?;
        if well { Ok(()) } else { Err(PrintFault::Broken) }
    }

    /// Whether it ended well.
    fn try_once(
        &self,
        page: &Path,
        (kept, into): (&Path, &Path),
        open: bool,
    ) -> Result<bool, PrintFault> {
        let mut command = Command::new(&self.program);
        command
            // Nothing that asks or fetches: nobody sees its window, and a
            // page of ours needs no network.
            .args(["--headless", "--disable-gpu", "--no-first-run"])
            .args(["--no-default-browser-check", "--disable-extensions"])
            .args(["--disable-background-networking", "--disable-component-update"])
            // Head and foot of the page are our own.
            .args(["--no-pdf-header-footer", "--print-to-pdf-no-header"])
            .arg(option("--user-data-dir=", kept))
            .arg(option("--print-to-pdf=", into));
        if open {
            command.arg("--no-sandbox");
        }
        command
            .arg(page)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        alone(&mut command);
        let start = |fault: std::io::Error| PrintFault::NotStarted(fault.to_string());
        let mut child = command.spawn().map_err(start)?;
        match self.wait(&mut child) {
            Some(status) => Ok(status.success()),
            None => {
                end(&mut child);
                Err(PrintFault::TooLong)
            }
        }
    }

    /// Nothing where its time ran out.
    fn wait(&self, child: &mut Child) -> Option<ExitStatus> {
        // Nobody ever sends: a wait on it is a rest of that length.
        let (_nobody, rest) = mpsc::channel::<()>();
        let mut left = Duration::from_secs(self.seconds);
        loop {
            if let Ok(Some(status)) = child.try_wait() {
                return Some(status);
            }
            left = left.checked_sub(LOOK)?;
            let _rested = rest.recv_timeout(LOOK);
        }
    }
}

fn option(name: &str, path: &Path) -> std::ffi::OsString {
    let mut text = std::ffi::OsString::from(name);
    text.push(path);
    text
}

/// In a group of its own, so that it can be ended with all that it started.
#[cfg(unix)]
fn alone(command: &mut Command) {
    std::os::unix::process::CommandExt::process_group(command, 0);
}

#[cfg(not(unix))]
fn alone(_: &mut Command) {}

/// Ends a browser with the programs that it started, where the system has a way to do that.
fn end(child: &mut Child) {
    let number = child.id().to_string();
    let mut all = if cfg!(windows) {
        let mut all = Command::new("taskkill");
        all.args(["/T", "/F", "/PID", number.as_str()]);
        all
    } else {
        let mut all = Command::new("/bin/kill");
        all.args(["-KILL", "--", &format!("-{number}")]);
        all
    };
    // Where that fails, its own end is what can be had.
    drop(all.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).status());
    drop(child.kill());
    drop(child.wait());
}
