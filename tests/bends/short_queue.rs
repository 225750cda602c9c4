//! A short queue looks back as little as it looks ahead: what that costs on dense curves.

use crate::support::{Complaints, Measured, Shape, equal, plane, run};
use spokeshave_tests::shapes::{Path, rounded};

/// Most acceleration with any queue, as a multiple of the limit.
const MOST: f64 = 1.10;

#[test]
fn dense_curves_keep_the_limit() {
    type Run = fn(&Path<2>) -> Measured<2>;
    let queues: [(usize, Run); 4] = [
        (8, |path| run::<2, 8>(equal(), path)),
        (16, |path| run::<2, 16>(equal(), path)),
        (32, |path| run::<2, 32>(equal(), path)),
        (64, |path| run::<2, 64>(equal(), path)),
    ];
    let mut complaints = Complaints::default();
    for (queue, run) in queues {
        let mut worst = (0.0, String::new());
        let shapes: [Shape<2>; 6] = plane();
        for (name, shape) in shapes {
            for chord in [0.05, 0.02, 0.01] {
                let path = shape(chord);
                for (how, path) in [("exact", &path), ("rounded", &rounded(&path))] {
                    let ratio = run(path).ratio();
                    if ratio > worst.0 {
                        worst = (ratio, format!("{name}, {chord} mm, {how}"));
                    }
                }
            }
        }
        println!(
            "queue of {queue:2}: {:.3} of the limit ({})",
            worst.0, worst.1
        );
        complaints.unless(
            worst.0 <= MOST,
            format!("queue of {queue}: {:.3} ({})", worst.0, worst.1),
        );
    }
    complaints.settle();
}
