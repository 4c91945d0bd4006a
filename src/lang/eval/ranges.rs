//! Quantities and dates: a range that holds the value in every completion.

use super::words::Words;
use super::{Evaluator, Supposed, folds};
use crate::functions::FUNCTIONS;
use crate::names::{Cell, Key, Row};
use crate::node::{Node, Route};
use wetside_base::facts::Value;
use wetside_base::vocabulary::Type;
use wetside_units::{DateTime, End, Exact, Interval};

impl<'a> Evaluator<'a> {
    /// A quantity in base units, or a day or moment in seconds.
    pub(super) fn range(&mut self, node: &'a Node) -> Interval {
        match node {
            Node::Quantity(range) | Node::Limit(_, range) => *range,
            Node::AsOf => {
                let Some(fact) = self.scene.as_of_fact else {
                    return self.scene.as_of;
                };
                self.note(fact);
                match self.supposed(fact) {
                    Some(Supposed::Range(range)) => *range,
                    _ => self.scene.as_of,
                }
            }
            Node::Fact(route) => *self.fact_range(route),
            Node::Cell(table, column, row) => self.cell_range(*table, *column, row),
            Node::If(c, a, b) => self.branch([c, a, b], Self::range, |a, b| a.hull(&b)),
            Node::Count(each) => self.count(each),
            Node::Fold(fold, value, each, otherwise, possible) => {
                self.fold(*fold, value, each, otherwise.as_deref(), possible)
            }
            Node::Pick(fold, among) => {
                let ranges: Vec<Interval> = among.iter().map(|node| self.range(node)).collect();
                folds::pick(*fold, &ranges)
            }
            _ => self.arithmetic(node).unwrap_or(Interval::EVERYTHING),
        }
    }

    /// The same, where it lies if it lies somewhere: a range is large, and most questions only look at one.
    pub(super) fn lent<'r>(
        &mut self,
        node: &'a Node,
        room: &'r mut Option<Interval>,
    ) -> &'r Interval
    where
        'a: 'r,
    {
        match node {
            Node::Quantity(range) | Node::Limit(_, range) => range,
            Node::Fact(route) => self.fact_range(route),
            _ => room.insert(self.range(node)),
        }
    }

    /// Nothing where the arithmetic has no result: a division by what may be zero, or a number too large.
    fn arithmetic(&mut self, node: &'a Node) -> Option<Interval> {
        match node {
            Node::Negate(inner) => Some(self.range(inner).negated()),
            Node::Arithmetic(operation, a, b) => {
                let (a, b) = (self.range(a), self.range(b));
                operation.value(&a, &b)
            }
            Node::Months(date, months, _) => moved_by_months(&self.range(date), *months),
            Node::Call(at, arguments) => {
                let values: Vec<Interval> = arguments.iter().map(|node| self.range(node)).collect();
                (FUNCTIONS[*at].value)(&values)
            }
            _ => None,
        }
    }

    fn fact_range(&mut self, route: &Route) -> &'a Interval {
        let fact = self.find(route);
        self.note(fact);
        match (self.supposed(fact), self.known(fact)) {
            (Some(Supposed::Range(range)), _) => range,
            (_, Some(Value::Quantity(quantity))) => &quantity.range,
            (_, Some(Value::Time(time))) => time,
            _ => match self.field_type(route.field) {
                Some(Type::Quantity { possible, .. }) => possible,
                _ => &Interval::EVERYTHING,
            },
        }
    }

    /// The cells of a column that the row's word or number may pick.
    pub(super) fn cells(&mut self, table: usize, column: usize, row: &'a Node) -> Vec<&'a Cell> {
        let rows = &self.scene.tables[table].rows;
        let Some(Key::Band(lowest)) = rows.first().map(|row| row.key) else {
            let words = self.words(row);
            let may_pick = |row: &&Row| match (row.key, &words) {
                (Key::Word(word), Words::One(one)) => word == *one,
                (Key::Word(word), Words::Several(words)) => words.contains(&word),
                _ => true,
            };
            let picked = rows.iter().filter(may_pick);
            return picked.map(|row| &row.cells[column]).collect();
        };
        let range = self.range(row);
        let may_pick = |row: &&Row| match row.key {
            Key::Band(band) => band.intersect(&range).is_some(),
            Key::Word(_) => true,
        };
        let picked = rows.iter().filter(may_pick).map(|row| &row.cells[column]);
        // Below the lowest band the table says nothing.
        let reaches = Interval::new(lowest.low(), End::Unbounded);
        let beyond = !reaches.is_some_and(|reaches| reaches.encloses(&range));
        picked.chain(beyond.then_some(&Cell::Unknown)).collect()
    }

    fn cell_range(&mut self, table: usize, column: usize, row: &'a Node) -> Interval {
        let ranges = self
            .cells(table, column, row)
            .into_iter()
            .map(|cell| match cell {
                Cell::Quantity(range) => *range,
                Cell::Word(_) | Cell::Text(_) | Cell::Unknown => Interval::EVERYTHING,
            });
        let hull = ranges.reduce(|a, b| a.hull(&b));
        hull.unwrap_or(Interval::EVERYTHING)
    }
}

/// A range of days or moments moved by calendar months; the later of two never overtakes the earlier.
fn moved_by_months(time: &Interval, months: i32) -> Option<Interval> {
    let moved = |end: End| -> Option<End> {
        let Some(at) = end.at() else {
            return Some(End::Unbounded);
        };
        let moment = DateTime::from_seconds(i64::try_from(at.floor().above()).ok()?)?;
        let moved = moment.plus_months(months)?;
        Some(End::Closed(Exact::whole(moved.seconds())))
    };
    Interval::new(moved(time.low())?, moved(time.high())?)
}
