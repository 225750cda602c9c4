//! The stall margin of a run: what motors could give over what they are asked for.

use super::assessment::StallMargin;
use crate::summary::Summary;

/// The least stall margin in the run that `summary` is of; `None` where the machine file describes no motors.
pub(super) fn margin(summary: &Summary) -> Option<StallMargin> {
    summary.least_stall_margin().map(|least| StallMargin {
        axis: least.axis,
        times_needed: least.margin,
    })
}

/// The lesser of two.
pub(super) fn least(one: Option<StallMargin>, other: Option<StallMargin>) -> Option<StallMargin> {
    [one, other]
        .into_iter()
        .flatten()
        .min_by(|a, b| a.times_needed.total_cmp(&b.times_needed))
}
