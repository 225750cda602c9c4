//! Each repair by itself; x has 80 steps/mm, y 100 and z 40, so that 1e-5 mm are 0.0008, 0.001 and 0.0004 of a step.

use super::*;

const TIME: f64 = 1e6;

fn matcher() -> Matcher {
    Matcher::new(PER_MM, [0.0; AXES], 1.0)
}

fn here() -> Here {
    Here {
        line: 3,
        tick: TIME,
        ..Here::default()
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// 3, 4 and 5: 6 mm of x and 8 mm of y on 10 mm of the path, after 1 mm of x alone.
const SLOPE: [Point; 3] = [[0.0; 3], [80.0, 0.0, 0.0], [560.0, 800.0, 0.0]];

// It stands at 1 and the path is at 1 + off; the other start would have it at 2 or at 0. Up to 0.5635 off it fits, and
// what it moves in two ticks more.
#[test]
fn which_start_fits() {
    for d in [1.0, -1.0] {
        for (off, slack, taken, other) in [
            (0.3, 0.0, true, false),
            (0.43, 0.0, true, false),
            (0.44, 0.0, true, true),
            (0.56, 0.0, true, true),
            (0.57, 0.0, false, true),
            (0.57, 0.1, true, true),
            (1.6, 0.0, false, false),
            (1.6, 0.1, false, true),
            (-0.3, 0.0, true, false),
            (-0.7, 0.0, false, false),
        ] {
            for (direction, known) in [(0.0, false), (0.0, true), (d, false), (d, true)] {
                let mut matcher = matcher();
                (matcher.stair[1], matcher.unsure[1]) = (1.0, d);
                matcher.direction[1] = direction;
                let start = matcher.start(1, d * off, slack, known);
                // After a step, only a place that is known tells: the path may not be there yet.
                let settled = taken != other && (known || direction == 0.0);
                let moved = settled && other;
                let expected = match (other, settled) {
                    (true, true) => matches!(start, Start::Other),
                    (true, false) => matches!(start, Start::Open),
                    (false, _) => matches!(start, Start::Sure),
                };
                assert!(expected, "{off} {slack} {direction} {known}");
                assert_eq!(matcher.unsure[1] == 0.0, settled, "{off} {slack}");
                let stair = if moved { 1.0 + d } else { 1.0 };
                assert_eq!(matcher.stair[1], stair, "{off} {slack}");
            }
        }
    }
}

// Its last step, to 3, was made at 2.5 less 1e-5 mm: on this piece, on the next one, or before where the path is.
#[test]
fn the_path_catches_up_with_a_step_that_was_made() {
    for (k, stair, s, passed) in [
        (0, 3.0, 0.01, 0),
        (0, -2.0, 0.01, 0),
        (0, 100.0, 0.01, 1),
        (1, 3.0, 0.01, 1),
        (0, 100.0, 1.2, 1),
        (1, 3.0, 1.03, 1),
        (1, 3.0, 1.04, 1),
    ] {
        let mut path = path(&SLOPE);
        let mut matcher = matcher();
        matcher.s = s;
        if s > 1.0 {
            path.pass();
        }
        (matcher.stair[k], matcher.direction[k]) = (stair, 1.0);
        let x = (stair - 0.5) / PER_MM[k] - 1e-5;
        let on = match k {
            0 if x <= 1.0 => x,
            0 => 1.0 + (x - 1.0) / 0.6,
            _ => 1.0 + x / 0.8,
        };
        matcher.catch_up(&mut path, k);
        assert!(close(matcher.s, on.max(s)), "{k} {stair} {}", matcher.s);
        assert_eq!(path.passed, passed, "{k} {stair}");
    }
    // Downward, it comes to −2.5 after 1 mm there and back and so much more.
    let mut down = path(&[[0.0; 3], [80.0, 0.0, 0.0], [-80.0, 0.0, 0.0]]);
    let mut matcher = matcher();
    (matcher.stair[0], matcher.direction[0]) = (-3.0, -1.0);
    matcher.s = 1.5;
    down.pass();
    matcher.catch_up(&mut down, 0);
    assert!(close(matcher.s, 2.0 + 2.5 / 80.0 - 1e-5));
}

// Not past the end of what was told, and not for an axis that has not stepped.
#[test]
fn the_path_catches_up_only_as_far_as_it_goes() {
    let mut path = path(&SLOPE[..2]);
    let mut matcher = matcher();
    (matcher.stair[0], matcher.direction[0], matcher.s) = (300.0, 1.0, 0.25);
    matcher.catch_up(&mut path, 0);
    assert_eq!((path.len(), path.passed, matcher.s), (1, 0, 0.25));
    (matcher.stair[0], matcher.direction[0]) = (30.0, 0.0);
    matcher.catch_up(&mut path, 0);
    assert_eq!((path.len(), matcher.s), (1, 0.25));
}

/// Whom x's step at `s` mm on the first piece is blamed on where y is too far off; 1000 ticks ago the path was at 1 mm.
fn blamed(speed: f64, s: f64) -> ([bool; AXES], Matcher) {
    let path = path(&[[0.0; 3], [480.0, 800.0, 0.0]]);
    let mut matcher = matcher();
    matcher.speed = speed;
    matcher.mark = (TIME - 1000.0, 1.0);
    // y is at 80 steps a mm, and stands 2 below; z is 1 off as well, but less than y.
    matcher.stair = [(48.0 * s).floor(), 80.0 * s - 2.0, 1.0];
    let blames = matcher.blames(&path, (TIME, 0), (0, s), (1, 2.0), &here());
    let blamed = faulty(&matcher);
    assert_eq!(blames, blamed[0]);
    assert_eq!(matcher.missed, u32::from(blames));
    assert!(close(matcher.worst.value, 2.0));
    (blamed, matcher)
}

// At 1e-4 mm/tick the path is at 1.1 mm now. Half a step of x is 0.5/80 mm, and 1.0417e-2 mm of the path.
#[test]
fn a_step_that_comes_too_soon_is_to_blame_itself() {
    for (sooner, soon) in [
        (-0.01, false),
        (0.0, false),
        (0.0103, false),
        (0.0105, true),
        (0.5, true),
    ] {
        let (blamed, matcher) = blamed(1e-4, 1.1 + sooner);
        assert_eq!(blamed, [soon, !soon, false], "{sooner}");
        // y is put back on the path if it is to blame, z is not.
        let y = 80.0 * (1.1 + sooner) - if soon { 2.0 } else { 0.0 };
        assert!(close(matcher.stair[1], y) && matcher.stair[2] == 1.0);
    }
    // While no speed is known, nothing is too soon.
    let (blamed, _) = blamed(0.0, 1.5);
    assert_eq!(blamed, [false, true, false]);
}

// Of one axis alone: what is wrong with x's own place is its own fault, and its step is made.
#[test]
fn an_axis_is_to_blame_for_itself() {
    let path = path(&[[0.0; 3], [480.0, 800.0, 0.0]]);
    let mut matcher = matcher();
    (matcher.speed, matcher.stair[0]) = (1e-4, 7.0);
    let blames = matcher.blames(&path, (TIME, 0), (0, 8.0), (0, 1.25), &here());
    assert!(!blames && matcher.missed == 0 && matcher.stair[0] == 7.0);
    assert_eq!(faulty(&matcher), [true, false, false]);
}

// Half a step sooner, to the last digit, is not more than that.
#[test]
fn half_a_step_sooner_is_not_too_soon() {
    for (more, soon) in [(0.0, false), (1e-9, true)] {
        let path = path(&[[0.0; 3], [480.0, 0.0, 0.0]]);
        let mut matcher = matcher();
        (matcher.speed, matcher.mark) = (1e-4, (TIME, 0.0));
        let s = 0.5 * matcher.step[0] + more;
        matcher.stair[1] = 2.0;
        let blames = matcher.blames(&path, (TIME, 0), (0, s), (1, 2.0), &here());
        assert_eq!(blames, soon);
    }
}

// The path is at 1.5 mm: x at 1.3 mm, step 104, y at 0.4 mm, step 40. A step down from 108 leads to 107, 3 off; one that
// would lead to where the path is is wrong by a little more than is allowed, for it is a fault all the same.
#[test]
fn how_far_off_a_step_without_a_place_is() {
    for (j, stair, d, off) in [
        (0, 108.0, -1.0, Some(3.0)),
        (0, 100.0, -1.0, Some(5.0)),
        (0, 108.0, 1.0, Some(5.0)),
        (1, 42.5, -1.0, Some(1.5)),
        (0, 103.0, 1.0, None),
    ] {
        let mut path = path(&SLOPE);
        path.pass();
        let mut matcher = matcher();
        (matcher.s, matcher.stair[j]) = (1.5, stair);
        matcher.unmatched(&mut path, j, d, &here());
        let worst = matcher.worst;
        match off {
            Some(off) => assert!(close(worst.value, off), "{worst:?}"),
            None => assert!((0.5633 * 1.0005..0.5633 * 1.0015).contains(&worst.value)),
        }
        assert_eq!((worst.axis, matcher.missed), (Some(j), 1));
        assert_eq!((matcher.stair[j], path.passed), (stair, 1));
        let first = matcher.first_fault[j].expect("a fault");
        assert_eq!((first.line, first.tick), (3, TIME));
    }
}

// After all that was told, it is held against the end.
#[test]
fn a_step_after_the_end_of_the_path() {
    let mut path = path(&[[0.0; 3], [80.0, 0.0, 0.0]]);
    path.pass();
    let mut matcher = matcher();
    matcher.stair[0] = 80.0;
    for (d, off) in [(1.0, 1.0), (-1.0, 1.0)] {
        matcher.unmatched(&mut path, 0, d, &here());
        assert!(close(matcher.worst.value, off));
    }
}

// 256 steps without a place are borne; each after that lets the path go on by a piece, or by 1/1024 of those that are left,
// and all axes stand where the piece begins. One piece is always left.
#[test]
fn steps_without_a_place_do_not_hold_the_path_back() {
    for (count, after, each) in [(5, 4, 1), (2500, 400, 2), (4000, 300, 3)] {
        let zigzag: Vec<Point> = (0..=count)
            .map(|k| [f64::from(k), 2.0 * f64::from(k % 2), 0.0])
            .collect();
        let mut path = path(&zigzag);
        let mut matcher = matcher();
        for _ in 0..256 {
            matcher.unmatched(&mut path, 0, 1.0, &here());
        }
        assert_eq!((path.passed, matcher.s), (0, 0.0));
        let mut passed = 0;
        for _ in 0..after {
            matcher.unmatched(&mut path, 0, 1.0, &here());
            passed = (passed + each).min(count as usize - 1);
            assert_eq!(path.passed, passed, "{count}");
            let front = path.front();
            assert!(close(matcher.s, front.s0));
            assert_eq!(matcher.stair, zigzag[passed].map(f64::round));
            if (path.len() - 1) / 1024 < each {
                break;
            }
        }
    }
}
