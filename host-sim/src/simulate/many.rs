//! Many simulated runs over all cores, with one progress bar, for those who lay machines beside each
//! other.

use super::{SimulateError, measure};
use crate::machine_file::WithParts;
use crate::program::Settings;
use crate::progress::{Progress, Shared};
use crate::replan::in_parallel;
use crate::summary::Summary;
use crate::trace::Slice;
use std::path::Path;

/// Items of a program between two words to the progress bar.
const STRIDE: u64 = 256;

/// One program on one machine, before the run.
pub(crate) struct Run<'a> {
    pub file: &'a WithParts,
    pub program: &'a Path,
    pub settings: Settings,
    /// Items of the program, counted before.
    pub items: u64,
}

/// What a run leaves, and what its onlooker saw.
pub(crate) type Measured<W> = Result<(Summary, W), SimulateError>;

/// Makes all `runs`, each as `simulate` does it. Each has an `onlooker`, who is `told` of every ramp.
///
/// # Errors
/// The system grants no threads. Those of each run stand in its place, as [`measure`] has them.
pub(crate) fn measure_all<W: Send>(
    runs: &[Run],
    onlooker: impl Fn() -> W + Sync + Send,
    told: impl Fn(&mut W, &Slice) + Sync + Send,
) -> Result<Vec<Measured<W>>, SimulateError> {
    let items = runs.iter().map(|run| run.items).sum();
    let progress = Shared::new(Progress::new(Some(items)));
    let measured = in_parallel(runs, |run| {
        let mut onlooker = onlooker();
        let mut seen = 0;
        let advance = || {
            seen += 1;
            if seen % STRIDE == 0 {
                progress.advance_by(STRIDE);
            }
        };
        let watch = |slice: &Slice| told(&mut onlooker, slice);
        let summary = measure(
            run.file,
            run.program,
            &run.settings,
            run.items,
            advance,
            watch,
        )?;
        Ok((summary, onlooker))
    })?;
    Ok(measured)
}
