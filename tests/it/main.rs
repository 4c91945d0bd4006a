//! All tests of the whole, in one program.

mod documents;
mod lang;
mod units;
