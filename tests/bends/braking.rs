//! Changing speed and direction at once: both share one limit.

use crate::support::{Complaints, MOST, Shape, equal, long, plane};
use spokeshave_tests::shapes::{self, rounded};

#[test]
fn braking_into_a_bend_and_speeding_up_out_of_it() {
    let bends: [Shape<2>; 3] = [
        ("half circle, 1 mm", |c| shapes::hairpin(1.0, c)),
        ("half circle, 2 mm", |c| shapes::hairpin(2.0, c)),
        ("half circle, 5 mm", |c| shapes::hairpin(5.0, c)),
    ];
    report(&bends);
}

/// Each turn of a spiral is faster, or slower, than the one before.
#[test]
fn on_a_spiral() {
    let spirals: Vec<Shape<2>> = plane()
        .into_iter()
        .filter(|(name, _)| name.contains("spiral"))
        .collect();
    report(&spirals);
}

/// The worst of each shape over chord lengths.
fn report(shapes: &[Shape<2>]) {
    let mut complaints = Complaints::default();
    for (name, shape) in shapes {
        let mut worst = (0.0, String::new());
        for chord in [0.2, 0.1, 0.05, 0.02] {
            let path = shape(chord);
            for (how, path) in [("exact", &path), ("rounded", &rounded(&path))] {
                for at in long(equal(), path).worst {
                    if at.ratio > worst.0 {
                        worst = (at.ratio, format!("{chord} mm, {how}, {at:.3?}"));
                    }
                }
            }
        }
        let line = format!("{name:18} {:.3} of the limit ({})", worst.0, worst.1);
        println!("{line}");
        complaints.unless(worst.0 <= MOST, line);
    }
    complaints.settle();
}
