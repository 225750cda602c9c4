use super::*;

fn caps() -> SpeedCaps<2> {
    SpeedCaps::new(&[50.0, 80.0].map(|speed_limit| Axis {
        steps_per_mm: 100.0,
        speed_limit,
        acceleration_limit: 500.0,
    }))
}

/// 0.6 and 0.8 of the speed: of the first axis 50 mm/s, so 83.3 along the path, and of the second 80, so 100.
#[test]
fn the_feed_holds_as_far_as_the_axes_go() {
    let heading = [0.6, 0.8];
    let along = |feed: Option<f32>, headroom: f32| {
        let mut caps = caps();
        caps.prepare(headroom);
        caps.along(&heading, feed)
    };
    let most = (50.0 / 0.6, 0);
    for (feed, headroom, expected) in [
        (Some(0.5), 1.0, (0.5, 0)),
        (Some(49.0), 1.0, (49.0, 0)),
        // Faster than an axis may be, but not along it.
        (Some(60.0), 1.0, (60.0, 0)),
        (Some(82.0), 1.0, (82.0, 0)),
        (Some(41.0), 2.0, (82.0, 0)),
        (Some(90.0), 1.0, most),
        (Some(45.0), 2.0, most),
        (None, 1.0, most),
    ] {
        let (speed, axis) = along(feed, headroom);
        let near = (speed / expected.0 - 1.0).abs() <= 4.0 * f32::EPSILON;
        assert!(near && axis == expected.1, "{feed:?}: {speed} {axis}");
    }
    // The second axis sets it where the first hardly moves.
    let (speed, axis) = caps().along(&[0.28, 0.96], None);
    assert!((speed - 80.0 / 0.96).abs() < 1e-4 && axis == 1, "{speed}");
}
