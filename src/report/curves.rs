//! Curves and bars as pictures: SVG text that stands by itself, on paper as on a page.
//!
//! Contract: plain numbers in, one text out; the same numbers give the same bytes. Nothing is told by
//! colour alone: lines differ in their dashes and carry their names, and the title and the description
//! are there for who listens. This module must not know surveys, figures or units.

use maud::{Markup, html};

/// A picture with its words.
pub(crate) struct Picture<'a> {
    pub title: &'a str,
    /// What is to be seen in it, in a sentence or two.
    pub says: &'a str,
    /// Name and unit of what runs from left to right, beginning at 0.
    pub across: &'a str,
    pub shows: Shows<'a>,
}

/// What is drawn.
pub(crate) enum Shows<'a> {
    /// Curves over one another, upwards from 0.
    Curves { up: &'a str, curves: Vec<Curve<'a>> },
    /// Things one after another, each a bar from where the last one ends.
    Bars(Vec<Bar<'a>>),
}

pub(crate) struct Curve<'a> {
    pub name: &'a str,
    pub shape: Shape,
}

pub(crate) enum Shape {
    Line(Vec<(f64, f64)>),
    /// Between two lines, or all the way across between two heights.
    Area(Vec<(f64, f64)>, Vec<(f64, f64)>),
    Points(Vec<(f64, f64)>),
}

/// A thing that takes from `low` to `high`.
pub(crate) struct Bar<'a> {
    pub name: &'a str,
    pub low: f64,
    pub high: f64,
}

/// Narrow, so that its letters can still be read on a telephone: names stand below or above, never beside.
const WIDTH: f64 = 400.0;
const LEFT: f64 = 46.0;
const RIGHT: f64 = 18.0;
const TOP: f64 = 54.0;
/// Where curves stand, and what stands under it: numbers, and the height of a name.
const BASE: f64 = 270.0;
const BOTTOM: f64 = 56.0;
const ENTRY: f64 = 19.0;
/// Where bars begin, and the height of one with its name above it.
const EDGE: f64 = 12.0;
const ROW: f64 = 30.0;
/// Signs of a name that fit beside nothing.
const LONGEST: usize = 52;
const DASHES: [&str; 4] = ["none", "8 4", "2 3", "10 3 2 3"];
const INKS: [&str; 4] = ["#1b3a57", "#8a3b12", "#2f6b3c", "#5b2a6e"];

pub(crate) fn svg(picture: &Picture<'_>) -> String {
    let (height, drawn) = match &picture.shows {
        Shows::Curves { up, curves } => {
            let height = BASE + BOTTOM + ENTRY * curves.len() as f64;
            (height, over_one_another(picture.across, up, curves))
        }
        Shows::Bars(bars) => {
            let height = TOP + BOTTOM + ROW * bars.len() as f64;
            (
                height,
                one_after_another(picture.across, bars, height - BOTTOM),
            )
        }
    };
    let all = html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox={ "0 0 " (WIDTH) " " (height) }
            width=(WIDTH) height=(height) font-family="sans-serif" font-size="12" {
            title { (picture.title) }
            desc { (picture.says) }
            rect width="100%" height="100%" fill="white" {}
            text x="12" y="22" font-size="14" font-weight="bold" { (picture.title) }
            (drawn)
        }
    };
    all.into_string()
}

/// What the curves go through, in words: where each begins, half way along it, and where it ends; of points,
/// every one.
pub(crate) fn in_words(curves: &[Curve<'_>]) -> Vec<String> {
    let mut all = Vec::new();
    for curve in curves {
        match &curve.shape {
            Shape::Line(points) => all.push(along(curve.name, points)),
            Shape::Area(low, high) => {
                all.push(along(&format!("{}, at the least", curve.name), low));
                all.push(along(&format!("{}, at the most", curve.name), high));
            }
            Shape::Points(points) => all.push(through(curve.name, points)),
        }
    }
    all
}

/// The first of the points of a line, the middle and the last, each once; of a level line its height.
fn along(name: &str, points: &[(f64, f64)]) -> String {
    let last = points.len().saturating_sub(1);
    let mut places = vec![0, last / 2, last];
    places.dedup();
    let places = places.iter().filter_map(|at| points.get(*at).copied());
    let places: Vec<(f64, f64)> = places.collect();
    match places.as_slice() {
        [(_, first), rest @ ..] if rest.iter().all(|(_, up)| short(*up) == short(*first)) => {
            format!("{name}: {} throughout", short(*first))
        }
        places => through(name, places),
    }
}

fn through(name: &str, points: &[(f64, f64)]) -> String {
    let each = points.iter();
    let each = each.map(|(across, up)| format!("{} at {}", short(*up), short(*across)));
    format!("{name}: {}", each.collect::<Vec<_>>().join(", "))
}

/// A number with no more digits than can be read from a picture.
fn short(value: f64) -> String {
    if value.abs() < 0.005 {
        return "0".to_string();
    }
    let digits = [100.0, 10.0].iter().filter(|least| value < **least);
    tick(
        format!("{value:.0$}", digits.count())
            .parse()
            .unwrap_or(value),
    )
}

/// A straight scale from numbers to places.
#[derive(Clone, Copy)]
pub(crate) struct Scale {
    pub most: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// Up to a round number beyond the greatest.
    pub(crate) fn new(greatest: f64, from: f64, to: f64) -> Scale {
        let step = step(greatest);
        let most = step * (greatest / step).ceil().max(1.0);
        Scale { most, from, to }
    }

    pub(crate) fn at(self, value: f64) -> f64 {
        let share = (value / self.most).clamp(0.0, 1.0);
        round(self.from + share * (self.to - self.from))
    }

    pub(crate) fn value(self, place: f64) -> f64 {
        self.most * (place - self.from) / (self.to - self.from)
    }

    pub(crate) fn ticks(self) -> impl Iterator<Item = f64> {
        let step = step(self.most);
        let count = (self.most / step).round() as u32;
        (0..=count).map(move |nth| step * f64::from(nth))
    }
}

/// A tenth of a pixel is fine enough.
fn round(place: f64) -> f64 {
    (place * 10.0).round() / 10.0
}

/// One, two or five tens, so that there are some five ticks.
fn step(greatest: f64) -> f64 {
    let rough = greatest.max(1e-9) / 5.0;
    let ten = 10_f64.powf(rough.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|times| times * ten);
    let fitting = steps.into_iter().find(|step| *step >= rough * 0.999);
    fitting.unwrap_or(10.0 * ten)
}

/// A number at a tick, without the noise of its last digits.
pub(crate) fn tick(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// How far and how high curves go.
pub(crate) fn reach(curves: &[Curve<'_>]) -> (f64, f64) {
    let points = curves.iter().flat_map(|curve| match &curve.shape {
        Shape::Line(points) | Shape::Points(points) => points.iter().chain(&[]),
        Shape::Area(low, high) => low.iter().chain(high),
    });
    points.fold((0.0_f64, 0.0_f64), |(far, high), (x, y)| {
        (far.max(*x), high.max(*y))
    })
}

fn over_one_another(across: &str, up: &str, curves: &[Curve<'_>]) -> Markup {
    let (far, high) = reach(curves);
    let x = Scale::new(far, LEFT, WIDTH - RIGHT);
    let y = Scale::new(high, BASE, TOP);
    html! {
        @for value in y.ticks() {
            line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(y.at(value)) y2=(y.at(value)) stroke="#d5d5d5" {}
            text x=(LEFT - 6.0) y=(y.at(value) + 4.0) text-anchor="end" { (tick(value)) }
        }
        (feet(x, across, BASE))
        text x=(LEFT) y=(TOP - 8.0) { (up) }
        @for (nth, curve) in curves.iter().enumerate() {
            (drawn(nth, curve, x, y))
            (key(nth, curve))
        }
    }
}

/// The numbers below, with what they are of.
fn feet(x: Scale, across: &str, base: f64) -> Markup {
    html! {
        line x1=(x.from) x2=(x.to) y1=(base) y2=(base) stroke="black" {}
        @for value in x.ticks() {
            line x1=(x.at(value)) x2=(x.at(value)) y1=(base) y2=(base + 4.0)
                stroke="black" {}
            text x=(x.at(value)) y=(base + 18.0) text-anchor="middle" { (tick(value)) }
        }
        text x=(0.5 * (x.from + x.to)) y=(base + 36.0) text-anchor="middle" { (across) }
    }
}

fn path<'a>(points: impl Iterator<Item = &'a (f64, f64)>, x: Scale, y: Scale) -> String {
    let places: Vec<String> = points
        .map(|(across, up)| format!("{},{}", x.at(*across), y.at(*up)))
        .collect();
    places.join(" ")
}

fn drawn(nth: usize, curve: &Curve<'_>, x: Scale, y: Scale) -> Markup {
    let (ink, dash) = (INKS[nth % INKS.len()], DASHES[nth % DASHES.len()]);
    html! {
        @match &curve.shape {
            Shape::Line(points) => {
                polyline points=(path(points.iter(), x, y)) fill="none" stroke=(ink) stroke-width="2"
                    stroke-dasharray=(dash) {}
            }
            Shape::Area(low, high) => {
                polygon points=(path(low.iter().chain(high.iter().rev()), x, y)) fill=(ink)
                    fill-opacity="0.18" stroke=(ink) stroke-width="0.5" {}
            }
            Shape::Points(points) => {
                @for (across, up) in points {
                    circle cx=(x.at(*across)) cy=(y.at(*up)) r="4" fill="white" stroke=(ink)
                        stroke-width="2" {}
                }
            }
        }
    }
}

/// The name of a curve beside a piece of it, below.
fn key(nth: usize, curve: &Curve<'_>) -> Markup {
    let (ink, dash) = (INKS[nth % INKS.len()], DASHES[nth % DASHES.len()]);
    let (left, level) = (LEFT, BASE + BOTTOM + ENTRY * nth as f64);
    html! {
        @match &curve.shape {
            Shape::Line(_) => {
                line x1=(left) x2=(left + 26.0) y1=(level) y2=(level) stroke=(ink) stroke-width="2"
                    stroke-dasharray=(dash) {}
            }
            Shape::Area(..) => {
                rect x=(left) y=(level - 6.0) width="26" height="12" fill=(ink) fill-opacity="0.18"
                    stroke=(ink) stroke-width="0.5" {}
            }
            Shape::Points(_) => {
                circle cx=(left + 13.0) cy=(level) r="4" fill="white" stroke=(ink) stroke-width="2" {}
            }
        }
        text x=(left + 32.0) y=(level + 4.0) { (curve.name) }
    }
}

/// Each bar begins in the middle of where the last one may end; it is filled as far as it surely lasts.
fn one_after_another(across: &str, bars: &[Bar<'_>], base: f64) -> Markup {
    let middle = |bar: &Bar<'_>| 0.5 * (bar.low + bar.high);
    let starts = bars.iter().scan(0.0, |at, bar| {
        let start = *at;
        *at += middle(bar);
        Some(start)
    });
    let rows: Vec<(f64, f64, &Bar<'_>)> = starts
        .zip(bars)
        .enumerate()
        .map(|(nth, (start, bar))| (TOP + ROW * nth as f64, start, bar))
        .collect();
    let ends = rows.iter().map(|(_, start, bar)| start + bar.high);
    let x = Scale::new(ends.fold(0.0, f64::max), EDGE, WIDTH - RIGHT);
    html! {
        @for value in x.ticks() {
            line x1=(x.at(value)) x2=(x.at(value)) y1=(TOP) y2=(base) stroke="#d5d5d5" {}
        }
        @for (top, start, bar) in &rows {
            text x=(EDGE) y=(top + 11.0) paint-order="stroke" stroke="white" stroke-width="3" { (cut(bar.name)) }
            rect x=(x.at(*start)) y=(top + 15.0) width=(round(x.at(start + bar.high) - x.at(*start)))
                height="10" fill="white" stroke=(INKS[0]) {}
            rect x=(x.at(*start)) y=(top + 15.0) width=(round(x.at(start + bar.low) - x.at(*start)))
                height="10" fill=(INKS[0]) {}
        }
        (feet(x, across, base))
    }
}

/// A name that keeps within the picture.
fn cut(name: &str) -> String {
    if name.chars().count() <= LONGEST {
        return name.to_string();
    }
    let kept: String = name.chars().take(LONGEST - 1).collect();
    format!("{}…", kept.trim_end())
}
