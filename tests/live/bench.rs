//! Two axes with a switch on the first, and a main loop that asks what next.

use spokeshave::{Machine, Pulse, SeekError, Sight, Task, Watch};
use spokeshave_tests::machines::CONTROLLER;
use spokeshave_tests::workshop::{Firmware, Shop, Switch};
use std::num::NonZeroU8;

/// Readings in a row that a watch asks for.
pub const READINGS: u8 = 5;

/// Two axes, and a switch on the first.
pub struct Bench {
    pub switch: Switch,
    pub watch: Watch<2>,
    pub contact: Option<[i32; 2]>,
    /// Where the motors stand, and how far the first has been.
    pub motors: [i32; 2],
    pub least: i32,
    pub most: i32,
    /// Readings so far, and the one at which the input says the opposite.
    pub readings: u64,
    pub spike: Option<u64>,
    /// The input never says the same for long.
    pub loose: bool,
}

impl Bench {
    pub fn new(switch: Switch, motors: [i32; 2]) -> Self {
        Self {
            switch,
            watch: Watch::new(NonZeroU8::new(READINGS).unwrap()),
            contact: None,
            motors,
            least: motors[0],
            most: motors[0],
            readings: 0,
            spike: None,
            loose: false,
        }
    }
}

impl Shop<2> for Bench {
    fn read(&mut self, now: u64, motors: [i32; 2]) {
        self.readings += 1;
        let mut closed = self.switch.reads(now, self.motors[0]);
        closed ^= self.spike == Some(self.readings);
        closed ^= self.loose && self.readings.is_multiple_of(3);
        if let Some(contact) = self.watch.read(closed, || motors) {
            assert_eq!(self.contact.replace(contact), None, "reported twice");
        }
    }

    fn step(&mut self, pulse: &Pulse) {
        for (axis, motor) in self.motors.iter_mut().enumerate() {
            *motor += i32::from(pulse.step(axis));
        }
        self.least = self.least.min(self.motors[0]);
        self.most = self.most.max(self.motors[0]);
    }
}

/// The main loop: asks what next until it is over.
pub fn run(
    firmware: &mut Firmware<2>,
    bench: &mut Bench,
    mut next: impl FnMut(&Sight<2>) -> Result<Task<2>, SeekError>,
) -> Result<(), SeekError> {
    run_with(firmware, bench, |sight, _| next(sight))
}

/// The same, where the bench changes on the way.
pub fn run_with(
    firmware: &mut Firmware<2>,
    bench: &mut Bench,
    mut next: impl FnMut(&Sight<2>, &mut Bench) -> Result<Task<2>, SeekError>,
) -> Result<(), SeekError> {
    for _ in 0..1_000_000 {
        let sight = Sight {
            at_rest: firmware.at_rest(),
            level: bench.watch.level(),
            contact: bench.contact.take(),
        };
        match next(&sight, bench)? {
            Task::Wait => {}
            Task::Seek { to, feed } => {
                bench.watch.arm();
                firmware.go(to, Some(feed));
            }
            Task::Move { to, feed } => {
                bench.watch.disarm();
                firmware.go(to, Some(feed));
            }
            Task::End => firmware.end(),
            Task::Place(at) => firmware.place(at),
            Task::Done => return Ok(()),
        }
        firmware.round(bench);
    }
    panic!("it does not end");
}

pub fn machine(per_mm: f64, acceleration: f32) -> Machine<2> {
    let axis = spokeshave::Axis {
        steps_per_mm: per_mm,
        speed_limit: 60.0,
        acceleration_limit: acceleration,
    };
    Machine::new([axis; 2], CONTROLLER, 0.02).unwrap()
}
