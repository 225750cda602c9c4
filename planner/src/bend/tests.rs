//! The limits of the turns against the law, worked out anew for each path.

mod crowded;
mod hidden;
pub(crate) mod law;
pub(crate) mod ripe;

use super::*;
use crate::random::Random;
use law::{DEVIATION, Part, Path, Vector, norm};
use std::vec::Vec;

/// A direction turned by `angle` about an axis, a unit vector (Rodrigues' formula, any text on rotations).
fn turned(way: Vector, axis: Vector, angle: f64) -> Vector {
    let cross = [0, 1, 2].map(|i| {
        let (j, k) = ((i + 1) % 3, (i + 2) % 3);
        axis[j] * way[k] - axis[k] * way[j]
    });
    let along: f64 = (0..3).map(|i| axis[i] * way[i]).sum();
    let (sin, cos) = angle.sin_cos();
    [0, 1, 2].map(|i| way[i] * cos + cross[i] * sin + axis[i] * along * (1.0 - cos))
}

fn direction(random: &mut Random, flat: bool) -> Vector {
    let mut way = [0, 1, 2].map(|_| random.within(-1.0, 1.0));
    if flat {
        way[2] = 0.0;
    }
    let size = norm(way);
    way.map(|x| x / size)
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Kind {
    /// It turns the same way all along, smoothly.
    Curve,
    /// The same, in corners.
    Polygon,
    /// The same, one way and the other in turn.
    Zigzag,
    /// Of any angle, either way.
    Corners,
}

/// A path of up to 12 chords in a plane or along a helix.
fn path(random: &mut Random, kind: Kind, fastest: f64) -> Vec<Part> {
    let count = 2 + (random.part() * 10.99) as usize;
    let flat = random.chance(0.5);
    let (sharpest, length) = match kind {
        Kind::Polygon | Kind::Zigzag => {
            (random.of_any_size(0.2, 1.5), random.of_any_size(0.1, 10.0))
        }
        _ => (random.of_any_size(0.02, 0.5), random.of_any_size(0.02, 3.0)),
    };
    let axis = if flat {
        [0.0, 0.0, 1.0]
    } else {
        direction(random, false)
    };
    let mut way = direction(random, flat);
    (0..count)
        .map(|k| {
            let mut angle = sharpest * random.within(0.2, 1.0);
            if kind == Kind::Corners {
                let sharp = random.chance(0.3);
                angle = random.within(-1.0, 1.0) * if sharp { 3.0 } else { angle };
            }
            if kind == Kind::Zigzag && k % 2 == 1 {
                angle = -angle;
            }
            way = turned(way, axis, angle);
            Part {
                way,
                length: length * random.of_any_size(0.5, 2.0),
                fastest: fastest * random.within(0.5, 1.0),
            }
        })
        .collect()
}

fn bends(limits: Vector) -> Bends<3> {
    Bends::new(Limits::new(&limits.map(|a| a as f32)), DEVIATION as f32)
}

fn closed(limits: Vector, parts: &[Part]) -> Bends<3> {
    let mut bends = bends(limits);
    for (i, part) in parts.iter().enumerate() {
        bends.close(&open(part, i == 0), None);
    }
    bends
}

fn open(part: &Part, from_rest: bool) -> Open<3> {
    Open {
        way: part.way.map(|x| x as f32),
        length: part.length as f32,
        moves: 1,
        fastest: part.fastest as f32,
        ..Open::new(from_rest)
    }
}

fn limits(random: &mut Random) -> Vector {
    let least = random.of_any_size(50.0, 2000.0);
    if random.chance(0.3) {
        return [least; 3];
    }
    [0, 1, 2].map(|_| least * random.of_any_size(1.0, 5.0))
}

/// How far the limits of the turns are from those of the law, as parts: of spreads, v² and what it asks of the
/// axes. A turn that is passed at v² = `top` anyway has no other limit than one at more.
fn off(bends: &Bends<3>, law: &Path, at: usize) -> f64 {
    let (found, exact) = (&bends.chords[at].turn, &law.turns[at]);
    let top = law.parts[at].fastest.max(law.parts[at - 1].fastest);
    let part = |found: f64, exact: f64| (found / exact - 1.0).abs();
    let mut off = part(found.spread.into(), exact.spread);
    off = off.max(part(f64::from(found.most).min(top), exact.most.min(top)));
    if exact.lone {
        // It takes nothing of the acceleration.
        return if found.both.is_infinite() {
            off
        } else {
            f64::INFINITY
        };
    }
    // Less than 0.05 of an axis at the top is nothing.
    let most = exact.rate.iter().copied().fold(0.05 / top, f64::max);
    for (found, exact) in found.rate.iter().zip(exact.rate) {
        off = off.max((f64::from(*found) - exact).abs() / most);
    }
    // All of the room: 2 of the limit; a quarter and less: 0.95.
    let room = (exact.spread / exact.asked - 0.25).max(0.0) / 0.75;
    off.max((f64::from(found.both) - (0.95 + 1.05 * room)).abs())
}

/// All turns of so many paths.
fn all_off(kind: Kind, fastest: f64, paths: usize) -> Vec<f64> {
    let mut random = Random::new(3);
    let mut all = Vec::new();
    for _ in 0..paths {
        let limits = limits(&mut random);
        let parts = path(&mut random, kind, fastest);
        let ends = random.chance(0.3);
        let law = Path::new(limits, &parts, ends);
        let mut bends = closed(limits, &parts);
        if ends {
            bends.end();
        }
        all.extend((1..parts.len()).map(|at| off(&bends, &law, at)));
    }
    all.sort_by(f64::total_cmp);
    all
}

/// One Newton step after a secant leaves up to a percent of a stretch whose ends both turn, mostly much less.
const NEWTON: f64 = 0.012;

/// Whether so many of a thousand turns have the limits of the law.
fn keeps(kind: Kind, fastest: f64, thousandths: usize) {
    let off = all_off(kind, fastest, 500);
    let most = |part: usize| off[(off.len() - 1) * part / 1000];
    assert!(
        most(thousandths) < NEWTON,
        "{kind:?} {fastest}: {}",
        most(thousandths)
    );
    assert!(most(800) < 1e-3, "{kind:?} {fastest}: {}", most(800));
}

#[test]
fn the_turns_of_curves_have_the_limits_of_the_law() {
    for fastest in [10.0, 1e3, 1e4, 1e6] {
        keeps(Kind::Curve, fastest, 1000);
    }
}

/// Where corners are fast, a walk back may end sooner than the whole law would, at a few turns in a thousand, or at
/// thirty where they turn either way.
#[test]
fn the_turns_of_corners_have_the_limits_of_the_law() {
    for fastest in [10.0, 100.0, 1e3] {
        keeps(Kind::Polygon, fastest, 1000);
    }
    keeps(Kind::Polygon, 1e4, 998);
    keeps(Kind::Zigzag, 10.0, 1000);
    keeps(Kind::Zigzag, 100.0, 998);
    keeps(Kind::Zigzag, 1e3, 990);
    keeps(Kind::Zigzag, 1e4, 990);
    keeps(Kind::Corners, 10.0, 1000);
    keeps(Kind::Corners, 100.0, 998);
    for fastest in [1e3, 1e4, 1e6] {
        keeps(Kind::Corners, fastest, 970);
    }
}

/// Two axes of 300 and 400 mm/s², with T² = 8δ/300: along both, 500 mm/s² for T/2 and back take
/// 500·0.16/300/4 mm.
#[test]
fn turns_are_apart_where_a_t_passes_between_them() {
    let swing = 500.0 * 0.16 / 300.0 / 4.0;
    for (fastest, half) in [(0.1, swing), (1e4, (1e4_f64 * 0.16 / 300.0).sqrt())] {
        let way = [0.6, 0.8];
        let mut bends: Bends<2> = Bends::new(Limits::new(&[300.0, 400.0]), DEVIATION as f32);
        let chord = |part: f64| Open {
            way,
            length: (2.0 * half * part) as f32,
            fastest: fastest as f32,
            ..Open::new(true)
        };
        for (part, apart) in [(0.99, false), (1.01, true)] {
            bends.close(&chord(part), None);
            assert_eq!(bends.are_apart(&bends.chords[0]), apart, "{fastest}");
        }
    }
}
