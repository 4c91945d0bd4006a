//! All tests of the whole, in one program.

mod documents;
mod facts;
mod pack;
mod units;
