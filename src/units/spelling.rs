//! Finds the unit that a text means, or says what is wrong with it.

use super::exact::Exact;
use super::fault::QuantityFault;
use super::kind::Kind;
use super::scan::{self, Number};
use super::table::{self, UnitId};
use std::ops::Range;

/// How a number becomes base units: times the factor, plus the unit's own offset.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    pub unit: UnitId,
    pub factor: Exact,
}

impl Scale {
    fn of(unit: UnitId) -> Scale {
        Scale {
            unit,
            factor: unit.factor(),
        }
    }

    pub(crate) fn to_base(self, value: Exact) -> Option<Exact> {
        self.unit.to_base_by(self.factor, value)
    }
}

/// The unit of the kind that is spelt so; without a fault, for trying.
pub(super) fn find(spelling: &str, kind: Kind) -> Option<Scale> {
    if let Some(unit) = UnitId::spelt(spelling, kind) {
        return Some(Scale::of(unit));
    }
    let odd_space = |c: char| c.is_whitespace() && c != ' ';
    if spelling.contains("  ") || spelling.contains(odd_space) {
        let single = spelling.split_whitespace().collect::<Vec<_>>().join(" ");
        return find(&single, kind);
    }
    if kind == Kind::DoseRate {
        dose_rate(spelling)
    } else {
        None
    }
}

/// The unit that the bytes of the text spell, for a quantity of the kind.
pub(super) fn scale(text: &str, at: Range<usize>, kind: Kind) -> Result<Scale, QuantityFault> {
    let spelling = &text[at.clone()];
    find(spelling, kind).ok_or_else(|| wrong_unit(text, at, kind))
}

/// `mL per 50 L`: a volume, `per` or `/`, perhaps a number, and a volume.
fn dose_rate(spelling: &str) -> Option<Scale> {
    let (product, water) = spelling
        .split_once(" per ")
        .or_else(|| spelling.split_once('/'))?;
    let digits = water
        .bytes()
        .take_while(|byte| byte.is_ascii_digit() || *byte == b'.')
        .count();
    let water_count = if digits == 0 {
        Exact::ONE
    } else {
        Exact::parse(&water[..digits])?
    };
    let product = UnitId::spelt(product.trim(), Kind::Volume)?.factor();
    let water = UnitId::spelt(water[digits..].trim(), Kind::Volume)?.factor();
    let factor = product.over(water.times(water_count)?)?;
    Some(Scale {
        unit: UnitId::usual(Kind::DoseRate),
        factor,
    })
}

/// A number without a unit, where one belongs.
pub(super) fn missing(text: &str, number: &Number, kind: Kind) -> QuantityFault {
    let given = &text[number.at.clone()];
    let such_as = match kind {
        // Tests last minutes, jobs hours and pipes years: no one unit is the likely one.
        Kind::Time => format!("`{given} min`, `{given} h` or `{given} years`"),
        _ => format!("`{given} {}`", UnitId::likely(kind, number.value).symbol()),
    };
    let one = kind.row().one;
    let help = format!("write the unit of {one} behind the number, such as {such_as}");
    QuantityFault::of(text, number.at.clone(), "has no unit", help)
}

/// Words behind a bare number.
pub(super) fn not_wanted(
    text: &str,
    number: &Number,
    at: Range<usize>,
    kind: Kind,
) -> QuantityFault {
    let given = &text[at.clone()];
    let bare = &text[number.at.clone()];
    let help = match kind {
        Kind::Number => format!("write the number alone: `{bare}`"),
        _ => format!("{} is written as a bare number: `{bare}`", kind.row().one),
    };
    let is = match table::meanings(given).next() {
        Some(unit) => measures(unit, kind),
        None => "stands behind a bare number".to_owned(),
    };
    QuantityFault::of(text, at, &is, help)
}

/// What a unit measures beside what it should.
fn measures(unit: UnitId, kind: Kind) -> String {
    format!(
        "measures {}, and {} belongs here",
        measured(unit),
        kind.row().one
    )
}

fn wrong_unit(text: &str, at: Range<usize>, kind: Kind) -> QuantityFault {
    let given = &text[at.clone()];
    if let Some(unit) = table::meanings(given).find(|unit| !unit.symbol().is_empty()) {
        return another_kind(text, at, unit, kind);
    }
    if let Some(length) = table::unit_at_start(given)
        && let Some(unit) = UnitId::spelt(&given[..length], kind)
    {
        let rest = scan::skip_spaces(text, at.start + length)..at.end;
        let help = format!(
            "end the value with its unit, `{}`, and put remarks in a note",
            unit.symbol()
        );
        return QuantityFault::of(text, rest, "stands behind the quantity", help);
    }
    let one = kind.row().one;
    let help = match nearest(given, kind) {
        Some(near) => format!(
            "did you mean `{near}`? {}{} is written in {}",
            one[..1].to_uppercase(),
            &one[1..],
            symbols(kind)
        ),
        None => format!("{one} is written in {}", symbols(kind)),
    };
    QuantityFault::of(text, at, "is not a unit", help)
}

fn another_kind(text: &str, at: Range<usize>, unit: UnitId, kind: Kind) -> QuantityFault {
    let mut help = format!("write it in {}", symbols(kind));
    let pressure = unit
        .row()
        .kinds
        .iter()
        .any(|k| matches!(k, Kind::GaugePressure | Kind::AbsolutePressure));
    match kind {
        Kind::Head if pressure => help.push_str("; 1 bar of cold water is a head of about 10.2 m"),
        Kind::AbsolutePressure if unit.serves(Kind::GaugePressure) => {
            help.push_str(
                "; absolute pressure is gauge pressure plus that of the air, about 1.013 bar",
            );
        }
        Kind::GaugePressure if unit.serves(Kind::AbsolutePressure) => {
            help.push_str(
                "; gauge pressure is absolute pressure less that of the air, about 1.013 bar",
            );
        }
        Kind::DissolvedSolids if unit.serves(Kind::Conductivity) => {
            help.push_str(
                "; the factor from conductivity differs between meters, \
                 so read the meter's own figure",
            );
        }
        _ => {}
    }
    QuantityFault::of(text, at, &measures(unit, kind), help)
}

/// What the unit measures, in words: `gauge pressure, absolute pressure or pressure difference`.
fn measured(unit: UnitId) -> String {
    let mut names: Vec<&str> = Vec::new();
    for kind in table::meanings(unit.symbol()).flat_map(|unit| unit.row().kinds) {
        if !names.contains(&kind.name()) {
            names.push(kind.name());
        }
    }
    listed(&names)
}

/// One word after another, with `or` before the last.
fn listed(words: &[impl AsRef<str>]) -> String {
    let Some((last, others)) = words.split_last() else {
        return "nothing".to_owned();
    };
    let others: Vec<&str> = others.iter().map(AsRef::as_ref).collect();
    match &others[..] {
        [] => last.as_ref().to_owned(),
        others => format!("{} or {}", others.join(", "), last.as_ref()),
    }
}

/// The units of a kind by their symbols, the usual one first.
fn symbols(kind: Kind) -> String {
    let usual = UnitId::usual(kind);
    let others = UnitId::all().filter(|unit| unit.serves(kind) && *unit != usual);
    let mut shown: Vec<String> = std::iter::once(usual)
        .chain(others)
        .map(|unit| format!("`{}`", unit.symbol()))
        .collect();
    shown.truncate(6);
    listed(&shown)
}

/// The one unit whose spelling goes on where the writer stopped: `L/m` is short for `L/min`.
fn cut_short<'s>(lower: &str, fitting: impl Iterator<Item = (&'s str, UnitId)>) -> Option<UnitId> {
    const SHORTEST: usize = 3;
    if lower.len() < SHORTEST {
        return None;
    }
    let mut longer = fitting.filter(|entry| {
        let spelling = entry.0.to_lowercase();
        spelling.len() > lower.len() && spelling.starts_with(lower)
    });
    let (_, unit) = longer.next()?;
    longer.all(|entry| entry.1 == unit).then_some(unit)
}

/// The spelling of the kind's units that is nearest to what was written, if any is near.
fn nearest(given: &str, kind: Kind) -> Option<&'static str> {
    const LONGEST: usize = 24;
    if given.chars().count() > LONGEST {
        return None;
    }
    let lower = given.to_lowercase();
    let fitting = || table::spellings().filter(|entry| entry.1.serves(kind));
    let but_for_case = fitting().any(|entry| entry.0.to_lowercase() == lower);
    if !but_for_case && let Some(whole) = cut_short(&lower, fitting()) {
        return Some(whole.symbol());
    }
    let near = fitting().filter_map(|(spelling, unit)| {
        let same_but_case = spelling.to_lowercase() == lower;
        let steps = if same_but_case {
            0
        } else {
            strsim::damerau_levenshtein(given, spelling)
        };
        let allowed = match spelling.chars().count() {
            0..=2 => 0,
            3..=5 => 1,
            _ => 2,
        };
        (steps <= allowed).then_some((steps, spelling != unit.symbol(), spelling, unit))
    });
    near.min_by_key(|near| (near.0, near.1, near.2))
        .map(|near| near.3.symbol())
}
