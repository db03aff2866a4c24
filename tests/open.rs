//! The program opened by hand: pages made and shown, and a window that stays to be read.

#![cfg(unix)]

use std::fs;
use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{copy, ends_with, example, program};

/// A folder with the example and, beside it, a stand-in for what shows pages: it writes down what it
/// was asked for.
fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(example(), &folder.path().join("content"));
    let programs = folder.path().join("programs");
    fs::create_dir(&programs).unwrap();
    let shows = programs.join("xdg-open");
    let asked = folder.path().join("asked");
    let script = format!(
        "#!/bin/sh\nprintf '%s' \"$1\" > '{}.new'\n/bin/mv '{0}.new' '{0}'\n",
        asked.display()
    );
    fs::write(&shows, script).unwrap();
    fs::set_permissions(&shows, fs::Permissions::from_mode(0o755)).unwrap();
    folder
}

/// What was shown; waited for, because whoever shows a page is not waited for by the program.
#[expect(clippy::disallowed_methods, reason = "another program is waited for")]
fn asked(folder: &Path) -> Option<String> {
    for _ in 0..100 {
        if let Ok(asked) = fs::read_to_string(folder.join("asked")) {
            return Some(asked);
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    None
}

#[test]
fn the_officers_first_page_is_shown() {
    let desk = desk();
    let folder = desk.path();
    let output =
        ends_with(0, program(folder).arg("open").env("PATH", folder.join("programs")));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("site/staff/index.html"), "{said}");
    let shown = asked(folder).unwrap();
    assert!(Path::new(&shown).is_absolute(), "{shown}");
    assert_eq!(
        fs::canonicalize(shown).unwrap(),
        fs::canonicalize(folder.join("site/staff/index.html")).unwrap()
    );
}

#[test]
fn where_nothing_can_show_it_the_page_is_named() {
    let desk = desk();
    let folder = desk.path();
    let output =
        ends_with(0, program(folder).arg("open").env("PATH", folder.join("nowhere")));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("Open this page: site/staff/index.html"), "{said}");
}

#[test]
fn what_must_be_fixed_is_told_and_no_older_page_is_shown() {
    let desk = desk();
    let folder = desk.path();
    ends_with(0, program(folder).arg("compile"));
    fs::write(folder.join("content/terms.yaml"), "terms: [\n").unwrap();
    let output =
        ends_with(1, program(folder).arg("open").env("PATH", folder.join("programs")));
    assert!(String::from_utf8(output.stdout).unwrap().contains("MUST FIX"));
    assert!(!folder.join("asked").exists());
}

/// The program in a terminal of its own with nothing typed but what is handed in.
fn by_hand(folder: &Path, typed: &[u8]) -> (Option<i32>, String) {
    // Debian's own way to a terminal; what the program says comes back with the terminal's line ends.
    let mut command = Command::new("script");
    let quoted = format!("'{}'", env!("CARGO_BIN_EXE_drillwright"));
    command.args(["--quiet", "--return", "--command", &quoted, "/dev/null"]);
    let path = format!("{}:/usr/bin:/bin", folder.join("programs").display());
    command.current_dir(folder).env_clear().env("PATH", path).env("TERM", "dumb");
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // It may end before all is typed; what it says is asked for, not whether it read.
    let _all_read = child.stdin.take().unwrap().write_all(typed);
    let output = child.wait_with_output().unwrap();
    (output.status.code(), String::from_utf8(output.stdout).unwrap())
}

#[test]
fn opened_by_hand_beside_its_content_the_window_stays_until_enter() {
    let desk = desk();
    let (exit, said) = by_hand(desk.path(), b"\n");
    assert_eq!(exit, Some(0), "{said}");
    assert!(said.contains("Press Enter to close this window."), "{said}");
    assert!(asked(desk.path()).unwrap().ends_with("/site/staff/index.html"));
}

#[test]
fn opened_by_hand_a_fault_is_read_before_the_window_closes() {
    let desk = desk();
    fs::write(desk.path().join("site"), "a file where the pages go").unwrap();
    let (exit, said) = by_hand(desk.path(), b"\n");
    assert_eq!(exit, Some(2), "{said}");
    let (fault, stays) = (said.find("site").unwrap(), said.find("Press Enter").unwrap());
    assert!(fault < stays, "{said}");
    assert_eq!(said.matches("Press Enter").count(), 1);
}

#[test]
fn opened_by_hand_where_no_module_is_the_help_is_told() {
    let empty = tempfile::tempdir().unwrap();
    let (exit, said) = by_hand(empty.path(), b"");
    assert_eq!(exit, Some(2), "{said}");
    assert!(said.contains("Usage: drillwright"), "{said}");
}

#[test]
fn a_script_that_names_no_command_gets_the_help_and_changes_nothing() {
    let desk = desk();
    ends_with(2, &mut program(desk.path()));
    assert!(!desk.path().join("site").exists());
}
