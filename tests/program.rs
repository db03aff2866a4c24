//! Starts the built program the way a person does.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// The example module of the project.
pub(crate) fn example() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/content"))
}

/// The program in a folder, in an environment with nothing in it but what the test puts there.
pub(crate) fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_drillwright"));
    command.current_dir(folder).env_clear();
    command
}

/// Runs to the end; fails the test, with all that was said, unless the exit is as expected.
pub(crate) fn ends_with(exit: i32, command: &mut Command) -> Output {
    let output = command.output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    let talk = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(exit), "{command:?}\n{said}\n{talk}");
    output
}

/// Copies a folder with all below it.
pub(crate) fn copy(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.unwrap();
        let target = to.join(entry.path().strip_prefix(from).unwrap());
        if entry.file_type().is_dir() {
            fs::create_dir_all(target).unwrap();
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// Every file below a folder by name, with its bytes; folders end in a slash.
pub(crate) fn tree(root: &Path) -> Vec<(String, Vec<u8>)> {
    let walk = walkdir::WalkDir::new(root).sort_by_file_name();
    walk.into_iter()
        .map(|entry| {
            let entry = entry.unwrap();
            let name = entry.path().strip_prefix(root).unwrap().to_str().unwrap();
            if entry.file_type().is_dir() {
                (format!("{name}/"), Vec::new())
            } else {
                (name.to_owned(), fs::read(entry.path()).unwrap())
            }
        })
        .collect()
}
