//! Screws that whip and buckle, against the eigenvalues of a beam cut into finite differences.

use crate::support::close;
use nalgebra::{DMatrix, DVector, SymmetricEigen};
use spokeshave_sim::drive::{Ends, Losses, Screw, ScrewKind};
use std::f64::consts::PI;

/// How an end is held.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Fixed,
    Supported,
    Free,
}

const CASES: [(Ends, End, End); 4] = [
    (Ends::FixedFree, End::Fixed, End::Free),
    (Ends::SupportedSupported, End::Supported, End::Supported),
    (Ends::FixedSupported, End::Fixed, End::Supported),
    (Ends::FixedFixed, End::Fixed, End::Fixed),
];

const LENGTH_MM: f64 = 800.0;
const ROOT_MM: f64 = 9.6;
/// Steel: as the screw's own constants, from memory.
const MODULUS_PA: f64 = 210e9;
const DENSITY_KG_M3: f64 = 7850.0;

fn screw(ends: Ends) -> Screw {
    Screw {
        kind: ScrewKind::Ball,
        diameter_mm: 12.0,
        root_diameter_mm: ROOT_MM,
        pitch_mm: 5.0,
        lead_mm: 5.0,
        length_mm: LENGTH_MM,
        ends,
        losses: Losses::Efficiency(0.9),
    }
}

/// A beam of length 1, stiffness 1 and mass 1 in `n` pieces: the matrices of its bending energy, of its
/// mass, and of the way that a push along it shortens it, over the nodes that can move.
fn beam(n: usize, first: End, last: End) -> [DMatrix<f64>; 3] {
    let h = 1.0 / n as f64;
    let from = 1;
    let to = if last == End::Free { n } else { n - 1 };
    let size = to - from + 1;
    let node = |i: usize| (from..=to).contains(&i).then(|| i - from);
    let mut bending = DMatrix::zeros(size, size);
    let mut mass = DMatrix::zeros(size, size);
    let mut shortening = DMatrix::zeros(size, size);
    let add = |matrix: &mut DMatrix<f64>, terms: &[(usize, f64)], weight: f64| {
        for (i, a) in terms {
            for (j, b) in terms {
                if let (Some(i), Some(j)) = (node(*i), node(*j)) {
                    matrix[(i, j)] += weight * a * b;
                }
            }
        }
    };
    let curve = 1.0 / (h * h);
    for i in 1..n {
        add(
            &mut bending,
            &[(i - 1, curve), (i, -2.0 * curve), (i + 1, curve)],
            h,
        );
    }
    // At a fixed end the node beyond mirrors the one before; at the others the curvature is 0.
    if first == End::Fixed {
        add(&mut bending, &[(1, 2.0 * curve)], 0.5 * h);
    }
    if last == End::Fixed {
        add(&mut bending, &[(n - 1, 2.0 * curve)], 0.5 * h);
    }
    for i in 1..=n {
        add(&mut mass, &[(i, 1.0)], if i == n { 0.5 * h } else { h });
        add(&mut shortening, &[(i - 1, -1.0 / h), (i, 1.0 / h)], h);
    }
    [bending, mass, shortening]
}

/// The least λ with A·v = λ·B·v.
fn least(a: &DMatrix<f64>, b: &DMatrix<f64>) -> f64 {
    let lower = b.clone().cholesky().unwrap().l();
    let half = lower.solve_lower_triangular(a).unwrap();
    let both = lower.solve_lower_triangular(&half.transpose()).unwrap();
    let values: DVector<f64> = SymmetricEigen::new(0.5 * (&both + both.transpose())).eigenvalues;
    values.min()
}

/// What a difference scheme of the second order comes to with ever finer pieces (Richardson), and how
/// much the last halving still changed. What is left after the extrapolation is smaller than that by
/// another order, so a tenth of it is a margin.
fn limit(of: impl Fn(usize) -> f64) -> (f64, f64) {
    let (coarse, fine) = (of(60), of(120));
    (fine + (fine - coarse) / 3.0, (fine - coarse).abs())
}

#[test]
fn whip_is_the_first_bending_mode() {
    for (ends, first, last) in CASES {
        let (eigenvalue, change) = limit(|n| {
            let [bending, mass, _] = beam(n, first, last);
            least(&bending, &mass)
        });
        // ω² = λ·E·I/(ρ·A·L⁴), and I/A = d²/16 for a round bar.
        let length = LENGTH_MM / 1e3;
        let speed_of_sound = (MODULUS_PA / DENSITY_KG_M3).sqrt();
        let rpm = |eigenvalue: f64| {
            eigenvalue.sqrt() * speed_of_sound * (ROOT_MM / 1e3 / 4.0) / length.powi(2) * 30.0 / PI
        };
        assert!(change < 2e-3 * eigenvalue, "{ends:?}");
        let margin = 0.1 * change / eigenvalue;
        close(screw(ends).critical_rpm(), rpm(eigenvalue), margin);
    }
}

#[test]
fn buckling_is_the_least_load() {
    for (ends, first, last) in CASES {
        let (eigenvalue, change) = limit(|n| {
            let [bending, _, shortening] = beam(n, first, last);
            least(&bending, &shortening)
        });
        // P = λ·E·I/L².
        let second_moment = PI / 64.0 * (ROOT_MM / 1e3).powi(4);
        let load = eigenvalue * MODULUS_PA * second_moment / (LENGTH_MM / 1e3).powi(2);
        assert!(change < 2e-3 * eigenvalue, "{ends:?}");
        let margin = 0.1 * change / eigenvalue;
        close(screw(ends).euler_load_n(), load, margin);
    }
}

/// Effective lengths of columns: 2, 1, 0.699 and 0.5 of the length (Timoshenko and Gere; memory).
#[test]
fn effective_lengths() {
    let of = |ends| screw(ends).euler_load_n();
    let supported = of(Ends::SupportedSupported);
    for (ends, effective) in [
        (Ends::FixedFree, 2.0),
        (Ends::FixedSupported, 0.699),
        (Ends::FixedFixed, 0.5),
    ] {
        // Three decimals of the effective length.
        close((supported / of(ends)).sqrt(), effective, 1e-3);
    }
}

/// The inertia of a steel bar, summed over thin shells: ρ·r² over its volume.
#[test]
fn inertia_of_a_bar() {
    let screw = screw(Ends::FixedFixed);
    let shells = 2000;
    let radius = screw.diameter_mm / 2e3;
    let thick = radius / f64::from(shells);
    let sum: f64 = (0..shells)
        .map(|shell| {
            let r = (f64::from(shell) + 0.5) * thick;
            DENSITY_KG_M3 * 2.0 * PI * r * thick * (LENGTH_MM / 1e3) * r * r
        })
        .sum();
    // The middles of n shells miss the integral of r³ by 1/(2n²) of it.
    close(screw.inertia_kg_m2(), sum, 0.51 / f64::from(shells).powi(2));
}
