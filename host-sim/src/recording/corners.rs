//! The corners and bends that slow the path: where, how slow, and what each costs.

use super::Cause;
use crate::motion::Point;
use crate::trace::Slice;

/// The most corners that are reported.
pub const MAX_CORNERS: usize = 2048;

/// A place where a corner or a bend holds the speed down: the lowest point of one dip of the speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlowCorner {
    /// Where, mm.
    pub at: Point,
    /// Line of the part program whose move leads into it.
    pub line: u32,
    /// Lowest speed of the dip, mm/s.
    pub speed_mm_s: f64,
    /// Time that the dip costs against the cap of its moves (feed and axis speeds), s.
    pub lost_s: f64,
}

/// Finds the dips in a stream of slices and keeps the most costly.
#[derive(Clone, Debug)]
pub(super) struct CornerKeeper {
    kept: Vec<SlowCorner>,
    count: u64,
    open: Option<SlowCorner>,
    rising: bool,
}

impl CornerKeeper {
    pub fn new() -> Self {
        Self {
            kept: Vec::new(),
            count: 0,
            open: None,
            rising: false,
        }
    }

    pub fn slice(&mut self, slice: &Slice) {
        if !matches!(Cause::of(slice), Cause::Corner | Cause::Bend) {
            self.close();
            return;
        }
        let falls = slice.exit_mm_s < slice.entry_mm_s;
        if falls && self.rising {
            self.close(); // pulled away from one corner, now slows for the next
        }
        let (speed_mm_s, at) = if slice.exit_mm_s <= slice.entry_mm_s {
            (slice.exit_mm_s, slice.to)
        } else {
            (slice.entry_mm_s, slice.from)
        };
        let lost_s = (slice.duration_s - slice.length_mm / slice.cap_mm_s).max(0.0);
        match &mut self.open {
            None => {
                self.open = Some(SlowCorner {
                    at,
                    line: slice.line,
                    speed_mm_s,
                    lost_s,
                })
            }
            Some(dip) => {
                dip.lost_s += lost_s;
                if speed_mm_s < dip.speed_mm_s {
                    (dip.at, dip.line, dip.speed_mm_s) = (at, slice.line, speed_mm_s);
                }
            }
        }
        self.rising = slice.exit_mm_s > slice.entry_mm_s || (self.rising && !falls);
    }

    fn close(&mut self) {
        self.rising = false;
        if let Some(dip) = self.open.take() {
            self.count += 1;
            self.kept.push(dip);
            if self.kept.len() >= 2 * MAX_CORNERS {
                sort(&mut self.kept);
                self.kept.truncate(MAX_CORNERS);
            }
        }
    }

    pub fn worst(&self) -> Vec<SlowCorner> {
        let mut all: Vec<_> = self.kept.iter().copied().chain(self.open).collect();
        sort(&mut all);
        all.truncate(MAX_CORNERS);
        all
    }

    pub fn count(&self) -> u64 {
        self.count + u64::from(self.open.is_some())
    }
}

/// Most costly first; equal ones in the order of the program, so that pictures repeat exactly.
fn sort(corners: &mut [SlowCorner]) {
    corners.sort_by(|a, b| b.lost_s.total_cmp(&a.lost_s));
}
