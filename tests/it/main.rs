//! All tests of the whole, in one program.

mod documents;
mod examples;
mod facts;
mod pack;
mod pack_loading;
mod physics;
mod tidy;
mod units;
