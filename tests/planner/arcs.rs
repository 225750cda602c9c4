//! Arcs to chords: within the tolerance, exact at the end, the right way round, even in height.

use proptest::prelude::*;
use spokeshave::{Arc, ArcError, Coordinate, Point, Turn};
use spokeshave_tests::cases::cases;
use spokeshave_tests::exact::mm;
use spokeshave_tests::rules::{U, norm};
use std::f64::consts::TAU;

/// Half of one count, mm: how far a coordinate may be from its number.
const HALF_COUNT: f64 = 0.5 / 131_072.0;

const PLANES: [(usize, usize); 3] = [(0, 1), (2, 0), (1, 2)];

#[derive(Clone, Debug)]
struct Given {
    from: Point<3>,
    to: Point<3>,
    plane: (usize, usize),
    centre: [Coordinate; 2],
    turn: Turn,
    turns: u32,
    tolerance: f32,
}

impl Given {
    fn arc(&self) -> Result<Arc<3>, ArcError> {
        let Self {
            from,
            to,
            plane,
            centre,
            turn,
            turns,
            tolerance,
        } = self.clone();
        Arc::new(from, to, plane, centre, turn, turns, tolerance)
    }

    /// From the centre to a point, in the plane.
    fn spoke(&self, point: &Point<3>) -> [f64; 2] {
        [
            point[self.plane.0].mm() - self.centre[0].mm(),
            point[self.plane.1].mm() - self.centre[1].mm(),
        ]
    }

    /// Checks all chords; returns how many there are.
    fn check(&self) -> usize {
        let points: Vec<_> = std::iter::once(self.from)
            .chain(self.arc().unwrap())
            .collect();
        let chords = points.len() - 1;
        assert_eq!(points[chords], self.to);
        assert_eq!(self.arc().unwrap().chords() as usize, chords);
        let (start, end) = (self.spoke(&self.from), self.spoke(&self.to));
        let (inner, outer) = (norm(&start), norm(&end));
        let sense = if self.turn == Turn::Clockwise {
            -1.0
        } else {
            1.0
        };
        let angle = |a: [f64; 2], b: [f64; 2]| {
            sense * (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1])
        };

        // A rotation in double precision is off by 2e-16 a chord, and is scaled once.
        let turned = 4e-16 * chords as f64 * inner.max(outer);
        let rounded = 2_f64.sqrt() * HALF_COUNT + turned;
        let mut swept = 0.0;
        let third = 3 - self.plane.0 - self.plane.1;
        for (k, pair) in (1..).zip(points.windows(2)) {
            let part = k as f64 / chords as f64;
            let (a, b) = (self.spoke(&pair[0]), self.spoke(&pair[1]));
            let radius = |part: f64| inner + (outer - inner) * part;
            let off = (norm(&b) - radius(part)).abs();
            assert!(
                off <= rounded,
                "{self:?}: chord {k} ends {off} mm off the arc"
            );
            // The middle of the chord is nowhere further inside, and single precision makes the
            // angle up to 4·U wider.
            let middle = norm(&[0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])]);
            let sagitta = radius(part - 0.5 / chords as f64) - middle;
            let most = f64::from(self.tolerance) * (1.0 + 8.0 * U) + rounded;
            assert!(
                sagitta <= most,
                "{self:?}: chord {k} is {sagitta} mm inside"
            );
            swept += angle(a, b);
            // Up is even: whole counts, rounded once.
            let (from, to) = (self.from[third].mm(), self.to[third].mm());
            let off = (pair[1][third].mm() - (from + (to - from) * part)).abs();
            assert!(
                off <= 2.0 * HALF_COUNT,
                "{self:?}: chord {k} is {off} mm off in height"
            );
        }
        let part = angle(start, end);
        let whole = if start == end || part < 0.0 {
            part + TAU
        } else {
            part
        };
        let exact = whole + TAU * f64::from(self.turns - 1);
        // Start and end in line with the centre, at different radii, are a whole turn or none.
        let off = (swept - exact).abs();
        let off = if part.abs() < 1e-9 {
            off.min((swept - exact - TAU).abs())
        } else {
            off
        };
        assert!(off < 1e-6, "{self:?}: turns by {swept} and not {exact}");
        chords
    }
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn random_arcs_keep_to_the_tolerance(
        centre in prop::array::uniform2(-9_000.0..9_000.0_f64),
        radius in -4.0..3.3_f64,
        angles in prop::array::uniform2(0.0..TAU),
        // Rounding in a program makes the end's radius a little different; a spiral, a lot.
        growth in prop_oneof![Just(1.0), 0.999..1.001_f64, 0.3..3.0_f64],
        rise in prop_oneof![Just(0.0), -50.0..50.0_f64],
        plane in 0..3_usize,
        clockwise: bool,
        turns in 1..4_u32,
        tolerance in -4.0..0.0_f64,
    ) {
        let radius = 10_f64.powf(radius);
        let plane = PLANES[plane];
        let point = |angle: f64, radius: f64, height: f64| {
            let mut point = [height; 3];
            point[plane.0] = centre[0] + radius * angle.cos();
            point[plane.1] = centre[1] + radius * angle.sin();
            mm(point)
        };
        let given = Given {
            from: point(angles[0], radius, 1.0),
            to: point(angles[1], radius * growth, 1.0 + rise),
            plane,
            centre: centre.map(|c| Coordinate::from_mm(c).unwrap()),
            turn: if clockwise { Turn::Clockwise } else { Turn::CounterClockwise },
            turns,
            tolerance: 10_f64.powf(tolerance) as f32,
        };
        // Below some counts, coordinates are too coarse for angles.
        if radius > 1e-3 {
            given.check();
        } else {
            let _ = given.arc().map(Iterator::count);
        }
    }

    /// Whatever is asked for, an answer or an error comes, and every point is in range.
    #[test]
    fn hostile_arcs_do_not_panic(
        from: [i32; 3],
        to: [i32; 3],
        centre: [i32; 2],
        plane in (0..5_usize, 0..5_usize),
        clockwise: bool,
        turns in prop_oneof![0..3_u32, any::<u32>()],
        tolerance in prop::num::f32::ANY,
    ) {
        let given = Given {
            from: from.map(Coordinate::from_counts),
            to: to.map(Coordinate::from_counts),
            plane,
            centre: centre.map(Coordinate::from_counts),
            turn: if clockwise { Turn::Clockwise } else { Turn::CounterClockwise },
            turns,
            tolerance,
        };
        if let Ok(arc) = given.arc() {
            assert!(arc.chords() >= 1 && arc.take(1000).count() >= 1);
        }
    }
}

/// A circle of 10 mm about 0, 0 from the right.
fn circle() -> Given {
    Given {
        from: mm([10.0, 0.0, 0.0]),
        to: mm([10.0, 0.0, 0.0]),
        plane: (0, 1),
        centre: [Coordinate::ZERO; 2],
        turn: Turn::CounterClockwise,
        turns: 1,
        tolerance: 0.002,
    }
}

#[test]
fn an_arc_has_no_more_chords_than_it_needs() {
    // The widest chord turns by 2·acos(1 − t/r): 2π over it, 157.08 for 0.002 of 10 mm.
    let needs = TAU / (2.0 * (1.0 - 0.002_f64 / 10.0).acos());
    let chords = circle().check();
    assert!(
        chords as f64 >= needs && chords as f64 <= needs + 2.0,
        "{chords} {needs}"
    );
}

#[test]
fn thousands_of_arcs_end_where_they_should() {
    // A quarter, and the next, with a centre that no chord of it ends on: a hundred times round,
    // clockwise and back, and up by 0.01 mm each.
    let corners = [[0.1, 10.0], [10.1, 0.0], [0.1, -10.0], [-9.9, 0.0]];
    let mut at = mm([-9.9, 0.0, 0.0]);
    for k in 0..4_000_u32 {
        let corner = corners[k as usize % 4];
        let to = mm([corner[0], corner[1], 0.01 * f64::from(k + 1)]);
        let given = Given {
            from: at,
            to,
            centre: [Coordinate::from_mm(0.1).unwrap(), Coordinate::ZERO],
            turn: Turn::Clockwise,
            ..circle()
        };
        given.check();
        at = given.arc().unwrap().last().unwrap();
        assert_eq!(at, to);
    }
}

#[test]
fn a_bad_arc_is_its_own_error() {
    let far = |x: f64| Coordinate::from_mm(x).unwrap();
    type Change = fn(&mut Given);
    let table: [(Change, ArcError); 16] = [
        (|g| g.plane = (0, 0), ArcError::Plane),
        (|g| g.plane = (0, 3), ArcError::Plane),
        (|g| g.plane = (usize::MAX, 1), ArcError::Plane),
        (|g| g.tolerance = 0.0, ArcError::Tolerance),
        (|g| g.tolerance = -0.1, ArcError::Tolerance),
        (|g| g.tolerance = f32::NAN, ArcError::Tolerance),
        (|g| g.tolerance = f32::INFINITY, ArcError::Tolerance),
        (|g| g.turns = 0, ArcError::NoTurns),
        (|g| g.centre = [g.from[0], g.from[1]], ArcError::NoRadius),
        (|g| g.to = [Coordinate::ZERO; 3], ArcError::NoRadius),
        (|g| g.tolerance = f32::MIN_POSITIVE, ArcError::TooManyChords),
        (|g| g.tolerance = f32::from_bits(1), ArcError::TooManyChords),
        (|g| g.turns = u32::MAX, ArcError::TooManyChords),
        (
            |g| g.centre[0] = Coordinate::from_counts(i32::MIN),
            ArcError::OutOfRange,
        ),
        (
            |g| g.centre[1] = Coordinate::from_counts(i32::MAX),
            ArcError::OutOfRange,
        ),
        (
            |g| g.to[0] = Coordinate::from_counts(i32::MIN),
            ArcError::OutOfRange,
        ),
    ];
    for (k, (change, error)) in table.iter().enumerate() {
        let mut given = circle();
        change(&mut given);
        assert_eq!(given.arc().unwrap_err(), *error, "case {k}");
        assert!(!error.to_string().is_empty());
    }
    // At the edge of the range, but within.
    let wide = Given {
        from: mm([16_380.0, 0.0, 0.0]),
        to: mm([0.0, 16_380.0, 0.0]),
        ..circle()
    };
    wide.check();
    let edge = Given {
        from: [far(16_383.0), far(16_000.0), Coordinate::ZERO],
        to: [far(16_381.0), far(16_000.0), Coordinate::ZERO],
        centre: [far(16_382.0), far(16_000.0)],
        ..circle()
    };
    edge.check();
}

#[test]
fn a_tolerance_as_wide_as_can_be_keeps_the_shape() {
    for tolerance in [20.0, 1e9, f32::MAX] {
        // An eighth of a turn at most (and one more for the rounding up).
        assert_eq!(
            Given {
                tolerance,
                ..circle()
            }
            .arc()
            .unwrap()
            .chords(),
            9
        );
    }
}
