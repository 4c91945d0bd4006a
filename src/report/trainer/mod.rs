//! What the trainer's work comes to, written for people: pages, tables, marks on the screen.

pub mod marked;
pub mod pages;
pub mod record;
pub mod tables;
