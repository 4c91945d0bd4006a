//! Numbers that begin with a nought before other digits.
//!
//! Contract: nobody writes such a number on purpose, so a digit may have been lost: it is refused, however
//! sound its value looks. A nought before the point is none of these.

use super::fault::{QuantityFault, quoted};
use std::ops::Range;

/// Refuses the whole part of a number at these bytes of a text.
pub(super) fn refuse_leading(text: &str, at: Range<usize>) -> Result<(), QuantityFault> {
    let whole = &text[at.clone()];
    if whole.len() < 2 || !whole.starts_with('0') {
        return Ok(());
    }
    let says = format!("{} begins with a nought: was a digit lost?", quoted(whole));
    let help = "look at the reading again and write its number without a nought in front";
    Err(QuantityFault::new(at, says, help))
}
