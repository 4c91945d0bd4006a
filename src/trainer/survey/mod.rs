//! A survey as the trainer's work sees it: its text and what is known of it.

pub(crate) mod look;
pub(crate) mod number;
pub mod text;
