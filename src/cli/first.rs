//! `wetside pack new`: the folder of a first pack.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::packs::shown;
use clap::Args;
use std::path::PathBuf;
use wetside_engine::digest;

const HEAD: &str = include_str!("first/pack.yaml");
const CHANGES: &str = include_str!("first/changes.yaml");
const FIRST_RULE: (&str, &str) = (
    "circuit/never-a-single-feed.yaml",
    include_str!("first/circuit/never-a-single-feed.yaml"),
);

/// Write the folder of a first pack, with one rule to go on from
///
/// The folder is new and named as the pack: lower-case words joined by `-`. What is in it is sound, and comments
/// say what else may stand there.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The folder to make, which must not exist yet
    folder: PathBuf,
    /// Make it a layer over the pack that the program carries, to change its rules too
    #[arg(long)]
    layer: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let folder = &arguments.folder;
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    if !is_name(&name) {
        let says = format!("`{name}` is no name for a pack");
        let help = "name the folder as the pack: lower-case words joined by `-`, as in `two-vans`";
        return Err(Refusal::new(says, help));
    }
    if folder.symlink_metadata().is_ok() {
        let says = format!("`{}` is there already", folder.display());
        return Err(Refusal::new(says, "name a folder that does not exist yet"));
    }
    let carried = wetside_rules::packs();
    let below = carried.packs.first().filter(|_| arguments.layer);
    let builds_on = below.map_or(String::new(), |below| {
        let rule = below.rules.first();
        let content = rule.map_or(String::new(), |rule| below.digest_of(rule));
        let changes = CHANGES.replace("{below}", &below.name);
        let changes = changes.replace("{edition}", &below.edition);
        let changes = changes.replace("{rule}", rule.map_or("", |rule| &rule.id));
        format!(
            "\n{}\n",
            changes.replace("{content}", digest::short(&content))
        )
    });
    let head = HEAD.replace("{name}", &name);
    let head = head.replace("{builds_on}\n", &builds_on);
    let written = [("pack.yaml", head.as_str()), FIRST_RULE];
    let written = written.map(|(path, text)| (path.to_string(), text.to_string()));
    files::write_folder(folder, &written, false)?;
    let shown_as = folder.display();
    let folder = if shown_as.to_string().contains(' ') {
        format!("'{shown_as}'")
    } else {
        shown_as.to_string()
    };
    shown(&format!(
        "Wrote {folder}: `pack.yaml` and one rule.\nNext: change them, and run wetside pack test {folder}\n"
    ))?;
    Ok(Exit::Clear)
}

/// As the schema of `pack.yaml` asks it.
fn is_name(name: &str) -> bool {
    let word = |word: &str| {
        let plain = |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit();
        !word.is_empty() && word.chars().all(plain)
    };
    name.starts_with(|first: char| first.is_ascii_lowercase()) && name.split('-').all(word)
}
