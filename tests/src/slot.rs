//! Play as it is: the load sits on its motor with a slot. It stands while the motor goes through the slot, and
//! is taken along at either end of it.

use crate::exact;
use spokeshave::{Machine, Point, Ramp};

/// Motors and loads of all axes, mm.
#[derive(Clone, Debug)]
pub struct Slots<const N: usize> {
    per_mm: [f64; N],
    play: [f64; N],
    /// Where the motors are.
    pub motors: [f64; N],
    /// Where the loads are: between the motor and the end of the slot.
    pub loads: [f64; N],
    /// The motors in 2⁻³² of a step, so that nothing adds up.
    position: [i64; N],
}

impl<const N: usize> Slots<N> {
    /// Motors at `start`, each load this part of its slot ahead of its motor.
    pub fn new(machine: &Machine<N>, start: &Point<N>, play: [f32; N], ahead: [f64; N]) -> Self {
        let play = play.map(f64::from);
        let motors = start.map(|at| at.mm());
        Self {
            per_mm: machine.axes().map(|axis| axis.steps_per_mm),
            play,
            motors,
            loads: std::array::from_fn(|i| motors[i] + ahead[i] * play[i]),
            position: exact::position(machine, start),
        }
    }

    /// The motors are here.
    pub fn motors_at(&mut self, motors: [f64; N]) {
        self.motors = motors;
        for (i, load) in self.loads.iter_mut().enumerate() {
            *load = load.max(motors[i]).min(motors[i] + self.play[i]);
        }
    }

    /// The motors go as the ramp says, which turns no axis on its way.
    pub fn ramp(&mut self, ramp: &Ramp<N>) {
        for (position, steps) in self.position.iter_mut().zip(ramp.steps) {
            *position += steps;
        }
        let at = |i: usize| self.position[i] as f64 / 4_294_967_296.0 / self.per_mm[i];
        self.motors_at(std::array::from_fn(at));
    }

    /// The farthest that a load is from where it should be, mm.
    pub fn off(&self, wanted: &Point<N>) -> f64 {
        let off = |i: usize| (self.loads[i] - wanted[i].mm()).abs();
        (0..N).map(off).fold(0.0, f64::max)
    }
}
