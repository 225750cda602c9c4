//! Pieces that are refused, that do not move, and at the edges of what counts.

use super::super::super::random_motion::Random;
use super::super::*;
use super::{machine, piece, random_pieces};

#[test]
fn pieces_that_make_no_sense() {
    let trouble = |change: fn(&mut Piece)| {
        let mut path = Path::new(&machine(), [0.0; 3]);
        let mut one = piece(1, [0.0; 3], [1.0, 2.0, 3.0], Some(4.0));
        change(&mut one);
        path.push(&one).err()
    };
    assert_eq!(trouble(|_| {}), None);
    let not_finite: [fn(&mut Piece); 3] = [
        |piece| piece.from[1] = f64::NAN,
        |piece| piece.to[2] = f64::INFINITY,
        |piece| piece.rest_s = f64::NAN,
    ];
    for change in not_finite {
        assert!(trouble(change).is_some_and(|why| why.contains("not finite")));
    }
    let feeds: [fn(&mut Piece); 3] = [
        |piece| piece.feed = Some(f64::NAN),
        |piece| piece.feed = Some(0.0),
        |piece| piece.feed = Some(-1.0),
    ];
    for change in feeds {
        assert!(trouble(change).is_some_and(|why| why.contains("feed")));
    }
    assert!(trouble(|piece| piece.from[2] = 1.01e-6).is_some_and(|why| why.contains("starts at")));
    assert!(trouble(|piece| piece.from[2] = -1.01e-6).is_some());
    assert_eq!(trouble(|piece| piece.from[2] = 1e-6), None);
}

// What moves by 1e-9 mm does not move.
#[test]
fn pieces_that_do_not_move() {
    for (x, moves) in [(1e-9, false), (1.01e-9, true)] {
        let mut path = Path::new(&machine(), [0.0; 3]);
        path.push(&piece(1, [0.0; 3], [x, 0.0, 0.0], None))
            .expect("a piece");
        assert_eq!(path.len(), usize::from(moves));
        assert_eq!(path.end()[0], if moves { x } else { 0.0 });
    }
}

// At 8 mm/s, 0.016 mm are just what passes in two ticks of 1 ms.
#[test]
fn a_piece_of_two_ticks_hides_what_is_before_it() {
    let mut path = Path::new(&machine(), [0.0; 3]);
    for (line, from, to) in [(1, 0.0, 1.0), (2, 1.0, 1.016)] {
        path.push(&piece(line, [0.0, from, 0.0], [0.0, to, 0.0], Some(8.0)))
            .expect("a piece");
    }
    let start = path.last().expect("a piece").to;
    path.push(&piece(3, start, [1.0, start[1], 0.0], Some(8.0)))
        .expect("a piece");
    let length = path.get(1).map_or(0.0, |piece| piece.s1 - piece.s0);
    let low = path.last().map(|last| last.crest[0][1]);
    assert_eq!(low, Some(if length < 0.016 { 1.0 } else { start[1] }));
    // One of each axis: 0.75 mm at 375 mm/s in two ticks, numbers without rounding.
    let mut fast = machine();
    fast.axes
        .iter_mut()
        .for_each(|axis| axis.speed_limit_mm_s = 1e4);
    let mut path = Path::new(&fast, [0.0; 3]);
    for (line, from, to) in [(1, 0.0, 2.0), (2, 2.0, 2.75)] {
        path.push(&piece(line, [0.0, from, 0.0], [0.0, to, 0.0], Some(375.0)))
            .expect("a piece");
    }
    path.push(&piece(3, [0.0, 2.75, 0.0], [1.0, 2.75, 0.0], Some(375.0)))
        .expect("a piece");
    assert_eq!(path.last().map(|last| last.crest[0][1]), Some(2.75));
}

// The last but one is passed, the last one not: it may go on.
#[test]
fn all_is_passed_but_the_last() {
    let mut path = Path::new(&machine(), [0.0; 3]);
    path.pass_all();
    for line in 0..4u32 {
        let x = f64::from(line);
        path.push(&piece(line + 1, [x, 0.0, 0.0], [x + 1.0, 0.0, 0.0], None))
            .expect("a piece");
    }
    path.pass_all();
    assert_eq!((path.len(), path.passed, path.line), (1, 3, 4));
    path.pass();
    assert!(path.get(0).is_none() && path.passed == 4);
    path.pass();
    assert_eq!(path.passed, 4);
}

// The ends of a leg, or of a stretch, or of what is known.
#[test]
fn near_an_end() {
    let mut random = Random::new(7);
    for seed in 0..20 {
        let pieces = random_pieces(&mut Random::new(seed), 30);
        let mut path = Path::new(&machine(), pieces[0].from);
        for piece in &pieces {
            path.push(piece).expect("a piece that fits");
        }
        for ahead in 0..path.len() {
            let at = path.get(ahead).expect("a piece");
            for straight in [false, true] {
                let ends = |k: &usize| {
                    let piece = path.get(*k).expect("a piece");
                    if straight {
                        piece.ends_straight
                    } else {
                        piece.ends_leg
                    }
                };
                let last = (ahead..path.len()).find(ends).unwrap_or(path.len() - 1);
                let end = path.get(last).expect("a piece").s1;
                let start = if straight { at.straight0 } else { at.leg0 };
                for margin in [0.0, 0.01, 0.5, 3.0] {
                    let mut places = vec![start + margin, end - margin];
                    places.extend([0; 4].map(|_| at.s0 + (at.s1 - at.s0) * random.part()));
                    for s in places {
                        let near = s - start < margin || end - s < margin;
                        assert_eq!(path.near_end(ahead, s, margin, straight), near);
                    }
                }
            }
        }
        assert!(path.near_end(path.len(), 0.0, 0.0, true));
    }
}
