//! The names of reasons.

use spokeshave::{Limit, LowPoint};
use spokeshave_sim::output::wording::reason_name;
use std::collections::HashSet;

const LIMITS: [Limit; 8] = [
    Limit::Feed,
    Limit::AxisSpeed(0),
    Limit::AxisSpeed(1),
    Limit::AxisSpeed(2),
    Limit::AxisAcceleration(0),
    Limit::AxisAcceleration(1),
    Limit::AxisAcceleration(2),
    Limit::Rest,
];

const LOW_POINTS: [LowPoint; 8] = [
    LowPoint::Corner,
    LowPoint::Stop,
    LowPoint::QueueEnd,
    LowPoint::Hold,
    LowPoint::Feed,
    LowPoint::AxisSpeed(0),
    LowPoint::AxisSpeed(1),
    LowPoint::AxisSpeed(2),
];

fn all() -> impl Iterator<Item = (Limit, LowPoint)> {
    LIMITS
        .into_iter()
        .flat_map(|limit| LOW_POINTS.map(|low_point| (limit, low_point)))
}

#[test]
fn time_is_counted_under_one_name_a_reason() {
    // Feed, three speeds, rest, and eight purposes of a speed change, whichever axis sets its pace.
    let names: HashSet<_> = all().map(|(limit, low)| reason_name(limit, low)).collect();
    assert_eq!(names.len(), 1 + 3 + 1 + 8);
    let same = LIMITS[4..7]
        .iter()
        .map(|limit| reason_name(*limit, LowPoint::Feed))
        .collect::<HashSet<_>>();
    assert_eq!(same, HashSet::from(["slower feed nearby"]));
}

#[test]
fn a_name_is_safe_in_a_file() {
    for (limit, low_point) in all() {
        let name = reason_name(limit, low_point);
        assert!(!name.contains([',', '"', '\n']), "{name}");
    }
}

#[test]
fn an_axis_that_is_not_known_has_a_name_all_the_same() {
    assert_eq!(
        reason_name(Limit::AxisSpeed(3), LowPoint::Stop),
        "other axis speed"
    );
}
