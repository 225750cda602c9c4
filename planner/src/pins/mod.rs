//! Step and direction outputs on `embedded-hal` 1.0 pins.
//!
//! | what | type |
//! |---|---|
//! | one driver: a step line, a direction line, their polarity | [`Motor`] |
//! | two motors that move one axis; the second may be mirrored | [`Pair`] |
//! | a motor that can be held back while its axis goes on | [`Held`] |
//! | what an axis is, for outputs of your own | [`AxisOutputs`] |
//! | all axes: a tuple or an array of 1 to 6, or a port of your own | [`Outputs`] |
//! | all axes in a timer interrupt, without busy waiting | [`Bank`] |
//! | all axes with a blocking delay, for slow machines | [`WaitingBank`] |
//! | all axes, and you see to every time yourself | [`Lines`] |
//! | the enable line of one driver or of all | [`Enable`] |
//! | pins whose errors are of different types in one bank | [`Plain`] |
//!
//! The edges of one pulse come in this order: the direction lines that change, of all axes; the
//! set-up time, if one changed; the step edges of all axes; the pulse width; the ends of all axes.
//!
//! Two motors on one axis, one motor on another; a firmware's interrupt, as a loop:
//!
//! ```
//! use embedded_hal::digital::PinState;
//! use spokeshave::pins::{Bank, Motor, Next, Pair, PulseTimes};
//! use spokeshave::{Event, Pulse};
//! # use core::convert::Infallible;
//! # use embedded_hal::digital::{ErrorType, OutputPin};
//! # #[derive(Default)]
//! # struct Pin(Vec<bool>);
//! # impl ErrorType for Pin { type Error = Infallible; }
//! # impl OutputPin for Pin {
//! #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
//! #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
//! # }
//! # let [s0, d0, s1, d1, s2, d2] = core::array::from_fn(|_| Pin::default());
//! let left = Motor::new(s0, d0);
//! let right = Motor { forward: PinState::Low, ..Motor::new(s1, d1) }; // mirrored
//! let axes = (Pair { first: left, second: right }, Motor::new(s2, d2));
//! let mut bank = Bank::new(axes, PulseTimes { width: 2, setup: 5, low: 3 });
//! bank.settle()?; // all step lines at rest
//!
//! let mut events = [Event::Pulse(Pulse { tick: 100, steps: 0b11, forward: 0b01 })].into_iter();
//! let mut now = 0;
//! loop {
//!     match bank.turn(|| now, || events.next().unwrap_or(Event::Idle))? {
//!         Next::At(tick) => now = tick, // a firmware arms its timer and returns
//!         Next::Idle | Next::Stopped => break,
//!     }
//! }
//! assert_eq!(now, 102);
//! let (gantry, _) = bank.release();
//! assert_eq!(gantry.second.release().1.0, [false]); // forward is low
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod axis_outputs;
mod bank;
mod enable;
mod error;
mod held;
mod lines;
mod motor;
mod next;
mod outputs;
mod pair;
mod plain;
mod pulse_times;
mod waiting_bank;

pub use axis_outputs::AxisOutputs;
pub use bank::Bank;
pub use enable::Enable;
pub use error::{Cause, Halt, Line, MotorError, PinError};
pub use held::Held;
pub use lines::Lines;
pub use motor::Motor;
pub use next::Next;
pub use outputs::Outputs;
pub use pair::Pair;
pub use plain::Plain;
pub use pulse_times::PulseTimes;
pub use waiting_bank::WaitingBank;
