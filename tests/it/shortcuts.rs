//! Whatever the program leaves out to be quick changes nothing that it says.

use std::fs;
use std::path::{Path, PathBuf};

use crate::documents::to_json;
use wetside_base::source::Source;
use wetside_engine::check::{Ask, Packs, check};
use wetside_engine::pack::{built_in, load_trusted};
use wetside_engine::schema;
use wetside_schemas::Which;

fn examples() -> Vec<Source> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let entries = fs::read_dir(folder).expect("the folder is there");
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("it can be listed").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        .collect();
    paths.sort();
    let source = |path: &PathBuf| {
        let text = fs::read_to_string(path).expect("it can be read");
        Source::new(path.display().to_string(), text)
    };
    paths.iter().map(source).collect()
}

/// Figures that no rule reads are not worked out; the judgement is the same as with all of them.
#[test]
fn judgements_need_no_other_figures() {
    let quick = Packs::built_in();
    // A pack that came in unseen may read any figure.
    let mut full = Packs::none();
    full.packs.push(load_trusted(&built_in(), &full.vocabulary));
    for survey in examples() {
        let ask = Ask::default();
        assert_eq!(
            format!("{:?}", check(&survey, &quick, &ask)),
            format!("{:?}", check(&survey, &full, &ask)),
            "{}",
            survey.name
        );
    }
}

/// The view of a document that is held against its schema has the values of its JSON.
#[test]
fn the_view_fits_where_the_json_fits() {
    let mut texts: Vec<(Which, Source)> = examples()
        .into_iter()
        .map(|survey| (Which::Survey, survey))
        .collect();
    for (path, text) in built_in().files {
        let which = match path.split('/').next() {
            Some("pack.yaml") => Which::Pack,
            Some("tables") => Which::Table,
            _ => Which::Rule,
        };
        texts.push((which, Source::new(path, text)));
    }
    for text in [
        "survey: 1\njob: {x: 1}\n",
        "survey: one\n",
        "[1, 2]\n",
        "survey: 1\nemitters: 3\n",
    ] {
        texts.push((Which::Survey, Source::new("faulty.yaml", text)));
    }
    for (which, source) in texts {
        let reading = wetside_document::read(&source);
        let faults = wetside_schemas::check(which, &to_json(&reading.root));
        let problems = schema::check::problems(which, &source, &reading);
        assert_eq!(faults.is_empty(), problems.is_empty(), "{}", source.name);
    }
}
