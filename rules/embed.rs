//! Lists the files of the built-in pack and of its catalogue of faults, so that the program carries them.

#![expect(clippy::print_stdout, reason = "a build script speaks to cargo so")]

use std::path::{Path, PathBuf};
use std::{env, fs, io};

/// Each folder with the name of its listing.
const FOLDERS: [(&str, &str); 2] = [
    ("gb-domestic", "pack.rs"),
    ("gb-domestic-faults", "faults.rs"),
];

fn main() -> io::Result<()> {
    FOLDERS
        .iter()
        .try_for_each(|(folder, listing)| list(folder, listing))
}

fn list(folder: &str, name: &str) -> io::Result<()> {
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR").expect("cargo sets it"));
    let pack = root.join(folder);
    println!("cargo::rerun-if-changed={folder}");
    let mut files = Vec::new();
    collect(&pack, &mut files)?;
    files.sort();
    let mut listing = String::from("&[\n");
    for file in &files {
        let inside = file
            .strip_prefix(&pack)
            .expect("it was found below the pack");
        let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
        listing.push_str(&format!(
            "    ({:?}, include_str!({file:?})),\n",
            parts.join("/")
        ));
    }
    listing.push_str("]\n");
    let out = PathBuf::from(env::var("OUT_DIR").expect("cargo sets it"));
    fs::write(out.join(name), listing)
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) -> io::Result<()> {
    println!("cargo::rerun-if-changed={}", folder.display());
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, files)?;
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            files.push(path);
        }
    }
    Ok(())
}
