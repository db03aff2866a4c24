//! How a build script ends a build. Only build scripts include this file.

use std::fmt;

/// Ends the build with plain lines: Cargo prints what `main` returns by its `Debug`.
pub(crate) struct Faults(pub(crate) Vec<String>);

impl fmt::Debug for Faults {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(out, "the words of themes/plain/words.yaml:")?;
        self.0.iter().try_for_each(|fault| writeln!(out, "  {fault}"))
    }
}

/// One fault of the disk.
pub(crate) fn fault(why: &impl ToString) -> Faults {
    Faults(vec![why.to_string()])
}
