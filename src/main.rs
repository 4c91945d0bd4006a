//! Arguments in, exit code out.

use std::process::ExitCode;

fn main() -> ExitCode {
    wetside::cli::run(std::env::args_os()).into()
}
