//! Answer sheets against their key.

mod changes;
mod lesson;
mod marked;
mod marking;
mod missing;
mod reasoning;
mod refute;
mod table;
mod target;

pub use marked::{
    Asked, Change, Fate, Lesson, Marked, Offered, PASS_MARK, Reasoning, TargetMark, WHOLE,
};
pub use marking::{Ready, ready};
