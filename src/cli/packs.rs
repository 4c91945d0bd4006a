//! The packs that a command works with.

use super::exit::Exit;
use super::files::{self, Refusal};
use super::folder;
use super::terminal::{self, Look};
use clap::Args;
use std::path::{Path, PathBuf};
use wetside_base::finding::Identity;
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_engine::cases::whole;
use wetside_engine::check::Packs;
use wetside_engine::layers::{in_order, is_layer};
use wetside_engine::pack::{Pack, PackFiles, PackProblem};
use wetside_report::{json, problems};

#[derive(Args, Clone, Debug)]
#[command(next_help_heading = "Packs")]
pub(super) struct Choice {
    /// Judge by the pack in this folder too; may be given several times
    #[arg(long = "pack", value_name = "FOLDER")]
    pub folders: Vec<PathBuf>,
    /// Leave out the pack that the program carries
    #[arg(long, requires = "folders")]
    pub without_built_in: bool,
}

impl Choice {
    /// The options again, for a command that goes on.
    pub(super) fn again(&self) -> String {
        let folders = self
            .folders
            .iter()
            .map(|folder| format!(" --pack {}", in_shell(folder)));
        let alone = self.without_built_in.then_some(" --without-built-in");
        folders.collect::<String>() + alone.unwrap_or_default()
    }
}

/// A path as it is typed.
pub(super) fn in_shell(path: impl AsRef<Path>) -> String {
    let path = path.as_ref().display().to_string();
    let plain = |sign: char| sign.is_alphanumeric() || "/._-+=:@%,~".contains(sign);
    if !path.is_empty() && path.chars().all(plain) {
        return path;
    }
    format!("'{}'", path.replace('\'', r"'\''"))
}

/// By which packs a command judges, and how it shows what comes of it.
#[derive(Args, Clone, Debug)]
pub(super) struct Setting {
    #[command(flatten)]
    pub choice: Choice,
    #[command(flatten)]
    pub look: Look,
}

impl Setting {
    /// The packs asked for.
    ///
    /// # Errors
    /// When a folder cannot be read, or something is wrong with a pack, which is then shown.
    pub(super) fn packs(&self) -> Result<Packs, Refusal> {
        let (packs, wrong) = load(&self.choice)?;
        sound(&wrong, &self.look)?;
        Ok(packs)
    }
}

/// The folder of a pack to work on.
#[derive(Args, Debug)]
pub(super) struct Folder {
    /// The folder that holds `pack.yaml`; without it the pack that the program carries
    folder: Option<PathBuf>,
    /// For a layer: the folders of the layers between it and the pack that the program carries
    #[arg(long, value_name = "FOLDER")]
    over: Vec<PathBuf>,
}

impl Folder {
    /// As [`stack`].
    pub(super) fn stack(&self) -> Result<(Packs, PackFiles, Vec<PackProblem>), Refusal> {
        stack(self.folder.as_deref(), &self.over, None)
    }
}

/// What to do where no pack can be read.
pub(super) const PACK_FOLDER: &str = "name the folder that holds `pack.yaml`";

/// The packs asked for, and everything that is wrong with them.
pub(super) fn load(choice: &Choice) -> Result<(Packs, Vec<PackProblem>), Refusal> {
    let carried = wetside_rules::packs();
    let own: Vec<Identity> = carried.packs.iter().flat_map(Pack::identities).collect();
    let mut packs = if choice.without_built_in {
        let mut none = Packs::none();
        none.left_out = carried.packs.iter().map(Pack::cited).collect();
        none
    } else {
        carried
    };
    let mut wrong = Vec::new();
    let mut all = Vec::new();
    for folder in &choice.folders {
        let (files, unreadable) = folder::pack(folder, PACK_FOLDER)?;
        wrong.extend(unreadable);
        all.push(files);
    }
    for files in in_order(all) {
        let found = packs.add(&files);
        // The pack that was added, or has a layer more, is the last one.
        if let Some(added) = packs.packs.last().filter(|_| found.is_empty()) {
            packs.left_out.retain(|cited| *cited != added.cited());
            wrong.extend(reserved(&own, added, &files));
            wrong.extend(whole::all(added, &files, &packs.vocabulary).problems);
        }
        wrong.extend(found);
    }
    Ok((packs, wrong))
}

/// One pack to work on, as its folder has it: its files and what is wrong with it. It is the last of the packs
/// to judge by; there is none where something is wrong. A layer stands over the pack that the program carries,
/// and over those in further folders. It goes by the vocabulary of `other` packs too, so that rules of both can be held
/// beside each other.
pub(super) fn stack(
    folder: Option<&Path>,
    over: &[PathBuf],
    other: Option<&Packs>,
) -> Result<(Packs, PackFiles, Vec<PackProblem>), Refusal> {
    let (files, mut wrong) = match folder {
        Some(folder) => folder::pack(folder, PACK_FOLDER)?,
        None => (wetside_rules::files(), Vec::new()),
    };
    let mut packs = if is_layer(&files) {
        let (packs, faulty) = load(&Choice {
            folders: over.to_vec(),
            without_built_in: false,
        })?;
        wrong.extend(faulty);
        packs
    } else {
        Packs::none()
    };
    if let Some(other) = other {
        packs.share_fields_of(other);
    }
    let found = packs.add(&files);
    if !found.is_empty() {
        packs = Packs::none();
    }
    wrong.extend(found);
    Ok((packs, files, wrong))
}

/// A pack that is not the one that the program carries must not bear its name in a report.
fn reserved(own: &[Identity], pack: &Pack, files: &PackFiles) -> Option<PackProblem> {
    let all = pack.identities();
    let own = own
        .iter()
        .flat_map(|one| all.iter().map(move |other| (one, other)));
    let (it, _) = own
        .filter(|(one, other)| one.pack == other.pack)
        .find(|(one, other)| one.digest != other.digest)?;
    let says = format!(
        "`{}` is the name of the pack that the program carries, and the content of this one is another",
        it.pack
    );
    let help = "give it a name of its own; to change a few rules or limits of the carried pack, write a layer that builds on it";
    Some(files.problem_of_head("name-reserved", "pack", says, help))
}

/// Refuses packs with which something is wrong, and shows it. Nothing is judged by them, since the rule that is missing
/// may be the one that would have stopped the work.
pub(super) fn sound(wrong: &[PackProblem], look: &Look) -> Result<(), Refusal> {
    if wrong.is_empty() {
        return Ok(());
    }
    shown(&problems::of_packs(&pairs(wrong), &look.on_screen()))?;
    let says = "nothing was done, because a pack is faulty";
    Err(Refusal {
        exit: Exit::FaultyPack,
        ..Refusal::new(says, "mend the pack first")
    })
}

/// The same for programs.
pub(super) fn refuse_in_json(wrong: &[PackProblem]) -> String {
    json::document(&[], &pairs(wrong))
}

/// What is wrong, each with its file.
pub(super) fn pairs(wrong: &[PackProblem]) -> Vec<(&Source, &Problem)> {
    let pairs = wrong.iter();
    pairs
        .map(|wrong| (wrong.source.as_ref(), &wrong.problem))
        .collect()
}

/// Shows a page, or says why not.
pub(super) fn shown(page: &str) -> Result<(), Refusal> {
    terminal::show(page).map_err(|error| files::cannot_show(&error))
}
