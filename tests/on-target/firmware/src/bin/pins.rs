//! Pulses to pins, both ways that the library has, and the enable line: it must link without a panic
//! path. `image` has the rest.
#![no_std]
#![no_main]

use core::hint::black_box;
use cortex_m_rt::entry;
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::PinState;
use on_target_firmware::demo::{AXIS, CONTROLLER};
use on_target_firmware::nowhere::a_panic_path_is_left;
use on_target_firmware::port::{Motors, Pin, motors};
use on_target_jobs::AXES;
use spokeshave::pins::{Bank, Enable, Next, PulseTimes, WaitingBank};
use spokeshave::{Event, Machine, Pulse};

#[panic_handler]
fn panic(_: &core::panic::PanicInfo) -> ! {
    a_panic_path_is_left()
}

#[entry]
fn main() -> ! {
    let axis = black_box(AXIS);
    let controller = black_box(CONTROLLER);
    if let Ok(machine) = Machine::new([axis; AXES], controller, black_box(0.02)) {
        let mut enable = Enable::new(Pin::new(6), PinState::Low, 1_500);
        let _ = enable.on_and_wait(&mut Spin);
        black_box(waiting(&machine));
        black_box(interrupt(&machine));
        let _ = enable.off();
    }
    loop {
        cortex_m::asm::wfi();
    }
}

fn pulse() -> Pulse {
    black_box(Pulse {
        tick: 0,
        steps: 0b111,
        forward: 0b101,
    })
}

/// As an interrupt does it; an error tells which axis, and what was left out.
fn interrupt(machine: &Machine<AXES>) -> Option<u64> {
    let mut bank: Bank<Motors, AXES> = Bank::new(motors(), PulseTimes::of(machine));
    bank.settle().ok()?;
    loop {
        let event = || match black_box(0) {
            0 => Event::Pulse(pulse()),
            1 => Event::Wait(black_box(1)),
            _ => Event::Idle,
        };
        match bank.turn(|| black_box(0), event) {
            Ok(Next::At(tick)) => black_box(tick),
            Ok(Next::Idle | Next::Stopped) => return Some(bank.lateness().worst.into()),
            Err(halt) => return halt.left_out.map(|pulse| pulse.tick),
        };
    }
}

/// As a slow machine does it.
fn waiting(machine: &Machine<AXES>) -> Option<u64> {
    let mut bank: WaitingBank<Motors, Spin, AXES> = WaitingBank::new(motors(), Spin, machine);
    bank.settle().ok()?;
    let made = bank.make(&pulse());
    made.err()?.left_out.map(|pulse| pulse.tick)
}

/// Waits by doing nothing.
struct Spin;

impl DelayNs for Spin {
    fn delay_ns(&mut self, ns: u32) {
        // Two cycles at least for each, at 168 MHz at most.
        cortex_m::asm::delay(ns / 8 + 1);
    }
}
