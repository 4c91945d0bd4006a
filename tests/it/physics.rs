//! The physics against its reference tables, and its laws as properties.
//!
//! The tables lie in `tests/physics`, with a page that says where each comes from.

mod documented;
mod emitters_and_plant;
mod networks;
mod published;
mod random_networks;
mod refusals;
mod sludge_and_dilution;
pub(crate) mod table;
mod water_and_pipes;
