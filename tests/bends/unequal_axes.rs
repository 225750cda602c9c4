//! Each axis keeps its own limit.

use crate::support::{DEVIATION, Shape, keeps_limits, machine, plane};
use spokeshave_tests::shapes;

const ACCELERATIONS: [f32; 3] = [800.0, 300.0, 60.0];

#[test]
fn in_the_plane() {
    keeps_limits(
        machine(ACCELERATIONS, DEVIATION),
        &plane(),
        &[0.2, 0.05, 0.01],
    );
}

#[test]
fn on_a_helix() {
    let helix: [Shape<3>; 2] = [
        ("helix", |c| shapes::helix(5.0, 2.0, 4.0, c)),
        // Steep: z, the weakest, takes a good part.
        ("steep helix", |c| shapes::helix(3.0, 20.0, 2.0, c)),
    ];
    keeps_limits(
        machine(ACCELERATIONS, DEVIATION),
        &helix,
        &[0.2, 0.1, 0.05, 0.02, 0.01],
    );
}

/// The same with z in the plane of the bend: a half circle that dips and comes up.
#[test]
fn on_its_side() {
    let dip: [Shape<3>; 1] = [("dip", |c| {
        shapes::hairpin::<2>(5.0, c)
            .into_iter()
            .map(|[x, y]| [y, 0.0, x])
            .collect()
    })];
    keeps_limits(machine(ACCELERATIONS, DEVIATION), &dip, &[0.2, 0.05, 0.01]);
}
