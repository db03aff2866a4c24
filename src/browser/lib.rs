//! The engine of a page, for WebAssembly: three exports over the one entrance.
//!
//! ```text
//! at = alloc(length)      the page writes a request of that length there
//! answer = call(at, length)     takes the request; four bytes of length, then the JSON
//! free(answer, 4 + length)      the page has read it
//! ```
//!
//! Nothing is decided here: `Door::call` is the same one that the terminal uses. The crate is
//! compiled three times, once for each door, because a page fetches what it needs alone.

#![deny(missing_docs)]

use std::cell::RefCell;

use drillwright_engine::practice::Door as _;
#[cfg(not(any(feature = "live", feature = "walk")))]
use drillwright_engine::practice::Questions as Engine;
#[cfg(feature = "live")]
use drillwright_engine::practice::Runs as Engine;
#[cfg(feature = "walk")]
use drillwright_engine::practice::Steps as Engine;

thread_local! {
    static ENGINE: RefCell<Engine> = RefCell::new(Engine::default());
}

/// Room for a request of so many bytes.
#[unsafe(no_mangle)]
pub extern "C" fn alloc(length: usize) -> *mut u8 {
    Box::leak(vec![0; length].into_boxed_slice()).as_mut_ptr()
}

/// Answers the request that stands at `at`, and gives its room back.
///
/// # Safety
/// `at` and `length` are those of one [`alloc`], used once.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn call(at: *mut u8, length: usize) -> *mut u8 {
    // SAFETY: the caller hands back what `alloc` gave.
    let request =
        unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, length)) };
    let answer = ENGINE.with_borrow_mut(|engine| engine.call(&request));
    drop(request);
    let length = u32::try_from(answer.len()).unwrap_or(0);
    let mut out = length.to_le_bytes().to_vec();
    out.extend(answer);
    Box::leak(out.into_boxed_slice()).as_mut_ptr()
}

/// Gives the room of an answer back.
///
/// # Safety
/// `at` is what [`call`] gave, and `length` four more than the length that stands there.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn free(at: *mut u8, length: usize) {
    // SAFETY: the caller hands back what `call` gave.
    drop(unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, length)) });
}
