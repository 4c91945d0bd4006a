//! `wetside page`: the page for the browser, where the program was built with it.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use clap::Args;
use std::path::PathBuf;

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
pub(super) struct Arguments {
    /// The file to write
    #[arg(long, value_name = "FILE")]
    into: PathBuf,
    /// Let it take the place of a file that is there already
    #[arg(long)]
    replace: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
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
