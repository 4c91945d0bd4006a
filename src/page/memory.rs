//! The way in and out of the module: plain memory, and no glue.
//!
//! The caller asks for room, writes the request there as UTF-8, lets it be answered, reads the reply, and lets it go.
//!
//! Contract: a reply stays where it is until the next call. No pointer from outside is followed here.
#![expect(unsafe_code, reason = "the names of what is exported")]

use crate::shop::Shop;
use std::cell::RefCell;

#[derive(Default)]
struct Desk {
    request: Vec<u8>,
    reply: Vec<u8>,
    shop: Shop,
}

thread_local! {
    static DESK: RefCell<Desk> = RefCell::default();
}

/// Room for a request of so many bytes.
#[unsafe(no_mangle)]
extern "C" fn room(length: usize) -> *mut u8 {
    DESK.with_borrow_mut(|desk| {
        desk.reply = Vec::new();
        desk.request = vec![0; length];
        desk.request.as_mut_ptr()
    })
}

/// Answers the request that was written into the room; where the reply begins.
#[unsafe(no_mangle)]
extern "C" fn answer() -> *const u8 {
    DESK.with_borrow_mut(|desk| {
        let request = std::mem::take(&mut desk.request);
        desk.reply = desk.shop.answer(&request).into_bytes();
        desk.reply.as_ptr()
    })
}

/// How many bytes the reply has.
#[unsafe(no_mangle)]
extern "C" fn length() -> usize {
    DESK.with_borrow(|desk| desk.reply.len())
}

/// The browser's module has no chance of its own. Only tables that nothing is printed from draw on it.
#[cfg(target_arch = "wasm32")]
#[unsafe(no_mangle)]
extern "Rust" fn __getrandom_v03_custom(
    to: *mut u8,
    length: usize,
) -> Result<(), getrandom::Error> {
    // SAFETY: the caller hands in room for so many bytes, by the contract of a custom source.
    unsafe { std::ptr::write_bytes(to, 7, length) };
    Ok(())
}
