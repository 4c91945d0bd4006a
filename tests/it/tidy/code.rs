//! The program's text as its compiler reads it: words and signs, without comments, strings and tests.

use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// A piece of code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Piece {
    Word(String),
    Sign(char),
}

impl Piece {
    pub(super) fn word(&self) -> Option<&str> {
        match self {
            Piece::Word(word) => Some(word),
            Piece::Sign(_) => None,
        }
    }

    pub(super) fn is(&self, sign: char) -> bool {
        *self == Piece::Sign(sign)
    }
}

/// A crate of the program.
pub(super) struct Crate {
    /// As it is named in code.
    pub name: String,
    /// From the root of the project.
    pub folder: String,
    pub files: Vec<File>,
}

/// A file of a crate.
pub(super) struct File {
    /// From the root of the project.
    pub path: String,
    pub code: Vec<Piece>,
}

pub(super) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// All files below a folder whose names end so, in order.
pub(super) fn files_below(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let listed = std::fs::read_dir(folder).unwrap_or_else(|why| panic!("{folder:?}: {why}"));
    let mut entries: Vec<PathBuf> = listed
        .map(|entry| entry.expect("it can be listed").path())
        .collect();
    entries.sort();
    let mut files = Vec::new();
    for path in entries {
        if path.is_dir() {
            files.extend(files_below(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            files.push(path);
        }
    }
    files
}

/// The crates of the workspace; the program itself comes last.
pub(super) fn crates() -> Vec<Crate> {
    let src = root().join("src");
    let mut folders = vec!["rules".to_string(), "schemas".to_string()];
    for manifest in files_below(&src, "Cargo.toml") {
        let folder = manifest.parent().expect("a file lies in a folder");
        folders.push(from_root(folder));
    }
    let mut all: Vec<Crate> = folders.into_iter().map(library).collect();
    let mut program = vec![src.join("main.rs")];
    program.extend(files_below(&src.join("cli"), ".rs"));
    all.push(Crate {
        name: "wetside".to_string(),
        folder: String::new(),
        files: program.iter().map(|path| file(path)).collect(),
    });
    all
}

fn library(folder: String) -> Crate {
    let files = files_below(&root().join(&folder), ".rs");
    let short = folder.trim_start_matches("src/");
    Crate {
        name: format!("wetside_{short}"),
        files: files.iter().map(|path| file(path)).collect(),
        folder,
    }
}

pub(super) fn file(path: &Path) -> File {
    let text = std::fs::read_to_string(path).unwrap_or_else(|why| panic!("{path:?}: {why}"));
    let tokens: TokenStream = text.parse().unwrap_or_else(|why| panic!("{path:?}: {why}"));
    let mut code = Vec::new();
    flatten(tokens, &mut code);
    File {
        path: from_root(path),
        code,
    }
}

fn from_root(path: &Path) -> String {
    let inside = path.strip_prefix(root()).expect("it lies below");
    inside.to_string_lossy().into_owned()
}

fn flatten(tokens: TokenStream, code: &mut Vec<Piece>) {
    let mut of_tests = false;
    for token in tokens {
        match token {
            TokenTree::Group(group) => {
                let attribute = group.delimiter() == Delimiter::Bracket
                    && code.last().is_some_and(|last| last.is('#'));
                if attribute {
                    of_tests |= group.stream().to_string().replace(' ', "") == "cfg(test)";
                    continue;
                }
                if !of_tests {
                    let (open, close) = match group.delimiter() {
                        Delimiter::Parenthesis => ('(', ')'),
                        Delimiter::Brace | Delimiter::None => ('{', '}'),
                        Delimiter::Bracket => ('[', ']'),
                    };
                    code.push(Piece::Sign(open));
                    flatten(group.stream(), code);
                    code.push(Piece::Sign(close));
                }
                of_tests &= group.delimiter() != Delimiter::Brace;
            }
            TokenTree::Ident(word) if !of_tests => code.push(Piece::Word(word.to_string())),
            TokenTree::Punct(sign) if !of_tests => code.push(Piece::Sign(sign.as_char())),
            TokenTree::Punct(sign) => of_tests &= sign.as_char() != ';',
            TokenTree::Ident(_) | TokenTree::Literal(_) => {}
        }
    }
}
