//! Wetside judges the survey of a wet central-heating system before a power flush. Arguments in, exit
//! code out.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run(std::env::args_os()).into()
}
