//! The stall margin of a run: what motors could give over what they are asked for.

use super::assessment::StallMargin;
use crate::machine::Machine;
use crate::summary::Summary;

/// The least stall margin in a run of a program on `machine`, of which `summary` is; `None` where the
/// machine file describes no motors, as none does yet.
pub(super) fn margin(_machine: &Machine, _summary: &Summary) -> Option<StallMargin> {
    None
}

/// The lesser of two.
pub(super) fn least(one: Option<StallMargin>, other: Option<StallMargin>) -> Option<StallMargin> {
    [one, other]
        .into_iter()
        .flatten()
        .min_by(|a, b| a.times_needed.total_cmp(&b.times_needed))
}
