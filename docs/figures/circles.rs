//! Without an argument prints a part program of 1000 full circles of 50 mm radius about (150, 150);
//! with `check` reads its `moves.csv` on standard input and tells how far the ends of the chords lie
//! from the circle.
//!
//! rustc --edition 2024 -O docs/figures/circles.rs -o target/circles

use std::io::stdin;

fn main() {
    if std::env::args().nth(1).is_none() {
        println!("(A thousand circles, to simulate, not to cut.)\nG17 G21 G90 G94\nG0 X200 Y150");
        for _ in 0..1000 {
            println!("G3 X200 Y150 I-50 J0 F6000");
        }
        return println!("M2");
    }
    let mut ends = 0;
    let mut worst = [0.0_f64; 2];
    for row in stdin().lines().map_while(Result::ok) {
        let cells: Vec<&str> = row.split(',').collect();
        if cells[1] != "arc" {
            continue;
        }
        let [x, y] = [cells[2], cells[3]].map(|cell| cell.parse::<f64>().unwrap_or(f64::NAN));
        let off = (x - 150.0).hypot(y - 150.0) - 50.0;
        worst[0] = worst[0].max(off.abs());
        // The last circle alone: it has 352 chords.
        worst[1] = if ends % 352 == 0 {
            off.abs()
        } else {
            worst[1].max(off.abs())
        };
        ends += 1;
    }
    println!(
        "{ends} chords; ends off the circle by at most {:.2e} mm, in the last 352 by {:.2e} mm",
        worst[0], worst[1]
    );
}
