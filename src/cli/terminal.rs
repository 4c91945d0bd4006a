//! The one door to the terminal.
//!
//! Contract: everything that the program shows goes through here. A reader that has gone away, such
//! as a pager that was closed, ends the showing quietly. Where the output is no terminal, nothing of
//! the surroundings can be seen in it: the same call gives the same bytes.

use super::exit::Exit;
use super::misuse::whole_number;
use anstream::{AutoStream, ColorChoice};
use clap::{Args, ValueEnum};
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::sync::OnceLock;
use wetside_report::Style;
use wetside_report::pen::{Ink, Pen, number};

/// How pages are to look.
#[derive(Args, Clone, Debug, Default)]
#[command(next_help_heading = "How it looks")]
pub(super) struct Look {
    /// Width of the page in columns [default: the terminal's, at most 100; 80 elsewhere]
    #[arg(long, value_name = "COLUMNS", value_parser = whole_number::<u16>(40..=1000))]
    pub width: Option<u16>,
    /// When to add colour; `auto` means on a terminal, unless NO_COLOR is set
    #[arg(long, value_name = "WHEN", value_enum, default_value_t = Colour::Auto)]
    pub colour: Colour,
    /// Write words only, without drawings: for a screen reader or a plain printer
    #[arg(long)]
    pub plain: bool,
    /// Write ASCII only, with stand-ins for signs such as ° and ±
    #[arg(long)]
    pub ascii: bool,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum Colour {
    #[default]
    Auto,
    Always,
    Never,
}

const USUAL_WIDTH: usize = 80;
/// Longer lines are hard to follow.
const WIDEST: usize = 100;

impl Look {
    /// The style of pages on standard output.
    pub(super) fn on_screen(&self) -> Style {
        let screen = is_one();
        let auto = || AutoStream::choice(&io::stdout()) != ColorChoice::Never;
        let width = if screen { terminal_width() } else { None };
        self.style(width, screen && !speaks_unicode(), auto)
    }

    /// The style of pages that go to a file.
    pub(super) fn on_file(&self) -> Style {
        self.style(None, false, || false)
    }

    fn style(&self, width: Option<usize>, ascii: bool, auto: impl Fn() -> bool) -> Style {
        Style {
            width: self.width.map(usize::from).or(width).unwrap_or(USUAL_WIDTH),
            colour: match self.colour {
                Colour::Auto => auto(),
                Colour::Always => true,
                Colour::Never => false,
            },
            drawn: !self.plain,
            ascii: self.ascii || ascii,
        }
    }
}

/// Whether somebody reads standard output on a terminal.
pub(super) fn is_one() -> bool {
    io::stdout().is_terminal()
}

/// The width that the shell tells.
fn terminal_width() -> Option<usize> {
    let told = std::env::var("COLUMNS")
        .ok()
        .and_then(|columns| columns.parse().ok());
    let asked = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    let columns: usize = told.or_else(asked)?;
    Some(columns.clamp(Style::NARROWEST, WIDEST))
}

/// Whether the locale is one of UTF-8, or none is set.
fn speaks_unicode() -> bool {
    let set = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .filter_map(|name| std::env::var(name).ok());
    match set.into_iter().find(|value| !value.is_empty()) {
        Some(locale) => {
            let locale = locale.to_lowercase();
            locale.contains("utf-8") || locale.contains("utf8")
        }
        None => true,
    }
}

/// Shows a page on standard output.
///
/// # Errors
/// When it cannot be written for another reason than that nobody reads it any more.
pub(super) fn show(page: &str) -> io::Result<()> {
    show_bytes(page.as_bytes())
}

/// Shows bytes that are no page of ours, such as a manual page, on standard output.
pub(super) fn show_bytes(bytes: &[u8]) -> io::Result<()> {
    // Colour was settled when the page was made; the stream only passes it on.
    let mut out = AutoStream::always(io::stdout().lock());
    quietly(out.write_all(bytes).and_then(|()| out.flush()))
}

/// Standard output for a talk, line by line; colour was settled when the words were made.
pub(super) fn out() -> impl Write {
    AutoStream::always(io::stdout().lock())
}

/// The width that was asked for, which what is said on standard error keeps to as well.
static ASKED: OnceLock<usize> = OnceLock::new();

/// Keeps everything that is said to a width.
pub(super) fn keep_to(width: u16) {
    ASKED.get_or_init(|| usize::from(width));
}

/// Says on standard error what went wrong and what to do.
pub(super) fn complain(says: &str, help: &str) {
    let screen = || io::stderr().is_terminal().then(terminal_width).flatten();
    let width = ASKED.get().copied().or_else(screen);
    let style = Style {
        ascii: !speaks_unicode(),
        ..Style::wide(width.map_or(USUAL_WIDTH, |width| width.min(USUAL_WIDTH)))
    };
    let mut pen = Pen::new(style);
    pen.hanging(0, "wetside: ", says, Ink::Usual);
    if !help.is_empty() {
        pen.paragraph("wetside: ".len(), help);
    }
    tell(&pen.finish());
}

/// The end of a command that did its work all the same: problems of the file are counted, and `check` tells them.
pub(super) fn counted(problems: usize) -> Exit {
    if problems == 0 {
        return Exit::Clear;
    }
    let says = number(problems, "problem in the file", "problems in the file");
    complain(
        &says,
        "what could not be read counts as not known; `wetside check` tells what is wrong",
    );
    Exit::FaultySurvey
}

/// Says something on standard error that is no complaint.
pub(super) fn tell(text: &str) {
    let mut err = AutoStream::auto(io::stderr().lock());
    // Nobody is left to be told that this failed.
    let _ = err.write_all(text.as_bytes());
}

/// How far the work has got, on a line of its own, where standard error is a terminal.
pub(super) struct Progress {
    total: Option<usize>,
    shown: bool,
}

impl Progress {
    pub(super) fn new(total: Option<usize>) -> Progress {
        Progress {
            total,
            shown: false,
        }
    }

    pub(super) fn tell(&mut self, count: usize) {
        if io::stderr().is_terminal() && self.total != Some(count) {
            let of = self
                .total
                .map_or(String::new(), |total| format!(" of {total}"));
            tell(&format!("\r{count}{of} judged"));
            self.shown = true;
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if self.shown {
            tell(&format!("\r{}\r", " ".repeat(USUAL_WIDTH / 2)));
        }
    }
}

/// Nobody reading any more is no fault.
fn quietly(done: io::Result<()>) -> io::Result<()> {
    match done {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}
