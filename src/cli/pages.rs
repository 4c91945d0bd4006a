//! What the program carries: the page for the browser, completions for shells, the manual, the schemas.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use super::terminal;
use clap::builder::PossibleValuesParser;
use clap::{Args, Command};
use clap_complete::Shell;
use std::path::PathBuf;
use wetside_schemas::Which;

/// The page; `.ci/page` makes it, and `WETSIDE_PAGE` says where it lies while the program is built.
#[cfg(feature = "page")]
const PAGE: Option<&str> = Some(include_str!(env!("WETSIDE_PAGE")));
#[cfg(not(feature = "page"))]
const PAGE: Option<&str> = None;

/// Write the page that asks and judges in a browser, without any network
///
/// One HTML file with this program's engine inside. Put it on a telephone and open it in the browser there: it asks,
/// judges, keeps the record of the flush and draws, and gives the survey back as YAML. Nothing leaves the telephone.
#[derive(Args, Debug)]
pub(super) struct Page {
    /// The file to write
    #[arg(long, value_name = "FILE")]
    into: PathBuf,
    /// Let it take the place of a file that is there already
    #[arg(long)]
    replace: bool,
}

pub(super) fn page(arguments: &Page) -> Result<Exit, Refusal> {
    let Some(page) = PAGE else {
        let says = "this program was built without the page";
        let help = "in the source, `.ci/page wetside.html` makes the page alone; with WETSIDE_PAGE set to its whole \
                    path, `cargo install --path . --features page` builds a program that carries it";
        return Err(Refusal::new(says, help));
    };
    let help = "add `--replace`, or name another file";
    files::write(&arguments.into, page, arguments.replace, help)?;
    shown(&format!("Wrote {}.\n", arguments.into.display()))?;
    Ok(Exit::Clear)
}

/// Write the completions for a shell
///
/// For example: wetside completions bash > ~/.local/share/bash-completion/completions/wetside
#[derive(Args, Debug)]
pub(super) struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Write the manual page, of the whole or of one command
///
/// For example: wetside manual > wetside.1, and then: man ./wetside.1
#[derive(Args, Debug)]
pub(super) struct Manual {
    /// The command whose page to write, such as `check` or `exercise make`
    command: Vec<String>,
}

/// Write one of the schemas that the program reads and writes by
///
/// They are JSON Schema 2020-12. An editor completes and checks a file by them; what a program reads of a report
/// stands in `report`.
#[derive(Args, Debug)]
pub(super) struct Schema {
    /// What the schema is of
    #[arg(value_parser = PossibleValuesParser::new(Which::ALL.iter().filter_map(|one| one.name())))]
    of: String,
}

pub(super) fn schema(arguments: &Schema) -> Result<Exit, Refusal> {
    let mut all = Which::ALL.into_iter();
    let which = all.find(|one| one.name() == Some(&arguments.of));
    written(which.map_or("", Which::text).as_bytes())
}

pub(super) fn completions(arguments: &Completions, mut command: Command) -> Result<Exit, Refusal> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut command, "wetside", &mut script);
    written(&script)
}

pub(super) fn manual(arguments: &Manual, mut command: Command) -> Result<Exit, Refusal> {
    command.build();
    let mut page_of = &command;
    for name in arguments.command.iter().flat_map(|words| words.split(' ')) {
        let known = page_of.get_subcommands().map(Command::get_name);
        let lists = format!("`{} --help` lists the commands", called(page_of));
        let help = wetside_base::suggest::help(name, known, &lists);
        let refusal = Refusal::new(format!("there is no command `{name}`"), help);
        page_of = page_of.find_subcommand(name).ok_or(refusal)?;
    }
    let mut page = Vec::new();
    let rendered = clap_mangen::Man::new(page_of.clone()).render(&mut page);
    rendered.map_err(|error| Refusal::new(format!("cannot write the manual: {error}"), ""))?;
    written(sections(&String::from_utf8_lossy(&page)).as_bytes())
}

fn called(command: &Command) -> &str {
    command.get_bin_name().unwrap_or(command.get_name())
}

/// The headings as manual pages have them; what stands behind the options tells the exit codes.
fn sections(page: &str) -> String {
    page.replace(".SH SUBCOMMANDS\n", ".SH COMMANDS\n")
        .replace(".SH EXTRA\nExit codes:\n", ".SH \"EXIT STATUS\"\n")
        .replace(" <\\fIsubcommands\\fR>", " <\\fIcommand\\fR>")
}

fn written(bytes: &[u8]) -> Result<Exit, Refusal> {
    let done = terminal::show_bytes(bytes);
    done.map_err(|error| files::cannot_show(&error))?;
    Ok(Exit::Clear)
}
