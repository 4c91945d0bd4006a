//! The one binary of integration tests.

mod units;
