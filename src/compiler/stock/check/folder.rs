//! How a build script reads sources and ends a build. Only build scripts include this file.

use std::fmt;
use std::fs;
use std::path::Path;

/// Ends the build with plain lines: Cargo prints what `main` returns by its `Debug`.
pub(crate) struct Faults(pub(crate) Vec<String>);

impl fmt::Debug for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            out,
            "the words of themes/plain/words.yaml and those who ask for them:"
        )?;
        self.0.iter().try_for_each(|fault| writeln!(out, "  {fault}"))
    }
}

/// One fault of the disk.
pub(crate) fn fault(why: &impl ToString) -> Faults {
    Faults(vec![why.to_string()])
}

/// The texts below a folder whose name has that ending, under the name the project knows the
/// folder by.
pub(crate) fn texts(
    folder: &str,
    known_as: &str,
    ending: &str,
) -> Result<super::check::Texts, Faults> {
    let mut found = super::check::Texts::new();
    for entry in fs::read_dir(folder).map_err(|why| fault(&why))? {
        let path = entry.map_err(|why| fault(&why))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let known_as = format!("{known_as}/{name}");
        if path.is_dir() {
            // By the name that the project knows, so that a fault
            // reads the same on every machine.
            found.extend(texts(&path.to_string_lossy(), &known_as, ending)?);
        } else if Path::new(&name).extension().is_some_and(|last| last == ending) {
            found.insert(known_as, fs::read_to_string(&path).map_err(|why| fault(&why))?);
        }
    }
    Ok(found)
}
