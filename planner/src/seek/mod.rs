//! Moves that end at a contact: probing, homing, and squaring a gantry.
//!
//! | what | file |
//! |---|---|
//! | an input in an interrupt | `watch` |
//! | what can be wrong | `error` |
//! | the line along which a contact is sought | `line` |
//! | touch a surface or a switch twice, fast and slowly | `probe` |
//! | find the zero of an axis | `homing` |
//! | find it with a motor and a switch on each side | `squaring`, what it says and is told in `sides` |

mod error;
mod homing;
mod line;
mod probe;
mod sides;
mod squaring;
mod watch;

#[cfg(test)]
mod tests;

pub use error::{Approach, SeekError, SeekQuantity, SetupError, Side};
pub use homing::{Homing, HomingPlan};
pub use probe::{Probe, ProbePlan, Sight, Task};
pub use sides::{SidesSight, SidesTask};
pub use squaring::Squaring;
pub use watch::{Level, Watch};
