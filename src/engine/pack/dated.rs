//! A limit with a value from each of several days on.
//!
//! Contract: which holds is decided by the day of judgement; before the first day nobody knows, and nothing is met.

use super::format::Text;
use super::sheet::Sheet;
use wetside_document::{Entries, Placed};
use wetside_lang::names::{From, Limit};
use wetside_units::{Date, DateTime, Exact, Kind};

/// Reads `from:` of a limit.
pub(super) fn read(
    sheet: &mut Sheet<'_>,
    name: &Placed<String>,
    kind: Kind,
    days: &Entries<Text>,
) -> Option<Limit> {
    let mut from: Vec<From> = Vec::new();
    for (day, value) in &days.0 {
        let seconds = match Date::parse(&day.value) {
            Ok(date) => Exact::whole(DateTime::from(date).seconds()),
            Err(fault) => {
                sheet.report("not-a-date", day.span, fault.says, fault.help);
                return None;
            }
        };
        if from.last().is_some_and(|last| last.day >= seconds) {
            let says = "this day is not after the one before it".to_string();
            let help = "write the days from the first to the last".to_string();
            sheet.report("not-in-order", day.span, says, help);
            return None;
        }
        let value = value.as_ref()?;
        let read = sheet.quantity(value, kind)?;
        if ["months", "years"].contains(&read.unit.symbol()) {
            let says = "a limit that changes by the day cannot count months of the calendar";
            let help = "write the time in days".to_string();
            sheet.report("not-in-days", value.span, says.to_string(), help);
            return None;
        }
        from.push(From {
            day: seconds,
            range: read.range,
            written: value.value.clone(),
        });
    }
    let ranges = from.iter().map(|one| one.range);
    let range = ranges.reduce(|a, b| a.hull(&b))?;
    let told = days.0.iter().zip(&from);
    let told = told.map(|((day, _), from)| format!("{} from {}", from.written, day.value));
    Some(Limit {
        name: name.value.clone(),
        kind,
        range,
        written: told.collect::<Vec<_>>().join(", "),
        from,
    })
}
