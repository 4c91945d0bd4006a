//! The command line: arguments to calls of the library, results to pages and exit codes.
//!
//! Contract: the only part that knows files, the terminal, the environment and exit codes; it decides
//! nothing about heating. Nobody uses this module but the program itself.

mod ask;
mod check;
mod compare;
mod exercise;
mod exit;
mod files;
mod folder;
mod many;
mod misuse;
mod mutate;
mod new;
mod note;
mod of_one;
mod pack;
mod packs;
mod pages;
mod rule;
mod rules;
mod terminal;
mod verify;

pub(crate) use exit::Exit;

use clap::{ArgMatches, CommandFactory, FromArgMatches, Parser, Subcommand};
use files::Refusal;
use std::ffi::OsString;

const ABOUT: &str = "Judges the survey of a wet central-heating system before a power flush";

const LONG_ABOUT: &str = "Judges the survey of a wet central-heating system before a power flush.

A survey is one YAML file: what was seen and measured in the house. `wetside check` judges it by \
rules and says clear, not yet or do not start, with the lines that make it so, what to do first and \
what to find out. `wetside new` writes a survey to fill in, and `wetside ask` asks for what it lacks.

It is an aid to a competent person. Local codes and the maker's instructions stand above it; gas work \
and work on fixed electrical wiring are for those licensed to do them.";

#[derive(Parser, Debug)]
#[command(name = "wetside", version, about = ABOUT, long_about = LONG_ABOUT, after_help = exit::TABLE)]
#[command(arg_required_else_help = true, disable_help_subcommand = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand, Debug)]
enum Command {
    Check(check::Arguments),
    Ask(ask::Arguments),
    Figures(of_one::Figures),
    Steps(of_one::Steps),
    Note(note::Arguments),
    New(new::Arguments),
    Sheet(of_one::Sheet),
    Verify(verify::Arguments),
    Page(pages::Page),
    Rule(rule::Arguments),
    Rules(rules::Arguments),
    Pack(pack::Arguments),
    Exercise(exercise::Arguments),
    Schema(pages::Schema),
    Completions(pages::Completions),
    Manual(pages::Manual),
}

/// Does what the arguments ask for.
pub(crate) fn run(arguments: impl IntoIterator<Item = OsString>) -> Exit {
    let arguments: Vec<OsString> = arguments.into_iter().collect();
    let words = arguments.iter().map(|word| word.to_string_lossy().into());
    let words: Vec<String> = words.collect();
    let matches = Arguments::command().try_get_matches_from(arguments);
    let parsed = matches.and_then(|matches| {
        if let Some(width) = width(&matches) {
            terminal::keep_to(width);
        }
        Arguments::from_arg_matches(&matches)
    });
    let parsed = match parsed {
        Ok(parsed) => parsed,
        Err(refused) => {
            if let Some(told) = misuse::told(&refused, &Arguments::command(), &words) {
                terminal::complain(&told.says, &told.help);
                return Exit::Misuse;
            }
            // Help and version come this way too. Nobody is left to be told if this fails.
            let _ = refused.print();
            return if refused.use_stderr() {
                Exit::Misuse
            } else {
                Exit::Clear
            };
        }
    };
    let done = match parsed.command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Ask(arguments) => ask::run(&arguments),
        Command::Figures(arguments) => of_one::figures(&arguments),
        Command::Steps(arguments) => of_one::steps(&arguments),
        Command::Note(arguments) => note::run(&arguments),
        Command::New(arguments) => new::run(&arguments),
        Command::Sheet(arguments) => of_one::sheet(&arguments),
        Command::Verify(arguments) => verify::run(&arguments),
        Command::Page(arguments) => pages::page(&arguments),
        Command::Rule(arguments) => rule::run(&arguments),
        Command::Rules(arguments) => rules::run(&arguments),
        Command::Pack(arguments) => pack::run(&arguments),
        Command::Exercise(arguments) => exercise::run(&arguments),
        Command::Schema(arguments) => pages::schema(&arguments),
        Command::Completions(arguments) => pages::completions(&arguments, Arguments::command()),
        Command::Manual(arguments) => pages::manual(&arguments, Arguments::command()),
    };
    done.unwrap_or_else(|Refusal { says, help, exit }| {
        if !says.is_empty() {
            terminal::complain(&says, &help);
        }
        exit
    })
}

/// The width that the command was given.
fn width(matches: &ArgMatches) -> Option<u16> {
    match matches.subcommand() {
        Some((_, inner)) => width(inner),
        None => matches.try_get_one("width").ok().flatten().copied(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_command_line_is_well_made() {
        Arguments::command().debug_assert();
    }
}
