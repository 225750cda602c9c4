//! Cutting slower than it should be: below a part of the programmed feed, and below the feed that
//! the chip load asks for.

use crate::motion::MoveKind;
use crate::trace::Slice;
use serde::Serialize;

/// Speeds closer than this are the same: single precision, some roundings.
const SAME_SPEED: f64 = 1e-5;

/// The part of the programmed feed below which cutting is called slow where nobody says (chosen).
pub(crate) const SLOW_BELOW: f64 = 0.8;

/// A stretch of the path, by length and by time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Amount {
    /// mm.
    pub length_mm: f64,
    /// s.
    pub time_s: f64,
}

impl Amount {
    pub(crate) fn add(&mut self, other: Self) {
        self.length_mm += other.length_mm;
        self.time_s += other.time_s;
    }

    /// All of `slice`.
    fn of(slice: &Slice) -> Self {
        Self {
            length_mm: slice.length_mm,
            time_s: slice.duration_s,
        }
    }

    /// The part of `slice` that is slower than `speed`, mm/s: its speed changes evenly with time.
    fn below(slice: &Slice, speed: f64) -> Self {
        let speed = speed * (1.0 - SAME_SPEED);
        let low = slice.entry_mm_s.min(slice.exit_mm_s);
        let high = slice.entry_mm_s.max(slice.exit_mm_s);
        if high < speed {
            return Self::of(slice);
        }
        if low >= speed {
            return Self::default();
        }
        let time_s = slice.duration_s * (speed - low) / (high - low);
        Self {
            length_mm: time_s * (low + speed) / 2.0,
            time_s,
        }
    }
}

/// The feed of a bit: how much each flute should cut off at least. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ChipLoad {
    /// Cutting edges of the bit.
    pub flutes: u32,
    /// What each of them cuts off in a turn, mm.
    pub chip_load_mm: f64,
}

impl ChipLoad {
    /// Spindle speed × flutes × chip load, mm/s.
    ///
    /// ```
    /// use spokeshave_sim::slow_cutting::ChipLoad;
    /// let bit = ChipLoad { flutes: 2, chip_load_mm: 0.05 };
    /// assert_eq!(bit.feed_mm_s(18_000.0), 30.0);
    /// ```
    pub fn feed_mm_s(&self, spindle_rpm: f64) -> f64 {
        spindle_rpm * f64::from(self.flutes) * self.chip_load_mm / 60.0
    }
}

/// Sideways cutting held against the chip load. Moves of z alone (plunges, drilling) are left out:
/// they are meant to be slower.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rubbing {
    /// The bit.
    #[serde(flatten)]
    pub bit: ChipLoad,
    /// Sideways cutting with a known spindle speed.
    pub judged: Amount,
    /// Of that, slower than the chip load.
    pub below: Amount,
    /// Of that, where the programmed feed itself is lower than the chip load.
    pub programmed_below: Amount,
    /// Sideways cutting for which the program gives no spindle speed.
    pub unknown: Amount,
    /// Lowest and highest feed that the chip load asks for, mm/s; `None` where nothing is judged.
    pub feed_mm_s: Option<[f64; 2]>,
}

/// How much of the cutting path is slow.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SlowCutting {
    /// What part of the programmed feed is called slow, up to 1.
    pub part: f64,
    /// All moves at a programmed feed.
    pub cutting: Amount,
    /// Of that, slower than `part` of the programmed feed.
    pub below: Amount,
    /// Held against the chip load, where that is known.
    pub rubbing: Option<Rubbing>,
}

impl SlowCutting {
    /// Nothing yet; slow is below `part` of the programmed feed, and below the feed of `bit`.
    pub fn new(part: f64, bit: Option<ChipLoad>) -> Self {
        Self {
            part,
            cutting: Amount::default(),
            below: Amount::default(),
            rubbing: bit.map(Rubbing::new),
        }
    }

    /// Takes in the next slice.
    pub fn slice(&mut self, slice: &Slice) {
        if !matches!(slice.kind, Some(MoveKind::Line | MoveKind::Arc)) {
            return;
        }
        self.cutting.add(Amount::of(slice));
        self.below
            .add(Amount::below(slice, self.part * slice.asked_mm_s));
        if let Some(rubbing) = &mut self.rubbing {
            rubbing.slice(slice);
        }
    }
}

impl Rubbing {
    fn new(bit: ChipLoad) -> Self {
        Self {
            bit,
            judged: Amount::default(),
            below: Amount::default(),
            programmed_below: Amount::default(),
            unknown: Amount::default(),
            feed_mm_s: None,
        }
    }

    fn slice(&mut self, slice: &Slice) {
        if slice.from[..2] == slice.to[..2] {
            return;
        }
        let Some(rpm) = slice.spindle_rpm else {
            return self.unknown.add(Amount::of(slice));
        };
        let feed = self.bit.feed_mm_s(rpm);
        let [low, high] = self.feed_mm_s.unwrap_or([feed; 2]);
        self.feed_mm_s = Some([low.min(feed), high.max(feed)]);
        self.judged.add(Amount::of(slice));
        let below = Amount::below(slice, feed);
        self.below.add(below);
        if slice.asked_mm_s < feed * (1.0 - SAME_SPEED) {
            self.programmed_below.add(below);
        }
    }
}
