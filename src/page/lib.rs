//! The engine for a page in the browser: one request in, one reply out, both JSON texts.
//!
//! Contract: what a reply holds of documents is byte for byte what the program gives for the same survey. Whatever
//! comes in, a reply comes out; a request that is no request is refused in words. Between requests nothing is kept
//! but the packs. This crate must not know files, clocks or the page: the caller says the time.

mod memory;
mod shop;
mod talk;
