//! All tests of the whole, in one program.

#![allow(
    clippy::print_stdout,
    clippy::too_many_lines,
    reason = "tests may talk, and list"
)]

mod agreements;
mod analysis;
mod answers;
mod bounded;
mod breakages;
mod brief;
mod commands;
mod company;
#[cfg(target_os = "linux")]
mod day;
mod departures;
mod documents;
mod drawings;
mod edits;
mod examples;
mod exercise;
mod facts;
mod figures;
mod generate;
mod harms;
mod house;
mod interview;
mod lang;
mod laws;
mod layers;
mod many;
mod misuse;
mod mutants;
mod orders;
mod pack;
mod pack_identity;
mod pack_loading;
mod pack_slips;
mod physics;
mod properties;
mod readme;
mod record;
mod reports;
#[cfg(target_os = "linux")]
mod screen;
mod shapes;
mod sheet;
mod shortcuts;
mod slips;
mod starters;
mod talks;
mod tidy;
mod units;
