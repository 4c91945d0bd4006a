//! Figures: what an engineer cannot see, worked out from what a survey records.
//!
//! A figure is a field of the vocabulary under the group `figure`. Rules read it as they read a
//! recorded reading; it is known as a range, or open with the reason. One table has a row for each
//! figure: what it means, its formula, its inputs with their sources, and the function.
//!
//! Contract: [`derive()`] fills the group once, after the facts have been read. A figure comes from
//! recorded facts and from conventions named in its row, never from a default that a survey could
//! contradict: so whoever records more narrows a figure and never moves it. Each figure remembers the
//! facts that it came from. Adding a figure is adding a row. This module must not know rules, packs,
//! findings or files.
//!
//! In the order of reading, each file using only those before it:
//! - [`survey`]: the fields and words that are read, the only place that spells them
//! - [`view`]: facts to numbers and words
//! - [`mod@table`]: what a row is
//! - [`work`]: numbers to figures; [`list`]: figures of each thing in a list
//! - the rows, by what they are about; [`house`]: those of the pipes behind the radiators
//! - [`catalogue`]: all rows
//! - [`wanted`]: which of them somebody reads
//! - [`mod@derive`]: facts to the figures that are wanted
//! - [`mod@explain`]: all of them, and one with its numbers put in, for people (`words`: facts in words);
//!   [`likely`]: what is likely of one; [`advice`]: what would narrow them; [`tell`]: the plan and all that is worked out of a house only for people

pub mod advice;
mod antifreeze;
pub mod catalogue;
mod ceiling;
pub mod day;
mod derive;
mod dose;
mod emitters;
mod estimate;
pub mod explain;
mod heat;
pub mod house;
pub mod likely;
pub mod list;
mod log;
mod pressure;
mod rinse;
mod supply;
pub mod survey;
pub mod table;
mod tank;
pub mod tell;
pub mod view;
mod volume;
pub mod wanted;
mod water;
mod words;
pub mod work;

pub use catalogue::{GROUPS, fields, lists, table};
pub use derive::{derive, derive_wanted};
pub use explain::{Explained, Worked, all, explain};
pub use wanted::Wanted;
