//! What the text alone would tell of a fault.
//!
//! Contract: the new words have the form of the old ones. A number with more digits than its neighbours, or
//! a unit that the survey uses nowhere, gives the fault away to somebody who knows nothing of heating. This module
//! must not know rules.

use super::defect::Defect;
use crate::fault::Family;
use crate::proof::plant::Planting;
use crate::survey::look::Look;
use crate::survey::number::leading;
use wetside_edit::splice::{Sort, Splice};

/// What a planting would tell.
pub(crate) fn of(planting: &Planting<'_>, base: &Look) -> Result<(), Defect> {
    let id = &planting.fault.id;
    for splice in &planting.splices {
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

fn same_form(splice: &Splice, base: &Look) -> bool {
    let Some(new) = leading(&splice.text) else {
        return true;
    };
    let old = leading(base.source.slice(splice.at));
    let digits = new.no_finer_than(old.as_ref());
    let unit = new.rest.trim_start();
    let mut known = unit.is_empty() || old.is_some_and(|old| old.rest == new.rest);
    if !known {
        base.root.walk(&mut |found| {
            let value = found.node.as_text().and_then(leading);
            known |= value.is_some_and(|value| value.rest == new.rest);
        });
    }
    known && digits
}
