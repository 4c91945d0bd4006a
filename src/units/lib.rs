//! Quantities: what a survey measures and a rule compares.
//!
//! A quantity is a range of exact numbers in the base unit of its kind, together with the unit it
//! was written in. The kind says more than the dimension: a gauge pressure is not a head, a
//! temperature is not a temperature difference, and a hardness is not a reading of dissolved
//! solids, though each pair could be written in one unit.
//!
//! Contract: everything here is pure and exact. A recorded number is what was written, with no
//! tolerance added; arithmetic either gives the exact result or says that it cannot; nothing
//! panics whatever the text. This module must not know surveys, rules, files or formulas.
//!
//! In the order of reading:
//! - [`exact`]: a number without rounding, and [`rounding`]: what rounds
//! - [`interval`]: a range of such numbers; its comparisons answer yes, no or undecided; and
//!   [`reckon`]: its arithmetic
//! - [`kind`]: the kinds of quantity, and [`algebra`]: what kind a sum or product of two is
//! - [`table`]: every unit, once
//! - [`quantity`]: a range with its kind and unit
//! - [`parse`]: text to quantity, [`fault`]: what was wrong with the text, [`mod@print`]: back to text
//! - [`truth`]: three truth values, and Kleene's tables
//! - [`date`], [`datetime`]: the calendar, apart from the rest

mod algebra;
mod date;
pub mod datetime;
mod exact;
mod fault;
mod interval;
pub mod kind;
mod nought;
mod parse;
pub mod print;
mod quantity;
mod reckon;
mod refuse;
mod rounding;
mod scan;
mod spelling;
pub mod table;
pub mod truth;

pub use date::Date;
pub use datetime::DateTime;
pub use exact::Exact;
pub use fault::QuantityFault;
pub use interval::{End, Interval};
pub use kind::Kind;
pub use quantity::{Form, Quantity};
pub use rounding::Rounding;
pub use table::{Unit, UnitId};
