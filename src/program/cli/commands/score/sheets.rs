//! Filled sign-off sheets as pages of their own.

use std::collections::BTreeMap;
use std::path::Path;

use super::scored::Scored;
use crate::cli::end::Fault;
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::publish::sheet::{ScoredRun, filled_page};
use crate::publish::{self, PublishFault, Shared};
use crate::workshop::write_files;

/// The style sheet that the pages name.
const STYLE: &str = "plain.css";

/// Writes a page for each run, and their style sheet. A page that is there and says something
/// else is never replaced. Returns the paths of the pages.
pub(super) fn write(
    dir: &Path,
    course: &Course,
    scored: &[Scored],
    terminal: &Terminal,
) -> Result<Vec<String>, Fault> {
    let whole = || scored.iter().filter(|one| !one.unread);
    if whole().next().is_none() {
        return Ok(Vec::new());
    }
    let broken = |fault: PublishFault| {
        let reason = fault.to_string();
        Fault::Said(terminal.words.say("cli.broken", &[("reason", &reason)]))
    };
    // A filled sheet has no drawn numbers, so it needs no seed.
    let shared = Shared::new(course, &terminal.words, "").map_err(broken)?;
    let mut files = BTreeMap::new();
    let mut paths = Vec::new();
    // In the order in which they came; the roles of a crew share one run and one page.
    let mut ids: Vec<&str> = Vec::new();
    for id in whole().map(|one| one.sheet.id.as_str()) {
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    for id in ids {
        let of_run = whole().filter(|one| one.sheet.id == id);
        let runs: Vec<ScoredRun<'_>> = of_run
            .map(|one| ScoredRun {
                kit: &one.kit,
                sheet: &one.sheet,
                verdict: &one.verdict,
            })
            .collect();
        let page = filled_page(&shared, &runs);
        let name = format!("run-{id}.html");
        paths.push(dir.join(&name).display().to_string());
        files.insert(name, page.map_err(broken)?.into_bytes());
    }
    let style = publish::assets(course).into_iter();
    let style = style.filter(|(path, _)| path.ends_with(STYLE)).map(|(_, bytes)| bytes);
    files.extend(style.take(1).map(|bytes| (STYLE.to_owned(), bytes)));
    write_files(dir, &files)?;
    Ok(paths)
}
