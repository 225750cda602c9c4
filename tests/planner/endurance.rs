//! A short piece of the long job: `cargo run --release -p spokeshave-tests --example endurance` runs all of it.

use spokeshave_tests::endurance::{endure, times_told};

#[test]
fn a_long_job_in_short_ends_on_the_step_and_the_tick() {
    let mut told = 0;
    let outcome = endure(1_000_000, || told += 1).unwrap();
    assert_eq!(outcome.faults(), [""; 0]);
    assert!(outcome.pulses >= 1_000_000);
    assert_eq!(told, times_told(outcome.pulses));
    // More ticks than 32 bits hold.
    let [last, _] = outcome.ticks;
    assert!(last > 4_294_967_296.0, "{last}");
    // All that goes on was measured.
    for (_, check) in outcome.worst_values() {
        assert!(!check.worst.is_nan(), "{check:?}");
    }
}
