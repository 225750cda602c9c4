//! Real programs and the demos, on both demo machines: all checks pass.

use crate::workshop::{Workshop, number, top};
use serde_json::Value;

const PROGRAMS: [&str; 5] = [
    "tests/programs/coastline.nc",
    "tests/programs/lettering.nc",
    "tests/programs/relief.nc",
    "docs/demo/leaf.nc",
    "docs/demo/tray.nc",
];

fn all_pass(machine: &str) {
    let shop = Workshop::new();
    for program in PROGRAMS {
        let machine = top().join(machine);
        let program = top().join(program);
        let arguments = [
            program.as_os_str(),
            "--machine".as_ref(),
            machine.as_os_str(),
        ];
        let said = shop.simulate(&[&arguments[..], &["--json".as_ref()]].concat());
        assert_eq!((said.status, said.err.as_str()), (0, ""), "{program:?}");
        let summary: Value = serde_json::from_str(&said.out).unwrap();
        for check in summary["checks"].as_array().unwrap() {
            assert_eq!(check["pass"], true, "{program:?}: {check}");
        }
        peaks_keep_the_limits(&summary);
    }
}

/// Planned peaks are at most the limits. The direction of a move is known to 24 bits and so are
/// its speed cap and its acceleration; 8 units in the last place cover these roundings.
fn peaks_keep_the_limits(summary: &Value) {
    let slack = 1.0 + 8.0 * f64::from(f32::EPSILON);
    for axis in ["x", "y", "z"] {
        for (peak, limit) in [
            ("speed_mm_s", "speed_limit_mm_s"),
            ("acceleration_mm_s2", "acceleration_limit_mm_s2"),
        ] {
            let [peak, limit] =
                [peak, limit].map(|key| number(summary, &format!("/peaks/{axis}/{key}")));
            assert!(peak <= limit * slack, "{axis}: {peak} over {limit}");
        }
    }
}

#[test]
fn all_pass_on_the_belt_router() {
    all_pass("docs/demo/belt-router.toml");
}

#[test]
fn all_pass_on_the_screw_router() {
    all_pass("docs/demo/screw-router.toml");
}
