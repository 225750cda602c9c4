//! A motor that can be held back while the rest of its axis goes on.

use super::axis_outputs::AxisOutputs;
use super::error::MotorError;
use super::pair::Pair;
use crate::seek::Side;

/// One motor of an axis, whose steps can be held back, and which counts those that it makes: for a
/// gantry that is squared side by side ([`Squaring`](crate::Squaring)). It runs until it is told
/// otherwise.
///
/// A motor that is held stands still with its current on. It stops without braking: hold one back at slow
/// feeds only, at speeds from which it can stop at once.
///
/// ```
/// use spokeshave::pins::{AxisOutputs, Held, Pair};
/// use spokeshave::Side;
/// # use core::convert::Infallible;
/// # use spokeshave::pins::MotorError;
/// # struct Driver;
/// # impl AxisOutputs for Driver {
/// #     type Error = Infallible;
/// #     const MOTORS: u8 = 1;
/// #     fn direct(&mut self, _: bool) -> Result<(), MotorError<Infallible>> { Ok(()) }
/// #     fn begin(&mut self) -> Result<(), MotorError<Infallible>> { Ok(()) }
/// #     fn end(&mut self) -> Result<(), MotorError<Infallible>> { Ok(()) }
/// # }
/// let mut gantry = Pair { first: Held::new(Driver), second: Held::new(Driver) };
/// gantry.direct(true)?;
/// let mut step = |gantry: &mut Pair<_, _>| gantry.begin().and_then(|()| gantry.end());
/// step(&mut gantry)?;
/// gantry.stop(Side::First, 2); // its switch closed; the other may make two more
/// for _ in 0..5 {
///     step(&mut gantry)?;
/// }
/// assert_eq!((gantry.first.steps(), gantry.second.steps()), (1, 3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Held<M> {
    motor: M,
    gate: Gate,
    way: i8,
    steps: i32,
}

/// What happens to steps.
#[derive(Clone, Copy, Debug)]
enum Gate {
    Runs,
    /// So many are held back, then it runs.
    Holds(u32),
    /// So many are made, then it holds.
    Makes(u32),
}

impl<M> Held<M> {
    /// Takes the motor; its count is 0.
    pub fn new(motor: M) -> Self {
        Self {
            motor,
            gate: Gate::Runs,
            way: 0,
            steps: 0,
        }
    }

    /// Makes all steps from now on.
    pub fn run(&mut self) {
        self.gate = Gate::Runs;
    }

    /// Holds the next `steps` back, then runs.
    pub fn hold_for(&mut self, steps: u32) {
        self.gate = Gate::Holds(steps);
    }

    /// Makes the next `steps`, then holds all back; 0 holds at once.
    pub fn run_for(&mut self, steps: u32) {
        self.gate = Gate::Makes(steps);
    }

    /// It makes no step until it is told to run.
    pub fn is_held(&self) -> bool {
        matches!(self.gate, Gate::Makes(0))
    }

    /// The steps that it made, those that make the position grow less the others; it wraps.
    pub fn steps(&self) -> i32 {
        self.steps
    }

    /// Gives the motor back.
    pub fn release(self) -> M {
        self.motor
    }

    /// The next step is made.
    fn lets_through(&mut self) -> bool {
        match &mut self.gate {
            Gate::Runs | Gate::Holds(0) => true,
            Gate::Holds(left) => {
                *left -= 1;
                false
            }
            Gate::Makes(0) => false,
            Gate::Makes(left) => {
                *left -= 1;
                true
            }
        }
    }
}

impl<M: AxisOutputs> AxisOutputs for Held<M> {
    type Error = M::Error;
    const MOTORS: u8 = M::MOTORS;

    #[inline]
    fn direct(&mut self, forward: bool) -> Result<(), MotorError<M::Error>> {
        self.motor.direct(forward)?;
        self.way = if forward { 1 } else { -1 };
        Ok(())
    }

    #[inline]
    fn begin(&mut self) -> Result<(), MotorError<M::Error>> {
        if self.lets_through() {
            self.motor.begin()?;
            self.steps = self.steps.wrapping_add(self.way.into());
        }
        Ok(())
    }

    #[inline]
    fn end(&mut self) -> Result<(), MotorError<M::Error>> {
        self.motor.end()
    }
}

impl<A, B> Pair<Held<A>, Held<B>> {
    /// Holds one side back at once, and lets the other make at most `most_alone` more steps, unless it
    /// is held already.
    pub fn stop(&mut self, side: Side, most_alone: u32) {
        let other_is_held = match side {
            Side::First => self.second.is_held(),
            Side::Second => self.first.is_held(),
        };
        let other = if other_is_held { 0 } else { most_alone };
        let (first, second) = match side {
            Side::First => (0, other),
            Side::Second => (other, 0),
        };
        self.first.run_for(first);
        self.second.run_for(second);
    }

    /// The steps that each side made.
    pub fn steps(&self) -> [i32; 2] {
        [self.first.steps(), self.second.steps()]
    }

    /// Both sides run, each after so many steps that it is held back for.
    pub fn hold_for(&mut self, steps: [u32; 2]) {
        let [first, second] = steps;
        self.first.hold_for(first);
        self.second.hold_for(second);
    }
}
