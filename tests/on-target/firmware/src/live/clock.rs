//! The board's free-running timer, and SysTick as the compare register that it lacks in the emulator.

use core::ptr;
use cortex_m::interrupt::free;
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m::peripheral::{SCB, SYST};
use on_target_jobs::COUNTS_PER_SECOND;

/// Counts of the free-running timer in a tick of the jobs' machines, which is 1 µs.
const COUNTS: u64 = COUNTS_PER_SECOND as u64 / 1_000_000;

/// A tick that is further away is waited for in parts: SysTick has 24 bits, and the free-running
/// timer must be read before it overflows.
const LONGEST: u64 = 50_000;

/// What makes a timer count, and where it is read.
struct Timer {
    /// Registers and what is written to them.
    start: &'static [(usize, u32)],
    /// Written before each reading.
    capture: Option<usize>,
    count: usize,
    /// SysTick's counts in a tick of the machine.
    systick: u32,
}

/// TIMER0 of the nRF51: 32 bits, 16 MHz / 2, counts copied by a capture task (its reference manual,
/// chapter on timers, from memory). SysTick counts with the processor, at 16 MHz.
const NRF51: Timer = Timer {
    start: &[(0x4000_8508, 3), (0x4000_8510, 1), (0x4000_8000, 1)],
    capture: Some(0x4000_8040),
    count: 0x4000_8540,
    systick: 16,
};

/// TIM2 of the STM32F405: clock gate, prescaler, reload, update, enable (its reference manual, chapter
/// on general-purpose timers, from memory). The emulator feeds it with 1 GHz: divided by 125. SysTick
/// counts with the processor, at 168 MHz.
const STM32: Timer = Timer {
    start: &[
        (0x4002_3840, 1),
        (0x4000_0028, 124),
        (0x4000_002c, u32::MAX),
        (0x4000_0014, 1),
        (0x4000_0000, 1),
    ],
    capture: None,
    count: 0x4000_0024,
    systick: 168,
};

const TIMER: Timer = if matches!(env!("BOARD").as_bytes(), b"microbit") {
    NRF51
} else {
    STM32
};

/// The count now.
pub fn count() -> u32 {
    // Capture and reading are two, and an interrupt reads too.
    free(|_| {
        if let Some(capture) = TIMER.capture {
            // SAFETY: a register of the board.
            unsafe { ptr::write_volatile(capture as *mut u32, 1) }
        }
        // SAFETY: a register of the board.
        unsafe { ptr::read_volatile(TIMER.count as *const u32) }
    })
}

/// Starts the free-running timer.
pub fn start() {
    for (register, value) in TIMER.start {
        // SAFETY: registers of the board that nothing else uses.
        unsafe { ptr::write_volatile(*register as *mut u32, *value) }
    }
}

/// Lengthens the counts of the free-running timer to 64 bits. It must be read at least once in the
/// time of 2³² counts.
#[derive(Default)]
pub struct Clock {
    counts: u64,
}

impl Clock {
    /// The tick that has begun.
    pub fn now(&mut self) -> u64 {
        self.counts += u64::from(count().wrapping_sub(self.counts as u32));
        self.counts / COUNTS
    }
}

/// The timer interrupt's own timer.
pub struct Alarm(SYST);

impl Alarm {
    /// Off.
    pub fn new(mut timer: SYST) -> Self {
        timer.set_clock_source(SystClkSource::Core);
        timer.enable_interrupt();
        Self(timer)
    }

    /// Interrupts at `tick`, or sooner if that is far; at once if it is past.
    pub fn at(&mut self, tick: u64, now: u64) {
        let wait = tick.saturating_sub(now).min(LONGEST) as u32;
        if wait == 0 {
            SCB::set_pendst();
            return;
        }
        self.0.set_reload(wait * TIMER.systick - 1);
        self.0.clear_current();
        self.0.enable_counter();
    }

    /// Interrupts when the clock must be read again.
    pub fn later(&mut self) {
        self.at(LONGEST, 0);
    }
}
