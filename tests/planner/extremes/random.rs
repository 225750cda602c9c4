//! Random jobs on random machines, from end to end of all ranges, before the checker too.

use super::judge;
use crate::random::{Caller, Op, Raw, ops, raw};
use proptest::prelude::*;
use spokeshave::{Coordinate, Point};
use spokeshave_tests::cases::cases;
use spokeshave_tests::job::Job;

/// The law of bends has random tests of its own, on machines that are more alike.
const BENDS: [&str; 3] = [
    "bend acceleration",
    "close turn acceleration",
    "corner acceleration",
];

fn keeps_every_rule(raw: &Raw, from: Point<3>, ops: &[Op]) {
    let machine = raw.machine::<3>();
    // The caller makes moves that suit the machine. Rests are not told to the checker, so none are asked for.
    let mut caller = Caller::new(machine, from, 64);
    for op in ops.iter().filter(|op| !matches!(op, Op::Rest(_))) {
        caller.act(op);
    }
    let mut job = Job::new(machine, from);
    for next in &caller.job.moves {
        job.line(next.to, next.feed, next.stop);
    }
    judge::run_but_for(&job, &BENDS, &format!("{job:?}"));
}

proptest! {
    #![proptest_config(cases(3000))]

    /// From zero, where each axis stands on a step.
    #[test]
    fn random_jobs_keep_every_rule_before_the_checker(raw in raw(), ops in ops(25)) {
        keeps_every_rule(&raw, [Coordinate::ZERO; 3], &ops);
    }
}
