//! The overrides in force, and which ramps are theirs.

use crate::trace::{Override, Slice};
use spokeshave::{Limit, LowPoint};

/// Speeds closer than this to the one asked for are that speed: single precision, some roundings.
const SAME_SPEED: f64 = 1e-5;

/// One override: as programmed before somebody asks for another.
#[derive(Clone, Copy)]
struct Pace {
    part: f64,
    /// The one before.
    last: f64,
    /// The speed still changes from that to this.
    changes: bool,
}

impl Pace {
    const PROGRAMMED: Self = Self {
        part: 1.0,
        last: 1.0,
        changes: false,
    };
}

/// That of feeds and that of rapids.
pub(super) struct Paces {
    feed: Pace,
    rapid: Pace,
}

impl Paces {
    pub fn new() -> Self {
        Self {
            feed: Pace::PROGRAMMED,
            rapid: Pace::PROGRAMMED,
        }
    }

    /// Moves at a feed, or rapids, have an override now.
    pub fn is_overridden(&self, at_a_feed: bool) -> bool {
        let pace = if at_a_feed { &self.feed } else { &self.rapid };
        pace.part != 1.0
    }

    /// From the next ramp on.
    pub fn set(&mut self, to: Override) {
        let (pace, part) = match to {
            Override::Feed(part) => (&mut self.feed, part),
            Override::Rapid(part) => (&mut self.rapid, part),
        };
        if part != pace.part {
            *pace = Pace {
                part,
                last: pace.part,
                changes: true,
            };
        }
    }

    /// Says of a moving `slice`, at a feed or a rapid, what override it has, and whether that is what its time is
    /// lost to.
    ///
    /// A ramp below the pace that is asked for is as fast as it would be without an override: what is lost there is
    /// lost to what it brakes for. So an override loses the time at its own speed and while the speed changes from
    /// one to the other, and gains what is faster than programmed.
    pub fn book(&mut self, slice: &mut Slice, at_a_feed: bool) {
        let (pace, of): (_, fn(f64) -> Override) = if at_a_feed {
            (&mut self.feed, Override::Feed)
        } else {
            (&mut self.rapid, Override::Rapid)
        };
        slice.pace = pace.part;
        let lowest = slice.entry_mm_s.min(slice.exit_mm_s);
        let reached = lowest >= slice.asked_mm_s * pace.part * (1.0 - SAME_SPEED);
        let steady = reached || !matches!(slice.limit, Limit::AxisAcceleration(_));
        pace.changes &= !steady && slice.low_point == LowPoint::Feed;
        let lost = slice.lost_s();
        slice.overridden = if pace.changes {
            // Slower than programmed because of the slower, faster because of the faster of the two.
            let does = |part: &f64| (*part < 1.0) == (lost > 0.0) && *part != 1.0;
            [pace.part, pace.last].into_iter().find(does).map(of)
        } else {
            let slower = pace.part < 1.0 && (slice.limit == Limit::Feed || reached);
            let faster = pace.part > 1.0 && lost < 0.0;
            (slower || faster).then(|| of(pace.part))
        };
    }
}
