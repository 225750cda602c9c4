//! A firmware's pins, on a host: planner, pulse generator and step lines, with a timer and pins that
//! only count. On a chip, `Pin` is the chip's own type, `Timer` its compare register, and `interrupt` is
//! what the compare interrupt calls.
//!
//!     cargo run -p spokeshave --features embedded-hal --example pins
//!
//! All values are invented.

use core::convert::Infallible;
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{ErrorType, OutputPin, PinState};
use spokeshave::pins::{Bank, Enable, Halt, Motor, Next, Outputs, Pair, PulseTimes};
use spokeshave::{
    Axis, Controller, Coordinate, Machine, Planner, PulseGenerator, TrainMaker, TrainSource,
};
use std::error::Error;

const MHZ: u32 = 1_000_000;

/// Both sides of the gantry, and the carriage on it.
type Axes = (Pair<Driver, Driver>, Driver);
type Driver = Motor<Pin, Pin>;

fn main() -> Result<(), Box<dyn Error>> {
    let controller = Controller {
        timer_hz: MHZ,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 130.0,
        acceleration_limit: 500.0,
    };
    let machine = Machine::new([axis; 2], controller, 0.02)?;
    let start = [Coordinate::ZERO; 2];
    let mut planner: Planner<2, 32> = Planner::new(machine, start);
    let mut trains = TrainMaker::new(&machine, start);
    let mut pulses = PulseGenerator::new(&machine, start);
    let mut timer = Timer::default();

    let gantry = Pair {
        first: Motor::new(Pin::new(), Pin::new()),
        second: Motor {
            forward: PinState::Low, // on the other side, the other way round
            ..Motor::new(Pin::new(), Pin::new())
        },
    };
    let carriage = Motor {
        active: PinState::Low, // an opto-coupler between
        ..Motor::new(Pin::new(), Pin::new())
    };
    let mut bank = Bank::new((gantry, carriage), PulseTimes::of(&machine));
    let mut enable = Enable::new(Pin::new(), PinState::Low, 1_500);
    bank.settle()?;
    enable.on_and_wait(&mut timer)?;

    // Main loop: moves in.
    for corner in [[30.0, 0.0], [30.0, 20.0], [0.0, 20.0], [0.0, 0.0]] {
        let corner = corner.map(|mm| Coordinate::from_mm(mm).unwrap_or(Coordinate::ZERO));
        planner.line(corner, Some(40.0), 0)?;
    }

    // A firmware's main loop puts these into a queue, and the interrupt takes them from there.
    let mut next_train = || trains.next_train(&mut || planner.next_ramp());

    // The main loop wakes the interrupt; the interrupt wakes itself, until all is done.
    timer.at = Some(timer.now);
    let (mut calls, mut made) = (0, Ok(()));
    while made.is_ok() && timer.fires() {
        calls += 1;
        made = interrupt(&mut bank, &mut pulses, &mut next_train, &mut timer);
    }
    made?;

    let (gantry, carriage) = bank.release();
    println!(
        "job of {:.3} s, {calls} interrupts",
        timer.now as f64 / f64::from(MHZ)
    );
    for (name, motor) in [
        ("gantry, left", gantry.first),
        ("gantry, right", gantry.second),
        ("carriage", carriage),
    ] {
        let (steps, turns) = (motor.step.edges / 2, motor.direction.edges);
        println!("{name}: {steps} steps, {turns} changes of direction");
    }
    enable.off()?;
    Ok(())
}

/// The compare interrupt: the edges that are due; then the timer for the next.
fn interrupt(
    bank: &mut Bank<Axes, 2>,
    pulses: &mut PulseGenerator<2>,
    trains: &mut impl TrainSource<2>,
    timer: &mut Timer,
) -> Result<(), Halt<<Axes as Outputs<2>>::Error>> {
    if bank.next() == Next::Idle {
        pulses.start_at(timer.now);
    }
    let made = bank.turn(|| timer.now, || pulses.next_event(trains));
    // After an error too: what was begun must end.
    timer.at = match bank.next() {
        Next::At(tick) => Some(tick),
        Next::Idle | Next::Stopped => None,
    };
    made.map(|_| ())
}

/// A counter, and the count at which it interrupts.
#[derive(Default)]
struct Timer {
    now: u64,
    at: Option<u64>,
}

impl Timer {
    /// Time passes until it interrupts; false if it never will. A count that is past fires at once.
    fn fires(&mut self) -> bool {
        let at = self.at.take();
        self.now = self.now.max(at.unwrap_or(0));
        at.is_some()
    }
}

impl DelayNs for Timer {
    fn delay_ns(&mut self, ns: u32) {
        self.now += u64::from(ns.div_ceil(1_000)); // ticks of 1 µs
    }
}

/// A pin that counts its edges.
struct Pin {
    high: Option<bool>,
    edges: u32,
}

impl Pin {
    fn new() -> Self {
        Self {
            high: None,
            edges: 0,
        }
    }

    fn set(&mut self, high: bool) {
        if self.high.is_some_and(|before| before != high) {
            self.edges += 1;
        }
        self.high = Some(high);
    }
}

impl ErrorType for Pin {
    type Error = Infallible;
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.set(false);
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.set(true);
        Ok(())
    }
}
