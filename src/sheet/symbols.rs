//! The signs of the drawing: each says how a thing stands by its form, before any colour.
//!
//! Contract: a sign is drawn about a point, in units of the drawing; the classes are those of the style of
//! `page`. This module must not know what is drawn.

use super::marks::{Mark, Shape};
use super::survey::Stands;
use maud::{Markup, html};

/// A valve: two triangles, filled where it is shut, with a tick where it is as it was found.
pub(crate) fn valve(x: i32, y: i32, stands: Stands) -> Markup {
    let bow = format!("M{} {}v10l14 -10v10z", x - 7, y - 5);
    html! {
        path class=(class("sign", stands)) d=(bow) {}
        (badge(x, y, stands))
    }
}

/// A thing that is made safe or not: a square, filled where it is.
pub(crate) fn square(x: i32, y: i32, stands: Stands) -> Markup {
    let square = format!("M{} {}h12v12h-12z", x - 6, y - 6);
    html! {
        path class=(class("sign", stands)) d=(square) {}
        (badge(x, y, stands))
    }
}

/// What stands over a sign where its form alone does not say it.
fn badge(x: i32, y: i32, stands: Stands) -> Markup {
    html! {
        @match stands {
            Stands::Unknown => text.ask x=(x) y=(y + 4) { "?" },
            Stands::AsFound => path.tick d=(format!("M{} {}l4 4l8 -9", x - 6, y)) {},
            Stands::Past => path.past d=(format!("M{} {}q7 -14 14 0", x - 7, y)) {},
            Stands::Open | Stands::Shut => {},
        }
    }
}

pub(crate) fn class(kind: &str, stands: Stands) -> String {
    let stands = match stands {
        Stands::Open => "open",
        Stands::Unknown => "unknown",
        Stands::Past => "led-past",
        Stands::AsFound => "as-found",
        Stands::Shut => "shut",
    };
    format!("{kind} {stands}")
}

/// Marks in a row that ends at `x`; of many the first, and how many more.
pub(crate) fn marks(x: i32, y: i32, marks: &[Mark<'_>]) -> Markup {
    const ROOM: usize = 4;
    let all = marks.len() <= ROOM;
    let shown = if all { marks } else { &marks[..ROOM - 1] };
    let room = if all { 0 } else { 26 };
    html! {
        @for (at, mark) in (0..).zip(shown.iter().rev()) {
            (mark_at(x - room - 19 * at, y, mark.shape, &mark.number.to_string()))
        }
        @if !all { text.more x=(x + 8) y=(y + 4) { "+" (marks.len() - shown.len()) } }
    }
}

/// One mark: eight corners for a hazard, four on their tip for one that is undecided, a box for a step.
pub(crate) fn mark_at(x: i32, y: i32, shape: Shape, number: &str) -> Markup {
    let (class, outline) = match shape {
        Shape::Hazard => ("m hazard", "m-4 -9h8l5 5v8l-5 5h-8l-5 -5v-8z"),
        Shape::Undecided => ("m undecided", "m0 -10l10 10l-10 10l-10 -10z"),
        Shape::Step => ("m step", "m-8 -8h16v16h-16z"),
    };
    html! {
        path class=(class) d=(format!("M{x} {y}{outline}")) {}
        text.n x=(x) y=(y + 4) { (number) }
    }
}
