//! Drawing the lines of a file: whatever stands there, every mark is seen and nothing moves the cursor.

use wetside_base::problem::Label;
use wetside_base::source::{Source, Span};
use wetside_report::Style;
use wetside_report::draw;

/// Tabs, wide and joined characters, controls, an empty line, another kind of line end, a long line.
fn nasty() -> Source {
    let long = "x".repeat(300);
    Source::new(
        "nasty",
        format!("a:\tb\r\n\r\n温e\u{301}: \u{202e}q\u{1b}[31m\n{long} end\n"),
    )
}

#[test]
fn every_mark_is_drawn_whatever_it_stands_on() {
    let source = nasty();
    let boundaries = (0..=source.text.len()).filter(|at| source.text.is_char_boundary(*at));
    let boundaries: Vec<usize> = boundaries
        .filter(|at| *at < 40 || at % 37 == 0 || *at > 320)
        .collect();
    let other = Label {
        span: Span::new(4, 4),
        words: "zwei".to_string(),
    };
    for (number, start) in boundaries.iter().enumerate() {
        for end in &boundaries[number..] {
            let first = Label {
                span: Span::new(*start, *end),
                words: "eins".to_string(),
            };
            for style in [
                Style::wide(40),
                Style {
                    ascii: true,
                    ..Style::wide(40)
                },
            ] {
                let drawn = draw::lines(&source, &first, std::slice::from_ref(&other), &style);
                assert!(
                    drawn.contains("eins") && drawn.contains("zwei"),
                    "{start}..{end}:\n{drawn}"
                );
                assert!(!drawn.contains(['\u{1b}', '\u{202e}', '\r', '\t']));
                assert!(
                    drawn.lines().all(|line| line.chars().count() <= 45),
                    "{start}..{end}:\n{drawn}"
                );
            }
        }
    }
}

/// Each underline begins under its words, whatever stands before them: wide scripts take two columns,
/// marks set over a letter none.
#[test]
fn underlines_stand_under_their_words_in_every_script() {
    for before in [
        "plain",
        "温水暖房",
        "e\u{301}te\u{301}",
        "🔥 hot 🔥",
        "ﾊﾝｶｸ",
    ] {
        let text = format!("note: {before} target\n");
        let source = Source::new("scripts", text.as_str());
        let start = text.find("target").expect("it is there");
        let mark = Label {
            span: Span::new(start, start + "target".len()),
            words: "here".to_string(),
        };
        let drawn = draw::lines(&source, &mark, &[], &Style::wide(80));
        let line = |with: &str| drawn.lines().find(|line| line.contains(with));
        let (words, under) = (line("target"), line("─┬─"));
        let words = words.expect("the line is drawn").split("target").next();
        let under = under.expect("it is underlined").split('─').next();
        let columns = |text: Option<&str>| text.map_or(0, textwrap::core::display_width);
        assert_eq!(columns(words), columns(under), "{drawn}");
    }
}

#[test]
fn a_mark_beyond_the_text_is_drawn_at_its_end() {
    let source = nasty();
    let first = Label {
        span: Span::new(5000, 6000),
        words: "far out".to_string(),
    };
    assert!(draw::lines(&source, &first, &[], &Style::wide(60)).contains("far out"));
    let empty = Source::new("empty", "");
    assert!(draw::lines(&empty, &first, &[], &Style::wide(60)).contains("far out"));
}
