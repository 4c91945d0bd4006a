//! Answer sheets against their key.

mod changes;
mod lesson;
mod marked;
mod marking;
mod matching;
mod missing;
mod reasoning;
mod refute;
mod table;
mod target;

pub use changes::{Asked, Change};
pub use marked::{Fate, Lesson, Marked, Offered, PASS_MARK, TargetMark, WHOLE};
pub use marking::{Ready, ready};
pub use reasoning::Reasoning;
