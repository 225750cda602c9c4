//! Angles and rotations in double precision, from the four operations alone: no target has a
//! mathematics library that the others lack, and all round alike.

/// A rotation by a fixed angle.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Rotation {
    cos: f64,
    sin: f64,
}

impl Rotation {
    /// By `angle` radians, within ±1: Taylor's series, whose first term left out is below 1e-17.
    pub fn by(angle: f64) -> Self {
        let square = -angle * angle;
        // 1/(n(n+1)) from the innermost term outwards (Horner).
        let series = |first: u32| {
            (0..9).rev().fold(1.0, |sum, term| {
                let n = first + 2 * term;
                1.0 + sum * square / f64::from(n * (n + 1))
            })
        };
        Self {
            cos: series(1),
            sin: angle * series(2),
        }
    }

    pub fn turn(&self, v: [f64; 2]) -> [f64; 2] {
        [
            v[0] * self.cos - v[1] * self.sin,
            v[0] * self.sin + v[1] * self.cos,
        ]
    }
}

/// The angle of the vector (`x`, `y`), not both zero, from 0 up to a full turn, radians.
pub(crate) fn angle(x: f64, y: f64) -> f64 {
    const QUARTER: f64 = core::f64::consts::FRAC_PI_2;
    // Turn by quarters until the vector lies within an eighth of the x axis.
    let abs = |v: f64| if v < 0.0 { -v } else { v };
    let (x, y, quarters) = match (x, y) {
        _ if abs(y) <= abs(x) && x > 0.0 => (x, y, 0.0),
        _ if abs(y) <= abs(x) => (-x, -y, 2.0),
        _ if y > 0.0 => (y, -x, 1.0),
        _ => (-y, x, 3.0),
    };
    let ratio = y / x;
    // A first guess within 0.005 (common practice, no source); each step below takes an error e
    // to e³/3, so that two leave 1e-24.
    let mut angle = ratio / (1.0 + 0.28 * ratio * ratio);
    for _ in 0..2 {
        let [along, across] = Rotation::by(-angle).turn([x, y]);
        angle += across / along;
    }
    let angle = angle + quarters * QUARTER;
    if angle < 0.0 {
        angle + 4.0 * QUARTER
    } else {
        angle
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_and_rotations_agree_with_the_mathematics_library() {
        for i in 0..3600 {
            let exact = f64::from(i).to_radians() / 10.0;
            let got = angle(3.0 * exact.cos(), 3.0 * exact.sin());
            // A vanishing angle may come out as a full turn: compare on the circle.
            let off = (got - exact).sin().abs();
            assert!(off < 1e-15, "{exact}: {got}");
            assert!(
                (0.0..core::f64::consts::TAU).contains(&got),
                "{exact}: {got}"
            );
            let small = exact / 6.4;
            let r = Rotation::by(small);
            assert!((r.cos - small.cos()).abs() < 4e-16 && (r.sin - small.sin()).abs() < 4e-16);
        }
    }
}
