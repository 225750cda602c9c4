//! Against a path that is looked at from its start for each piece.

use super::super::random_motion::Random;
use super::super::test_machine;
use super::*;
use crate::motion::MoveKind;

mod edges;

const PER_MM: Point = [80.0, 40.0, 400.0];

fn machine() -> Machine {
    let mut machine = test_machine::machine();
    for (axis, per_mm) in machine.axes.iter_mut().zip(PER_MM) {
        axis.steps_per_mm = per_mm;
    }
    machine
}

fn in_steps(p: &Point) -> Point {
    std::array::from_fn(|i| p[i] * PER_MM[i])
}

fn piece(line: u32, from: Point, to: Point, feed: Option<f64>) -> Piece {
    Piece {
        line,
        from,
        to,
        feed,
        stop: false,
        rest_s: 0.0,
        kind: MoveKind::Line,
    }
}

fn close(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= 1e-9 * (1.0 + b.abs())
}

fn all_close(a: &Point, b: &Point) -> bool {
    (0..AXES).all(|i| close(a[i], b[i]))
}

/// Pieces of all lengths, in directions that go on, nearly go on, and turn; some do not move, and some stop.
fn random_pieces(random: &mut Random, count: u32) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut at = [0.25, -3.0, 1.0];
    let mut angle = 0.0f64;
    let mut z = 0.0;
    for line in 1..=count {
        angle += match (10.0 * random.part()) as u32 {
            0..=3 => 0.0,
            4..=6 => 0.8e-3 * random.side(),
            7 => 0.01 * random.side(),
            _ => 3.0 * random.side(),
        };
        if random.part() < 0.2 {
            z = [0.0, 0.5, -0.5][(3.0 * random.part()) as usize];
        }
        let length = [10.0, 1.0, 0.1, 0.02, 0.0][(4.5 * random.part()) as usize];
        let length = length * (0.2 + random.part());
        let to = [
            at[0] + length * angle.cos(),
            at[1] + length * angle.sin(),
            at[2] + length * z,
        ];
        let feed = [None, Some(8.0), Some(30.0), Some(1e3)][(4.0 * random.part()) as usize];
        let mut piece = piece(line, at, to, feed);
        if random.part() < 0.1 {
            piece.stop = true;
        }
        if random.part() < 0.1 {
            piece.rest_s = random.part() - 0.3;
        }
        pieces.push(piece);
        at = to;
    }
    pieces
}

/// What is known of a piece from its own ends.
struct Own {
    line: u32,
    from: Point,
    to: Point,
    length: f64,
    u: Point,
    pace: f64,
    cap: f64,
    accel: f64,
    /// Rest before it, ticks, if there is a stop.
    stop: Option<f64>,
}

/// The pieces that move.
fn own(pieces: &[Piece]) -> Vec<Own> {
    let machine = machine();
    let mut all: Vec<Own> = Vec::new();
    let mut stop = Some(0.0);
    for piece in pieces {
        let way: Point = std::array::from_fn(|i| piece.to[i] - piece.from[i]);
        let length = way[0].hypot(way[1]).hypot(way[2]);
        if length > 1e-9 {
            let u = way.map(|x| x / length);
            let axes = 0..AXES;
            let slack = 2e-5 / length;
            let speed = axes.clone().filter(|i| u[*i].abs() > 1e-9);
            let speed = speed.map(|i| machine.axes[i].speed_limit_mm_s / 1000.0 / u[i].abs());
            let accel = axes.filter(|i| u[*i].abs() > slack + 1e-9);
            let accel = accel
                .map(|i| machine.axes[i].acceleration_limit_mm_s2 / 1e6 / (u[i].abs() - slack));
            let feed = piece.feed.map_or(f64::INFINITY, |feed| feed / 1000.0);
            all.push(Own {
                line: piece.line,
                from: piece.from,
                to: piece.to,
                length,
                u,
                pace: if piece.feed.is_some() {
                    1.0 / feed
                } else {
                    0.0
                },
                cap: speed.fold(feed, f64::min),
                accel: accel.fold(f64::INFINITY, f64::min),
                stop: stop.take(),
            });
        }
        if piece.stop || piece.rest_s > 0.0 {
            stop = Some(stop.unwrap_or(0.0) + 1000.0 * piece.rest_s.max(0.0));
        }
    }
    all
}

fn apart(a: &Point, b: &Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
}

/// Index of the first piece of the straight stretch of each piece.
fn stretches(all: &[Own]) -> Vec<usize> {
    let mut first = 0;
    let each = (0..all.len()).map(|k| {
        if apart(&all[k].u, &all[first].u) >= 1e-3 {
            first = k;
        }
        first
    });
    each.collect()
}

#[test]
fn what_is_worked_out_of_each_piece() {
    let mut numbers = [0; 4];
    for seed in 0..60 {
        let pieces = random_pieces(&mut Random::new(seed), 60);
        let mut path = Path::new(&machine(), pieces[0].from);
        assert_eq!(path.end(), pieces[0].from);
        for piece in &pieces {
            path.push(piece).expect("a piece that fits");
        }
        let all = own(&pieces);
        let stretch = stretches(&all);
        assert_eq!(path.len(), all.len());
        assert_eq!(path.end(), all[all.len() - 1].to);
        let length = |some: &[Own]| some.iter().map(|own| own.length).sum::<f64>();
        let mut leg = 0;
        for (k, own) in all.iter().enumerate() {
            let found = path.get(k).expect("a piece");
            let why = format!("seed {seed}, piece {k}: {found:?}");
            assert_eq!(
                (found.line, found.from, found.to),
                (own.line, own.from, own.to)
            );
            assert!(
                all_close(&found.u, &own.u) && all_close(&found.slope, &in_steps(&own.u)),
                "{why}"
            );
            assert!(all_close(&found.start, &in_steps(&own.from)), "{why}");
            let inverse = own
                .u
                .map(|u| if u.abs() > 1e-12 { 1.0 / u.abs() } else { 0.0 });
            assert!(all_close(&found.inverse, &inverse), "{why}");
            assert!(all_close(&found.doubt, &inverse.map(|x| 1e-5 * x)), "{why}");
            assert!(close(found.s0, length(&all[..k])), "{why}");
            assert!(close(found.s1, length(&all[..=k])), "{why}");
            assert!(
                close(found.pace, own.pace) && close(found.cap, own.cap),
                "{why}"
            );
            assert!(close(found.accel, own.accel), "{why} {}", own.accel);
            let due: f64 = all[..k].iter().map(|own| own.length * own.pace).sum();
            assert!(close(found.due0, due), "{why}");
            // Back over all that pass within two ticks, and the one before those.
            let mut back = k;
            let (mut before, mut low, mut high) = ([0.0; AXES], own.from, own.from);
            while back > 0 {
                back -= 1;
                for (before, u) in before.iter_mut().zip(in_steps(&all[back].u)) {
                    *before = f64::max(*before, u.abs());
                }
                if all[back].length >= 2.0 * all[back].cap {
                    break;
                }
                numbers[0] += 1;
                for i in 0..AXES {
                    low[i] = low[i].min(all[back].from[i]);
                    high[i] = high[i].max(all[back].from[i]);
                }
            }
            assert!(all_close(&found.before, &before), "{why}");
            assert!(
                all_close(&found.crest[0], &low) && all_close(&found.crest[1], &high),
                "{why}"
            );
            // Legs start at stops, and where a stretch does.
            let first = stretch[k];
            if own.stop.is_some() || first == k {
                leg = k;
            }
            assert!(close(found.leg0, length(&all[..leg])), "{why}");
            assert!(close(found.straight0, length(&all[..first])), "{why}");
            let starts = stretch[..=k]
                .iter()
                .enumerate()
                .filter(|(at, first)| at == *first);
            assert_eq!(found.straight, starts.count() - 1, "{why}");
            let most = all[first..=k].iter().map(|own| own.accel);
            assert!(
                close(found.straight_accel, most.fold(0.0, f64::max)),
                "{why}"
            );
            let turned = all[first..=k]
                .iter()
                .map(|own| apart(&own.u, &all[first].u));
            let turned = turned.fold(0.0, f64::max);
            numbers[1] += usize::from(turned > 0.0);
            assert!((found.turned - turned).abs() < 1e-12, "{why} {turned}");
            let next = all.get(k + 1);
            let new = next.is_some() && stretch[k + 1] == k + 1;
            let stops = next.is_some_and(|next| next.stop.is_some());
            assert_eq!(
                (found.ends_straight, found.ends_leg),
                (new, new || stops),
                "{why}"
            );
            assert_eq!(found.after_stop, own.stop.is_some(), "{why}");
            numbers[2] += usize::from(stops && !new);
        }
        // Legs start where what comes before ends, with what lies between.
        let mut holding = 0;
        for (k, own) in all.iter().enumerate() {
            let junction = match own.stop {
                Some(rest) => Some(Junction::Stop(Stop { speed: 0.0, rest })),
                None if stretch[k] == k => {
                    let before = &all[k - 1];
                    let slack = 2e-5 / own.length + 2e-5 / before.length;
                    let accel = machine()
                        .axes
                        .map(|axis| axis.acceleration_limit_mm_s2 / 1e6);
                    let cap = own.cap.min(before.cap);
                    Some(corner::junction(
                        &before.u, &own.u, 0.02, &accel, cap, slack,
                    ))
                }
                None => None,
            };
            let events = std::mem::take(&mut path.events);
            let mut events = events.iter();
            if k > 0 {
                match events.next() {
                    Some(Event::Rest) => assert!(own.stop.is_some()),
                    Some(Event::Turn(s, before, after)) => {
                        assert!(own.stop.is_none() && close(*s, length(&all[..k])));
                        assert!(all_close(before, &all[k - 1].u) && all_close(after, &own.u));
                    }
                    other => panic!("{other:?}"),
                }
            }
            if let Some(junction) = junction {
                let Some(Event::Leg(leg)) = events.next() else {
                    panic!("no leg at {k}, seed {seed}");
                };
                assert!(close(leg.s0, length(&all[..k])) && close(leg.accel, own.accel));
                match (leg.junction, junction) {
                    (Junction::Stop(a), Junction::Stop(b)) => {
                        assert!(
                            close(a.rest, b.rest) && close(a.speed, b.speed),
                            "{a:?} {b:?}"
                        );
                    }
                    (Junction::Turn(a), Junction::Turn(b)) => {
                        // A slight turn's speed has half of the digits.
                        let same = (a.speed / b.speed - 1.0).abs() < 1e-6;
                        assert!(same && a.holds == b.holds, "{a:?} {b:?}");
                        holding += u64::from(b.holds);
                    }
                    other => panic!("{other:?}"),
                }
                numbers[3] += 1;
            }
            assert!(events.next().is_none());
            assert_eq!((path.line, path.passed), (own.line, k));
            assert!(close(path.front().s0, length(&all[..k])));
            path.pass();
        }
        assert_eq!(path.turns, holding);
        path.pass();
        assert_eq!((path.passed, path.len()), (all.len(), 0));
        assert!(path.front().s1 == 0.0 && path.events.is_empty());
        assert!(path.last().is_some_and(|last| close(last.s1, length(&all))));
    }
    assert!(numbers.iter().all(|number| *number > 50), "{numbers:?}");
}
