//! Which moves are one chord.

use crate::coordinate::{Coordinate, Point};
use crate::corner::Corner;
use crate::course::{Arrival, Course, Queue};
use crate::moves::{AxisPair, Queued, Straight};
use crate::reason::LowPoint;
use crate::vector::{Limits, displacement, split};

const DEVIATION: f32 = 0.02;

/// Moves at 200 mm/s, with 500 mm/s² on each axis: a chord ends where it is 3.6 mm long.
struct Path {
    limits: Limits<2>,
    course: Course<2, 32>,
    queue: Queue<2, 32>,
    at: Point<2>,
    heading: Option<[f32; 2]>,
}

impl Path {
    fn new() -> Self {
        let (limits, start) = (Limits::new(&[500.0; 2]), [Coordinate::ZERO; 2]);
        Self {
            limits,
            course: Course::new(limits, DEVIATION, start),
            queue: Queue::new(),
            at: start,
            heading: None,
        }
    }

    /// Goes on to a place, mm; how many moves the chord has that is growing.
    fn to(&mut self, x: f64, y: f64) -> u16 {
        let to = [x, y].map(|mm| Coordinate::from_mm(mm).unwrap());
        let (length, heading) = split(&displacement(&self.at, &to));
        let corner = |before| Corner::between(&self.limits, DEVIATION, &before, &heading);
        let corner = self.heading.and_then(corner);
        let straight = Straight {
            to,
            length,
            most: 200.0,
            feed: 200.0,
            acceleration: 500.0,
            axes: AxisPair::new(0, 0),
            tag: 0,
            entry: 4e4,
            low: LowPoint::Corner,
            turn: f32::INFINITY,
            turn_bends: false,
            bend: f32::INFINITY,
        };
        let reach = straight.reach();
        let pushed = self
            .queue
            .push(Queued::Move(straight), straight.entry, straight.low, reach);
        assert!(pushed.is_ok());
        let arrival = Arrival {
            heading,
            corner,
            reach,
            fastest2: 4e4,
        };
        self.course.add(&mut self.queue, &straight, &arrival);
        (self.at, self.heading) = (to, Some(heading));
        self.course.open.moves
    }
}

/// 0.01 mm at 10° lie 0.0017 mm beside the line: less than an eighth of the deviation, however sharp and long what
/// follows. A hundredth of the chord beside it is too much.
#[test]
fn a_chord_passes_what_lies_little_beside_it() {
    let mut path = Path::new();
    // The first move is a chord by itself.
    assert_eq!(path.to(5.0, 0.0), 0);
    let moves = [(6.0, 0.0), (6.01, 0.0017), (7.0, 0.0017), (7.5, 0.0005)];
    let counts = moves.map(|(x, y)| path.to(x, y));
    assert_eq!(counts, [1, 2, 3, 4]);
    assert_eq!(path.to(8.0, 0.05), 1);
}

/// Moves that come in after the first was asked for still join the chord that began before.
#[test]
fn a_chord_grows_on_while_the_front_is_known() {
    let mut path = Path::new();
    assert_eq!([path.to(5.0, 0.0), path.to(6.0, 0.0)], [0, 1]);
    for moves in 2..5 {
        path.course.settle_front(&mut path.queue);
        assert_eq!(path.course.outlook.len(), 1);
        assert_eq!(path.to(6.0 + 0.5 * f64::from(moves - 1), 0.0), moves);
    }
}
