//! What is left of the path when the pulses end.

use super::*;

/// How far y is off at most where it stands at `stand` and its lines go on to these places, and on which line it first has
/// no room.
fn fault(lines: &[f64], stand: f64, change: impl Fn(&mut Matcher)) -> Option<(f64, u32)> {
    let mut points = vec![[0.0, -9.0, 0.0]];
    points.extend(lines.iter().map(|y| [0.0, *y, 0.0]));
    let mut path = path(&points);
    let mut matcher = Matcher::new(PER_MM, [0.0; AXES], 1.0);
    matcher.stair[1] = stand;
    change(&mut matcher);
    matcher.finish(&mut path, &Here::default());
    assert_eq!((path.len(), path.passed), (1, lines.len() - 1));
    let fault = matcher.first_fault[1].map(|here| (matcher.worst.value, here.line));
    assert_eq!(faulty(&matcher), [false, fault.is_some(), false]);
    let end = lines[lines.len() - 1].round();
    assert_eq!(matcher.stair[1], if fault.is_some() { end } else { stand });
    fault
}

#[test]
fn each_line_that_is_left_is_looked_at() {
    let found = |lines: &[f64], stand| fault(lines, stand, |_| ());
    assert_eq!(found(&[2.0, 3.0], 2.5), None);
    assert_eq!(found(&[3.0, 2.0], 2.0), Some((1.0, 1)));
    assert_eq!(found(&[2.0, 3.0], 2.0), Some((1.0, 2)));
    assert_eq!(found(&[2.0, 1.0, 2.0], 2.0), Some((1.0, 2)));
    // 0.5635 of a step, and no more.
    let room = 0.5625 + 1e-5 * 100.0;
    assert_eq!(found(&[0.0], -room), None);
    assert!(found(&[0.0], -room - 1e-12).is_some());
}

// y's last step, to 2, is in doubt, so at a corner it may stand at 1 yet; at the end all steps are made.
#[test]
fn a_step_in_doubt_is_made_by_the_end() {
    let found = |lines: &[f64]| {
        fault(lines, 2.0, |matcher| {
            matcher.settle((0.0, 1, 1.0), false, false);
        })
    };
    assert_eq!(found(&[1.0, 2.0]), None);
    assert_eq!(found(&[2.0, 1.0]), Some((1.0, 2)));
    assert_eq!(found(&[1.0]), Some((1.0, 1)));
    assert_eq!(found(&[0.25, 0.375]), Some((1.75, 1)));
}

// It started here or a step on, as far as is known: a step on it has 9/16 of a step's room as well.
#[test]
fn an_end_that_fits_the_other_start() {
    for d in [1.0, -1.0] {
        for (unsure, off, fits) in [
            (d, 0.5, true),
            (d, 1.25, true),
            (d, 1.5, true),
            (d, 1.5625, false),
            (d, 1.75, false),
            (d, -1.25, false),
            (-d, 1.25, false),
            (0.0, 1.25, false),
        ] {
            let found = fault(&[0.0], -d * off, |matcher| matcher.unsure[1] = unsure);
            let expected = (!fits).then_some((f64::abs(off), 1));
            assert_eq!(found, expected, "{d} {unsure}");
        }
    }
}
