//! All tests of the whole, in one program.

mod commands;
mod documents;
mod drawings;
mod examples;
mod facts;
mod pack;
mod pack_loading;
mod physics;
mod reports;
mod starters;
mod tidy;
mod units;
