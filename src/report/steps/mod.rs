//! The steps of making safe, the register and the way back.
//!
//! Contract: shows a finished register and decides nothing; a box is ticked only where every thing of its step
//! surely stands as it must.

mod json;
mod text;

pub use json::document;
pub use text::{chosen, page};
