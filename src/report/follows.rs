//! Findings that follow from another stand under it, in one line each.
//!
//! Contract: every finding is either told by itself or under the one that explains it, and counted in the
//! heading of its own class. What follows from what is told in the findings; nothing is decided here.

use super::line_numbers;
use super::pen::{Pen, closed, number};
use wetside_base::finding::{Finding, Outcome};
use wetside_base::source::Source;

/// Those of a group that follow from no other finding. The rest stand under what explains them, perhaps in
/// another group, so that their number is told here.
pub(crate) fn leading<'a>(pen: &mut Pen, held: Vec<&'a Finding>) -> Vec<&'a Finding> {
    let (follow, lead): (Vec<_>, Vec<_>) = held
        .into_iter()
        .partition(|one| one.explained_by.is_some() && one.departure.is_none());
    let count = follow.iter().map(|finding| finding.count()).sum();
    if count > 0 {
        let follow = number(count, "follows", "follow");
        let stand = if count == 1 { "stands" } else { "stand" };
        let words =
            format!("Of these {follow} from another finding, and {stand} under it as `Follows`.");
        pen.paragraph(0, &words);
    }
    lead
}

/// The findings that follow from one.
pub(crate) fn consequences<'a>(
    findings: &'a [Finding],
    of: &'a Finding,
) -> impl Iterator<Item = &'a Finding> {
    findings.iter().filter(|finding| {
        of.outcome == Outcome::Broken
            && finding.departure.is_none()
            && finding.explained_by.as_ref() == Some(&of.rule)
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
    let (rule, class, title) = (&finding.rule, finding.class, &finding.title);
    closed(&format!("{rule}{times} on {lines} ({class}): {title}"))
}
