//! The limits of the turns against the law, worked out anew for each path.

mod crowded;
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

/// A path of up to 12 chords in a plane or along a helix: a curve that always turns the same way, or one with
/// corners of any angle either way.
fn path(random: &mut Random, corners: bool, fastest: f64) -> Vec<Part> {
    let count = 2 + (random.part() * 10.99) as usize;
    let flat = random.chance(0.5);
    let sharpest = random.of_any_size(0.02, 0.5);
    let length = random.of_any_size(0.02, 3.0);
    let axis = if flat {
        [0.0, 0.0, 1.0]
    } else {
        direction(random, false)
    };
    let mut way = direction(random, flat);
    (0..count)
        .map(|_| {
            let mut angle = sharpest * random.within(0.2, 1.0);
            if corners {
                let sharp = random.chance(0.3);
                angle = random.within(-1.0, 1.0) * if sharp { 3.0 } else { angle };
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
fn all_off(corners: bool, fastest: f64, paths: usize) -> Vec<f64> {
    let mut random = Random::new(3);
    let mut all = Vec::new();
    for _ in 0..paths {
        let limits = limits(&mut random);
        let parts = path(&mut random, corners, fastest);
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

#[test]
fn the_turns_of_curves_have_the_limits_of_the_law() {
    for fastest in [1e3, 1e4, 1e6] {
        let off = all_off(false, fastest, 500);
        assert!(
            off[off.len() - 1] < NEWTON,
            "{fastest}: {:?}",
            &off[off.len() - 5..]
        );
        assert!(
            off[off.len() * 9 / 10] < 5e-4,
            "{fastest}: {}",
            off[off.len() * 9 / 10]
        );
    }
}

/// Among corners of any angle a walk back ends sooner or later than the law by itself tells, for one turn in
/// fifty.
#[test]
fn the_turns_of_corners_have_the_limits_of_the_law_but_for_a_few() {
    for fastest in [1e3, 1e4, 1e6] {
        let off = all_off(true, fastest, 500);
        assert!(
            off[off.len() * 97 / 100] < NEWTON,
            "{fastest}: {}",
            off[off.len() * 97 / 100]
        );
        assert!(
            off[off.len() * 8 / 10] < 1e-3,
            "{fastest}: {}",
            off[off.len() * 8 / 10]
        );
    }
}
