//! Every formula says what it is: an example that runs, a range, a source.

use std::path::{Path, PathBuf};

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            found.extend(files(&path));
        } else {
            found.push(path);
        }
    }
    found
}

fn sources() -> Vec<(PathBuf, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/physics");
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        (path, text)
    };
    files(&folder).into_iter().map(read).collect()
}

#[test]
fn every_function_gives_its_range_an_example_and_its_source() {
    let mut functions = 0;
    for (path, text) in sources() {
        let mut doc = String::new();
        for line in text.lines() {
            if let Some(words) = line.strip_prefix("///") {
                doc.push_str(words);
                doc.push('\n');
            } else if let Some(rest) = line.strip_prefix("pub fn ") {
                let name = rest.split(['(', '<']).next().unwrap_or(rest);
                functions += 1;
                for needed in ["Source: ", "```"] {
                    assert!(
                        doc.contains(needed),
                        "{}: {name} lacks `{needed}`",
                        path.display()
                    );
                }
                let ranged = ["Valid", "range"].iter().any(|word| doc.contains(word));
                assert!(
                    ranged,
                    "{}: {name} says nothing of its range",
                    path.display()
                );
            } else if !line.starts_with("#[") {
                doc.clear();
            }
        }
    }
    assert!(functions > 30, "only {functions} functions were found");
}

#[test]
fn nothing_hangs_on_the_order_of_a_hash() {
    for (path, text) in sources() {
        assert!(!text.contains("HashMap"), "{}", path.display());
    }
}
