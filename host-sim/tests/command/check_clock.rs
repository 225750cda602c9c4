//! `check`: the clock of the controller is not the analyser's.

use crate::captures::{Found, Trace, US, checked};
use crate::workshop::{SOME_OF_EVERYTHING, Workshop, flat, top};
use std::fs;

const NS: (&str, i64) = ("1 ns", 1000);

/// The same by a clock against which the controller's is so much fast, from an offset on.
fn by_clock(trace: &Trace, offset: i64, fast_ppm: f64) -> Trace {
    let mut trace = trace.clone();
    trace.clock(|time| offset + (time as f64 / (1.0 + fast_ppm * 1e-6)).round() as i64);
    trace
}

/// Times are rounded to 1 ns, so each is right to 0.5 ns, and a rate over a stretch of at least 1/32
/// of the job to 1 ns over that: the median lies within it. The start is found from times early in the
/// job, and is as right as they are, plus what the rate is wrong over the job at most.
#[test]
fn offset_and_rate_are_found_within_their_bounds() {
    let letters = fs::read_to_string(top().join("tests/programs/lettering.nc")).unwrap();
    let demo = fs::read(top().join("docs/demo/belt-router.toml")).unwrap();
    for (program, machine) in [(SOME_OF_EVERYTHING, None), (&*letters, Some(demo))] {
        let shop = Workshop::new();
        if let Some(machine) = machine {
            shop.write("machine.toml", machine);
        }
        let trace = Trace::of(&shop, program);
        let job_s = trace.edges.last().unwrap().0 as f64 / 1e12;
        for (offset_s, fast_ppm) in [(1.234_567, 80.0), (-0.5, -80.0)] {
            let capture = by_clock(&trace, (offset_s * 1e12) as i64, fast_ppm);
            shop.write("capture.csv", capture.csv(9));
            let found = Found::of(&shop, "capture.csv", &[]);
            assert_eq!(found.failed(), [""; 0]);
            let rate_bound = 1e-9 / (job_s / 32.0);
            let off = (found.clock("fast_ppm") - fast_ppm) * 1e-6;
            assert!(off.abs() <= rate_bound, "{off} of {rate_bound}");
            let start_bound = 0.5e-9 + rate_bound * job_s;
            let off = found.clock("start_s") - offset_s;
            assert!(off.abs() <= start_bound, "{off} of {start_bound}");
        }
    }
}

/// 3 % is no tolerance of a clock: the feed fails, the estimate says why, and with it put right the
/// same capture passes.
#[test]
fn a_timer_that_is_set_wrong_is_told() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    shop.write("fast.vcd", by_clock(&trace, 7 * US, 30_000.0).vcd(NS));
    let found = Found::of(&shop, "fast.vcd", &[]);
    assert!(
        found.failed().contains(&"feed".into()),
        "{:?}",
        found.failed()
    );
    assert!((found.clock("fast_ppm") - 30_000.0).abs() < 1.0);
    let said = flat(&checked(&shop, "fast.vcd", &[]).out);
    assert!(said.contains("the controller runs 3.000 %"), "{said}");
    assert!(said.contains("THAT IS MORE than the 200.0 ppm"), "{said}");
    for more in [["--clock-error", "3 %"], ["--clock-tolerance", "3.1 %"]] {
        assert_eq!(
            Found::of(&shop, "fast.vcd", &more).failed(),
            [""; 0],
            "{more:?}"
        );
        let said = flat(&checked(&shop, "fast.vcd", &more).out);
        assert!(!said.contains("THAT IS MORE"), "{said}");
    }
    // A slow clock passes no limit, and is told all the same.
    shop.write("slow.vcd", by_clock(&trace, 7 * US, -30_000.0).vcd(NS));
    let said = checked(&shop, "slow.vcd", &[]);
    assert_eq!(said.status, 0, "{}", said.out);
    assert!(
        flat(&said.out).contains("3.000 % ± 0.0 ppm slow"),
        "{}",
        said.out
    );
    assert!(flat(&said.out).contains("THAT IS MORE"), "{}", said.out);
}

/// Limits on time hold everywhere where ms are taken for s, and prove nothing.
#[test]
fn times_in_another_unit_are_refused() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    let mut in_ms = by_clock(&trace, 0, 0.0);
    in_ms.clock(|time| time * 1000);
    shop.write("capture.csv", in_ms.csv(6).replacen("Time [s]", "Time", 1));
    let right = checked(&shop, "capture.csv", &["--time-unit", "ms"]);
    assert_eq!(right.status, 0, "{}", right.out);
    let said = checked(&shop, "capture.csv", &["--time-unit", "s"]);
    assert_eq!(said.status, 2, "{}", said.out);
    let err = flat(&said.err);
    assert!(err.contains("99.900 % too slow"), "{err}");
    assert!(err.contains("--time-unit"), "{err}");
    // A timer that is 10 % slow may be known to be.
    shop.write("slow.vcd", by_clock(&trace, 0, -100_000.0).vcd(NS));
    let said = checked(&shop, "slow.vcd", &[]);
    assert_eq!(said.status, 2, "{}", said.out);
    assert!(
        flat(&said.err).contains("--clock-error \"-10.000 %\""),
        "{}",
        said.err
    );
    let known = ["--clock-error", "-10.000 %"];
    assert_eq!(Found::of(&shop, "slow.vcd", &known).failed(), [""; 0]);
}

/// Samples of 24 MHz see a pulse of 2 µs as 47 or 48 of them, 1.958 µs or 2 µs.
#[test]
fn samples_have_their_room() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    let mut sampled = by_clock(&trace, 12_345, 50.0);
    let sample = 1e12 / 24e6;
    sampled.clock(|time| ((time as f64 / sample).ceil() * sample) as i64);
    shop.write("capture.vcd", sampled.vcd(NS));
    let found = Found::of(&shop, "capture.vcd", &[]);
    assert_eq!(found.failed(), ["pulse width, z"], "{}", found.0);
    let found = Found::of(&shop, "capture.vcd", &["--sampling", "24 MHz"]);
    assert_eq!(found.failed(), [""; 0]);
    // Coarser than the timer of 1 MHz, still two samples to a pulse.
    let mut coarse = by_clock(&trace, 0, -50.0);
    coarse.clock(|time| (time as f64 / 1e6).ceil() as i64 * US);
    shop.write("coarse.vcd", coarse.vcd(("1 us", US)));
    let found = Found::of(&shop, "coarse.vcd", &["--sampling", "1 MHz"]);
    assert_eq!(found.failed(), [""; 0]);
}

/// Edges that come up to 40 µs late, and a little earlier or later than their neighbours, look like
/// acceleration. What a pulse is wide changes by 1.6 % with it, 31 ns: a sample of 8 MHz is more.
#[test]
fn late_edges_have_the_room_that_is_told() {
    let shop = Workshop::new();
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    let mut late = by_clock(&trace, 0, 0.0);
    late.clock(|time| {
        let turn = time as f64 * std::f64::consts::TAU / 8e9; // 8 ms
        time + ((1.0 + turn.sin()) * 20.0 * US as f64) as i64
    });
    shop.write("late.vcd", late.vcd(NS));
    let sampling = ["--sampling", "8 MHz"];
    let found = Found::of(&shop, "late.vcd", &sampling);
    let failed = found.failed();
    assert!(
        failed.contains(&"straight acceleration, x".into()),
        "{failed:?}"
    );
    let found = Found::of(
        &shop,
        "late.vcd",
        &[&sampling[..], &["--lateness", "40 us"]].concat(),
    );
    assert_eq!(found.failed(), [""; 0]);
    // It gives the times of the driver no room.
    let machine = shop.text("machine.toml");
    shop.write(
        "machine.toml",
        machine.replace("pulse_width = \"2 us\"", "pulse_width = \"4 us\""),
    );
    let found = Found::of(&shop, "late.vcd", &["--lateness", "40 us"]);
    let failed = found.failed();
    assert!(
        failed.iter().any(|name| name.starts_with("pulse width")),
        "{failed:?}"
    );
}

/// Another planner is no clock, and its verdict does not rest on ours: half the acceleration passes.
#[test]
fn a_controller_that_plans_otherwise_is_judged_all_the_same() {
    let shop = Workshop::new();
    let machine = shop.text("machine.toml");
    shop.write("machine.toml", machine.replace("500 mm/s^2", "250 mm/s^2"));
    let trace = Trace::of(&shop, SOME_OF_EVERYTHING);
    shop.write("capture.vcd", trace.vcd(NS));
    shop.write("machine.toml", &machine);
    let found = Found::of(&shop, "capture.vcd", &[]);
    assert_eq!(found.failed(), [""; 0]);
    assert_eq!(found.0["clock"]["follows"], false);
    let said = flat(&checked(&shop, "capture.vcd", &[]).out);
    assert!(
        said.contains("does not follow the plan of `simulate` closely enough"),
        "{said}"
    );
    // The other way round, it is too fast for the machine.
    shop.write("machine.toml", machine.replace("500 mm/s^2", "250 mm/s^2"));
    shop.write(
        "fast.vcd",
        Trace::of(&shop_of(&machine), SOME_OF_EVERYTHING).vcd(NS),
    );
    let failed = Found::of(&shop, "fast.vcd", &[]).failed();
    assert!(
        failed.contains(&"straight acceleration, x".into()),
        "{failed:?}"
    );
}

fn shop_of(machine: &str) -> Workshop {
    let shop = Workshop::new();
    shop.write("machine.toml", machine);
    shop
}
