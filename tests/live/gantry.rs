//! A gantry with a motor and a switch on each side.

use spokeshave::pins::{AxisOutputs, Held, MotorError, Pair};
use spokeshave::{Pulse, Side, Watch};
use spokeshave_tests::workshop::{Shop, Switch};
use std::convert::Infallible;

/// A motor, by the edges of its lines.
#[derive(Default)]
pub struct Motor {
    way: i32,
    pub stands: i32,
    high: bool,
}

impl AxisOutputs for Motor {
    type Error = Infallible;
    const MOTORS: u8 = 1;
    fn direct(&mut self, forward: bool) -> Result<(), MotorError<Infallible>> {
        self.way = if forward { 1 } else { -1 };
        Ok(())
    }
    fn begin(&mut self) -> Result<(), MotorError<Infallible>> {
        assert!(!self.high);
        self.high = true;
        self.stands += self.way;
        Ok(())
    }
    fn end(&mut self) -> Result<(), MotorError<Infallible>> {
        self.high = false;
        Ok(())
    }
}

pub struct Gantry {
    pub sides: Pair<Held<Motor>, Held<Motor>>,
    pub switches: [Switch; 2],
    pub watches: [Watch<1>; 2],
    pub contacts: [Option<i32>; 2],
    /// Set while each side is to stop at its own switch.
    pub most_alone: Option<u32>,
    /// The most by which one side was ahead of the other since the start.
    pub most_skew: i32,
    pub furthest: i32,
}

impl Shop<1> for Gantry {
    fn read(&mut self, now: u64, _: [i32; 1]) {
        let counts = self.sides.steps();
        for (i, side) in Side::BOTH.into_iter().enumerate() {
            let closed = self.switches[i].reads(now, counts[i]);
            if let Some([at]) = self.watches[i].read(closed, || [counts[i]]) {
                self.contacts[i] = Some(at);
                if let Some(most_alone) = self.most_alone {
                    self.sides.stop(side, most_alone);
                }
            }
        }
    }

    fn step(&mut self, pulse: &Pulse) {
        let Ok(()) = self.sides.direct(pulse.step(0) > 0);
        let Ok(()) = self.sides.begin();
        let Ok(()) = self.sides.end();
        let [first, second] = self.sides.steps();
        self.most_skew = self.most_skew.max((first - second).abs());
        self.furthest = self.furthest.max(first.abs().max(second.abs()));
    }
}
