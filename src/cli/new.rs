//! `wetside new`: a survey to fill in; and `wetside pack new`: the folder of a first pack.

use super::exit::Exit;
use super::files::{self, Refusal, facts};
use super::packs::{self, in_shell, shown};
use clap::Args;
use std::path::PathBuf;
use wetside_base::facts::{Content, Told, Why, fact_name};
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;
use wetside_edit::{Answer, Place, set};
use wetside_engine::digest;
use wetside_engine::interview::at_once;
use wetside_report::pen::Pen;
use wetside_report::starter;

/// Write a survey to fill in, with everything that can stop a first look still unknown
///
/// Each line says what is asked. Facts that are asked only of some systems stand as comments, with
/// the condition that opens them. `wetside ask` asks for them one by one.
#[derive(Args, Debug)]
pub(super) struct Arguments {
    /// The file to write, which must not exist yet; without it the survey is shown
    file: Option<PathBuf>,
    /// Write every field, not only those that a first look needs
    #[arg(long)]
    full: bool,
    /// Take over from this survey what stays true of the next flat in the same block, and of the machine
    #[arg(long, value_name = "SURVEY")]
    like: Option<String>,
    #[command(flatten)]
    setting: packs::Setting,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Refusal> {
    let packs = arguments.setting.packs()?;
    let vocabulary = &packs.vocabulary;
    let mut survey = if arguments.full {
        starter::full(vocabulary)
    } else {
        starter::survey(vocabulary, &at_once(&packs))
    };
    let mut taken = Vec::new();
    if let Some(like) = &arguments.like {
        let like = files::text(like, "name the survey of the other flat")?;
        (survey, taken) = taken_over(&Source::new("new", survey), &like, vocabulary)?;
    }
    let Some(path) = &arguments.file else {
        shown(&survey)?;
        return Ok(Exit::Clear);
    };
    files::write(path, &survey, false, "name a file that does not exist yet")?;
    let (name, open) = (path.display(), open(&survey, vocabulary));
    let mut pen = Pen::new(arguments.setting.look.on_screen());
    pen.paragraph(
        0,
        &format!("Wrote {name}: {open} questions, all of them still open."),
    );
    if !taken.is_empty() {
        let fields = taken.join(", ");
        pen.paragraph(0, &format!("Taken over, to be looked at again: {fields}."));
    }
    shown(&pen.finish())?;
    let again = arguments.setting.choice.again();
    shown(&format!("Next: wetside ask {}{again}\n", in_shell(path)))?;
    Ok(Exit::Clear)
}

/// How many fields say that they are unknown.
fn open(survey: &str, vocabulary: &Vocabulary) -> usize {
    let facts = facts(&Source::new("new", survey), vocabulary);
    let unknown = |content: &Content| match content {
        Content::Open(Why::Unknown(_)) => true,
        Content::List { extent, .. } => extent.told != Told::NotRecorded,
        _ => false,
    };
    facts
        .all()
        .filter(|(_, fact)| unknown(&fact.content))
        .count()
}

/// The survey with what stays true of another, and the names of those fields.
fn taken_over(
    survey: &Source,
    like: &Source,
    vocabulary: &Vocabulary,
) -> Result<(String, Vec<String>), Refusal> {
    let theirs = facts(like, vocabulary);
    let mut survey = survey.clone();
    let mut taken = Vec::new();
    for (fact, held) in theirs.all() {
        let stays = vocabulary.field(held.field).stays;
        if !stays || !matches!(held.content, Content::Known(_)) {
            continue;
        }
        let place = Place::of(&theirs, vocabulary, fact);
        let written = like.slice(held.span).trim_matches(['"', '\'']);
        let answer = Answer::Text(written.to_string());
        let edited = set(&survey, vocabulary, &place, &answer)
            .map_err(|problem| Refusal::new(problem.says, problem.help))?;
        survey = edited.source;
        taken.push(fact_name(&theirs, vocabulary, fact));
    }
    if taken.is_empty() {
        let says = format!(
            "`{}` says nothing that stays true of the next flat",
            like.name
        );
        return Err(Refusal::new(
            says,
            "leave `--like` out, or name another survey",
        ));
    }
    Ok((survey.text, taken))
}

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
pub(super) struct NewPack {
    /// The folder to make, which must not exist yet
    folder: PathBuf,
    /// Make it a layer over the pack that the program carries, to change its rules too
    #[arg(long)]
    layer: bool,
}

pub(super) fn pack(arguments: &NewPack) -> Result<Exit, Refusal> {
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
    let folder = in_shell(folder);
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
