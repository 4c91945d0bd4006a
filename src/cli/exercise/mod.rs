//! `wetside exercise`: surveys with planted faults for trainees, and the marking of their answers.

mod batch;
mod class;
mod faults;
mod make;
mod mark;
mod record;
mod shared;

use super::exit::Exit;
use super::files::Refusal;
use clap::{Args, Subcommand};

/// Make exercises for trainees, and mark their answers
///
/// Faults from a catalogue are planted into a clean survey. The key of an exercise is proved before the
/// exercise is written.
#[derive(Args, Debug)]
#[command(arg_required_else_help = true)]
pub(super) struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    Make(make::Make),
    Course(make::Course),
    ByHand(make::ByHand),
    Mark(mark::Mark),
    Class(class::Class),
    Record(record::Record),
    Faults(faults::Faults),
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    match &arguments.command {
        Command::Make(arguments) => make::run(arguments),
        Command::Course(arguments) => make::of_recipe(arguments),
        Command::ByHand(arguments) => make::by_hand(arguments),
        Command::Mark(arguments) => mark::run(arguments),
        Command::Class(arguments) => class::run(arguments),
        Command::Record(arguments) => record::show(arguments),
        Command::Faults(arguments) => faults::run(arguments),
    }
}
