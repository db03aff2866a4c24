//! All integration tests in one binary.

#![expect(
    clippy::disallowed_methods,
    reason = "tests read the project, make folders and start the program"
)]

#[cfg(test)]
mod house;
