//! Findings that follow from another stand under it, in one line each.
//!
//! Contract: every finding is either told by itself or under the one that explains it, and counted in the
//! heading of its own class. What follows from what is told in the findings; nothing is decided here.

use super::finding::{Part, heading};
use super::line_numbers;
use super::pen::{Pen, closed, number};
use wetside_base::finding::{Finding, Outcome};
use wetside_base::source::Source;

/// The heading over a group, and those of it that follow from no other finding. The rest stand under what
/// explains them, perhaps in another group, so that their number is told here.
pub(crate) fn leading<'a>(pen: &mut Pen, findings: &'a [Finding], part: &Part) -> Vec<&'a Finding> {
    let held = findings.iter().filter(|finding| part.holds(finding));
    let held: Vec<&Finding> = held.collect();
    if held.is_empty() {
        return held;
    }
    heading(pen, part, &held);
    let follows = |finding: &&&Finding| finding.explained_by.is_some();
    let count: usize = held.iter().filter(follows).map(|one| one.count()).sum();
    if count > 0 {
        let stand = number(count, "follows", "follow");
        let words =
            format!("Of these {stand} from another finding, and stand under it as `Follows`.");
        pen.paragraph(0, &words);
    }
    held.into_iter()
        .filter(|finding| finding.explained_by.is_none())
        .collect()
}

/// The findings that follow from one.
pub(crate) fn consequences<'a>(
    findings: &'a [Finding],
    of: &'a Finding,
) -> impl Iterator<Item = &'a Finding> {
    findings.iter().filter(|finding| {
        let broken = of.outcome == Outcome::Broken && finding.pack == of.pack;
        broken && finding.explained_by.as_ref() == Some(&of.rule)
    })
}

/// A finding in one line, under the one that it follows from.
pub(crate) fn consequence(source: &Source, finding: &Finding) -> String {
    let places = finding.on.iter().map(|on| on.place);
    let lines = line_numbers::told(source, places).unwrap_or_default();
    let times = match finding.count() {
        1 => String::new(),
        count => format!(", {count} times"),
    };
    let Finding {
        class, title, rule, ..
    } = finding;
    closed(&format!("{rule}{times} ({class}, {lines}): {title}"))
}
