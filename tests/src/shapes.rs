//! Shapes cut into chords, as a program for a router has them. All begin at 0, 0, 0; lengths in
//! mm; of a point, the first `N` of x, y, z are kept.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The corners of a path, from its start to its end.
pub type Path<const N: usize> = Vec<[f64; N]>;

/// Chord lengths, from coarse to dense.
pub const CHORDS: [f64; 7] = [1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];

/// How the straights beside a bend are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Straights {
    /// Each is one move.
    Whole,
    /// In chords as the bend.
    Cut,
}

/// Draws straights and arcs in the plane, each cut into equal chords.
#[derive(Clone, Debug)]
struct Pen<const N: usize> {
    path: Path<N>,
    at: [f64; 2],
    heading: f64,
    chord: f64,
}

fn point<const N: usize>(xyz: [f64; 3]) -> [f64; N] {
    std::array::from_fn(|i| xyz[i])
}

/// How many chords of about `chord` a stretch takes.
fn parts(length: f64, chord: f64) -> u32 {
    (length / chord).round().max(1.0) as u32
}

impl<const N: usize> Pen<N> {
    fn new(chord: f64) -> Self {
        Self {
            path: vec![[0.0; N]],
            at: [0.0; 2],
            heading: 0.0,
            chord,
        }
    }

    fn straight(&mut self, length: f64, how: Straights) {
        let count = match how {
            Straights::Whole => 1,
            Straights::Cut => parts(length, self.chord),
        };
        let (sin, cos) = self.heading.sin_cos();
        let from = self.at;
        for k in 1..=count {
            let way = length * f64::from(k) / f64::from(count);
            self.at = [from[0] + way * cos, from[1] + way * sin];
            self.path.push(point([self.at[0], self.at[1], 0.0]));
        }
    }

    /// To the left for a positive `turn`, radians.
    fn arc(&mut self, radius: f64, turn: f64) {
        let count = parts(radius * turn.abs(), self.chord);
        let side = radius * turn.signum();
        let (sin, cos) = self.heading.sin_cos();
        let centre = [self.at[0] - side * sin, self.at[1] + side * cos];
        let from = self.heading;
        for k in 1..=count {
            self.heading = from + turn * f64::from(k) / f64::from(count);
            let (sin, cos) = self.heading.sin_cos();
            self.at = [centre[0] + side * sin, centre[1] - side * cos];
            self.path.push(point([self.at[0], self.at[1], 0.0]));
        }
    }
}

/// A right angle rounded with `radius`, between straights of 40 mm.
pub fn rounded_corner<const N: usize>(radius: f64, chord: f64, straights: Straights) -> Path<N> {
    let mut pen = Pen::new(chord);
    pen.straight(40.0, straights);
    pen.arc(radius, FRAC_PI_2);
    pen.straight(40.0, straights);
    pen.path
}

/// A circle, once round to the left.
pub fn circle<const N: usize>(radius: f64, chord: f64) -> Path<N> {
    let mut pen = Pen::new(chord);
    pen.arc(radius, TAU);
    pen.path
}

/// Two half circles, left and right, between straights of 20 mm.
pub fn s_bend<const N: usize>(radius: f64, chord: f64) -> Path<N> {
    let mut pen = Pen::new(chord);
    pen.straight(20.0, Straights::Cut);
    pen.arc(radius, PI);
    pen.arc(radius, -PI);
    pen.straight(20.0, Straights::Cut);
    pen.path
}

/// A straight, then a half circle to the left, then a straight back.
pub fn hairpin<const N: usize>(radius: f64, chord: f64) -> Path<N> {
    let mut pen = Pen::new(chord);
    pen.straight(30.0, Straights::Whole);
    pen.arc(radius, PI);
    pen.straight(30.0, Straights::Whole);
    pen.path
}

/// An Archimedean spiral outwards, r = pitch·θ/2π, from one radius to another.
pub fn spiral<const N: usize>(radii: [f64; 2], pitch: f64, chord: f64) -> Path<N> {
    let growth = pitch / TAU;
    march([radii[0] / growth, radii[1] / growth], chord, |angle| {
        let (sin, cos) = angle.sin_cos();
        let radius = growth * angle;
        let rate = [growth * cos - radius * sin, growth * sin + radius * cos];
        ([radius * cos, radius * sin, 0.0], [rate[0], rate[1], 0.0])
    })
}

/// A helix to the left and up.
pub fn helix<const N: usize>(radius: f64, pitch: f64, turns: f64, chord: f64) -> Path<N> {
    march([0.0, TAU * turns], chord, |angle| {
        let (sin, cos) = angle.sin_cos();
        let rise = pitch / TAU;
        (
            [radius * cos, radius * sin, rise * angle],
            [-radius * sin, radius * cos, rise],
        )
    })
}

/// A straight of 60 mm along x, each corner `amplitude` to one side and the next to the other.
pub fn zigzag<const N: usize>(amplitude: f64, chord: f64) -> Path<N> {
    noisy(chord, |k| if k % 2 == 0 { amplitude } else { -amplitude })
}

/// A straight of 60 mm along x with corners off it by `side` of their number.
pub fn noisy<const N: usize>(chord: f64, side: impl Fn(u32) -> f64) -> Path<N> {
    let count = parts(60.0, chord);
    (0..=count)
        .map(|k| {
            let inner = 0 < k && k < count;
            let y = if inner { side(k) } else { 0.0 };
            point([60.0 * f64::from(k) / f64::from(count), y, 0.0])
        })
        .collect()
}

/// Cuts a curve of a parameter that runs from one value to another into chords of nearly equal
/// length (the length of the curve between corners is equal to third order in the chord).
/// `curve` gives the point and its derivative.
pub fn march<const N: usize>(
    range: [f64; 2],
    chord: f64,
    curve: impl Fn(f64) -> ([f64; 3], [f64; 3]),
) -> Path<N> {
    let norm = |v: [f64; 3]| crate::rules::norm(&v);
    let (start, _) = curve(range[0]);
    let place = |at: [f64; 3]| point(std::array::from_fn(|i| at[i] - start[i]));
    let mut path = vec![[0.0; N]];
    let mut t = range[0];
    loop {
        let half = t + 0.5 * chord / norm(curve(t).1);
        let step = chord / norm(curve(half).1);
        // No sliver is left for the end.
        if t + 1.5 * step > range[1] {
            path.push(place(curve(range[1]).0));
            return path;
        }
        t += step;
        path.push(place(curve(t).0));
    }
}

/// The same path from its end to its start, moved so that it begins at 0.
pub fn reversed<const N: usize>(path: &Path<N>) -> Path<N> {
    let end = path[path.len() - 1];
    let place = |at: &[f64; N]| std::array::from_fn(|i| at[i] - end[i]);
    path.iter().rev().map(place).collect()
}

/// Coordinates to the nearest 0.001 mm, as most programs have them.
pub fn rounded<const N: usize>(path: &Path<N>) -> Path<N> {
    path.iter()
        .map(|at| at.map(|x| (x * 1000.0).round() / 1000.0))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn longest_and_shortest<const N: usize>(path: &Path<N>) -> [f64; 2] {
        path.windows(2)
            .map(|pair| {
                let way: [f64; N] = std::array::from_fn(|i| pair[1][i] - pair[0][i]);
                crate::rules::norm(&way)
            })
            .fold([0.0, f64::INFINITY], |[most, least], l| {
                [l.max(most), l.min(least)]
            })
    }

    #[test]
    fn shapes_end_where_they_should() {
        let close = |path: Path<2>, x: f64, y: f64| {
            let end = path[path.len() - 1];
            assert!((end[0] - x).abs() + (end[1] - y).abs() < 1e-9, "{end:?}");
        };
        for chord in CHORDS {
            close(rounded_corner(5.0, chord, Straights::Cut), 45.0, 45.0);
            close(circle(5.0, chord), 0.0, 0.0);
            close(s_bend(4.0, chord), 40.0, 16.0);
            close(hairpin(2.0, chord), 0.0, 4.0);
            close(zigzag(0.01, chord), 60.0, 0.0);
            // From 0.5 mm at 180 degrees to 10 mm after ten turns, at 0.
            close(spiral([0.5, 10.0], 1.0, chord), 10.5, 0.0);
        }
        let helix: Path<3> = helix(5.0, 2.0, 3.0, 0.1);
        let end = helix[helix.len() - 1];
        assert!((end[0].abs() + end[1].abs()) < 1e-9 && (end[2] - 6.0).abs() < 1e-9);
    }

    #[test]
    fn chords_have_the_length_asked_for() {
        // A chord is shorter than its arc by (c/r)²/24 of itself, 17 % of 1 mm at r = 0.5 mm;
        // a stretch is a whole number of chords, and the last of a spiral takes what is left.
        for chord in [0.2, 0.05, 0.01] {
            let paths: [Path<3>; 4] = [
                rounded_corner(5.0, chord, Straights::Cut),
                s_bend(4.0, chord),
                spiral([0.5, 10.0], 1.0, chord),
                helix(5.0, 2.0, 3.0, chord),
            ];
            for path in paths {
                let [most, least] = longest_and_shortest(&path);
                assert!(
                    most < 1.51 * chord && least > 0.49 * chord,
                    "{most} {least}"
                );
            }
        }
    }
}
