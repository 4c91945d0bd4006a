//! The pack that the program carries is the pack as its files say it.

use wetside_engine::check::Packs;
use wetside_engine::pack::{PackFiles, load};

/// What was checked when the program was built is what would be checked now, word for word.
#[test]
fn the_carried_pack_is_the_one_of_the_files() {
    let mut read = Packs::none();
    let problems = read.add(&wetside_rules::files());
    assert_eq!(problems.len(), 0, "{problems:#?}");
    let carried = wetside_rules::packs();
    assert_eq!(format!("{read:?}"), format!("{carried:?}"));
}

/// A rule of a company's own that speaks of the others of its pack, changed in one place.
#[test]
fn a_link_that_leads_nowhere_and_a_phase_that_is_none_are_told_at_their_lines() {
    let vocabulary = Packs::none().vocabulary;
    let told = |path: &str, was: &str, now: &str| {
        let mut files = wetside_rules::files();
        let rule = files.files.iter_mut().find(|(other, _)| other == path);
        let (_, text) = rule.expect("the rule is there");
        assert!(text.contains(was), "{path}: {was}");
        *text = text.replacen(was, now, 1).into();
        let (_, problems) = load(&files, &vocabulary);
        let told = problems.iter().map(|wrong| {
            let problem = &wrong.problem;
            (problem.kind, wrong.source.slice(problem.span).to_string())
        });
        told.collect::<Vec<_>>()
    };
    let spares = "pipework/plastic-pipe-beside-a-stove.yaml";
    let leads = "premises-and-people/vulnerable-people-without-heat-in-the-cold.yaml";
    let slips = [
        ("no-such-rule", "vulnerable-people-without-heaters"),
        (
            "links-in-a-circle",
            "vulnerable-people-without-heat-in-the-cold",
        ),
        ("no-shared-fact", "dump-hose-rises"),
        ("links-in-a-circle", "smell-of-gas-or-fumes"),
    ];
    for (kind, link) in slips {
        let now = format!("explains: [{link}]");
        let found = told(leads, "explains: [vulnerable-people-without-heat]", &now);
        assert_eq!(found, [(kind, link.to_string())]);
    }
    let graver = "fire-with-plastic-pipe-alone because it is so";
    let explains = format!("explains: [{graver}]\nsource:");
    let found = told(spares, "source:", &explains);
    assert!(
        found.contains(&("links-in-a-circle", graver.to_string())),
        "{found:?}"
    );
    let graver = "solid-fuel-fire-not-out";
    let explains = format!("explains: [{graver}]\nsource:");
    assert_eq!(
        told(spares, "source:", &explains),
        [("explains-what-is-graver", graver.to_string())]
    );
    let found = told(leads, "  flushing:", "  rinsing:");
    assert_eq!(found, [("no-such-phase", "rinsing".to_string())]);
    let found = told(leads, "  before:", "  dosed:");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, "phase-missing");
}

/// A company that writes the limit of another pack down again in its own would believe it was changed.
#[test]
fn a_limit_or_table_that_no_rule_speaks_of_is_told() {
    let mut files = wetside_rules::files();
    let told = |files: &PackFiles| {
        let idle = Packs::none().add(files);
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
