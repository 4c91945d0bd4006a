//! Curves and bars in letters, for a page of text.
//!
//! Contract: plain numbers in, lines out that are no longer than [`WIDTH`]. Each curve
//! has a sign of its own, with its name below; nothing is told by colour. This module must not know surveys,
//! figures or units.

use crate::curves::{Bar, Curve, Picture, Scale, Shape, Shows, reach, tick};

/// Columns and rows of the field; what stands left of it and the whole.
const ACROSS: usize = 56;
const UP: usize = 13;
const EDGE: usize = 8;
pub(crate) const WIDTH: usize = EDGE + 2 + ACROSS + EDGE;
const SIGNS: [char; 4] = ['*', 'o', '+', 'x'];
const AREA: char = ':';

/// The picture in letters.
pub(crate) fn plot(picture: &Picture<'_>) -> String {
    let drawn = match &picture.shows {
        Shows::Curves { up, curves } => over_one_another(picture.across, up, curves),
        Shows::Bars(bars) => one_after_another(picture.across, bars),
    };
    format!("{}\n{drawn}", picture.title)
}

fn over_one_another(across: &str, up: &str, curves: &[Curve<'_>]) -> String {
    let (far, high) = reach(curves);
    let x = Scale::new(far, 0.0, (ACROSS - 1) as f64);
    let y = Scale::new(high, (UP - 1) as f64, 0.0);
    let mut field = vec![vec![' '; ACROSS]; UP];
    let mut names = Vec::new();
    // What is filled goes first, so that lines stand over it.
    let filled = |curve: &&Curve<'_>| matches!(curve.shape, Shape::Area(..));
    let areas = curves.iter().filter(filled);
    let lines = curves.iter().filter(|curve| !filled(curve));
    for curve in areas {
        names.push(format!("{AREA} {}", curve.name));
        draw(&mut field, &curve.shape, AREA, x, y);
    }
    for (nth, curve) in lines.enumerate() {
        let sign = SIGNS[nth % SIGNS.len()];
        names.push(format!("{sign} {}", curve.name));
        draw(&mut field, &curve.shape, sign, x, y);
    }
    let mut out = format!("{up:>EDGE$}\n");
    let marks: Vec<(usize, String)> = y.ticks().map(|at| (row(y, at), tick(at))).collect();
    for (nth, line) in field.iter().enumerate() {
        let mark = marks.iter().find(|(at, _)| *at == nth);
        let mark = mark.map_or("", |(_, mark)| mark);
        let line: String = line.iter().collect();
        out.push_str(format!("{mark:>EDGE$} |{line}").trim_end());
        out.push('\n');
    }
    out.push_str(&foot(x, across));
    let edge = " ".repeat(EDGE + 2);
    out.extend(names.iter().map(|name| format!("{edge}{name}\n")));
    out
}

fn row(y: Scale, value: f64) -> usize {
    y.at(value).round() as usize
}

/// Where a line is at a place, between the points beside it; nothing beyond its ends.
fn height(points: &[(f64, f64)], at: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let [(from, low), (to, high)] = *pair else {
            return None;
        };
        let share = if to > from {
            (at - from) / (to - from)
        } else {
            0.0
        };
        (from <= at && at <= to).then_some(low + share * (high - low))
    })
}

fn draw(field: &mut [Vec<char>], shape: &Shape, sign: char, x: Scale, y: Scale) {
    if let Shape::Points(points) = shape {
        for (across, up) in points {
            field[row(y, *up)][x.at(*across).round() as usize] = sign;
        }
        return;
    }
    for column in 0..ACROSS {
        let at = x.value(column as f64);
        let ends = match shape {
            Shape::Line(points) => height(points, at).map(|one| (one, one)),
            Shape::Area(low, high) => {
                let high = height(high, at);
                high.map(|high| (height(low, at).unwrap_or(0.0), high))
            }
            Shape::Points(_) => None,
        };
        if let Some((low, high)) = ends {
            let (top, bottom) = (row(y, high.max(low)), row(y, low.min(high)));
            for line in &mut field[top..=bottom] {
                line[column] = sign;
            }
        }
    }
}

/// The numbers below, with what they are of.
fn foot(x: Scale, across: &str) -> String {
    let mut numbers = vec![' '; EDGE + 2 + ACROSS + EDGE];
    for value in x.ticks() {
        let from = EDGE + 2 + x.at(value).round() as usize;
        for (at, sign) in tick(value).chars().enumerate() {
            numbers[from + at] = sign;
        }
    }
    let numbers: String = numbers.into_iter().collect();
    let edge = " ".repeat(EDGE);
    let line = "-".repeat(ACROSS);
    format!("{edge} +{line}\n{}\n{edge}  {across}\n", numbers.trim_end())
}

/// Each bar from the middle of where the last one ends: what it takes for certain, and what it may take.
fn one_after_another(across: &str, bars: &[Bar<'_>]) -> String {
    let longest = bars.iter().map(|bar| bar.name.chars().count()).max();
    let edge = longest.unwrap_or(0);
    let middle = |bar: &Bar<'_>| 0.5 * (bar.low + bar.high);
    let far: f64 = bars.iter().map(middle).sum::<f64>() + bars.last().map_or(0.0, |bar| bar.high);
    let x = Scale::new(far, 0.0, (ACROSS - 1) as f64);
    let (mut out, mut from) = (String::new(), 0.0);
    for bar in bars {
        let at = |value: f64| x.at(value).round() as usize;
        let (start, sure, most) = (at(from), at(from + bar.low), at(from + bar.high));
        let drawn = format!(
            "{}{}{}",
            " ".repeat(start),
            "#".repeat((sure - start).max(1)),
            "-".repeat(most - sure)
        );
        out.push_str(&format!("{:edge$} |{drawn}\n", bar.name));
        from += middle(bar);
    }
    out.push_str(&format!("{across}, up to {}\n", tick(x.most)));
    out
}
