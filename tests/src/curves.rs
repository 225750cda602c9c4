//! Random smooth curves in the plane and in space, for property tests.

use crate::shapes::{Path, march};
use proptest::prelude::*;

/// A smooth curve, before it is cut.
#[derive(Clone, Debug)]
pub enum Curve {
    /// In the plane: heading at the start, then stretches of some length over which the curvature
    /// (1/mm) goes evenly to a new value.
    Clothoids(f64, Vec<[f64; 2]>),
    /// In space: along the diagonal, with two waves on each axis, each of a slope, of an angular
    /// frequency (1/mm), and of a phase; and how long it is.
    Waves([[[f64; 3]; 2]; 3], f64),
}

/// Sharpest bend of a random curve, 1/mm. In v·T = √(8δ/κ) there must be room for two chords of
/// 0.2 mm, or corners stand alone and do not merge: κ ≤ 8·0.02/0.16 = 1.
pub const SHARPEST: f64 = 1.0;

/// A curve of some 30 mm.
pub fn curves() -> impl Strategy<Value = Curve> {
    let stretch = [2.0..8.0_f64, -SHARPEST..SHARPEST];
    let plane = (
        0.0..std::f64::consts::TAU,
        prop::collection::vec(stretch, 3..9),
    )
        .prop_map(|(heading, stretches)| Curve::Clothoids(heading, stretches));
    // Each axis goes 0.9 on and at most 2·0.2 to either side, so that the rate is at least
    // 0.5·√3; it bends at most 2·0.2·0.8·√3: κ ≤ 0.55/0.75 = 0.74.
    let wave = [-0.2..0.2_f64, 0.1..0.8_f64, 0.0..std::f64::consts::TAU];
    let waves = prop::array::uniform3([wave.clone(), wave]);
    let space = (waves, 10.0..25.0_f64).prop_map(|(waves, end)| Curve::Waves(waves, end));
    prop_oneof![plane, space]
}

impl Curve {
    /// The curve in chords of nearly equal length.
    pub fn cut(&self, chord: f64) -> Path<3> {
        match self {
            Self::Clothoids(heading, stretches) => clothoids(*heading, stretches, chord),
            Self::Waves(waves, end) => march([0.0, *end], chord, |t| {
                let on = |i: usize| {
                    waves[i].iter().fold([0.9 * t, 0.9], |[x, rate], wave| {
                        let [slope, frequency, phase] = *wave;
                        let (sin, cos) = (frequency * t + phase).sin_cos();
                        [x + slope / frequency * sin, rate + slope * cos]
                    })
                };
                let axes = [on(0), on(1), on(2)];
                (axes.map(|axis| axis[0]), axes.map(|axis| axis[1]))
            }),
        }
    }
}

/// The heading is integrated exactly, the position by the midpoint rule over an eighth of a chord
/// (0.025 mm): off by κ²·h³/24 a step, 1e-6 of the way.
fn clothoids(mut heading: f64, stretches: &[[f64; 2]], chord: f64) -> Path<3> {
    const PARTS: u32 = 8;
    let mut at = [0.0; 3];
    let mut path = vec![at];
    let mut bend = 0.0;
    for &[length, next] in stretches {
        let chords = (length / chord).round().max(1.0);
        let step = length / chords / f64::from(PARTS);
        let rate = (next - bend) / length;
        for k in 0..chords as u32 * PARTS {
            let (sin, cos) = (heading + 0.5 * step * (bend + 0.25 * rate * step)).sin_cos();
            at[0] += step * cos;
            at[1] += step * sin;
            heading += step * (bend + 0.5 * rate * step);
            bend += rate * step;
            if (k + 1) % PARTS == 0 {
                path.push(at);
            }
        }
        bend = next;
    }
    path
}
