//! Speed along the time and along the path, in memory that does not grow with the job: bins double
//! their width when the job outgrows them.

use crate::motion::MoveKind;
use crate::trace::Slice;

/// The most bins that are kept.
const MAX_BINS: usize = 4096;

/// Width of a bin at first: a power of two, so that doubled bins meet exactly. In s, about 0.06 ms.
const FIRST_TIME_S: f64 = 1.0 / 16_384.0;
/// The same in mm.
const FIRST_PATH_MM: f64 = 1.0 / 1024.0;

/// Both profiles of a run.
#[derive(Clone, Debug)]
pub struct Profiles {
    /// Against the time, s.
    pub time: Profile,
    /// Against the way along the path, mm. Rests have no place on it.
    pub path: Profile,
    /// Highest speed of all moves but rapids, mm/s; 0 where there is none.
    pub cutting_mm_s: f64,
}

impl Profiles {
    /// Of a run that has not begun.
    pub(super) fn new() -> Self {
        Self {
            time: Profile::new(FIRST_TIME_S),
            path: Profile::new(FIRST_PATH_MM),
            cutting_mm_s: 0.0,
        }
    }

    /// Takes in the next slice of the run.
    pub(super) fn slice(&mut self, slice: &Slice) {
        if slice.kind.is_some_and(|kind| kind != MoveKind::Rapid) {
            let peak = slice.entry_mm_s.max(slice.exit_mm_s);
            self.cutting_mm_s = self.cutting_mm_s.max(peak);
        }
        let acceleration = (slice.exit_mm_s - slice.entry_mm_s) / slice.duration_s;
        self.time.add(slice.duration_s, slice, |time_s| Point {
            time_s,
            length_mm: time_s * (slice.entry_mm_s + 0.5 * acceleration * time_s),
            speed_mm_s: slice.entry_mm_s + acceleration * time_s,
        });
        // v² goes evenly with the way.
        let (before, after) = (slice.entry_mm_s.powi(2), slice.exit_mm_s.powi(2));
        self.path.add(slice.length_mm, slice, |length_mm| {
            let part = length_mm / slice.length_mm;
            let speed_mm_s = (before + (after - before) * part).max(0.0).sqrt();
            Point {
                time_s: 2.0 * length_mm / (slice.entry_mm_s + speed_mm_s),
                length_mm,
                speed_mm_s,
            }
        });
    }
}

/// Where a slice is: time and way from its start, and the speed there.
#[derive(Clone, Copy)]
struct Point {
    time_s: f64,
    length_mm: f64,
    speed_mm_s: f64,
}

/// Speed along one axis, in bins of equal width.
#[derive(Clone, Debug)]
pub struct Profile {
    width: f64,
    end: f64,
    bins: Vec<Bin>,
}

/// What happens within a bin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bin {
    /// Time spent in it, s.
    pub time_s: f64,
    /// Way covered in it, mm.
    pub length_mm: f64,
    /// Lowest speed, mm/s; endless where nothing happens.
    pub low_mm_s: f64,
    /// Highest speed, mm/s.
    pub high_mm_s: f64,
}

impl Bin {
    const EMPTY: Self = Self {
        time_s: 0.0,
        length_mm: 0.0,
        low_mm_s: f64::INFINITY,
        high_mm_s: 0.0,
    };

    /// Mean speed, mm/s: the way over the time, so that slow places count by what they cost.
    pub fn mean_mm_s(&self) -> f64 {
        if self.time_s > 0.0 {
            self.length_mm / self.time_s
        } else {
            0.0
        }
    }

    fn absorb(&mut self, other: &Self) {
        self.time_s += other.time_s;
        self.length_mm += other.length_mm;
        self.low_mm_s = self.low_mm_s.min(other.low_mm_s);
        self.high_mm_s = self.high_mm_s.max(other.high_mm_s);
    }
}

impl Profile {
    fn new(width: f64) -> Self {
        Self {
            width,
            end: 0.0,
            bins: Vec::new(),
        }
    }

    /// Where the run ends on this axis.
    pub fn end(&self) -> f64 {
        self.end
    }

    /// The time spent up to `at`, s. Within a bin it goes evenly.
    pub fn time_up_to(&self, at: f64) -> f64 {
        let place = (at / self.width).max(0.0);
        let index = (place as usize).min(self.bins.len());
        let before: f64 = self.bins[..index].iter().map(|bin| bin.time_s).sum();
        let Some(bin) = self.bins.get(index) else {
            return before;
        };
        let start = index as f64 * self.width;
        let width = (self.end - start).min(self.width);
        before + bin.time_s * ((at - start) / width).clamp(0.0, 1.0)
    }

    /// The run in bins at least `least` wide: the middle of each and what happens in it. The last
    /// may be narrower.
    pub fn bins(&self, least: f64) -> Vec<(f64, Bin)> {
        let size = (least / self.width).ceil().max(1.0) as usize;
        let width = size as f64 * self.width;
        let middle = |index: usize| {
            let start = index as f64 * width;
            0.5 * (start + (start + width).min(self.end))
        };
        let bins = groups(&self.bins, size).into_iter().enumerate();
        bins.map(|(index, bin)| (middle(index), bin)).collect()
    }

    /// Adds `slice`, which spans `span` of this axis; `point` tells where it is at a part of that.
    fn add(&mut self, span: f64, slice: &Slice, point: impl Fn(f64) -> Point) {
        if span <= 0.0 {
            return;
        }
        let start = self.end;
        self.end += span;
        while self.end > self.width * MAX_BINS as f64 {
            self.width *= 2.0;
            self.bins = groups(&self.bins, 2);
        }
        let last = ((self.end / self.width) as usize).min(MAX_BINS - 1);
        let mut from = Point {
            time_s: 0.0,
            length_mm: 0.0,
            speed_mm_s: slice.entry_mm_s,
        };
        for index in (start / self.width) as usize..=last {
            let edge = (index + 1) as f64 * self.width - start;
            // The end of the slice as it is, so that its speed is kept to the last digit.
            let to = if edge < span {
                point(edge)
            } else {
                Point {
                    time_s: slice.duration_s,
                    length_mm: slice.length_mm,
                    speed_mm_s: slice.exit_mm_s,
                }
            };
            // A slice that ends with a bin only touches the next.
            if to.time_s <= from.time_s {
                continue;
            }
            if self.bins.len() <= index {
                self.bins.resize(index + 1, Bin::EMPTY);
            }
            self.bins[index].absorb(&Bin {
                time_s: to.time_s - from.time_s,
                length_mm: to.length_mm - from.length_mm,
                low_mm_s: from.speed_mm_s.min(to.speed_mm_s),
                high_mm_s: from.speed_mm_s.max(to.speed_mm_s),
            });
            from = to;
        }
    }
}

/// Each `size` neighbours in one.
fn groups(bins: &[Bin], size: usize) -> Vec<Bin> {
    let whole = |group: &[Bin]| {
        let mut sum = Bin::EMPTY;
        group.iter().for_each(|bin| sum.absorb(bin));
        sum
    };
    bins.chunks(size).map(whole).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use spokeshave::{Limit, LowPoint};

    /// A ramp from `entry_mm_s` to `exit_mm_s` over `length_mm`.
    fn ramp(entry_mm_s: f64, exit_mm_s: f64, length_mm: f64) -> Slice {
        Slice {
            line: 1,
            kind: Some(MoveKind::Line),
            start_s: 0.0,
            duration_s: 2.0 * length_mm / (entry_mm_s + exit_mm_s),
            from: [0.0; 3],
            to: [length_mm, 0.0, 0.0],
            length_mm,
            entry_mm_s,
            exit_mm_s,
            asked_mm_s: 100.0,
            cap_mm_s: 100.0,
            limit: Limit::Feed,
            low_point: LowPoint::Stop,
        }
    }

    #[test]
    fn bins_hold_all_of_the_run_however_long_it_is() {
        let mut profiles = Profiles::new();
        let mut time_s = 0.0;
        for _ in 0..20_000 {
            for slice in [ramp(0.0, 40.0, 1.6), ramp(40.0, 0.0, 1.6)] {
                time_s += slice.duration_s;
                profiles.slice(&slice);
            }
        }
        let length_mm = 2.0 * 1.6 * 20_000.0;
        for profile in [&profiles.time, &profiles.path] {
            assert!(profile.bins.len() <= MAX_BINS);
            let mut sum = Bin::EMPTY;
            profile.bins.iter().for_each(|bin| sum.absorb(bin));
            // Sums of 40 000 parts in double precision.
            assert!((sum.time_s / time_s - 1.0).abs() < 1e-10);
            assert!((sum.length_mm / length_mm - 1.0).abs() < 1e-10);
            assert_eq!((sum.low_mm_s, sum.high_mm_s), (0.0, 40.0));
        }
    }

    /// v² = 2·a·s from rest; v = a·t.
    #[test]
    fn speeds_within_a_ramp_are_those_of_constant_acceleration() {
        let mut profiles = Profiles::new();
        profiles.slice(&ramp(0.0, 40.0, 3.2)); // a = 250 mm/s², 0.16 s
        let at = |profile: &Profile, wanted: f64| {
            let bins = profile.bins(0.0);
            let width = profile.width;
            let near = |(middle, _): &&(f64, Bin)| (middle - wanted).abs() <= 0.5 * width;
            bins.iter().find(near).unwrap().1
        };
        let (half, quarter) = (at(&profiles.time, 0.08), at(&profiles.path, 0.8));
        // Both are at 20 mm/s, and a bin is 250/16384 = 0.015 mm/s or 1/1024 mm·250/20 = 0.012 mm/s.
        for bin in [half, quarter] {
            assert!(bin.low_mm_s <= 20.02 && bin.high_mm_s >= 19.98, "{bin:?}");
            assert!(bin.high_mm_s - bin.low_mm_s < 0.02, "{bin:?}");
            assert!((bin.mean_mm_s() - 20.0).abs() < 0.03, "{bin:?}");
        }
    }

    #[test]
    fn the_time_up_to_a_place_is_that_of_the_ramp() {
        let mut profiles = Profiles::new();
        profiles.slice(&ramp(0.0, 40.0, 3.2)); // a = 250 mm/s²
        for at in [0.0, 0.8, 1.25, 3.0, 3.2, 4.0_f64] {
            // s = a·t²/2. Within the first bin, of 1/1024 mm, the time is off by up to a quarter of
            // √(2·w/a) = 2.8 ms, further on by far less.
            let expected = (2.0 * at.min(3.2) / 250.0).sqrt();
            let found = profiles.path.time_up_to(at);
            assert!((found - expected).abs() < 1e-5, "{at}: {found} {expected}");
        }
    }

    #[test]
    fn a_rest_takes_time_and_no_way() {
        let mut profiles = Profiles::new();
        profiles.slice(&ramp(10.0, 0.0, 1.0));
        profiles.slice(&Slice {
            kind: None,
            duration_s: 0.5,
            length_mm: 0.0,
            entry_mm_s: 0.0,
            ..ramp(10.0, 0.0, 1.0)
        });
        assert!((profiles.time.end() - 0.7).abs() < 1e-12);
        assert!((profiles.path.end() - 1.0).abs() < 1e-12);
    }
}
