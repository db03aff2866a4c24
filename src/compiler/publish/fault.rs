//! Why a page cannot be made: a fault of the house, not of the author.

use std::fmt;

/// What went wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PublishFault {
    /// A template does not fit its view.
    Template(String),
    /// A question cannot be printed; its findings were not heeded.
    Question(String),
    /// The plan names something the course does not have.
    Missing(String),
}

impl fmt::Display for PublishFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Template(reason) => write!(f, "template: {reason}"),
            Self::Question(reason) => write!(f, "question: {reason}"),
            Self::Missing(name) => write!(f, "{name} is not in the course"),
        }
    }
}

impl std::error::Error for PublishFault {}
