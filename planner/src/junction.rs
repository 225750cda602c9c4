//! What limits the speed where two moves meet.

use crate::math::less;
use crate::reason::{Limit, LowPoint};

/// The least of the corner and the caps of both moves (with what sets them), all as v², and what it
/// is.
pub(crate) fn junction(
    corner_v2: f32,
    before: (f32, Limit),
    after: (f32, Limit),
) -> (f32, LowPoint) {
    let (slower, limit) = slower(before, after);
    if less(corner_v2, slower) {
        (corner_v2, LowPoint::Corner)
    } else {
        (slower, slow_neighbour(limit))
    }
}

/// The lower of two caps, as v², and what sets it.
pub(crate) fn slower(before: (f32, Limit), after: (f32, Limit)) -> (f32, Limit) {
    if less(after.0, before.0) {
        after
    } else {
        before
    }
}

/// The low point that a move at its cap is for a faster neighbour.
pub(crate) fn slow_neighbour(cap: Limit) -> LowPoint {
    match cap {
        Limit::AxisSpeed(axis) => LowPoint::AxisSpeed(axis),
        _ => LowPoint::Feed,
    }
}
