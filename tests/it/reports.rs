//! Reports on hand-made judgements, held against stored pages that people have looked at.

mod hand_made;

use crate::shapes;
use hand_made::{at, guest_house, not_accepted, stopped, with};
use wetside_base::finding::{Stage, Verdict};
use wetside_base::problem::Problem;
use wetside_base::source::Source;
use wetside_report::{Style, brief, json, problems, text};
use wetside_schemas::Which;

fn page(style: Style) -> String {
    let source = guest_house();
    text::survey(&source, &stopped(&source), &style)
}

#[test]
fn the_text_report_at_sixty_columns() {
    insta::assert_snapshot!(page(Style::wide(60)));
}

#[test]
fn the_text_report_at_a_hundred_columns() {
    insta::assert_snapshot!(page(Style::wide(100)));
}

#[test]
fn the_text_report_in_ascii() {
    let page = page(Style {
        ascii: true,
        ..Style::wide(72)
    });
    assert!(page.is_ascii());
    insta::assert_snapshot!(page);
}

#[test]
fn the_text_report_in_words_only() {
    insta::assert_snapshot!(page(Style {
        drawn: false,
        ..Style::wide(80)
    }));
}

#[test]
fn the_short_report_at_forty_columns() {
    let source = guest_house();
    let page = brief::survey(&source, &stopped(&source), &Style::wide(40));
    insta::assert_snapshot!(page);
}

#[test]
fn the_short_report_in_words_only() {
    let source = guest_house();
    let style = Style {
        drawn: false,
        ascii: true,
        ..Style::wide(60)
    };
    let page = brief::survey(&source, &stopped(&source), &style);
    assert!(page.is_ascii());
    insta::assert_snapshot!(page);
}

#[test]
fn colour_adds_nothing_but_colour() {
    let coloured = page(Style {
        colour: true,
        ..Style::wide(80)
    });
    assert!(coloured.contains('\u{1b}'));
    assert_eq!(
        anstream::adapter::strip_str(&coloured).to_string(),
        page(Style::wide(80))
    );
}

#[test]
fn no_line_is_wider_than_the_page() {
    for width in [40, 48, 60, 72, 80, 100, 132] {
        for line in page(Style::wide(width)).lines() {
            assert!(line.chars().count() <= width, "{width}: {line}");
        }
    }
}

#[test]
fn each_verdict_has_its_sentence() {
    let source = guest_house();
    let head = |verdict| {
        let page = text::survey(&source, &with(verdict, &source), &Style::wide(100));
        page.lines().take(3).collect::<Vec<_>>().join("\n")
    };
    let all = [
        Verdict::Clear,
        Verdict::Prepare,
        Verdict::FindOut,
        Verdict::DoNotStart,
    ];
    insta::assert_snapshot!(all.map(head).join("\n\n"));
}

/// What a verdict means is the same at every stage; how it is said fits what is left to do.
#[test]
fn each_verdict_has_words_that_fit_the_stage() {
    let told = Stage::ALL.map(|stage| {
        let words = [
            Verdict::Clear,
            Verdict::Prepare,
            Verdict::FindOut,
            Verdict::DoNotStart,
        ];
        format!(
            "{stage}: {}",
            words.map(|verdict| verdict.at(stage)).join("; ")
        )
    });
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn several_surveys_end_in_one_list() {
    let source = guest_house();
    let clear = with(Verdict::Clear, &source);
    let prepare = with(Verdict::Prepare, &source);
    let other = Source::new("flat.yaml", source.text.clone());
    insta::assert_snapshot!(text::surveys(
        &[(source, clear), (other, prepare)],
        text::survey,
        &Style::wide(80)
    ));
}

#[test]
fn problems_of_a_pack_name_their_files() {
    let rule = Source::new(
        "rules/weak.yaml",
        "title: too weak\nmust: pressure >\u{7} 3\n",
    );
    let place = at(&rule, "pressure");
    let problem = Problem::new(
        "unknown-word",
        place,
        "`pressure` is no word of the survey",
        "",
    );
    insta::assert_snapshot!(problems::of_packs(&[(&rule, &problem)], &Style::wide(80)));
}

#[test]
fn the_json_report() {
    let source = guest_house();
    let judgement = stopped(&source);
    insta::assert_snapshot!(json::document(&[(source, judgement)], &[]));
}

#[test]
fn the_json_report_fits_its_schema() {
    let source = guest_house();
    let problem = not_accepted(&source);
    let all = [
        Verdict::Clear,
        Verdict::Prepare,
        Verdict::FindOut,
        Verdict::DoNotStart,
    ];
    let mut judged: Vec<_> = all
        .map(|verdict| (source.clone(), with(verdict, &source)))
        .to_vec();
    judged.push((source.clone(), stopped(&source)));
    for text in [
        json::document(&judged, &[]),
        json::document(&judged[..1], &[]),
        json::document(&[], &[(&source, &problem)]),
    ] {
        let value = serde_json::from_str(&text).expect("the report is JSON");
        assert_eq!(wetside_schemas::check(Which::Report, &value), []);
    }
}

/// The keys of every object, in the order in which the schema has them: what is written and what is
/// described are one.
#[test]
fn the_json_report_has_the_keys_of_its_schema_in_their_order() {
    let source = guest_house();
    let mut judgement = stopped(&source);
    let more = judgement.findings[1].on[0].clone();
    judgement.findings[1].on.push(more);
    let problem = not_accepted(&source);
    let text = json::document(&[(source.clone(), judgement)], &[(&source, &problem)]);
    let schema = include_str!("../../schemas/report.schema.json");
    shapes::assert_keys(&text, schema);
}

#[test]
fn the_schema_of_the_report_is_closed() {
    let wrong = serde_json::json!({"report": 2, "verdict": "perhaps", "surveys": [], "extra": 1});
    assert!(wetside_schemas::check(Which::Report, &wrong).len() >= 3);
}
