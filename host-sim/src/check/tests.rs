//! What the checker keeps while it goes on.

use super::test_machine::machine;
use super::*;
use crate::motion::MoveKind;

fn line(from: f64, to: f64) -> Piece {
    Piece {
        line: 1,
        from: [from, 0.0, 0.0],
        to: [to, 0.0, 0.0],
        feed: None,
        stop: false,
        rest_s: 0.0,
        kind: MoveKind::Rapid,
    }
}

// x makes a step each 20 ms, from 0.5 mm on, and is told of a piece, or of many steps at once, just when there is as much
// to tell of as may be.
#[test]
fn what_is_not_told_yet_does_not_grow() {
    let mut checker = Checker::new(&machine(), [0.0; AXES]);
    let (mut end, mut steps) = (9000.0, 0u64);
    checker.piece(&line(0.0, end));
    for _ in 0..6 {
        while checker.follower.news.len() < MANY - 1 {
            steps += 1;
            checker.pulse(20 * steps, [1, 0, 0]);
        }
        checker.piece(&line(end, end + 1.0));
        end += 1.0;
        assert!(checker.follower.news.len() < MANY);
        let many: Vec<_> = (1..=1000).map(|k| (20 * (steps + k), [1, 0, 0])).collect();
        checker.pulses(&many);
        steps += 1000;
        assert!(checker.follower.news.len() < MANY);
    }
    let report = checker.so_far();
    assert_eq!(report.steps, [steps, 0, 0]);
    // Each step was shown to the check of the speed.
    assert!((report.peak_speed_mm_s[0] - 50.0).abs() < 1.0, "{report:?}");
}
