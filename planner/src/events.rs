//! Events of a plan, for a log: with the feature `defmt` they are written to its logger, from where the
//! planner is called; without it nothing is left of them.
//!
//! | level | event |
//! |---|---|
//! | warn | a move, a rest or a request is refused |
//! | info | the plan comes to rest; a rest is over; a request, and what it leads to |
//! | debug | a move begins; braking begins, and for what |

use crate::math::sqrt;
use crate::moves::Straight;
use crate::pace::Pace;
use crate::plan_error::PlanError;
use crate::reason::LowPoint;
use crate::request::{Request, RequestError, State};

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
pub(crate) fn begins<const N: usize>(straight: &Straight<N>, speed: f32, pace: &Pace) {
    debug!(
        "line {=u32}: begins at {=f32} mm/s, may reach {=f32} mm/s: {}",
        straight.tag,
        speed,
        straight.cap(pace).0,
        straight.cap(pace).1
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

/// What `taken` says of a request, handed on.
#[inline]
pub(crate) fn asked(request: Request, taken: Result<(), RequestError>) -> Result<(), RequestError> {
    match &taken {
        Ok(()) => info!("asked: {}", request),
        Err(error) => warn!("refused: {}", error),
    }
    taken
}

#[inline]
pub(crate) fn stays(state: State) {
    info!("stands: {}", state);
}
