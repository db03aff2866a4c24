//! Where a figure comes from, and figures about which publishers differ.

use crate::quantity::{Quantity, System};
use crate::wire::Book;
use crate::{record, words};

words! {
    /// How well a figure or a rule is founded.
    Status {
        /// Read in the named source.
        "looked-up" LookedUp,
        /// Computed by a named library.
        "computed" Computed,
        /// Common practice of the trade, without one authority.
        "common-practice" CommonPractice,
        /// From memory, not looked up.
        "from-memory" FromMemory,
    }
}

record! {
    /// A source of a formula, a table row or a constant.
    SourceRef {
        /// Short name of the list of sources.
        source: String = need "source", eg "common-practice";
        /// How well founded.
        status: Status = need "status", eg "looked-up";
        /// What it says, where that needs saying.
        note: Option<String> = may "note", prose, eg "rounded to a whole one";
    }
}

record! {
    /// Another published value.
    Published {
        /// The value.
        value: Quantity = need "value", eg "16 psi";
        /// Whose it is.
        source: SourceRef = flat;
    }
}

record! {
    /// A constant about which publishers differ.
    Constant {
        /// Short name, used as a name in lines.
        id: String = need "constant" as own("constant"), eg "hose-loss";
        /// What it is.
        label: String = need "label", prose, eg "Loss in 100 ft of hose";
        /// The value in use.
        value: Quantity = need "value", eg "15.5 psi";
        /// Whose it is.
        source: SourceRef = flat, prose;
        /// Other published values.
        others: Vec<Published> = may "others", prose;
        /// The units of the modules that it is for; left out where it is for both.
        only: Option<System> = may "only", eg "us";
        /// Whether the department chose it, and another than was looked up.
        local: bool = carried "local", or "no", prose;
    }
}

record! {
    /// The value of a contested constant that a department has decided for.
    ConstantChoice {
        /// The constant.
        constant: String = need "constant" as refers("constant"), eg "hose-loss";
        /// The value, one that somebody has published.
        value: Quantity = need "value", eg "15.5 psi";
        /// Whose it is.
        source: SourceRef = flat;
    }
}

impl Constant {
    /// What was looked up, as it is printed, where the department chose another value.
    pub fn looked_up(&self) -> Option<String> {
        let first = self.others.first().filter(|_| self.local)?;
        (first.value != self.value).then(|| first.value.printed())
    }
}

/// Help of cited figures and constants.
pub(super) const BOOKS: &[Book] = &[
    SourceRef::BOOK,
    Status::BOOK,
    Published::BOOK,
    Constant::BOOK,
    ConstantChoice::BOOK,
];
