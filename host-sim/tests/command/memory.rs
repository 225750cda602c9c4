//! Memory does not grow with the job.

use crate::workshop::{MACHINE, Workshop};
use std::fmt::Write;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Peak memory of a run, in bytes; `None` where the system does not tell it.
///
/// It is polled, so growth in the last millisecond may be missed; what would grow with the job
/// grows all along.
fn peak(shop: &Workshop, command: &str, program: &Path, more: &[&str]) -> Option<u64> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_spokeshave"))
        .current_dir(shop.path("."))
        .arg(command)
        .arg(program)
        .args(["--machine", "machine.toml"])
        .args(more)
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let status = format!("/proc/{}/status", child.id());
    let mut peak = None;
    loop {
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        if let Some(kibibytes) = line.and_then(|line| line.trim().strip_suffix(" kB")) {
            peak = Some(kibibytes.parse::<u64>().unwrap() * 1024);
        }
        if let Some(status) = child.try_wait().unwrap() {
            assert!(status.success());
            return peak;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// A wavy path to and fro, in moves of about 0.05 mm.
fn program(shop: &Workshop, moves: u32) -> std::path::PathBuf {
    let mut text = String::from("G21 G90 F6000\nG1\n");
    for i in 1..=moves {
        let phase = f64::from(i % 4000);
        let x = 0.04 * phase.min(4000.0 - phase);
        let y = 20.0 * (f64::from(i) * 0.0015).sin();
        writeln!(text, "X{x:.3} Y{y:.3}").unwrap();
    }
    shop.write(&format!("{moves}.nc"), text)
}

type Program = fn(&Workshop, u32) -> std::path::PathBuf;

/// Runs both jobs. The least that could be kept of a move is one number of 8 bytes, so the longer
/// job must need less than that for each move that it has more. (Blocks that the allocator keeps
/// and pages that happen to be touched come to some hundred kilobytes.)
fn does_not_grow(command: &str, program: Program, short: u32, long: u32, more: &[&str]) {
    let shop = Workshop::new();
    shop.write("other.toml", MACHINE.replace("500 mm/s^2", "400 mm/s^2"));
    let peaks = [short, long].map(|moves| peak(&shop, command, &program(&shop, moves), more));
    do_not_grow(peaks, short, long);
}

fn do_not_grow(peaks: [Option<u64>; 2], short: u32, long: u32) {
    let [Some(few), Some(many)] = peaks else {
        println!("not tested: this system does not tell the peak memory of a process");
        return;
    };
    let allowed = 8 * u64::from(long - short);
    assert!(
        many < few + allowed,
        "{short} moves: {few} bytes, {long} moves: {many} bytes"
    );
    println!("{few} and {many} bytes");
}

#[test]
fn a_million_moves_need_no_more_than_ten_thousand() {
    does_not_grow("simulate", program, 10_000, 1_000_000, &[]);
}

/// What the pictures keep is bounded but not yet full with ten thousand moves (it is with 60 000:
/// three bounds of 20 000 stretches), and a million moves fill half a gigabyte of tables, so the
/// jobs are of 100 000 and 300 000 moves here.
#[test]
fn tables_and_pictures_of_three_hundred_thousand_moves_need_no_more_than_of_a_third() {
    does_not_grow("simulate", program, 100_000, 300_000, &["--out", "out"]);
}

/// The profiles that the pictures lie over each other are full with either job.
#[test]
fn a_comparison_of_three_hundred_thousand_moves_needs_no_more_than_of_a_third() {
    let more = ["--machine", "other.toml", "--out", "out"];
    does_not_grow("compare", program, 100_000, 300_000, &more);
}

/// The program, and what was captured of it, stream side by side.
#[test]
fn a_capture_of_three_hundred_thousand_moves_needs_no_more_than_of_a_tenth() {
    let shop = Workshop::new();
    let (short, long) = (30_000, 300_000);
    let peaks = [short, long].map(|moves| {
        let program = program(&shop, moves).display().to_string();
        let out = format!("{moves}");
        let start = [&program, "--machine", "machine.toml", "--out", &out];
        assert_eq!(
            shop.simulate(&[&start[..], &["--pulses", "vcd"]].concat())
                .status,
            0
        );
        let capture = shop.path(&out).join("pulses.vcd");
        peak(&shop, "check", &capture, &["--program", &program])
    });
    do_not_grow(peaks, short, long);
}

/// A zigzag in moves of 2 mm: each corner is a place that costs time.
fn zigzag(shop: &Workshop, moves: u32) -> std::path::PathBuf {
    let mut text = String::from("G21 G90 F6000\nG1\n");
    for i in 1..=moves {
        let (x, y) = (f64::from(i % 160), [0, 2][i as usize % 2]);
        writeln!(text, "X{x} Y{y}").unwrap();
    }
    shop.write(&format!("{moves}.nc"), text)
}

/// Of a hundred thousand corners all bounds are reached: places, stretches of path, bins of time.
#[test]
fn places_of_a_million_corners_need_no_more_than_of_a_tenth() {
    does_not_grow(
        "corners",
        zigzag,
        100_000,
        1_000_000,
        &["--top", "4096", "--out", "out"],
    );
}
