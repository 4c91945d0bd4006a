//! The physics against its reference tables, and its laws as properties.
//!
//! The tables lie in `tests/physics`, with a page that says where each comes from.

mod emitters_and_plant;
mod networks;
mod refusals;
mod sludge_and_dilution;
mod table;
mod water_and_pipes;
