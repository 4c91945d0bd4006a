//! Whatever the program leaves out to be quick changes nothing that it says.

use std::fs;
use std::path::{Path, PathBuf};

use crate::documents::to_json;
use wetside_base::finding::Stage;
use wetside_base::source::Source;
use wetside_base::vocabulary::{Shape, Type, Vocabulary};
use wetside_engine::check::{Ask, check};
use wetside_engine::pack::PackFiles;
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
    let quick = wetside_rules::packs();
    let mut full = wetside_rules::packs();
    let problems = full.add(&reads_every_figure(&quick.vocabulary));
    assert_eq!(problems.len(), 0, "{problems:#?}");
    for survey in examples() {
        // At the stage of upkeep that advice would be due.
        let ask = Ask {
            stage: Some(Stage::HandBack),
            ..Ask::default()
        };
        let few = check(&survey, &quick, &ask);
        let mut all = check(&survey, &full, &ask);
        // The pack itself is named, and its advice counted as due later.
        all.packs.pop();
        all.basis.packs.pop();
        all.counts.later -= 1;
        assert_eq!(format!("{few:?}"), format!("{all:?}"), "{}", survey.name);
    }
}

/// A pack with one piece of advice, due at the very end, whose words read every figure there is.
fn reads_every_figure(vocabulary: &Vocabulary) -> PackFiles {
    let figures = vocabulary.figures().expect("there are figures");
    let mut blanks = String::new();
    for field in vocabulary.children(figures) {
        let path = &vocabulary.field(field).path;
        match vocabulary.field(field).shape {
            Shape::List { element } => {
                for figure in vocabulary.children(element) {
                    let name = &vocabulary.field(figure).name;
                    let filter = match &vocabulary.field(figure).shape {
                        Shape::Fact(Type::Quantity { .. }) => format!("<= 2 * thing.{name}"),
                        Shape::Fact(Type::Choice(words)) => {
                            format!("is '{}'", vocabulary.word(words[0]))
                        }
                        _ => continue,
                    };
                    let counted = format!("count of thing in {path} where thing.{name} {filter}");
                    blanks += &format!("  {{{counted}}}\n");
                }
            }
            _ => blanks += &format!("  {{{path}}}\n"),
        }
    }
    let source = "{work: common practice, standing: common practice, certainty: no source}";
    let rule = format!(
        "title: all figures\nclass: advisory\nstage: upkeep\nmust: circuit.kind is 'sealed'\nsays: >\n\
         {blanks}do: nothing\nbecause: a test wants them\nsource: {source}\n\
         cases:\n  - {{name: none, given: {{}}, then: undecided}}\n"
    );
    let head = "pack: all-figures\nedition: '1'\ntitle: all figures\nscope: a test\n";
    PackFiles {
        name: "all-figures".to_string(),
        files: vec![
            ("pack.yaml".to_string(), head.into()),
            ("all/all-figures.yaml".to_string(), rule.into()),
        ],
    }
}

/// The view of a document that is held against its schema has the values of its JSON.
#[test]
fn the_view_fits_where_the_json_fits() {
    let mut texts: Vec<(Which, Source)> = examples()
        .into_iter()
        .map(|survey| (Which::Survey, survey))
        .collect();
    for (path, text) in wetside_rules::files().files {
        let which = match path.split('/').next() {
            Some("pack.yaml") => Which::Pack,
            Some("tables") => Which::Table,
            Some("agreements") => Which::Agreements,
            Some("moved.yaml") => Which::Moved,
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
