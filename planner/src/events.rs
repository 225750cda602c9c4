//! Events of a plan, for a log: with the feature `defmt` they are written to its logger, from where the
//! planner is called; without it nothing is left of them.
//!
//! | level | event |
//! |---|---|
//! | warn | a move or a rest is refused |
//! | info | the plan comes to rest; a rest is over |
//! | debug | a move begins; braking begins, and for what |

use crate::math::sqrt;
use crate::moves::Straight;
use crate::plan_error::PlanError;
use crate::reason::LowPoint;

#[cfg(feature = "defmt")]
use defmt::{debug, info, warn};

#[cfg(not(feature = "defmt"))]
macro_rules! nothing {
    ($text:literal $(, $value:expr)*) => {{ $(let _ = || $value;)* }};
}
#[cfg(not(feature = "defmt"))]
use nothing as debug;
#[cfg(not(feature = "defmt"))]
use nothing as info;
#[cfg(not(feature = "defmt"))]
use nothing as warn;

/// What `taken` says of a move or a rest of line `tag`, handed on.
#[inline]
pub(crate) fn told<T>(taken: Result<T, PlanError>, tag: u32) -> Result<T, PlanError> {
    if let Err(error) = &taken {
        warn!("line {=u32}: refused: {}", tag, error);
    }
    taken
}

#[inline]
pub(crate) fn begins<const N: usize>(straight: &Straight<N>, speed: f32) {
    debug!(
        "line {=u32}: begins at {=f32} mm/s, may reach {=f32} mm/s: {}",
        straight.tag, speed, straight.cap, straight.cap_limit
    );
}

/// `v2` is the square of the speed to brake to.
#[inline]
pub(crate) fn brakes(tag: u32, speed: f32, v2: f32, low: LowPoint) {
    debug!(
        "line {=u32}: brakes from {=f32} to {=f32} mm/s: {}",
        tag,
        speed,
        sqrt(v2),
        low
    );
}

#[inline]
pub(crate) fn stands(tag: u32, low: LowPoint) {
    info!("line {=u32}: at rest: {}", tag, low);
}

#[inline]
pub(crate) fn rested(tag: u32) {
    info!("line {=u32}: the rest is over", tag);
}
