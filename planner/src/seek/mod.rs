//! Moves that end at a contact: probing, homing, and squaring a gantry.
//!
//! | what | file |
//! |---|---|
//! | an input in an interrupt | `watch` |
//! | what can be wrong | `error` |
//! | the line along which a contact is sought | `line` |
//! | touch a surface or a switch twice, fast and slowly | `probe` |
//! | find the zero of an axis | `homing` |
//! | find it with a motor and a switch on each side | `squaring` |

mod error;
mod homing;
mod line;
mod probe;
mod squaring;
mod watch;

pub use error::{Approach, SeekError, SeekQuantity, SetupError, Side};
pub use homing::{Homing, HomingPlan};
pub use probe::{Probe, ProbePlan, Sight, Task};
pub use squaring::{SidesSight, SidesTask, Squaring};
pub use watch::{Level, Watch};
