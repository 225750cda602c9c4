//! Many plans at once, over all cores.

use crate::input_error::InputError;
use rayon::prelude::*;

/// What the largest look-ahead queue takes on its way to the heap (2 MB, twice where it is moved),
/// with room to spare: more than threads have by default on some systems.
const STACK: usize = 16 << 20;

/// Does `work` on each of `jobs`, over all cores; the results come in the order of the jobs.
///
/// # Errors
/// The system grants no threads.
pub fn in_parallel<J: Sync, R: Send>(
    jobs: &[J],
    work: impl Fn(&J) -> R + Send + Sync,
) -> Result<Vec<R>, InputError> {
    let threads = rayon::ThreadPoolBuilder::new()
        .stack_size(STACK)
        .build()
        .map_err(|error| {
            InputError::whole(
                "threads",
                format!("the plans cannot start beside each other: {error}"),
                "close other programs, or raise the system's limit on threads",
            )
        })?;
    Ok(threads.install(|| jobs.par_iter().map(work).collect()))
}
