//! Lays out memory for the board that the target stands for.

use std::env::var;
use std::path::Path;

fn main() {
    let target = var("TARGET").unwrap_or_default();
    let board = match target.as_str() {
        "thumbv7em-none-eabihf" => "netduinoplus2",
        "thumbv6m-none-eabi" => "microbit",
        _ => return, // For tools that only read the code.
    };
    let from = format!("boards/{board}.x");
    let out = var("OUT_DIR").expect("cargo sets it");
    std::fs::copy(&from, Path::new(&out).join("memory.x"))
        .expect("the board's memory can be copied");
    println!("cargo:rerun-if-changed={from}");
    println!("cargo:rustc-link-search={out}");
    println!("cargo:rustc-link-arg-bins=-Tlink.x");
    if var("CARGO_FEATURE_LOG").is_ok() {
        println!("cargo:rustc-link-arg-bin=log=-Tdefmt.x");
    }
    println!("cargo:rustc-env=BOARD={board}");
    println!("cargo:rerun-if-env-changed=JOBS");
    assert!(
        var("JOBS").is_ok(),
        "JOBS must name the folder with the tables of moves: tests/on-target/run sees to it"
    );
}
