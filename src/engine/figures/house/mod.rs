//! The house behind a survey: facts to its model, and what the model gives to figures.
//!
//! In the order of reading: `reader`, `around` and `read` (facts to a house), [`branches`] (the figures of each
//! branch), [`points`] (those of the points of connection), `widens` (what makes them wide). The
//! model itself is a crate of its own, which knows
//! no survey.

/// Figures of each branch or each point: name, kind or words, what it is and its formula, each read off
/// what was worked out of the house. They are rows like others, and a function that reads one by its name.
macro_rules! of_house {
    ($one:ident: $of:ty, $inputs:expr, $method:expr;
     $($name:literal: $($yields:ident)+, $says:expr; $formula:expr => $read:expr;)+) => {
        const OF_EACH: &[Figure] = $crate::figures::table::figures! {
            $($name: $($yields)+, $says; $formula, $crate::figures::house::branches::LAW; $inputs
                => { $crate::figures::table::Work::House($method) };)+
        };

        /// A figure of one of them, by its name.
        pub(super) fn read_off(
            $one: &$of,
            name: &str,
        ) -> Result<$crate::figures::table::Found, Refused> {
            Ok(match name {
                $($name => $read.into(),)+
                _ => return Err("there is no such figure of it".into()),
            })
        }
    };
}

mod around;
pub(super) mod branches;
pub(super) mod points;
pub(super) mod read;
mod reader;
pub(super) mod widens;

pub use branches::words;
