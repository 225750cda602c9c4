//! A job of 10⁹ pulses through planner and checker: the position at its end, its time, its memory and
//! what it measured must be those of a short job. Exit status 1 where they are not.
//!
//! cargo run --release -p spokeshave-tests --example endurance [PULSES]

use spokeshave_sim::progress::Progress;
use spokeshave_tests::endurance::{Outcome, endure, machine, times_told};
use std::error::Error;
use std::process::ExitCode;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let pulses = match std::env::args().nth(1) {
        Some(number) => number.replace('_', "").parse()?,
        None => 1_000_000_000,
    };
    let mut progress = Progress::new(Some(times_told(pulses)));
    let outcome = endure(pulses, || progress.advance())?;
    drop(progress);
    print(&outcome);
    let faults = [outcome.faults(), outcome.growth()].concat();
    for fault in &faults {
        println!("FAULT: {fault}");
    }
    Ok(ExitCode::from(u8::from(!faults.is_empty())))
}

fn print(outcome: &Outcome) {
    let (pulses, seconds) = (outcome.pulses, outcome.seconds);
    println!("pulses          {pulses}");
    println!("moves           {}", outcome.totals.moves);
    println!("job time        {:.3} s", outcome.totals.job_time_s);
    println!("late steps      {}", outcome.totals.late_steps);
    println!(
        "took            {seconds:.1} s, {:.1} ns a pulse",
        seconds * 1e9 / pulses as f64
    );
    let mib = |bytes: Option<u64>| match bytes {
        Some(bytes) => format!("{:.1} MiB", bytes as f64 / 1_048_576.0),
        None => "not told by this system".into(),
    };
    let [early, late] = outcome.memory.map(mib);
    println!("peak memory     {early} at 1 %, {late} at 100 %");
    for (name, [made, asked]) in ["x", "y", "z"].iter().zip(outcome.ends) {
        println!("{name} ends at step {made:9}, the program at {asked:9}");
    }
    let [last, end] = outcome.ticks;
    let hz = machine().controller.timer_hz;
    println!("last pulse at tick {last:.0}, end of the plan {end:.0} ({hz} Hz)");
    println!(
        "{:22} {:>4} {:>14} {:>14} {:>14}",
        "check", "axis", "limit", "at 10 %", "at 100 %"
    );
    for (early, late) in outcome.worst_values() {
        let axis = late.axis.map_or("", |axis| ["x", "y", "z"][axis]);
        println!(
            "{:22} {axis:>4} {:14.8} {:14.8} {:14.8} {}",
            late.name, late.limit, early.worst, late.worst, late.unit
        );
    }
}
