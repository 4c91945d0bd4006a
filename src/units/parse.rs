//! Text to quantity.

use super::fault::{FaultKind, QuantityFault};
use super::kind::Kind;
use super::quantity::Quantity;

/// Reads a quantity of the kind; see [`Quantity::parse`].
///
/// # Errors
/// One fault with the place in the text, what was expected and what to do.
pub fn quantity(text: &str, _kind: Kind) -> Result<Quantity, QuantityFault> {
    Err(QuantityFault::new(FaultKind::Empty, 0..text.len(), "", ""))
}
