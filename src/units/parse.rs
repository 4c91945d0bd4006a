//! Text to quantity.
//!
//! The forms, with `N` a number, `U` a unit and `T` a tolerance:
//! `N U`, `about N U`, `at least N U`, `at most N U`, `more than N U`, `less than N U`,
//! `N to N U`, `N U to N U`, `N ± T U`, `N U ± T U`, `N U ± T %`. `+/-` is read as `±`. A kind
//! that is a bare number leaves out the unit; a year may also be `before N` or `after N`.

use super::exact::Exact;
use super::fault::QuantityFault;
use super::interval::{End, Interval};
use super::kind::Kind;
use super::quantity::{Form, Quantity};
use super::scan::{self, Number};
use super::spelling::{self, Scale};
use super::table::UnitId;
use std::ops::Range;

impl Quantity {
    /// Reads a quantity of the kind. The text carries its unit, unless the kind is a bare number.
    ///
    /// # Errors
    /// One fault with the place in the text, what was expected and what to do.
    pub fn parse(text: &str, kind: Kind) -> Result<Quantity, QuantityFault> {
        let end = text.trim_end().len();
        let start = scan::skip_spaces(text, 0).min(end);
        if start == end {
            let help = "write a value, or `unknown`, or leave the key out if nobody has looked";
            return Err(QuantityFault::new(
                0..text.len(),
                "a value is missing here",
                help,
            ));
        }
        let reader = Reader {
            text: &text[..end],
            kind,
        };
        let (lead, from) = reader.lead(start);
        let first = reader.number(from)?;
        let parts = reader.parts(first);
        match (lead, parts.join) {
            (lead, None) => reader.single(lead, &parts),
            (Lead::None, Some(Join::To)) => reader.between(&parts),
            (Lead::None, Some(Join::Tolerance)) => reader.tolerance(&parts),
            (_, Some(_)) => Err(reader.doubly_rough(start)),
        }
    }
}

/// What may stand in front of a number.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lead {
    None,
    About,
    AtLeast,
    AtMost,
    MoreThan,
    LessThan,
}

const LEADS: &[(&str, Lead)] = &[
    ("about ", Lead::About),
    ("at least ", Lead::AtLeast),
    ("at most ", Lead::AtMost),
    ("more than ", Lead::MoreThan),
    ("less than ", Lead::LessThan),
];
const YEAR_LEADS: &[(&str, Lead)] = &[("before ", Lead::LessThan), ("after ", Lead::MoreThan)];

/// The calendar years that a survey can speak of.
const YEARS: std::ops::RangeInclusive<Exact> = Exact::whole(1600)..=Exact::whole(2200);

/// What may stand between two numbers.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Join {
    To,
    Tolerance,
}

/// A text taken apart: a number, what stands behind it, and perhaps what joins a second number.
pub(super) struct Parts {
    pub first: Number,
    pub unit: Range<usize>,
    pub join: Option<Join>,
    /// Where the second number starts.
    second: usize,
}

/// A text and what it is read as.
#[derive(Clone, Copy)]
pub(super) struct Reader<'t> {
    pub text: &'t str,
    pub kind: Kind,
}

impl Reader<'_> {
    fn lead(self, start: usize) -> (Lead, usize) {
        let rest = &self.text[start..];
        let years: &[_] = if self.kind == Kind::Year {
            YEAR_LEADS
        } else {
            &[]
        };
        // Most values start with a digit, and then there is nothing to look for.
        if rest.as_bytes().first().is_some_and(u8::is_ascii_digit) {
            return (Lead::None, start);
        }
        let found = LEADS
            .iter()
            .chain(years)
            .find(|lead| rest.starts_with(lead.0));
        found.map_or((Lead::None, start), |lead| (lead.1, start + lead.0.len()))
    }

    fn number(self, from: usize) -> Result<Number, QuantityFault> {
        let number = scan::number(self.text, from, self.kind)?;
        self.checked(number)
    }

    /// Holds whole kinds to whole numbers, counts above zero and years within reach.
    fn checked(self, number: Number) -> Result<Number, QuantityFault> {
        let value = number.value;
        if !self.kind.is_whole() {
            Ok(number)
        } else if !value.is_whole() {
            Err(self.not_whole(&number.at))
        } else if self.kind == Kind::Count && value.is_negative() {
            Err(self.negative_count(&number.at))
        } else if self.kind == Kind::Year && !YEARS.contains(&value) {
            Err(self.no_year(&number.at))
        } else {
            Ok(number)
        }
    }

    /// Splits what follows the first number at the first `to`, `±` or `+/-`.
    fn parts(self, first: Number) -> Parts {
        const JOINS: &[(&str, Join)] = &[
            (" to ", Join::To),
            ("±", Join::Tolerance),
            ("+/-", Join::Tolerance),
            ("+-", Join::Tolerance),
        ];
        let from = first.at.end;
        let rest = &self.text[from..];
        // How the joins begin; none of these bytes can lie inside another character.
        let begins = |pair: &[u8]| {
            matches!(
                pair,
                [b' ', b't'] | [0xC2, 0xB1] | [b'+', b'/'] | [b'+', b'-']
            )
        };
        let pairs = rest.as_bytes().windows(2).enumerate();
        for (at, _) in pairs.filter(|(_, pair)| begins(pair)) {
            let tail = rest.as_bytes().get(at..).unwrap_or_default();
            let found = JOINS
                .iter()
                .find(|join| tail.starts_with(join.0.as_bytes()));
            let Some((mark, join)) = found else { continue };
            let (unit, second) = (self.trimmed(from..from + at), from + at + mark.len());
            // `8 m next to the pump` is no range.
            if *join == Join::To && !unit.is_empty() && !starts_like_a_number(&self.text[second..])
            {
                continue;
            }
            return Parts {
                first,
                unit,
                join: Some(*join),
                second,
            };
        }
        let unit = self.trimmed(from..self.text.len());
        Parts {
            first,
            unit,
            join: None,
            second: self.text.len(),
        }
    }

    fn trimmed(self, at: Range<usize>) -> Range<usize> {
        let start = scan::skip_spaces(self.text, at.start).min(at.end);
        start..start + self.text[start..at.end].trim_end().len()
    }

    /// The unit behind a number: for a bare kind there must be none.
    fn unit(self, number: &Number, at: Range<usize>) -> Result<Scale, QuantityFault> {
        if let Some(mark) = range_mark(&self.text[at.clone()]) {
            return Err(self.not_a_range(number, at, mark));
        }
        if self.text[at.clone()].starts_with('+') {
            return Err(self.open_upwards(number, at));
        }
        if self.kind == Kind::Year && matches!(&self.text[at.clone()], "s" | "'s" | "’s") {
            return Err(self.decade(number, at));
        }
        match (self.kind.is_bare(), at.is_empty()) {
            (true, true) => Ok(Scale {
                unit: UnitId::usual(self.kind),
                factor: Exact::ONE,
            }),
            (true, false) => Err(spelling::not_wanted(self.text, number, at, self.kind)),
            (false, true) => Err(spelling::missing(self.text, number, self.kind)),
            (false, false) => spelling::scale(self.text, at, self.kind),
        }
    }

    fn single(self, lead: Lead, parts: &Parts) -> Result<Quantity, QuantityFault> {
        let number = &parts.first;
        let scale = self.unit(number, parts.unit.clone())?;
        let value = scale
            .to_base(number.value)
            .ok_or_else(|| self.too_large(&number.at))?;
        // For whole numbers, more than three is at least four.
        let whole = self.kind.is_whole();
        let next = |step: i64| value.plus(Exact::from(step)).unwrap_or(value);
        let (range, form) = match lead {
            Lead::None => (Interval::exact(value), Form::Exact),
            Lead::About => {
                let range = self
                    .kind
                    .about(value)
                    .ok_or_else(|| self.about_nothing(number))?;
                (range, Form::About)
            }
            Lead::AtLeast => (Interval::at_least(value), Form::OneSided),
            Lead::AtMost => (Interval::at_most(value), Form::OneSided),
            Lead::MoreThan if whole => (Interval::at_least(next(1)), Form::OneSided),
            Lead::LessThan if whole => (Interval::at_most(next(-1)), Form::OneSided),
            Lead::MoreThan => (Interval::more_than(value), Form::OneSided),
            Lead::LessThan => (Interval::less_than(value), Form::OneSided),
        };
        Ok(self.made(range, scale.unit, number.decimals, form))
    }

    fn between(self, parts: &Parts) -> Result<Quantity, QuantityFault> {
        let first = &parts.first;
        let second = self.number(parts.second)?;
        let behind = self.trimmed(second.at.end..self.text.len());
        let scale = self.unit(&second, behind)?;
        let first_scale = if parts.unit.is_empty() {
            scale
        } else {
            self.unit(first, parts.unit.clone())?
        };
        let low = first_scale
            .to_base(first.value)
            .ok_or_else(|| self.too_large(&first.at))?;
        let high = scale
            .to_base(second.value)
            .ok_or_else(|| self.too_large(&second.at))?;
        let range = Interval::closed(low, high).ok_or_else(|| self.reversed(parts, &second))?;
        let decimals = first.decimals.max(second.decimals);
        Ok(self.made(range, scale.unit, decimals, Form::Between))
    }

    fn tolerance(self, parts: &Parts) -> Result<Quantity, QuantityFault> {
        let first = &parts.first;
        let second = scan::number(self.text, parts.second, Kind::Number)?;
        if second.value.is_negative() {
            return Err(self.negative_tolerance(&second.at));
        }
        let behind = self.trimmed(second.at.end..self.text.len());
        let percent = &self.text[behind.clone()] == "%";
        if self.kind.is_whole() && !percent && !second.value.is_whole() {
            return Err(self.not_whole(&second.at));
        }
        let shares_unit = parts.unit.is_empty() && !self.kind.is_bare();
        if shares_unit && percent && self.kind != Kind::Share && self.kind != Kind::DoseRate {
            return Err(spelling::missing(self.text, first, self.kind));
        }
        let unit_at = if shares_unit {
            behind.clone()
        } else {
            parts.unit.clone()
        };
        let scale = self.unit(if shares_unit { &second } else { first }, unit_at)?;
        let value = scale
            .to_base(first.value)
            .ok_or_else(|| self.too_large(&first.at))?;
        let half = if percent && !shares_unit {
            self.percent_of(value, &second, scale, &behind)?
        } else {
            self.tolerance_factor(&second, behind, scale, shares_unit)?
                .times(second.value)
        };
        let ends = half.and_then(|half| Some((value.minus(half)?, value.plus(half)?)));
        let (low, high) = ends.ok_or_else(|| self.too_large(&second.at))?;
        let (low, high) = if self.kind.is_whole() {
            (low.ceil(), high.floor())
        } else {
            (low, high)
        };
        let range =
            Interval::new(End::Closed(low), End::Closed(high)).unwrap_or(Interval::exact(value));
        let decimals = if percent && !shares_unit {
            first.decimals
        } else {
            first.decimals.max(second.decimals)
        };
        Ok(self.made(range, scale.unit, decimals, Form::Tolerance))
    }

    /// So many percent of the value; refused where that has no sense or two.
    fn percent_of(
        self,
        value: Exact,
        part: &Number,
        scale: Scale,
        behind: &Range<usize>,
    ) -> Result<Option<Exact>, QuantityFault> {
        let at = part.at.start..behind.end;
        if self.kind.is_point() && !self.kind.row().scales {
            return Err(self.percent_of_point(&at));
        }
        if scale.unit.symbol().starts_with('%') {
            return Err(self.percent_of_percent(&at));
        }
        let hundredth = Exact::decimal(1, 2).unwrap_or(Exact::ONE);
        Ok(part
            .value
            .times(hundredth)
            .and_then(|share| value.magnitude().times(share)))
    }

    /// What one of the tolerance's unit is in base units: it may be written in any unit of the
    /// kind, or of the kind of a difference.
    fn tolerance_factor(
        self,
        second: &Number,
        behind: Range<usize>,
        scale: Scale,
        shares_unit: bool,
    ) -> Result<Exact, QuantityFault> {
        if shares_unit {
            return Ok(scale.factor);
        }
        let of_difference = Reader {
            kind: self.kind.difference(),
            ..self
        };
        match spelling::find(&self.text[behind.clone()], self.kind) {
            Some(own) if !behind.is_empty() => Ok(own.factor),
            _ => Ok(of_difference.unit(second, behind)?.factor),
        }
    }

    fn made(self, range: Interval, unit: UnitId, decimals: u8, form: Form) -> Quantity {
        Quantity {
            kind: self.kind,
            range,
            unit,
            decimals,
            form,
        }
    }
}

fn starts_like_a_number(text: &str) -> bool {
    let text = text.trim_start();
    text.starts_with("pH") || text.starts_with(|c: char| c.is_ascii_digit() || ".+-−".contains(c))
}

/// A dash or dots between two numbers.
fn range_mark(behind: &str) -> Option<Range<usize>> {
    const MARKS: &[&str] = &["-", "–", "—", "..", "…"];
    if !behind.contains(['-', '.', '–', '—', '…']) {
        return None;
    }
    MARKS.iter().find_map(|mark| {
        let at = behind.find(mark)?;
        let end = at + behind[at..].len()
            - behind[at..]
                .trim_start_matches(mark)
                .trim_start_matches('.')
                .len();
        let follows = behind[end..].trim_start();
        follows
            .starts_with(|c: char| c.is_ascii_digit())
            .then_some(at..end)
    })
}
