//! All tests of the whole, in one program.

mod commands;
mod documents;
mod reports;
mod starters;
mod units;
