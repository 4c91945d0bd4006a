//! Reading surveys and packs, writing reports.
//!
//! Contract: a file is written whole or not at all, and no file is overwritten unless that was asked
//! for. What cannot be opened is a [`Refusal`]; what can be opened and is no text is a problem of the
//! file, like any other.

use super::exit::Exit;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use wetside_base::facts::Facts;
use wetside_base::source::Source;
use wetside_base::vocabulary::Vocabulary;

/// Why something cannot be done as asked: what is wrong, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Refusal {
    /// Empty where everything was told already.
    pub says: String,
    pub help: String,
    /// What the program ends with.
    pub exit: Exit,
}

impl Refusal {
    pub(super) fn new(says: impl Into<String>, help: impl Into<String>) -> Refusal {
        Refusal {
            says: says.into(),
            help: help.into(),
            exit: Exit::Misuse,
        }
    }

    /// Where everything was told already.
    pub(super) fn told(exit: Exit) -> Refusal {
        Refusal {
            exit,
            ..Refusal::new("", "")
        }
    }
}

/// The name that stands for standard input among the surveys.
pub(super) const STANDARD_INPUT: &str = "-";

const NO_ORDINARY_FILE: &str = "it is a pipe, a device or the like, and no ordinary file";

/// More than any reader accepts, so that an endless input ends.
pub(super) const MOST_BYTES: u64 = 9 * 1024 * 1024;

/// The name of a survey as it is shown, and its bytes; `help` says what to do where it cannot be read.
pub(super) fn survey<'n>(name: &'n str, help: &str) -> Result<(&'n str, Vec<u8>), Refusal> {
    let (shown, bytes) = if name == STANDARD_INPUT {
        ("standard input", limited(io::stdin().lock()))
    } else {
        (name, read(Path::new(name)))
    };
    let bytes = bytes.map_err(|error| cannot_read(shown, &error, help))?;
    Ok((shown, bytes))
}

/// What the name of a file of departures ends with.
pub(super) const DEPARTURES: &str = ".departures.yaml";

/// The file of departures that lies beside a survey, if there is one.
pub(super) fn departures(survey: &str) -> Result<Option<Source>, Refusal> {
    let Some(stem) = survey
        .strip_suffix(".yaml")
        .filter(|_| survey != STANDARD_INPUT)
    else {
        return Ok(None);
    };
    let name = format!("{stem}{DEPARTURES}");
    match Path::new(&name).symlink_metadata() {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        _ => text(
            &name,
            "mend it or take it away: it says what this job departs from",
        )
        .map(Some),
    }
}

/// A survey as text, where nothing can be done without it.
pub(super) fn text(name: &str, help: &str) -> Result<Source, Refusal> {
    let (shown, bytes) = survey(name, help)?;
    wetside_document::decode(shown, bytes).map_err(|problem| {
        let says = format!("cannot read `{name}`: {}", problem.says);
        Refusal::new(says, problem.help)
    })
}

/// The recorded facts of a survey.
pub(super) fn facts(source: &Source, vocabulary: &Vocabulary) -> Facts {
    let reading = wetside_document::read(source);
    wetside_engine::read::survey(source, &reading, vocabulary).0
}

/// The bytes of an ordinary file. A pipe or a device might never end, or never begin.
pub(super) fn read(path: &Path) -> io::Result<Vec<u8>> {
    let what = fs::metadata(path)?;
    if what.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    if !what.is_file() {
        return Err(io::Error::other(NO_ORDINARY_FILE));
    }
    File::open(path).and_then(limited)
}

fn limited(reader: impl Read) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    reader.take(MOST_BYTES).read_to_end(&mut bytes)?;
    Ok(bytes)
}

pub(super) fn cannot_read(shown: &str, error: &io::Error, help: &str) -> Refusal {
    Refusal::new(format!("cannot read `{shown}`: {}", reason(error)), help)
}

/// Why a page does not come out.
pub(super) fn cannot_show(error: &io::Error) -> Refusal {
    let says = format!("cannot write to standard output: {}", reason(error));
    Refusal::new(says, "")
}

/// Makes a folder, with those above it, where it is missing.
pub(super) fn make_folder(folder: &Path) -> Result<(), Refusal> {
    fs::create_dir_all(folder).map_err(|error| {
        let says = format!(
            "cannot make the folder `{}`: {}",
            folder.display(),
            reason(&error)
        );
        Refusal::new(says, "name a folder that can be written to")
    })
}

/// Whether two names lead to one file.
pub(super) fn same(one: &Path, other: &Path) -> bool {
    let whole = |path: &Path| fs::canonicalize(path).ok();
    one == other || whole(one).is_some_and(|path| whole(other) == Some(path))
}

/// The system's reason in plain words.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_string(),
        ErrorKind::PermissionDenied => "permission is denied".to_string(),
        ErrorKind::IsADirectory => "it is a folder".to_string(),
        ErrorKind::NotADirectory => "it is no folder".to_string(),
        ErrorKind::AlreadyExists => "there is a file of that name".to_string(),
        ErrorKind::StorageFull => "the disk is full".to_string(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_string(),
        _ => error.to_string(),
    }
}

/// Refuses a file that says nothing.
pub(super) fn holds_survey(source: &Source, help: &str) -> Result<(), Refusal> {
    if !wetside_document::read(source).root.entries().is_empty() {
        return Ok(());
    }
    let says = format!("`{}` holds no survey", source.name);
    Err(Refusal::new(says, help))
}

/// Puts a text in the place of the one that a file has, whole or not at all, and keeps its permissions. Where
/// the file is a link, what it leads to is changed.
///
/// # Errors
/// When the file does not hold the text before any more, since somebody else has it open, or it cannot be
/// written. It is as it was then.
pub(super) fn change(name: &str, before: &str, after: &str) -> Result<(), Refusal> {
    let failed = |error: &io::Error| {
        let says = format!("cannot write `{name}`: {}", reason(error));
        Refusal::new(says, "what came last is not in the file; all before it is")
    };
    let path = fs::canonicalize(name).map_err(|error| failed(&error))?;
    let now = read(&path).map_err(|error| failed(&error))?;
    if now != before.as_bytes() {
        let says = format!("`{name}` was changed by somebody else in the meantime");
        let help = "what came last was not written; close other editors and do it again";
        return Err(Refusal::new(says, help));
    }
    let draft = draft_beside(&path);
    let kept = fs::metadata(&path).map(|what| what.permissions());
    if kept.as_ref().is_ok_and(fs::Permissions::readonly) {
        let says = format!("`{name}` is marked as not to be written");
        let help = "what came last was not written; let it be written again if it is to change";
        return Err(Refusal::new(says, help));
    }
    let written = write_new(&draft, after)
        .and_then(|()| fs::set_permissions(&draft, kept?))
        .and_then(|()| fs::rename(&draft, &path));
    written.map_err(|error| {
        let _ = fs::remove_file(&draft);
        failed(&error)
    })
}

/// Writes a text whole: to a new file beside the place, which then takes the name.
///
/// # Errors
/// When the file is there already and `replace` is not asked for, or it cannot be written. Nothing
/// is left behind then.
pub(super) fn write(path: &Path, text: &str, replace: bool, help: &str) -> Result<(), Refusal> {
    let shown = path.display();
    if path.as_os_str() == STANDARD_INPUT {
        let says = format!("`{shown}` is no name for a file");
        return Err(Refusal::new(
            says,
            "leave the name out to have it on the terminal",
        ));
    }
    if fs::metadata(path).is_ok_and(|what| !what.is_file() && !what.is_dir()) {
        let says = format!("cannot write `{shown}`: {NO_ORDINARY_FILE}");
        return Err(Refusal::new(says, "name a file"));
    }
    let there = || Refusal::new(format!("`{shown}` is there already"), help);
    if !replace && path.symlink_metadata().is_ok() {
        return Err(there());
    }
    let failed = |error: io::Error| {
        let says = format!("cannot write `{shown}`: {}", reason(&error));
        Refusal::new(says, "name a file in a folder that can be written to")
    };
    let draft = draft_beside(path);
    let written = write_new(&draft, text);
    let named = written.and_then(|()| take_name(&draft, path, replace));
    if named.is_err() || !replace {
        // The draft is left over: after a failure, or as the second name of the file.
        let _ = fs::remove_file(&draft);
    }
    named.map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => there(),
        _ => failed(error),
    })
}

/// Writes a new folder, whole or not at all, with files by their paths below it. One that is there keeps what it
/// holds under another name, which is given.
///
/// # Errors
/// When the folder is there and `replace` is not asked for, or something cannot be written. Nothing has changed then.
pub(super) fn write_folder(
    folder: &Path,
    files: &[(String, String)],
    replace: bool,
) -> Result<Option<PathBuf>, Refusal> {
    // An empty folder is as good as none.
    let _ = fs::remove_dir(folder);
    let there = folder.symlink_metadata().is_ok();
    if there && !folder.is_dir() {
        let shown = folder.display();
        let says = format!("cannot make the folder `{shown}`: it is no folder");
        return Err(Refusal::new(says, "name a folder that can be written to"));
    }
    if there && !replace {
        let says = format!("`{}` is there already", folder.display());
        let help =
            "name another folder, or write `--replace`: what is there is kept under another name";
        return Err(Refusal::new(says, help));
    }
    let draft = draft_beside(folder);
    let write = || -> io::Result<Option<PathBuf>> {
        for (path, text) in files {
            let path = draft.join(path);
            fs::create_dir_all(path.parent().unwrap_or(&draft))?;
            write_new(&path, text)?;
        }
        if !there {
            fs::rename(&draft, folder)?;
            return Ok(None);
        }
        let named = |number: usize| {
            let mut name = folder.file_name().unwrap_or_default().to_os_string();
            name.push(format!("-before-{number}"));
            folder.with_file_name(name)
        };
        let free = (1..)
            .map(named)
            .find(|path| path.symlink_metadata().is_err());
        let kept = free.unwrap_or_default();
        fs::rename(folder, &kept)?;
        fs::rename(&draft, folder).inspect_err(|_| drop(fs::rename(&kept, folder)))?;
        Ok(Some(kept))
    };
    write().map_err(|error| {
        let _ = fs::remove_dir_all(&draft);
        let says = format!("cannot write `{}`: {}", folder.display(), reason(&error));
        Refusal::new(says, "name a folder that can be made")
    })
}

/// Writes several texts into a folder, all of them or none: each to a draft beside its place first.
///
/// # Errors
/// When one of the files is there already and `replace` is not asked for, or one cannot be written. No draft
/// is left behind then, and no file that was there is touched.
pub(super) fn write_all(
    folder: &Path,
    files: &[(&str, &str)],
    replace: bool,
) -> Result<(), Refusal> {
    make_folder(folder)?;
    let paths: Vec<PathBuf> = files.iter().map(|(name, _)| folder.join(name)).collect();
    for path in &paths {
        let there = path.symlink_metadata();
        if there.as_ref().is_ok_and(|what| !replace || !what.is_file()) {
            let says = format!("`{}` is there already", path.display());
            let help = "add `--replace`, or name another folder";
            return Err(Refusal::new(says, help));
        }
    }
    let drafts: Vec<PathBuf> = paths.iter().map(|path| draft_beside(path)).collect();
    let mut texts = drafts.iter().zip(files);
    let written = texts.try_for_each(|(draft, (_, text))| write_new(draft, text));
    let mut taken = Vec::new();
    let named = written.and_then(|()| {
        drafts.iter().zip(&paths).try_for_each(|(draft, path)| {
            take_name(draft, path, replace)?;
            taken.push(path);
            Ok(())
        })
    });
    for draft in &drafts {
        // Left over after a failure, or as the second name of a file.
        let _ = fs::remove_file(draft);
    }
    if named.is_err() && !replace {
        // None of them was there before.
        taken.iter().for_each(|path| drop(fs::remove_file(path)));
    }
    named.map_err(|error| {
        let says = format!(
            "cannot write into `{}`: {}",
            folder.display(),
            reason(&error)
        );
        Refusal::new(says, "name a folder that can be written to")
    })
}

fn draft_beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.draft", std::process::id()))
}

fn write_new(draft: &Path, text: &str) -> io::Result<()> {
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(draft)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// A second name fails where the first name is taken in the meantime; a change of name does not.
fn take_name(draft: &Path, path: &Path, replace: bool) -> io::Result<()> {
    if replace {
        return fs::rename(draft, path);
    }
    match fs::hard_link(draft, path) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => {
            // Some file systems know no second names; the name was free a moment ago.
            fs::rename(draft, path)
        }
        done => done,
    }
}
