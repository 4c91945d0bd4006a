//! Where a comparison turns: the values of a number or time at which a rule's answer changes.
//!
//! Contract: a value is held against the limits of the rule, and against whatever else stands on the
//! other side of a comparison, which is found by the straight line through two tries. Each such value is
//! given with what lies a hair to either side of it, as a survey would write them. Comparisons inside a
//! list expression are left out.

use super::Bench;
use super::tree::{Steps, at, put, scalar};
use wetside_base::facts::{Content, Facts, Value};
use wetside_base::vocabulary::{FieldId, Shape, Type};
use wetside_document::Node;
use wetside_lang::eval::range;
use wetside_lang::node::{self, Part};
use wetside_units::datetime::SECONDS_A_DAY;
use wetside_units::{Date, DateTime, Exact, Interval, Quantity, Rounding, UnitId};

/// One field of one survey, and how its values are written.
struct Place<'a> {
    bench: &'a Bench<'a>,
    field: FieldId,
    steps: &'a Steps,
    given: &'a Node,
    as_of: Option<Date>,
    manner: Manner,
}

#[derive(Clone, Copy)]
enum Manner {
    In(UnitId),
    Day,
    Moment,
}

impl Bench<'_> {
    /// The values around which something turns.
    pub(super) fn turns(
        &self,
        field: FieldId,
        steps: &Steps,
        given: &Node,
        as_of: Option<Date>,
    ) -> Vec<String> {
        let manner = match &self.vocabulary.field(field).shape {
            Shape::Fact(Type::Quantity {
                kind, usual_unit, ..
            }) => {
                let written = at(given, steps).and_then(Node::as_text).unwrap_or_default();
                let read = Quantity::parse(written, *kind).map(|quantity| quantity.unit);
                let unit = read.ok().or(UnitId::spelt(usual_unit, *kind));
                Manner::In(unit.unwrap_or(UnitId::usual(*kind)))
            }
            Shape::Fact(Type::Date) => Manner::Day,
            Shape::Fact(Type::DateTime) => Manner::Moment,
            _ => return Vec::new(),
        };
        let place = Place {
            bench: self,
            field,
            steps,
            given,
            as_of,
            manner,
        };
        let around = |point: Exact| match manner {
            Manner::In(unit) => {
                let point = unit.range_from_base(&Interval::exact(point));
                let point = point.and_then(|point| point.single());
                let numbers = point.map_or(Vec::new(), around);
                numbers
                    .into_iter()
                    .map(|number| with_unit(number, unit))
                    .collect()
            }
            Manner::Day => beside(point, SECONDS_A_DAY, manner),
            Manner::Moment => beside(point, 60, manner),
        };
        place.points().into_iter().flat_map(around).collect()
    }
}

impl Place<'_> {
    fn points(&self) -> Vec<Exact> {
        let rule = self.bench.rule;
        let cuts = rule.cuts().into_iter().flat_map(|cuts| &cuts.points);
        let cuts = cuts.filter(|(cut, _)| *cut == self.field);
        let mut points: Vec<Exact> = cuts.map(|(_, point)| *point).collect();
        let mut sides = Vec::new();
        for node in rule.guards().chain([&rule.must.node]) {
            compared(node, &mut sides);
        }
        points.extend(sides.into_iter().filter_map(|sides| self.meeting(sides)));
        points.sort();
        points.dedup();
        points
    }

    /// The value at which two sides meet.
    fn meeting(&self, sides: (&node::Node, &node::Node)) -> Option<Exact> {
        let (mut x, mut gap) = self.tried(self.given, sides)?;
        let mut other = if x == 0.0 { 1.0 } else { x * 1.01 };
        for _ in 0..3 {
            let mut changed = self.given.clone();
            let text = self.text(exact(other)?)?;
            put(&mut changed, self.steps, scalar(&text, self.given));
            let (next, next_gap) = self.tried(&changed, sides)?;
            // A straight line is met at the first try, and the next two tries fall together.
            if (next - x).abs() <= x.abs() * 1e-9 {
                break;
            }
            let slope = (next_gap - gap) / (next - x);
            if !slope.is_normal() {
                return None;
            }
            (x, gap) = (next, next_gap);
            other = x - gap / slope;
        }
        exact(other)
    }

    /// The value in a survey, and how far the first side is above the second.
    fn tried(&self, given: &Node, sides: (&node::Node, &node::Node)) -> Option<(f64, f64)> {
        let facts = self.bench.facts(given)?;
        let scene = self.bench.scene(&facts, self.as_of);
        let mut listed = self
            .steps
            .iter()
            .filter_map(|step| step.parse::<usize>().ok());
        let place = listed.next().unwrap_or(0);
        let variables = match &self.bench.rule.selection {
            None => Vec::new(),
            Some(selection) => {
                let list = selection.each.list.find(&facts, |_| Facts::ROOT);
                // The first of a list that is asked in pairs is asked as the one before the second.
                let asked = place.max(usize::from(selection.each.paired));
                vec![facts.elements(list).nth(asked)?]
            }
        };
        let middle = |side| Some(range(side, &scene, &variables).middle()?.to_f64());
        let mut own = facts.all().filter(|(_, fact)| fact.field == self.field);
        let value = match &own.nth(listed.next().unwrap_or(place))?.1.content {
            Content::Known(Value::Quantity(quantity)) => quantity.range.middle()?,
            Content::Known(Value::Time(time)) => time.middle()?,
            _ => return None,
        };
        Some((value.to_f64(), middle(sides.0)? - middle(sides.1)?))
    }

    /// A value in base units as the survey would write it.
    fn text(&self, value: Exact) -> Option<String> {
        match self.manner {
            Manner::In(unit) => {
                let number = unit.range_from_base(&Interval::exact(value))?.single()?;
                Some(with_unit(number.rounded(9, Rounding::Nearest), unit))
            }
            _ => beside(value, 0, self.manner).pop(),
        }
    }
}

fn with_unit(number: Exact, unit: UnitId) -> String {
    format!("{number} {}", unit.symbol()).trim_end().to_string()
}

/// A day or moment, and those so many seconds before and after it.
fn beside(time: Exact, seconds: i64, manner: Manner) -> Vec<String> {
    let time = i64::try_from(time.floor().above()).unwrap_or_default();
    let times = [time - seconds, time + seconds, time]
        .into_iter()
        .filter_map(DateTime::from_seconds);
    let text = |time: DateTime| match manner {
        Manner::Moment => time.to_string(),
        _ => time.date().to_string(),
    };
    times.map(text).collect()
}

/// The two sides of each comparison that no list expression holds.
fn compared<'n>(node: &'n node::Node, sides: &mut Vec<(&'n node::Node, &'n node::Node)>) {
    match node {
        node::Node::Compare(_, a, b) => sides.push((a, b)),
        node::Node::Between(value, low, high) => {
            sides.extend([(&**value, &**low), (&**value, &**high)])
        }
        _ => {}
    }
    for part in node.parts() {
        if let Part::Node(node) = part {
            compared(node, sides);
        }
    }
}

/// The number to ten digits.
fn exact(value: f64) -> Option<Exact> {
    let digits = if value == 0.0 {
        0.0
    } else {
        value.abs().log10().floor()
    };
    #[expect(clippy::cast_possible_truncation, reason = "a number of digits")]
    let decimals = usize::try_from(9 - digits as i64).unwrap_or(0);
    Exact::parse(&format!("{value:.decimals$}"))
}

/// A number as a person would write it, a hair to either side of it, and one to either side.
fn around(number: Exact) -> Vec<Exact> {
    let plain = number.rounded(5, Rounding::Nearest);
    let off = number
        .minus(plain)
        .map_or(1.0, |off| off.magnitude().to_f64());
    let written = off <= plain.to_f64().abs() * 1e-6;
    let size = if number.is_zero() {
        Exact::ONE
    } else {
        number.magnitude()
    };
    let hairs = [100, 500].into_iter().filter_map(|part| {
        let hair = size.over(Exact::from(part))?;
        (0..9).find_map(|decimals| {
            let step = Exact::decimal(1, decimals)?;
            let steps = number.over(step)?;
            let below = steps.ceil().minus(Exact::ONE)?.times(step)?;
            let above = steps.floor().plus(Exact::ONE)?.times(step)?;
            (above.minus(number)? < hair && number.minus(below)? < hair).then_some([below, above])
        })
    });
    let whole = [plain.minus(Exact::ONE), plain.plus(Exact::ONE)]
        .into_iter()
        .flatten();
    written
        .then_some(plain)
        .into_iter()
        .chain(hairs.flatten())
        .chain(whole)
        .collect()
}
