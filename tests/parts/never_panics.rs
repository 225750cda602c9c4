//! Whatever a file says of its parts: it is refused, or what follows from it are numbers.

use proptest::prelude::*;
use spokeshave_sim::machine_file;
use spokeshave_sim::plots;
use spokeshave_sim::size::{self, Sizing};

const PARTS: &str = include_str!("parts.toml");

/// Sizes what the text describes, if it is accepted: limits that are worked out are within what the
/// motor has, and text and JSON say it in finite numbers.
fn answers(text: &str) {
    let Ok(draft) = machine_file::read_draft("parts.toml", text) else {
        return;
    };
    for anew in [false, true] {
        let sizing = Sizing::new(&draft, 2.0, None, anew);
        for axis in &sizing.axes {
            for point in &axis.curve {
                for torque in [point.available_nm, point.steady_nm, point.needed_nm] {
                    assert!(torque.is_finite() && torque >= 0.0, "{text}");
                }
            }
            if let (Some(demand), true) = (axis.demand, axis.faults.is_empty()) {
                assert!(
                    demand.needed_nm * 2.0 <= demand.available_nm * (1.0 + 1e-9),
                    "{text}"
                );
            }
        }
        assert!(!sizing.json().contains("null,\n      \"bound\""));
        assert!(!size::text(&sizing).contains("NaN"), "{text}");
        if !sizing.axes.is_empty() {
            plots::torque_svg(&sizing).unwrap();
        }
    }
}

/// A quantity or a number of any size and unit.
fn value() -> impl Strategy<Value = String> {
    let number = prop_oneof![
        (-300..300_i32).prop_map(|n| n.to_string()),
        (-4..5_i32, 1..100_u32).prop_map(|(tens, n)| format!("{n}e{tens}")),
    ];
    let unit = proptest::sample::select(vec![
        "", "mm", "in", "kg", "lb", "N", "lbf", "N m", "oz in", "rpm", "steps/s", "A", "mH", "ohm",
        "V", "g cm^2", "%", "degrees", "mm/s",
    ]);
    (number, unit).prop_map(|(number, unit)| match unit {
        "" => number,
        unit => format!("\"{number} {unit}\""),
    })
}

proptest! {
    #[test]
    fn a_good_file_with_a_stretch_replaced(
        at in 0..PARTS.len(),
        length in 0_usize..30,
        by in "[ -~\nµ]{0,12}",
    ) {
        let end = (at + length).min(PARTS.len());
        answers(&format!("{}{by}{}", &PARTS[..at], &PARTS[end..]));
    }

    /// Values of any size in place of up to four that are there, so that many files are accepted.
    #[test]
    fn a_good_file_with_other_values(
        changes in proptest::collection::vec((0_usize..200, value()), 1..5),
    ) {
        let mut lines: Vec<String> = PARTS.lines().map(String::from).collect();
        for (at, value) in changes {
            let at = at % lines.len();
            if let Some((key, _)) = lines[at].split_once(" = ") {
                lines[at] = format!("{key} = {value}");
            }
        }
        answers(&lines.join("\n"));
    }
}
