//! The pack that the program carries is the pack as its files say it.

use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, idle, load};

/// What was checked when the program was built is what would be checked now, word for word.
#[test]
fn the_carried_pack_is_the_one_of_the_files() {
    let mut read = Packs::none();
    let problems = read.add(&wetside_rules::files());
    assert_eq!(problems.len(), 0, "{problems:#?}");
    let carried = wetside_rules::packs();
    assert_eq!(format!("{read:?}"), format!("{carried:?}"));
}

/// A company that writes the limit of another pack down again in its own would believe it was changed.
#[test]
fn a_limit_or_table_that_no_rule_speaks_of_is_told() {
    let vocabulary = Packs::none().vocabulary;
    let mut files = wetside_rules::files();
    let told = |files: &PackFiles| {
        let (pack, problems) = load(files, &vocabulary);
        assert_eq!(problems.len(), 0, "{problems:#?}");
        let idle = idle(&pack, files);
        let told = idle.iter().map(|wrong| {
            let line = wrong.source.line_of(wrong.problem.span.start);
            (wrong.source.name.clone(), line, wrong.problem.kind)
        });
        told.collect::<Vec<_>>()
    };
    assert_eq!(told(&files), []);
    let head = files.files.iter_mut().find(|(path, _)| path == "pack.yaml");
    let (_, head) = head.expect("a pack has a head");
    let lines = head.lines().count();
    head.to_mut().push_str(
        "  our_hose:\n    value: 10 m\n    kind: length\n    says: our hoses are this long\n    \
         source: {work: house rule, standing: common practice, certainty: no source}\n",
    );
    assert_eq!(
        told(&files),
        [("gb-domestic/pack.yaml".to_string(), lines + 1, "idle-limit")]
    );
}
