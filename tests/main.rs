//! All integration tests in one binary.
