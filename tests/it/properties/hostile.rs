//! No text is too odd: whatever the bytes, the way from them to a judgement ends in a judgement.

use crate::generate::{examples, judged, packs};
use proptest::prelude::*;
use wetside_base::finding::{Judgement, Verdict};
use wetside_engine::check::{Ask, check_bytes};
use wetside_report::{Style, json, text};

/// Judges bytes, looks at every place that the judgement names, and writes its reports.
fn judge_bytes(bytes: Vec<u8>) -> Judgement {
    let (source, judgement) = check_bytes("survey.yaml", bytes, packs(), &Ask::default(), None);
    if source.text.is_empty() {
        // There is nothing to look at.
        return judgement;
    }
    for problem in &judgement.problems {
        let _ = (source.place(problem.span.start), source.slice(problem.span));
    }
    let findings = judgement.findings.iter().chain(&judgement.ahead);
    for on in findings.flat_map(|finding| &finding.on) {
        let labels = on.lines.iter().map(|label| label.span);
        for span in labels
            .chain([on.place])
            .chain(on.causes.iter().map(|cause| cause.span))
        {
            let _ = (source.place(span.start), source.slice(span));
        }
    }
    let reported = [(source, judgement)];
    let _ = json::document(&reported, &[]);
    let _ = text::survey(&reported[0].0, &reported[0].1, &Style::wide(60));
    let [(_, judgement)] = reported;
    judgement
}

/// The words of surveys, and what YAML is made of.
fn soup() -> impl Strategy<Value = String> {
    let words: Vec<&str> = vec![
        "job",
        "stage",
        "work_date",
        "circuit",
        "kind",
        "emitters",
        "controls",
        "count",
        "items",
        "id",
        "size",
        "pipe_materials",
        "unknown",
        "yes",
        "no",
        "null",
        "~",
        "sealed",
        "make-safe",
        "15 mm",
        "2 to 1 m",
        "about 9 L/min",
        "2026-02-30",
        "1e999999999 mm",
        "99999999999999999999999999999999999999999 m",
        "at least",
        "-1",
        "±",
        ":",
        ": ",
        "- ",
        "\n",
        "\n  ",
        "\n    ",
        "\n\t",
        "{",
        "}",
        "[",
        "]",
        ",",
        "#",
        " #",
        "&a ",
        "*a",
        "!!x ",
        "|",
        ">",
        "'",
        "\"",
        "\\",
        "---\n",
        "...",
        "%",
        "?",
        "<<",
        "\u{feff}",
        "\u{0}",
        "é",
        "\r\n",
        "\u{202e}",
    ];
    prop::collection::vec(prop::sample::select(words), 0..60).prop_map(|words| words.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_bytes_cause_a_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(judge_bytes(bytes).verdict != Verdict::Clear);
    }

    #[test]
    fn no_soup_of_words_causes_a_panic(text in soup()) {
        prop_assert!(judge_bytes(text.into_bytes()).verdict != Verdict::Clear);
    }

    /// Examples cut off, or with a stretch of another put in.
    #[test]
    fn no_splice_of_examples_causes_a_panic(which in 0..1000_usize, from in 0..1000_usize, to in 0..1000_usize, other in soup()) {
        let text = &examples()[which % examples().len()].text;
        let at = |part: usize| (0..=text.len() * part / 1000).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
        let (start, end) = (at(from.min(to)), at(from.max(to)));
        judge_bytes(format!("{}{other}{}", &text[..start], &text[end..]).into_bytes());
        judge_bytes(text.as_bytes()[..start].to_vec());
    }
}

#[test]
fn an_empty_text_is_not_clear() {
    for text in [
        "",
        "\n",
        "# nothing\n",
        "survey: 1\n",
        "{}",
        "[]",
        "unknown",
        "job: {stage: survey}",
    ] {
        assert_ne!(judged(text).verdict, Verdict::Clear, "{text:?}");
    }
}
