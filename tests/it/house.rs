//! The network of a house: against the reference networks, against rules of thumb, and by properties.

mod alone;
mod build;
mod connect;
mod draws;
mod hull;
mod likely;
mod open;
mod plan;
mod reference;
mod survey;
