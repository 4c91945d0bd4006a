//! The two ways in which the built-in pack is loaded agree.

use wetside_base::source::Source;
use wetside_document::top_lines;
use wetside_engine::check::Packs;
use wetside_engine::pack::{Pack, PackFiles, Rule, built_in, idle, load, load_trusted};

/// The quick look at a rule file sees what the parser sees, wherever it says anything.
#[test]
fn the_quick_look_agrees_with_the_parser() {
    let mut compared = 0;
    for (path, text) in built_in().files {
        let root = wetside_document::read(&Source::new(path.clone(), text.as_ref())).root;
        for line in top_lines(&text) {
            let entry = root
                .get(line.key)
                .unwrap_or_else(|| panic!("{path} has `{}`", line.key));
            assert_eq!(entry.key.span, line.key_span, "{path}: {}", line.key);
            if let Some(value) = &line.value() {
                let parsed = entry.value.as_text().map(str::trim_end);
                assert_eq!(parsed, Some(value.as_ref()), "{path}: {}", line.key);
                compared += 1;
            }
            for under in line.lines_under() {
                let inner = entry
                    .value
                    .get(under.key)
                    .unwrap_or_else(|| panic!("{path} has `{}` under `{}`", under.key, line.key));
                assert_eq!(inner.key.span, under.key_span, "{path}: {}", under.key);
                if let Some(value) = &under.value() {
                    let parsed = inner.value.as_text();
                    assert_eq!(parsed, Some(value.as_ref()), "{path}: {}", under.key);
                }
            }
        }
    }
    assert!(
        compared > 1_000,
        "the quick look should serve most lines, and served {compared}"
    );
}

/// Where it says nothing the file is parsed, which is right and slow: so the head is kept plain.
#[test]
fn the_quick_look_serves_every_limit() {
    let (_, head) = built_in()
        .files
        .into_iter()
        .find(|(path, _)| path == "pack.yaml")
        .expect("a pack has a head");
    let limits = top_lines(&head).find(|line| line.key == "limits");
    for limit in limits.expect("it has limits").lines_under() {
        let told = |key: &str| limit.lines_under().find(|line| line.key == key)?.value();
        assert!(told("kind").is_some(), "the kind of {}", limit.key);
        assert!(told("value").is_some(), "the value of {}", limit.key);
    }
}

#[test]
fn a_trusted_pack_judges_as_a_checked_one() {
    let vocabulary = Packs::none().vocabulary;
    let (checked, problems) = load(&built_in(), &vocabulary);
    assert_eq!(problems.len(), 0, "{problems:#?}");
    let trusted = load_trusted(&built_in(), &vocabulary);
    let head = |pack: &Pack| {
        let limits = pack.limits.iter();
        let limits: Vec<_> = limits
            .map(|entry| (&entry.limit, entry.line, entry.says(), entry.citation()))
            .collect();
        format!(
            "{:?}",
            (
                &pack.name,
                &pack.edition,
                pack.title.trim_end(),
                pack.scope.trim_end(),
                limits
            )
        )
    };
    assert_eq!(head(&checked), head(&trusted));
    assert_eq!(checked.rules.len(), trusted.rules.len());
    for (a, b) in checked.rules.iter().zip(&trusted.rules) {
        assert_eq!(
            format!("{:?}", (&a.id, a.class, a.stage, &a.when, &a.must)),
            format!("{:?}", (&b.id, b.class, b.stage, &b.when, &b.must))
        );
        let words = |rule: &Rule, pack: &Pack| format!("{:?}", rule.words(pack.names(&vocabulary)));
        assert_eq!(words(a, &checked), words(b, &trusted), "{}", a.id);
    }
}

/// Where the quick look has any doubt it says nothing.
#[test]
fn the_quick_look_leaves_doubts_to_the_parser() {
    let doubtful = [
        "must: 'quoted'\n",
        "must: a: b\n",
        "must: a # why\n",
        "must: a\n  and b\n",
        "must: >\n  a\n\n  b\n",
        "must: >-\n  a\n",
        "must: |\n  a\n",
        "must: [a]\n",
        "must: {a: b}\n",
        "must: &x a\n",
        "must: >\n  a\n   b\n",
        "must:\n",
        "must: null\n",
        "must: a:\n",
        "must: a\n\nwhen: b\n",
        "must: \"a \\\" b\"\n",
        "must: \"a\" # why\n",
        "must: \"a\n",
    ];
    for text in doubtful {
        let value = top_lines(text)
            .find(|line| line.key == "must")
            .and_then(|line| line.value());
        assert_eq!(value, None, "{text:?}");
    }
}

/// A company that writes the limit of another pack down again in its own would believe it was changed.
#[test]
fn a_limit_or_table_that_no_rule_speaks_of_is_told() {
    let vocabulary = Packs::none().vocabulary;
    let mut files = built_in();
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
