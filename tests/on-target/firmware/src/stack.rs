//! Measures how much stack a call uses.

use core::arch::asm;
use core::ptr;

/// Most that can be seen, bytes.
const SEEN: usize = 1024;
const PAINT: u32 = 0xa5c3_5ac3;

/// Calls, and says how many bytes below the stack of the caller were written to.
///
/// The stack below is painted first; what is not painted any more was used. No interrupt may be on.
#[inline(never)]
pub fn depth<T>(call: impl FnOnce() -> T) -> (T, usize) {
    let top: usize;
    // SAFETY: reads a register.
    unsafe { asm!("mov {}, sp", out(reg) top, options(nomem, nostack)) }
    let word = |place: usize| (top - SEEN + 4 * place) as *mut u32;
    for place in 0..SEEN / 4 {
        // SAFETY: below the stack pointer nothing is kept, and the boards have as much room there:
        // more than a kilobyte lies between it and what is static.
        unsafe { ptr::write_volatile(word(place), PAINT) }
    }
    let made = call();
    let clean = (0..SEEN / 4)
        // SAFETY: as above.
        .take_while(|place| unsafe { ptr::read_volatile(word(*place)) } == PAINT)
        .count();
    (made, SEEN - 4 * clean)
}
