//! Ramps keep every limit, join without a jump, end where they should, and always end at rest.

use crate::random::{Caller, Op, Raw, cases, ops, raw, start, starts, with_axes};
use proptest::prelude::*;
use spokeshave_tests::audit;

fn keep_every_limit<const N: usize>(raw: &Raw, from: &[i32; 6], depth: usize, ops: &[Op]) {
    let mut caller = Caller::<N>::new(raw.machine(), start(from), depth);
    for op in ops {
        caller.act(op);
    }
    caller.finish();
    audit::ramps(&caller.job, &caller.ramps);
}

proptest! {
    #![proptest_config(cases(3000))]

    /// Pushing can stop at any operation: a list of random length is as good as any cut.
    #[test]
    fn random_jobs_keep_every_limit(
        axes in 1..=6_usize,
        raw in raw(),
        from in starts(),
        depth in 2..=64_usize,
        ops in ops(60),
    ) {
        with_axes!(axes, keep_every_limit(&raw, &from, depth, &ops));
    }
}
