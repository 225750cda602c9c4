//! The look-ahead against the textbook's two passes over all junctions.

use crate::random::{Caller, Op, Raw, cases, ops, raw, start, starts, with_axes};
use proptest::prelude::*;
use spokeshave_tests::audit;

fn is_largest<const N: usize>(raw: &Raw, from: &[i32; 6], ops: &[Op]) {
    let mut caller = Caller::<N>::new(raw.machine(), start(from), 64);
    for op in ops.iter().filter(|op| !matches!(op, Op::Take(_))) {
        caller.act(op);
    }
    // Nothing was taken yet: the queue held it all.
    assert!(caller.ramps.is_empty());
    caller.finish();
    audit::is_largest(&caller.job, &caller.ramps);
}

proptest! {
    #![proptest_config(cases(5000))]

    #[test]
    fn a_queue_that_holds_the_job_makes_the_largest_plan(
        axes in 1..=6_usize,
        raw in raw(),
        from in starts(),
        ops in ops(64),
    ) {
        with_axes!(axes, is_largest(&raw, &from, &ops));
    }
}
