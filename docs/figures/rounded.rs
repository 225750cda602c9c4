//! Prints a part program: 30 mm straight, a quarter circle of 5 mm radius cut into chords of the
//! length given (mm; 0 for an arc), 30 mm straight, at 100 mm/s.
//!
//! rustc --edition 2024 -O docs/figures/rounded.rs -o target/rounded && target/rounded 0.1 > rounded.nc

fn main() {
    let text = std::env::args().nth(1).unwrap_or_default();
    let chord: f64 = text.parse().expect("the length of a chord, mm");
    let (radius, quarter) = (5.0_f64, std::f64::consts::FRAC_PI_2);
    println!("(A corner of {radius} mm radius in chords of about {chord} mm, 0 for an arc.)");
    println!("(For docs/theory.md: to simulate, not to cut.)");
    println!("G21 G90 G94\nG1 X30 Y0 F6000");
    if chord > 0.0 {
        let chords = (radius * quarter / chord).round().max(1.0);
        for i in 1..=chords as u32 {
            let (sin, cos) = (quarter * f64::from(i) / chords).sin_cos();
            println!("X{:.6} Y{:.6}", 30.0 + radius * sin, radius * (1.0 - cos));
        }
    } else {
        println!("G3 X{} Y{radius} I0 J{radius}", 30.0 + radius);
    }
    println!("G1 Y35\nM2");
}
