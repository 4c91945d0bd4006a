//! Answer sheets against their key.

mod marked;
mod marking;
mod matching;
mod missing;
mod refute;
mod table;
mod target;

pub use marked::{Change, Fate, Lesson, Marked, Offered, PASS_MARK, TargetMark, WHOLE};
pub use marking::{Ready, ready};
