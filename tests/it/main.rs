//! The one test binary: a file for each part.

mod physics;
