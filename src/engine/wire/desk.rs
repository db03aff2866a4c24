//! Where faults are noted while files are read, and how they are read.

use std::cell::{Cell, RefCell};

use crate::findings::Finding;
use crate::quantity::{Comma, System};

/// Where faults are noted while files are read.
#[derive(Debug, Default)]
pub struct Desk {
    /// Every fault so far.
    pub findings: RefCell<Vec<Finding>>,
    /// Texts that are missing become blanks to be filled in by hand.
    pub draft: bool,
    /// What is read was checked when it was written, and may be a part of a whole: the bounds
    /// that an author is held to are not asked again.
    pub kept: bool,
    /// The units of the module: where an author writes a value for each system, the metric one
    /// holds in a metric module, and examples are written in its units. Nothing said is US.
    pub units: Option<System>,
    /// What a comma in a number means to the department.
    pub comma: Cell<Comma>,
}

impl Desk {
    /// The units of the module.
    pub const fn system(&self) -> System {
        match self.units {
            Some(system) => system,
            None => System::Us,
        }
    }

    /// Notes a fault.
    pub fn note(&self, finding: Finding) {
        self.findings.borrow_mut().push(finding);
    }
}

/// What a blank prints as in a draft.
pub(super) const BLANK: &str = "________";
