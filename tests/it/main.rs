//! The integration tests, in one program.

mod reports;
