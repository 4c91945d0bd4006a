//! Pages about the program itself: completions for shells, the manual.

use super::exit::Exit;
use super::files::Refusal;
use super::terminal;
use clap::{Args, Command};
use clap_complete::Shell;

/// Write the completions for a shell
///
/// For example: wetside completions bash > ~/.local/share/bash-completion/completions/wetside
#[derive(Args, Debug)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Write the manual page, of the whole or of one command
///
/// For example: wetside manual > wetside.1, and then: man ./wetside.1
#[derive(Args, Debug)]
pub struct Manual {
    /// The command whose page to write
    command: Option<String>,
}

pub fn completions(arguments: &Completions, mut command: Command) -> Result<Exit, Refusal> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "wetside", &mut script);
    written(&script)
}

pub fn manual(arguments: &Manual, mut command: Command) -> Result<Exit, Refusal> {
    command.build();
    let page_of = match &arguments.command {
        None => command,
        Some(name) => {
            let known: Vec<&str> = command.get_subcommands().map(Command::get_name).collect();
            let help = crate::suggest::help(
                name,
                known.iter().copied(),
                "`wetside --help` lists the commands",
            );
            let refusal = Refusal::new(format!("there is no command `{name}`"), help);
            command.find_subcommand(name).cloned().ok_or(refusal)?
        }
    };
    let mut page = Vec::new();
    let rendered = clap_mangen::Man::new(page_of).render(&mut page);
    rendered.map_err(|error| Refusal::new(format!("cannot write the manual: {error}"), ""))?;
    written(&page)
}

fn written(bytes: &[u8]) -> Result<Exit, Refusal> {
    let done = terminal::show_bytes(bytes);
    done.map_err(|error| Refusal::new(format!("cannot write to standard output: {error}"), ""))?;
    Ok(Exit::Clear)
}
