//! The physics against its reference tables, and its laws as properties.
//!
//! The tables lie in `tests/physics`, with a page that says where each comes from.

mod networks;
mod table;
mod water_and_pipes;
