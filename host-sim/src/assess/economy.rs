//! The arithmetic: hours, money, and when both are even. All formulas are definitions, written down
//! here and in `docs/assess.md`; there is no source for them but the words of the trade.
//!
//! Letters: t the job time of a part on the machine, S a set-up, k the parts made in one, N the parts a
//! year, L what is left to do by hand on a part, H a part by hand alone; P the price, Y the years of use,
//! r the running cost of an hour, c the consumables of a part, w the value of an hour of one's own.
//!
//! The hours that a machine runs count as hours of one's own, as those of set-ups do: nobody leaves a
//! running machine alone (`docs/safety.md`).

use serde::Serialize;

/// A job on a machine, as the formulas need it.
///
/// ```
/// use spokeshave_sim::assess::Work;
/// // 10 a year, 4 in a set-up: 6 min on the machine, 24 min a set-up, 2 min left, 30 min by hand.
/// let work = Work {
///     job_time_s: 360.0,
///     set_up_s: 1440.0,
///     parts_per_set_up: 4,
///     parts_a_year: 10,
///     left_by_hand_s: 120.0,
///     by_hand_s: 1800.0,
///     consumables: 0.5,
/// };
/// let year = work.year();
/// // 10 × 6 min, 3 set-ups, 10 × 2 min; by hand 10 × 30 min: 300 − 60 − 72 − 20 = 148 min saved.
/// assert_eq!((year.machine_h, year.set_up_h), (1.0, 1.2));
/// assert!((year.saved_h() - 148.0 / 60.0).abs() < 1e-12);
/// // 24 min over the 22 min that each part saves: 2 parts in a set-up.
/// assert_eq!(work.even_from_parts(), Some(2));
/// // A part saves 14.8 min, 3.70 at 15 an hour, less 0.10 for 6 min at 1 an hour and 0.50: 3.10.
/// assert_eq!(work.price_after_parts(310.0, 1.0, 15.0), Some(100));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// t, s: the job times of all programs of a part.
    pub job_time_s: f64,
    /// S, s.
    pub set_up_s: f64,
    /// k, 1 or more.
    pub parts_per_set_up: u32,
    /// N, 1 or more.
    pub parts_a_year: u32,
    /// L, s.
    pub left_by_hand_s: f64,
    /// H, s.
    pub by_hand_s: f64,
    /// c, money.
    pub consumables: f64,
}

/// A year of work, h.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Year {
    /// N·t: the machine runs, with somebody beside it.
    pub machine_h: f64,
    /// ⌈N/k⌉·S: set-ups, each whole, the last one too.
    pub set_up_h: f64,
    /// N·L: by hand all the same.
    pub left_by_hand_h: f64,
    /// N·H: all by hand, without the machine.
    pub by_hand_h: f64,
}

impl Year {
    /// All hours with the machine: N·t + ⌈N/k⌉·S + N·L.
    pub fn with_machine_h(&self) -> f64 {
        self.machine_h + self.set_up_h + self.left_by_hand_h
    }

    /// Hours saved, negative where the machine takes longer: N·H − (N·t + ⌈N/k⌉·S + N·L).
    pub fn saved_h(&self) -> f64 {
        self.by_hand_h - self.with_machine_h()
    }

    /// Adds the hours of another job.
    pub fn add(&mut self, other: &Self) {
        self.machine_h += other.machine_h;
        self.set_up_h += other.set_up_h;
        self.left_by_hand_h += other.left_by_hand_h;
        self.by_hand_h += other.by_hand_h;
    }
}

impl Work {
    /// Set-ups a year: ⌈N/k⌉.
    pub fn set_ups_a_year(&self) -> u32 {
        self.parts_a_year.div_ceil(self.parts_per_set_up)
    }

    /// Its hours in a year.
    pub fn year(&self) -> Year {
        let parts = f64::from(self.parts_a_year);
        let hours = |times: f64, seconds: f64| times * seconds / 3600.0;
        Year {
            machine_h: hours(parts, self.job_time_s),
            set_up_h: hours(f64::from(self.set_ups_a_year()), self.set_up_s),
            left_by_hand_h: hours(parts, self.left_by_hand_s),
            by_hand_h: hours(parts, self.by_hand_s),
        }
    }

    /// What a part saves, s, with its share of the set-ups of a year: H − t − L − ⌈N/k⌉·S/N.
    /// Negative where the machine takes longer.
    pub fn saved_a_part_s(&self) -> f64 {
        self.year().saved_h() * 3600.0 / f64::from(self.parts_a_year)
    }

    /// From how many parts in one set-up the machine takes no longer than the hand, with no money in
    /// it: the least whole n ≥ 1 with S + n·(t + L) ≤ n·H, which is ⌈S/(H − t − L)⌉. `None` where a part
    /// takes longer than by hand even without its set-up: it never breaks even.
    pub fn even_from_parts(&self) -> Option<u64> {
        let each = self.by_hand_s - self.job_time_s - self.left_by_hand_s;
        whole(self.set_up_s, each).map(|parts| parts.max(1))
    }

    /// What a part earns before the price: w·(saved a part) − c − r·t. Negative where it loses.
    pub fn gain_a_part(&self, running_cost: f64, value_of_time: f64) -> f64 {
        let hours = |seconds: f64| seconds / 3600.0;
        value_of_time * hours(self.saved_a_part_s())
            - self.consumables
            - running_cost * hours(self.job_time_s)
    }

    /// After how many parts this job alone has earned the price: ⌈P/(gain a part)⌉. `None` where it
    /// never does.
    pub fn price_after_parts(
        &self,
        price: f64,
        running_cost: f64,
        value_of_time: f64,
    ) -> Option<u64> {
        whole(price, self.gain_a_part(running_cost, value_of_time))
    }
}

/// How many whole times `each` covers `all`, which is 0 or more; `None` where it never does.
fn whole(all: f64, each: f64) -> Option<u64> {
    if each < 0.0 || (each == 0.0 && all > 0.0) {
        return None;
    }
    if all == 0.0 {
        return Some(0);
    }
    // A quotient that is whole but for its rounding is that number: sums of some times in double
    // precision keep twelve digits with room to spare.
    let times = all / each;
    let near = times.round();
    let times = if (times - near).abs() <= 1e-12 * near {
        near
    } else {
        times.ceil()
    };
    // Beyond this nobody counts, and beyond 2⁵³ a double does not either.
    (times <= 1e15).then_some(times as u64)
}

/// A machine over a year, all jobs that fit it together.
///
/// ```
/// use spokeshave_sim::assess::{Cost, Year};
/// let year = Year { machine_h: 20.0, set_up_h: 10.0, left_by_hand_h: 10.0, by_hand_h: 100.0 };
/// let cost = Cost { price: 1000.0, years_of_use: 5.0, running_cost: 0.5, consumables_a_year: 30.0 };
/// // 1000/5 + 20 × 0.5 + 30 = 240 a year: over 20 h that it runs, 12 an hour; over 60 h saved, 4.
/// assert_eq!(cost.a_year(&year), 240.0);
/// assert_eq!(cost.an_hour(&year), Some(12.0));
/// assert_eq!(cost.an_hour_saved(&year), Some(4.0));
/// // At 9 an hour, 60 h are 540, less 40 of running it: 500 a year, so two years for the price.
/// assert_eq!(cost.price_after_years(&year, 9.0), Some(2.0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// P, money.
    pub price: f64,
    /// Y, more than 0.
    pub years_of_use: f64,
    /// r, money an hour.
    pub running_cost: f64,
    /// Σ N·c, money.
    pub consumables_a_year: f64,
}

impl Cost {
    /// What running it costs in a year: r·M + Σ N·c, with M the hours that it runs.
    pub fn running_a_year(&self, year: &Year) -> f64 {
        self.running_cost * year.machine_h + self.consumables_a_year
    }

    /// P/Y + r·M + Σ N·c.
    pub fn a_year(&self, year: &Year) -> f64 {
        self.price / self.years_of_use + self.running_a_year(year)
    }

    /// What an hour costs in which it runs: (P/Y + r·M + Σ N·c)/M. `None` where it never runs.
    pub fn an_hour(&self, year: &Year) -> Option<f64> {
        (year.machine_h > 0.0).then(|| self.a_year(year) / year.machine_h)
    }

    /// What an hour costs that it saves, and so what an hour of one's own must be worth for it to earn
    /// its price in its years: (P/Y + r·M + Σ N·c) / (hours saved a year). `None` where it saves none.
    pub fn an_hour_saved(&self, year: &Year) -> Option<f64> {
        (year.saved_h() > 0.0).then(|| self.a_year(year) / year.saved_h())
    }

    /// After how many years it has earned its price, at w an hour: P/(w·(hours saved a year) − r·M −
    /// Σ N·c). `None` where it never does.
    pub fn price_after_years(&self, year: &Year, value_of_time: f64) -> Option<f64> {
        let gain = value_of_time * year.saved_h() - self.running_a_year(year);
        if gain > 0.0 {
            return Some(self.price / gain);
        }
        (gain == 0.0 && self.price == 0.0).then_some(0.0)
    }
}
