//! The rule language: a condition in plain words, its checker and its three answers.
//!
//! The way of a condition: text → [`token`] → [`parse`] → [`ast`] → [`check`] → [`node`] → [`eval`].
//! The whole language is described, with an example of each construct that is run as a test, in
//! `docs/rule-language.md`.
//!
//! Contract: a condition is pure and its cost is known before it runs. What can be found wrong with
//! it is found by the checker, before any survey is read. Answers follow Kleene: yes and no only
//! where certain. Learning more never turns a yes or a no.
//!
//! This module must not know YAML, schemas, heating, packs, rules or reports: facts, vocabulary,
//! units and truth are all it works with.

pub mod ast;
pub mod cells;
pub mod check;
pub mod eval;
pub mod functions;
pub mod names;
pub mod node;
pub mod parse;
pub mod readings;
pub mod token;
