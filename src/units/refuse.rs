//! The words for what the forms of a quantity refuse.

use super::fault::{QuantityFault, quoted};
use super::parse::{Parts, Reader};
use super::scan::Number;
use std::ops::Range;

impl Reader<'_> {
    /// What these bytes are, and what to do.
    fn fault(self, at: &Range<usize>, is: &str, help: impl Into<String>) -> QuantityFault {
        QuantityFault::of(self.text, at.clone(), is, help)
    }

    pub(super) fn too_large(self, at: &Range<usize>) -> QuantityFault {
        self.fault(
            at,
            "is too large or too finely divided to be kept exactly",
            "write fewer digits, or choose a larger or smaller unit",
        )
    }

    pub(super) fn about_nothing(self, number: &Number) -> QuantityFault {
        let given = &self.text[number.at.clone()];
        QuantityFault::new(
            number.at.clone(),
            format!(
                "about {} says nothing of how far off it may be",
                quoted(given)
            ),
            format!(
                "write `{given}` if it is exact, or a range such as `0 to 5`, with the unit if there is one"
            ),
        )
    }

    pub(super) fn doubly_rough(self, start: usize) -> QuantityFault {
        let help = "write the range or the tolerance alone, without a word in front";
        self.fault(&(start..self.text.len()), "is uncertain in two ways", help)
    }

    pub(super) fn reversed(self, parts: &Parts, second: &Number) -> QuantityFault {
        let at = parts.first.at.start..self.text.len();
        let low = &self.text[second.at.clone()];
        let high = &self.text[parts.first.at.clone()];
        let (own, behind) = (
            &self.text[parts.unit.clone()],
            self.text[second.at.end..].trim_start(),
        );
        let help = match (own, behind) {
            ("", "") => format!("write the lesser first: `{low} to {high}`"),
            ("", unit) => format!("write the lesser first: `{low} to {high} {unit}`"),
            (unit, _) => format!(
                "write the lesser first: `{} to {high} {unit}`",
                &self.text[second.at.start..]
            ),
        };
        self.fault(&at, "runs from the greater to the lesser", help)
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
        let help = format!("write `{low}{space}{unit} to {high}`");
        self.no_range(number.at.start..at.end, place, help)
    }

    pub(super) fn open_upwards(self, number: &Number, at: Range<usize>) -> QuantityFault {
        let unit = self.text[at.clone()].trim_start_matches('+').trim_start();
        let space = if unit.is_empty() { "" } else { " " };
        let help = format!(
            "write `at least {}{space}{unit}`",
            &self.text[number.at.clone()]
        );
        self.no_range(number.at.start..at.end, at.start..at.start + 1, help)
    }

    fn no_range(self, given: Range<usize>, mark: Range<usize>, help: String) -> QuantityFault {
        let fault = self.fault(&given, "is not how a range is written", help);
        QuantityFault { at: mark, ..fault }
    }

    pub(super) fn decade(self, number: &Number, at: Range<usize>) -> QuantityFault {
        let first = &self.text[number.at.clone()];
        let help = match first.strip_suffix('0') {
            Some(decade) => {
                format!("write the first and the last that it may be: `{first} to {decade}9`")
            }
            None => format!("write `about {first}`, or the first and the last that it may be"),
        };
        self.fault(&(number.at.start..at.end), "is more than one year", help)
    }

    pub(super) fn not_whole(self, at: &Range<usize>) -> QuantityFault {
        let one = self.kind.row().one;
        let help = format!("{one} is written as a bare whole number, digits only");
        self.fault(at, "is not a whole number", help)
    }

    pub(super) fn negative_count(self, at: &Range<usize>) -> QuantityFault {
        let help = "a count is a whole number: write 0 or more";
        self.fault(at, "is less than nothing", help)
    }

    pub(super) fn no_year(self, at: &Range<usize>) -> QuantityFault {
        let help = "write the year with four digits, from 1600 to 2200";
        self.fault(at, "is not a calendar year", help)
    }

    pub(super) fn negative_tolerance(self, at: &Range<usize>) -> QuantityFault {
        let given = quoted(&self.text[at.clone()]);
        let says = format!("the tolerance {given} is negative");
        let help = "a tolerance reaches to both sides: leave out its sign";
        QuantityFault::new(at.clone(), says, help)
    }

    pub(super) fn percent_of_point(self, at: &Range<usize>) -> QuantityFault {
        let is = format!("of {} has no meaning", self.kind.row().one);
        let help = "write the tolerance as a difference in the unit of the value, such as `± 2`";
        self.fault(at, &is, help)
    }

    pub(super) fn percent_of_percent(self, at: &Range<usize>) -> QuantityFault {
        let help = "write the range instead, such as `15 to 25 %`";
        self.fault(at, "may be meant of the value or of the whole", help)
    }
}
