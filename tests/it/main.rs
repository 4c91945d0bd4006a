//! All tests of the whole, in one program.

mod documents;
mod reports;
mod units;
