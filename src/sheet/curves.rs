//! The curves on a job sheet: each that can be drawn, with its caption and its numbers in words.
//!
//! Contract: pictures and words come finished from the figures; nothing is worked out here. One that cannot be
//! drawn leaves a line that says why.

use super::given::Job;
use super::page::quoted;
use maud::{Markup, PreEscaped, html};
use wetside_report::figures::{CURVES, Drawing, curve};

/// The curve that belongs to the section on the day.
pub(crate) const DAY: &str = "day";

pub(crate) fn others(job: &Job<'_>) -> Markup {
    html! {
        @if let Err(why) = job.told { p { "None is drawn, for nothing is worked out: " (quoted(&why.0)) "." } }
        @else { @for name in CURVES.iter().filter(|name| **name != DAY) { (picture(job, name)) } }
    }
}

/// One curve.
pub(crate) fn picture(job: &Job<'_>, name: &str) -> Markup {
    match curve(job.told, name) {
        Ok(drawing) => figure(&drawing),
        Err(why) => html! { p { "The " (name) " is " (quoted(&why)) "." } },
    }
}

fn figure(drawing: &Drawing) -> Markup {
    html! {
        figure.curve {
            // What a survey says has been made text where it was drawn.
            (PreEscaped(&drawing.svg))
            figcaption {
                p { (drawing.says) }
                @if let Some((what, numbers)) = &drawing.numbers {
                    p { "In numbers, " (what) ":" }
                    ul { @for one in numbers { li { (one) } } }
                }
            }
        }
    }
}
