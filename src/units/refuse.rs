//! The words for what the forms of a quantity refuse.

use super::fault::{FaultKind, QuantityFault, quoted};
use super::parse::{Parts, Reader};
use super::scan::Number;
use std::ops::Range;

impl Reader<'_> {
    pub(super) fn too_large(self, at: &Range<usize>) -> QuantityFault {
        let says = format!(
            "{} is too large or too finely divided to be kept exactly",
            quoted(&self.text[at.clone()])
        );
        fault(
            FaultKind::TooManyDigits,
            at,
            says,
            "write fewer digits, or choose a larger or smaller unit".to_owned(),
        )
    }

    pub(super) fn about_nothing(self, number: &Number) -> QuantityFault {
        let given = &self.text[number.at.clone()];
        let says = format!(
            "about {} says nothing of how far off it may be",
            quoted(given)
        );
        let help = format!(
            "write `{given}` if it is exact, or a range such as `0 to 5`, with the unit if there is one"
        );
        fault(FaultKind::RoughUnclear, &number.at, says, help)
    }

    pub(super) fn doubly_rough(self, start: usize) -> QuantityFault {
        let at = start..self.text.len();
        let says = format!(
            "{} is uncertain in two ways",
            quoted(&self.text[at.clone()])
        );
        let help = "write the range or the tolerance alone, without a word in front".to_owned();
        fault(FaultKind::RoughUnclear, &at, says, help)
    }

    pub(super) fn reversed(self, parts: &Parts, second: &Number) -> QuantityFault {
        let at = parts.first.at.start..self.text.len();
        let says = format!(
            "{} runs from the greater to the lesser",
            quoted(&self.text[at.clone()])
        );
        let (low, high) = (
            &self.text[second.at.start..],
            &self.text[parts.first.at.clone()],
        );
        let help = if parts.unit.is_empty() {
            let unit = self.text[second.at.end..].trim_start();
            let space = if unit.is_empty() { "" } else { " " };
            format!(
                "write the lesser first: `{} to {high}{space}{unit}`",
                &self.text[second.at.clone()]
            )
        } else {
            format!(
                "write the lesser first: `{low} to {high} {}`",
                &self.text[parts.unit.clone()]
            )
        };
        fault(FaultKind::RangeReversed, &at, says, help)
    }

    pub(super) fn not_a_range(
        self,
        number: &Number,
        at: Range<usize>,
        mark: Range<usize>,
    ) -> QuantityFault {
        let place = at.start + mark.start..at.start + mark.end;
        let (low, unit) = (
            &self.text[number.at.clone()],
            self.text[at.start..place.start].trim_end(),
        );
        let space = if unit.is_empty() { "" } else { " " };
        let high = self.text[place.end..at.end].trim_start();
        let says = format!(
            "{} is not how a range is written",
            quoted(&self.text[number.at.start..at.end])
        );
        fault(
            FaultKind::RangeMark,
            &place,
            says,
            format!("write `{low}{space}{unit} to {high}`"),
        )
    }

    pub(super) fn open_upwards(self, number: &Number, at: Range<usize>) -> QuantityFault {
        let given = number.at.start..at.end;
        let unit = self.text[at.clone()].trim_start_matches('+').trim_start();
        let space = if unit.is_empty() { "" } else { " " };
        let says = format!(
            "{} is not how a range is written",
            quoted(&self.text[given])
        );
        let help = format!(
            "write `at least {}{space}{unit}`",
            &self.text[number.at.clone()]
        );
        fault(FaultKind::RangeMark, &(at.start..at.start + 1), says, help)
    }

    pub(super) fn decade(self, number: &Number, at: Range<usize>) -> QuantityFault {
        let given = number.at.start..at.end;
        let first = &self.text[number.at.clone()];
        let says = format!(
            "{} is more than one year",
            quoted(&self.text[given.clone()])
        );
        let last = first.strip_suffix('0').map(|decade| format!("{decade}9"));
        let help = match last {
            Some(last) => {
                format!("write the first and the last that it may be: `{first} to {last}`")
            }
            None => format!("write `about {first}`, or the first and the last that it may be"),
        };
        fault(FaultKind::RoughUnclear, &given, says, help)
    }

    pub(super) fn not_whole(self, at: &Range<usize>) -> QuantityFault {
        let says = format!("{} is not a whole number", quoted(&self.text[at.clone()]));
        let help = format!(
            "{} is written as a bare whole number, digits only",
            self.kind.row().one
        );
        fault(FaultKind::NotWhole, at, says, help)
    }

    pub(super) fn negative_count(self, at: &Range<usize>) -> QuantityFault {
        let says = format!("{} is less than nothing", quoted(&self.text[at.clone()]));
        fault(
            FaultKind::OutOfRange,
            at,
            says,
            "a count is a whole number: write 0 or more".to_owned(),
        )
    }

    pub(super) fn no_year(self, at: &Range<usize>) -> QuantityFault {
        let says = format!("{} is not a calendar year", quoted(&self.text[at.clone()]));
        let help = "write the year with four digits, from 1600 to 2200".to_owned();
        fault(FaultKind::OutOfRange, at, says, help)
    }

    pub(super) fn negative_tolerance(self, at: &Range<usize>) -> QuantityFault {
        let says = format!(
            "the tolerance {} is negative",
            quoted(&self.text[at.clone()])
        );
        let help = "a tolerance reaches to both sides: leave out its sign".to_owned();
        fault(FaultKind::ToleranceNegative, at, says, help)
    }

    pub(super) fn percent_of_point(self, at: &Range<usize>) -> QuantityFault {
        let given = quoted(&self.text[at.clone()]);
        let says = format!("{given} of {} has no meaning", self.kind.row().one);
        let help = "write the tolerance as a difference in the unit of the value, such as `± 2`";
        fault(FaultKind::ToleranceUnclear, at, says, help.to_owned())
    }

    pub(super) fn percent_of_percent(self, at: &Range<usize>) -> QuantityFault {
        let given = quoted(&self.text[at.clone()]);
        let says = format!("{given} may be meant of the value or of the whole");
        let help = "write the range instead, such as `15 to 25 %`".to_owned();
        fault(FaultKind::ToleranceUnclear, at, says, help)
    }
}

fn fault(kind: FaultKind, at: &Range<usize>, says: String, help: String) -> QuantityFault {
    QuantityFault::new(kind, at.clone(), says, help)
}
