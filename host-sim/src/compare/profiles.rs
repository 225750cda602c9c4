//! Speed along the time and along the path, of a whole run or of a stretch of its path.

use super::profile::Profile;
use super::ramp::Ramp;
use super::stretch::Stretch;
use crate::motion::MoveKind;
use crate::trace::Slice;

/// Width of a bin at first: about 0.06 ms.
const FIRST_TIME_S: f64 = 1.0 / 16_384.0;
/// The same on the path, mm.
const FIRST_PATH_MM: f64 = 1.0 / 1024.0;

/// Both profiles of a run, within a stretch of its path.
#[derive(Clone, Debug)]
pub struct Profiles {
    /// Against the time from the start of the stretch, s.
    pub time: Profile,
    /// Against the way from the start of the stretch, mm. Rests have no place on it.
    pub path: Profile,
    /// Highest speed in the stretch of all moves but rapids, mm/s; 0 where there is none.
    pub cutting_mm_s: f64,
    stretch: Stretch,
    /// Length of the whole path so far, mm.
    length_mm: f64,
}

impl Profiles {
    /// Of a run that has not begun.
    pub(super) fn new(stretch: &Stretch) -> Self {
        Self {
            time: Profile::new(FIRST_TIME_S),
            path: Profile::new(FIRST_PATH_MM),
            cutting_mm_s: 0.0,
            stretch: *stretch,
            length_mm: 0.0,
        }
    }

    /// The stretch.
    pub fn stretch(&self) -> Stretch {
        self.stretch
    }

    /// Length of the whole path, mm.
    pub fn whole_mm(&self) -> f64 {
        self.length_mm
    }

    /// Whether the path ends before the stretch begins.
    pub fn is_empty(&self) -> bool {
        self.stretch.from_mm > 0.0 && self.stretch.from_mm >= self.length_mm
    }

    /// Whether the stretch is the whole path.
    pub fn shows_all(&self) -> bool {
        self.starts_at_rest() && self.ends_at_rest()
    }

    /// Whether the stretch begins where the job does.
    pub fn starts_at_rest(&self) -> bool {
        self.stretch.from_mm <= 0.0
    }

    /// Whether the stretch ends where the job does.
    pub fn ends_at_rest(&self) -> bool {
        self.length_mm <= self.stretch.to_mm
    }

    /// Takes in the next slice of the run.
    pub(super) fn slice(&mut self, slice: &Slice) {
        let start_mm = self.length_mm;
        self.length_mm += slice.length_mm;
        let Stretch { from_mm, to_mm } = self.stretch;
        let ramp = if slice.length_mm > 0.0 {
            Ramp::of(slice).between(from_mm - start_mm, to_mm - start_mm)
        } else {
            (from_mm..to_mm)
                .contains(&start_mm)
                .then(|| Ramp::of(slice))
        };
        let Some(ramp) = ramp else { return };
        if matches!(slice.kind, Some(MoveKind::Line | MoveKind::Arc)) {
            let peak = ramp.entry_mm_s.max(ramp.exit_mm_s);
            self.cutting_mm_s = self.cutting_mm_s.max(peak);
        }
        let by_time = |time_s| ramp.after_time(time_s);
        self.time.add(ramp.time_s, &ramp, by_time);
        let by_way = |length_mm| ramp.after_way(length_mm);
        self.path.add(ramp.length_mm, &ramp, by_way);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::profile::Bin;
    use crate::compare::stretch::WHOLE;
    use spokeshave::{Limit, LowPoint};

    /// A ramp from `entry_mm_s` to `exit_mm_s` over `length_mm`.
    fn ramp(entry_mm_s: f64, exit_mm_s: f64, length_mm: f64) -> Slice {
        Slice {
            line: 1,
            kind: Some(MoveKind::Line),
            in_cycle: false,
            stop: None,
            spindle_rpm: None,
            start_s: 0.0,
            duration_s: 2.0 * length_mm / (entry_mm_s + exit_mm_s),
            from: [0.0; 3],
            to: [length_mm, 0.0, 0.0],
            direction: [1.0, 0.0, 0.0],
            length_mm,
            entry_mm_s,
            exit_mm_s,
            asked_mm_s: 100.0,
            cap_mm_s: 100.0,
            limit: Limit::Feed,
            low_point: LowPoint::Stop,
            pace: 1.0,
            overridden: None,
        }
    }

    #[test]
    fn bins_hold_all_of_the_run_however_long_it_is() {
        let mut profiles = Profiles::new(&WHOLE);
        let mut time_s = 0.0;
        for _ in 0..20_000 {
            for slice in [ramp(0.0, 40.0, 1.6), ramp(40.0, 0.0, 1.6)] {
                time_s += slice.duration_s;
                profiles.slice(&slice);
            }
        }
        let length_mm = 2.0 * 1.6 * 20_000.0;
        for profile in [&profiles.time, &profiles.path] {
            let bins: Vec<Bin> = profile.bins(0.0).into_iter().map(|(_, bin)| bin).collect();
            assert!((1000..=4096).contains(&bins.len()), "{}", bins.len());
            let sum = |of: fn(&Bin) -> f64| bins.iter().map(of).sum::<f64>();
            // Sums of 40 000 parts in double precision.
            assert!((sum(|bin| bin.time_s) / time_s - 1.0).abs() < 1e-10);
            assert!((sum(|bin| bin.length_mm) / length_mm - 1.0).abs() < 1e-10);
            let low = bins.iter().map(|bin| bin.low_mm_s).fold(99.0, f64::min);
            let high = bins.iter().map(|bin| bin.high_mm_s).fold(0.0, f64::max);
            assert_eq!((low, high), (0.0, 40.0));
        }
    }

    /// v² = 2·a·s from rest; v = a·t.
    #[test]
    fn speeds_within_a_ramp_are_those_of_constant_acceleration() {
        let mut profiles = Profiles::new(&WHOLE);
        profiles.slice(&ramp(0.0, 40.0, 3.2)); // a = 250 mm/s², 0.16 s
        let at = |profile: &Profile, wanted: f64| {
            let bins = profile.bins(0.0).into_iter();
            let off = |(middle, _): &(f64, Bin)| (middle - wanted).abs();
            bins.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap().1
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
        let mut profiles = Profiles::new(&WHOLE);
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
        let mut profiles = Profiles::new(&WHOLE);
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

    #[test]
    fn a_stretch_is_all_that_is_kept() {
        // Two ramps of 3.2 mm meet at 40 mm/s; a rest at 6.4 mm lies outside.
        let stretch = Stretch {
            from_mm: 1.6,
            to_mm: 4.0,
        };
        let mut profiles = Profiles::new(&stretch);
        profiles.slice(&ramp(0.0, 40.0, 3.2));
        profiles.slice(&ramp(40.0, 0.0, 3.2));
        profiles.slice(&Slice {
            kind: None,
            duration_s: 0.5,
            length_mm: 0.0,
            ..ramp(10.0, 0.0, 1.0)
        });
        assert!(!profiles.starts_at_rest() && !profiles.ends_at_rest());
        assert!((profiles.path.end() - 2.4).abs() < 1e-12);
        // t = √(2s/a) from rest, a = 250 mm/s²: from 1.6 to 3.2 mm, and from the peak 0.8 mm on.
        let from_rest = |s: f64| (2.0 * s / 250.0).sqrt();
        let expected = 2.0 * from_rest(3.2) - from_rest(1.6) - from_rest(2.4);
        assert!((profiles.time.end() - expected).abs() < 1e-12);
        let low = profiles
            .path
            .bins(0.0)
            .iter()
            .map(|(_, bin)| bin.low_mm_s)
            .fold(99.0, f64::min);
        // v² = 2·a·s at the entry.
        assert!((low - (2.0 * 250.0 * 1.6_f64).sqrt()).abs() < 1e-9, "{low}");
    }
}
