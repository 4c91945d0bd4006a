//! What the text alone would tell of a fault.
//!
//! Contract: the new words have the form of the old ones. A comment that repeats the old value beside a
//! new one, a number with more digits than its neighbours, or a unit that the survey uses nowhere gives
//! the fault away to somebody who knows nothing of heating. This module must not know rules.

use super::fault::Family;
use super::number::leading;
use super::place::Look;
use super::plant::Planting;
use super::prove::Defect;
use super::splice::{Sort, Splice};
use super::text::comments;

/// What a planting would tell.
///
/// # Errors
/// With the first thing that it tells.
pub fn of(planting: &Planting<'_>, base: &Look) -> Result<(), Defect> {
    let id = &planting.fault.id;
    for splice in &planting.splices {
        if let Some(comment) = telling_comment(splice, base) {
            let says = format!("the comment `{comment}` would give `{id}` away");
            return Err(Defect::new("comment-tells", says));
        }
        if splice.sort == Sort::Value
            && planting.fault.family != Family::UnitSlip
            && !same_form(splice, base)
        {
            let says = format!(
                "`{}` has not the form that this survey gives such values, and would give `{id}` away",
                splice.text
            );
            return Err(Defect::new("form-tells", says));
        }
    }
    Ok(())
}

/// A comment on the line of a changed value that repeats the old one.
pub(super) fn telling_comment(splice: &Splice, base: &Look) -> Option<String> {
    if !matches!(splice.sort, Sort::Value | Sort::Unknown) {
        return None;
    }
    let line = base.source.line_of(splice.at.start);
    let of_line = comments(&base.source, &base.root)
        .into_iter()
        .find(|comment| base.line_of(*comment) == line)?;
    let comment = base.source.slice(of_line);
    let old = base.source.slice(splice.at).to_lowercase();
    let telling = old.chars().count() > 3 && comment.to_lowercase().contains(&old);
    telling.then(|| comment.to_string())
}

fn same_form(splice: &Splice, base: &Look) -> bool {
    let Some(new) = leading(&splice.text) else {
        return true;
    };
    let old = leading(base.source.slice(splice.at));
    let digits = old.as_ref().map_or(1, |old| old.decimals.max(1));
    let unit = new.rest.trim_start();
    let mut known = unit.is_empty() || old.is_some_and(|old| old.rest == new.rest);
    if !known {
        base.root.walk(&mut |found| {
            let value = found.node.as_text().and_then(leading);
            known |= value.is_some_and(|value| value.rest == new.rest);
        });
    }
    known && new.decimals <= digits
}
