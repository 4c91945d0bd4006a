//! Drawing the lines of a file with the marks on them.
//!
//! Contract: [`lines`] draws the first mark first and every other mark after it, near ones in one
//! frame, far ones in frames of their own in the order of the file; no mark is ever left out. Lines
//! that are too long are cut around their mark. Theme, width and links are fixed here, because the
//! drawing library would otherwise guess them from whichever terminal it finds. This is the only
//! module that knows that library.

mod excerpt;
mod group;

use super::Style;
use super::signs::shown;
use excerpt::Excerpt;
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, SourceCode};
use miette::{ThemeCharacters, ThemeStyles};
use std::fmt;
use wetside_base::problem::Label;
use wetside_base::source::Source;

/// Characters of a line that are read out.
const LONGEST_READ_OUT: usize = 200;

/// The marked lines, drawn within the width of the style; `first` is what the reader should see first. A mark without words is
/// only underlined.
pub fn lines(source: &Source, first: &Label, others: &[Label], style: &Style) -> String {
    let groups = group::groups(source, first, others, style);
    let frames = groups.iter();
    let frames = frames.map(|group| frame(&Excerpt::new(source, group, style), style));
    frames.collect()
}

/// The same in words, one line for each line of the file, for someone who listens.
pub fn told(source: &Source, first: &Label, others: &[Label], style: &Style) -> Vec<String> {
    let tell = |mark: &Label| {
        let line = source.line_of(mark.span.start).min(source.line_count());
        let text = shown(
            &read_out(source.slice(source.line_span(line)).trim()),
            style.ascii,
        );
        let words = shown(&mark.words, style.ascii);
        match (text.is_empty(), words.is_empty()) {
            (true, true) => format!("Line {line} is empty."),
            (true, false) => format!("Line {line} is empty: {words}."),
            (false, true) => format!("Line {line} reads: {text}"),
            (false, false) => format!("Line {line} reads: {text} ({words})"),
        }
    };
    let others = others.iter().filter(|mark| mark.span != first.span);
    let mut told: Vec<String> = [first].into_iter().chain(others).map(tell).collect();
    told.dedup();
    told
}

/// A line as it is read out: whole, unless nobody would listen to the end.
fn read_out(line: &str) -> String {
    match line.char_indices().nth(LONGEST_READ_OUT) {
        Some((end, _)) => format!("{} …", &line[..end]),
        None => line.to_string(),
    }
}

/// One frame around the lines of one excerpt.
fn frame(excerpt: &Excerpt, style: &Style) -> String {
    let handler = GraphicalReportHandler::new_themed(theme(excerpt, style))
        .with_links(false)
        .with_context_lines(0)
        .without_cause_chain()
        .without_syntax_highlighting()
        .without_primary_span_start();
    let mut drawn = String::new();
    let done = handler.render_report(&mut drawn, excerpt);
    if done.is_err() {
        return String::new();
    }
    // The library opens with a line for a message; ours stands outside the frame.
    let corner = signs(style).ltop;
    let frame = drawn.lines().skip_while(|line| !line.contains(corner));
    frame.map(|line| format!("{}\n", line.trim_end())).collect()
}

fn signs(style: &Style) -> ThemeCharacters {
    let mut signs = if style.ascii {
        ThemeCharacters::ascii()
    } else {
        ThemeCharacters::unicode()
    };
    signs.error = String::new();
    signs
}

/// The first mark strong, the others plain; no colour tells what the words do not.
fn theme(excerpt: &Excerpt, style: &Style) -> GraphicalTheme {
    let mut styles = ThemeStyles::none();
    if style.colour {
        styles = ThemeStyles::ansi();
        let (strong, plain) = (styles.highlights[0], styles.help);
        // The library hands styles to marks in the order of their places.
        let marks = excerpt.marks.iter();
        styles.highlights = marks
            .map(|mark| if mark.first { strong } else { plain })
            .collect();
    }
    GraphicalTheme {
        characters: signs(style),
        styles,
    }
}

// The drawing library shows what is an error to it; the message of ours stands outside the frame.

impl fmt::Display for Excerpt {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Excerpt {}

impl Diagnostic for Excerpt {
    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.marks.iter().map(|mark| {
            let words = (!mark.words.is_empty()).then(|| mark.words.join("\n"));
            LabeledSpan::new(words, mark.start, mark.end - mark.start)
        })))
    }
}
