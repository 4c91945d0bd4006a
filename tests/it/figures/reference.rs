//! The page of figures, `docs/figures.md`: its reference is made from the table and held against it.
//!
//! `WETSIDE_WRITE_PAGES=1 cargo test --test it figures::reference` writes that part anew. What stands
//! above it is written by hand.

use super::vocabulary;
use std::fmt::Write as _;
use wetside_engine::figures::explain::worked_out;
use wetside_engine::figures::survey::word_of;
use wetside_engine::figures::table::{Figure, Input, Origin, Source, Work, Yields};
use wetside_engine::figures::{GROUPS, lists};
use wetside_house::convention;
use wetside_house::{Layout, Point};
use wetside_units::Interval;

/// The line at which the reference begins.
const BEGINS: &str = "## Every figure\n";

fn path() -> String {
    format!("{}/docs/figures.md", env!("CARGO_MANIFEST_DIR"))
}

#[test]
fn the_page_lists_every_figure_as_it_is() {
    let page = std::fs::read_to_string(path()).expect("the page is there");
    let at = page.find(BEGINS).expect("the reference has its heading");
    let (written, listed) = page.split_at(at);
    let made = reference();
    if std::env::var_os("WETSIDE_WRITE_PAGES").is_some() {
        std::fs::write(path(), format!("{written}{made}")).expect("it can be written");
        return;
    }
    assert!(
        listed == made,
        "docs/figures.md is out of date: run `WETSIDE_WRITE_PAGES=1 cargo test --test it figures::reference`"
    );
}

/// What the page tells by hand of the layouts is what the program goes by.
#[test]
fn the_page_tells_the_convention_of_each_layout() {
    let page = std::fs::read_to_string(path()).expect("the page is there");
    let flat = page.split_whitespace().collect::<Vec<&str>>().join(" ");
    for layout in [
        Layout::TwoPipe,
        Layout::OnePipe,
        Layout::Microbore,
        Layout::Radial,
        Layout::Underfloor,
        Layout::Mixed,
    ] {
        let words = convention::of_layout(layout);
        assert!(flat.contains(words), "{words}");
    }
}

fn reference() -> String {
    let mut out = format!(
        "{BEGINS}\nThis part is made from the program's own table. *Inputs* are recorded facts, other \
         figures, and conventions: numbers that no survey records, with their width and source.\n"
    );
    for (about, figures) in GROUPS {
        let _ = write!(out, "\n### {}\n", capital(about));
        for figure in figures {
            one(&mut out, &format!("figure.{}", figure.name), figure);
            inputs(&mut out, figure.inputs);
        }
    }
    for list in lists() {
        let _ = write!(
            out,
            "\n### `figure.{}`\n\n{} It goes by `{}`, and each element has that `id`.\n",
            list.name, list.says, list.of
        );
        let shared = list.fields.first().map(|figure| figure.inputs);
        let same = list.fields.len() > 1;
        for figure in list.fields {
            one(&mut out, figure.name, figure);
            if !same {
                inputs(&mut out, figure.inputs);
            }
        }
        if let Some(shared) = shared.filter(|_| same) {
            let _ = write!(out, "\nAll of these take the same:\n");
            inputs(&mut out, shared);
        }
    }
    house(&mut out);
    out
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

fn one(out: &mut String, name: &str, figure: &Figure) {
    let kind = match figure.yields {
        Yields::Quantity(kind) => kind.name().to_string(),
        Yields::Word(words) => format!("one of {}", words.join(", ")),
    };
    let _ = write!(
        out,
        "\n#### `{name}`\n\n{} ({kind})\n\n- Formula: {}\n- Source: {}\n",
        figure.says,
        figure.formula,
        from(&figure.source)
    );
    if let Work::Bounded { method, .. } | Work::House(method) = figure.work {
        let _ = writeln!(out, "- Range: {method}");
    }
}

fn from(source: &Source) -> String {
    format!("{} ({})", source.work, source.certainty)
}

fn inputs(out: &mut String, inputs: &[Input]) {
    let _ = write!(
        out,
        "\n| symbol | what it is | where it comes from |\n|---|---|---|\n"
    );
    for input in inputs {
        let says = |path: &str| {
            let field = vocabulary().find(path);
            field.map_or(String::new(), |field| {
                vocabulary().field(field).says.clone()
            })
        };
        let (what, origin) = match &input.origin {
            Origin::Fact(path) => (says(path), format!("`{path}`")),
            Origin::Figure(name) => {
                let path = format!("figure.{name}");
                (says(&path), format!("`{path}`"))
            }
            Origin::Convention {
                says,
                kind,
                range,
                source,
            } => {
                let range = range.to_interval(*kind).unwrap_or(Interval::EVERYTHING);
                let range = worked_out(*kind, &range);
                (
                    (*says).to_string(),
                    format!("convention: {range}; {}", from(source)),
                )
            }
            Origin::Gathered { says, .. } => {
                ((*says).to_string(), "gathered from facts".to_string())
            }
        };
        let what = what.replace('|', "\\|");
        let _ = writeln!(
            out,
            "| {} | {what} | {origin} |",
            input.symbol.replace('|', "\\|")
        );
    }
}

/// The conventions of the house.
fn house(out: &mut String) {
    let _ = write!(
        out,
        "\n### Conventions of the house\n\nNumbers that the pipes of a house need and no survey records, or \
         that are supposed for people where a survey leaves them out.\n\n"
    );
    for convention in convention::ALL {
        let _ = writeln!(
            out,
            "- {} ({})",
            capital(convention.says),
            convention.source
        );
    }
    let _ = write!(
        out,
        "\nThe fittings of the joint, by the point of connection:\n\n"
    );
    let _ = write!(
        out,
        "| point | bore | loss of both, in speed heads |\n|---|---|---|\n"
    );
    for point in Point::ALL {
        let (bore, loss) = convention::joint(point);
        let (bore, loss) = (bore.range, loss.range);
        let _ = writeln!(
            out,
            "| {} | {:.0} to {:.0} mm | {} to {} |",
            word_of(point),
            1e3 * bore.low,
            1e3 * bore.high,
            loss.low,
            loss.high
        );
    }
    let _ = write!(
        out,
        "\nBores are those of usual fittings (common practice, no source), losses from memory.\n"
    );
}
