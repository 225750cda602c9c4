//! Prints a part program: 30 mm straight, a quarter circle of 5 mm radius cut into chords of the
//! length given (mm), 30 mm straight, at 100 mm/s.
//!
//! rustc --edition 2024 -O docs/figures/rounded.rs -o target/rounded && target/rounded 0.1 > rounded.nc

fn main() {
    let chord: f64 = std::env::args()
        .nth(1)
        .and_then(|text| text.parse().ok())
        .unwrap_or(0.1);
    let (radius, quarter) = (5.0_f64, std::f64::consts::FRAC_PI_2);
    let chords = (radius * quarter / chord).round().max(1.0);
    println!("(A rounded corner of {radius} mm radius in {chords} chords of about {chord} mm.)");
    println!("(For docs/theory.md: to simulate, not to cut.)");
    println!("G21 G90 G94\nG1 X30 Y0 F6000");
    for i in 1..=chords as u32 {
        let (sin, cos) = (quarter * f64::from(i) / chords).sin_cos();
        println!("X{:.6} Y{:.6}", 30.0 + radius * sin, radius * (1.0 - cos));
    }
    println!("Y35\nM2");
}
