//! A house as pipes, from as little as a list of radiators, two bores and *about* lengths.
//!
//! A [`House`] is plain data in SI units: a range for every number that the hydraulics need. The
//! functions here turn it into flows, speeds, pressures and times, as ranges that hold every house
//! that the data may stand for:
//!
//! ```text
//! House ─► branches   each emitter with all others shut      ─┐
//!       └► all_open   everything open at once                ─┼► plan, compare
//!                                                              │
//!          widest     which of its ranges widens a result most ┘
//! ```
//!
//! # The convention for each layout
//!
//! A survey does not draw the pipes. By convention they run as follows; every result rests on this.
//!
//! - **Two-pipe.** At the connection the mains fork, a leg to each floor. A leg climbs to its floor
//!   (storey height times floors, out and back) and runs on to its farthest take-off, whose path
//!   out and back, tails included, is the longest run of the survey. An emitter's take-off may be
//!   anywhere along its leg beyond the riser, since nobody records where. The far end of a leg has
//!   stepped down to the bore of the tails; how much of it is a range.
//! - **One-pipe.** One loop of main, as long as the longest run. Each emitter bridges a short piece
//!   of it between its two tees; the rest of the loop is in series with that pair.
//! - **Manifold microbore.** A manifold on each floor that has emitters, at the end of its own main;
//!   the tails run from there. The main and the longest tails together are the longest run. With one
//!   floor only, the manifold lies at the end of that run.
//! - **Radial.** One manifold for the house at the end of one main; else as above.
//! - **Underfloor only.** One manifold; the loops leave from it side by side.
//! - **Mixed.** Each emitter may be piped either as two-pipe or as one-pipe, so its range holds both.
//!   There is no network with everything open.
//!
//! Out and back are alike, so a main is one pipe of both lengths. What a plug of sludge adds is not
//! known; the figures are those of pipes that run free, unless a blockage is put in.
//!
//! Source: the layouts are common practice; the lengths and losses by convention are in
//! [`convention`], each with its source.
//!
//! In the order of reading, each file using only those before it: `range`, `model` (what a house
//! is), [`convention`], `duty` (a pump that was read),
//! `joint` (the machine at
//! one of its points), `inputs` (its ranges by name); `series` (pipes one after
//! another, and a pump), `mains` (where they run), `carry` (what water carries), `emitter` (what goes
//! on in one); `alone_flow`, `outlet`, `alone`; `case` and `network` (everything open, as a network), `opened`, `search`, `all_open`; `likely`, `index_run`; `compare`
//! (points of connection), [`rinse`], `plan`.
//!
//! This crate must not know surveys, their words, facts or rules: it depends on physics and units
//! alone.

mod all_open;
mod alone;
mod alone_flow;
mod carry;
mod case;
mod compare;
pub mod convention;
mod duty;
mod emitter;
mod index_run;
mod inputs;
mod joint;
mod likely;
mod mains;
mod model;
mod network;
mod opened;
mod outlet;
mod plan;
mod range;
pub mod rinse;
mod search;
mod series;

pub use all_open::{all_open, with_all_open};
pub use alone::{Branch, branch, branches, floor_loop};
pub use carry::Fate;
pub use compare::{Comparison, Connection, compare, least_speed, never_slower, weakest_height};
pub use convention::{Valve, valve};
pub use emitter::PARTS;
pub use index_run::{IndexRun, index_run};
pub use inputs::{Input, widest, widest_input};
pub use likely::{Likely, LikelyBranch, LikelyHouse, likely, likely_by, likely_sum, ranked};
pub use model::{
    Antifreeze, Body, Duty, Emitter, FloorHeating, House, Joint, Layout, Machine, Mains, Point,
    Short, Tails, Way,
};
pub use opened::{AllOpen, MOST_OPEN, NoNetwork, Share, WithAllOpen};
pub use plan::{Help, Job, Limit, Plan, Turn, Why, plan, turn_time};
pub use range::{Range, celsius};
pub use series::{End, Series, Water};
