//! All tests of the whole, in one program.

mod documents;
mod pack_loading;
mod units;
