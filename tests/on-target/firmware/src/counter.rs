//! Counts executed instructions.
//!
//! With `-icount shift=8` the emulator lets 2⁸ ns of the board's time pass for each instruction, and
//! SysTick counts that time at the rate of the processor. So one instruction is a few ticks, how many
//! is measured first, and a count is exact to one instruction: with `shift=0` a tick would be 6
//! instructions on one board and 62 on the other.

use core::hint::black_box;
use core::sync::atomic::{Ordering, compiler_fence};
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;

/// What the timer counts from, down to 0 and again.
const TOP: u32 = 0x00ff_ffff;
/// Instructions whose ticks are counted to know the rate.
const KNOWN: u32 = 20_000;

/// Counts what a call executes.
pub struct Counter {
    /// Ticks of reading the timer itself.
    own: u32,
    /// Ticks of [`KNOWN`] instructions.
    known: u32,
}

impl Counter {
    /// Starts the timer and measures its rate.
    pub fn new(mut timer: SYST) -> Self {
        timer.set_clock_source(SystClkSource::Core);
        timer.set_reload(TOP);
        timer.clear_current();
        timer.enable_counter();
        let mut counter = Self { own: 0, known: 1 };
        // Twice: the first time there is an emulator to warm up.
        for _ in 0..2 {
            counter.own = counter.ticks(|| ()).1;
        }
        // As a difference, so that calls and returns do not count.
        let longer = counter.ticks(|| spin(KNOWN)).1;
        counter.known = longer - counter.ticks(|| spin(KNOWN / 2)).1;
        counter
    }

    /// Ticks of a thousand instructions.
    pub fn rate(&self) -> u32 {
        self.known / (KNOWN / 1000)
    }

    /// Calls, and says how many ticks of the timer that took.
    pub fn ticks<T>(&self, call: impl FnOnce() -> T) -> (T, u32) {
        let before = SYST::get_current();
        compiler_fence(Ordering::SeqCst);
        let made = black_box(call());
        compiler_fence(Ordering::SeqCst);
        let after = SYST::get_current();
        (made, before.wrapping_sub(after) & TOP)
    }

    /// Calls, and says how many instructions that took.
    pub fn count<T>(&self, call: impl FnOnce() -> T) -> (T, u32) {
        let (made, ticks) = self.ticks(call);
        (made, self.instructions(ticks))
    }

    /// The instructions of a call that took so many ticks.
    pub fn instructions(&self, ticks: u32) -> u32 {
        let ticks = u64::from(ticks.saturating_sub(self.own));
        let known = u64::from(self.known);
        ((ticks * u64::from(KNOWN) + known / 2) / known) as u32
    }
}

/// Executes two instructions so many times.
#[inline(never)]
fn spin(times: u32) {
    // SAFETY: counts a register down to 0.
    unsafe {
        core::arch::asm!(
            "2:",
            "subs {0}, {0}, #1",
            "bne 2b",
            inout(reg) times => _,
            options(nomem, nostack),
        );
    }
}

/// How many, their sum and the largest of counts.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sum {
    /// How many.
    pub times: u32,
    /// All together.
    pub total: u64,
    /// The largest.
    pub worst: u32,
}

impl Sum {
    /// Takes one more in.
    pub fn add(&mut self, count: u32) {
        self.times += 1;
        self.total += u64::from(count);
        self.worst = self.worst.max(count);
    }

    /// The mean, rounded.
    pub fn mean(&self) -> u32 {
        let times = u64::from(self.times.max(1));
        ((self.total + times / 2) / times) as u32
    }
}
