//! Checks the built-in pack and writes it down as the program carries it, with the texts of its files and of
//! the catalogue of faults.
//!
//! Contract: a pack with a problem stops the build, and the problem is told at its line.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a build script speaks to cargo so"
)]

use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs, io};
use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, PackProblem};

fn main() -> Result<(), Box<dyn Error>> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let pack = texts(&root.join("gb-domestic"))?;
    let faults = texts(&root.join("gb-domestic-faults"))?;
    fs::write(out.join("pack.rs"), listing(&pack))?;
    fs::write(out.join("faults.rs"), listing(&faults))?;
    let own = |text: &Text| (text.inside.clone(), text.text.clone().into());
    let files = PackFiles {
        name: "gb-domestic".to_string(),
        files: pack.iter().map(own).collect(),
    };
    let mut packs = Packs::none();
    let problems = packs.add(&files);
    for problem in &problems {
        tell(problem);
    }
    if !problems.is_empty() {
        return Err("the built-in pack is faulty".into());
    }
    fs::write(out.join("checked"), postcard::to_allocvec(&packs)?)?;
    Ok(())
}

/// A problem in one line of the pack, as compilers say it.
fn tell(wrong: &PackProblem) {
    let (source, problem) = (&wrong.source, &wrong.problem);
    let place = source.place(problem.span.start);
    eprintln!("rules/{}:{place}: {}", source.name, problem.says);
    eprintln!("    {}", source.slice(source.line_span(place.line)).trim());
    eprintln!("    help: {}", problem.help);
}

/// One file: where it lies, its path within its folder, and what it says.
struct Text {
    path: PathBuf,
    inside: String,
    text: String,
}

/// The YAML files of a folder, in the order of their paths.
fn texts(folder: &Path) -> io::Result<Vec<Text>> {
    let mut paths = Vec::new();
    collect(folder, &mut paths)?;
    paths.sort();
    let text = |path: PathBuf| {
        let inside = path.strip_prefix(folder).expect("it was found there");
        let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
        Ok(Text {
            inside: parts.join("/"),
            text: fs::read_to_string(&path)?,
            path,
        })
    };
    paths.into_iter().map(text).collect()
}

fn listing(texts: &[Text]) -> String {
    let line = |text: &Text| format!("    ({:?}, include_str!({:?})),\n", text.inside, text.path);
    format!("&[\n{}]\n", texts.iter().map(line).collect::<String>())
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    println!("cargo::rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            files.push(path);
        } else {
            let says = format!("nothing is read from {}", path.display());
            return Err(io::Error::other(says));
        }
    }
    Ok(())
}
