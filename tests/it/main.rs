//! All tests of the whole, in one program.

mod documents;
mod examples;
mod pack_loading;
mod tidy;
mod units;
