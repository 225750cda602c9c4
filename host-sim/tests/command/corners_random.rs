//! `corners` on programs made at random: whatever they ask for, it all adds up.

use crate::corners::{adds_up, answer, lost};
use crate::workshop::number;
use std::fmt::Write;

/// Numbers from 0 to below 1: a linear congruential generator with the constants of Knuth's MMIX
/// (from memory).
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1 << 24)
    }

    fn below(&mut self, count: u32) -> u32 {
        (self.next() * f64::from(count)) as u32
    }
}

/// Lines of all lengths and slopes, feeds on both sides of the axes' limits, stops of all kinds.
fn program(seed: u64) -> String {
    let mut random = Random(seed);
    let mut text = String::from("G21 G90\nG1 F3000\nM3 S12000\n");
    for _ in 0..150 {
        let size = [0.05, 1.0, 40.0][random.below(3) as usize];
        let [x, y, z] = [1.0, 1.0, 0.3].map(|part| size * part * random.next());
        let (feed, dwell) = (60.0 + 15_000.0 * random.next(), 0.3 * random.next());
        let written = match random.below(14) {
            0 => writeln!(text, "G0 X{x:.3} Y{y:.3} Z{z:.3}\nG1"),
            1 => writeln!(text, "G4 P{dwell:.3}"),
            2 => writeln!(text, "F{feed:.0}"),
            3 => writeln!(text, "G61.1"),
            4 | 5 => writeln!(text, "G64"),
            6 => writeln!(text, "G83 X{x:.3} Y{y:.3} Z-3 R30 Q1.3\nG80\nG1"),
            7 => writeln!(text, "X{x:.3}"),
            8 => writeln!(text, "M0"),
            _ => writeln!(text, "X{x:.3} Y{y:.3} Z{z:.3}"),
        };
        written.unwrap();
    }
    text
}

#[test]
fn random_programs_add_up() {
    for seed in 0..40 {
        let program = program(seed);
        let options = ["--top", "4096", "--flutes", "2", "--chip-load", "0.1 mm"];
        let answer = answer(&program, &options);
        adds_up(&answer);
        let places = answer["places"].as_array().unwrap();
        assert!(places.len() > 20, "{seed}");
        for row in places {
            // Of a slice of 10 ms at most some 1e-7 is rounding.
            assert!(lost(row) > -1e-6, "{seed}: {row}");
            let (reached, asked) = (number(row, "/reached_mm_s"), number(row, "/asked_mm_s"));
            assert!(reached <= asked * (1.0 + 1e-5), "{seed}: {row}");
            let lines = ["first_line", "last_line"].map(|key| row[key].as_u64().unwrap());
            let line = row["line"].as_u64().unwrap();
            assert!((lines[0]..=lines[1]).contains(&line), "{seed}: {row}");
            // A sum of two numbers, rounded.
            let job = number(&answer, "/job_time_s") * (1.0 + 1e-12);
            assert!(
                (0.0..=job).contains(&number(row, "/time_s")),
                "{seed}: {row}"
            );
        }
        let slow = &answer["slow_cutting"];
        let within = |part: &str, whole: &str| {
            for unit in ["length_mm", "time_s"] {
                let [part, whole] = [part, whole].map(|at| number(slow, &format!("{at}/{unit}")));
                assert!(
                    part >= 0.0 && part <= whole * (1.0 + 1e-9),
                    "{seed}: {slow}"
                );
            }
        };
        within("/below", "/cutting");
        within("/rubbing/below", "/rubbing/judged");
        within("/rubbing/programmed_below", "/rubbing/below");
        within("/rubbing/judged", "/cutting");
    }
}
