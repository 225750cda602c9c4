//! What would give a motor enough in all of a job.
//!
//! A job planned anew with other limits has other ramps, so what is said must hold for any ramps within the
//! limits: up to a speed and an acceleration, in either direction, cutting up to the speed at which the job
//! cuts. Lower limits make no axis faster than it was.

use super::stretch::Stretch;
use crate::machine_file::ranges::{ACCELERATION_LIMIT, SPEED_LIMIT};
use crate::parts::Driven;
use crate::setting::digits;
use crate::size::{halve, quickest, rounded_down};

/// The planner keeps speeds in single precision, so the acceleration of a ramp is off by up to 1e-4 of it
/// (4 · 2⁻²³ of the speed over what it changes by, in ramps of some ms); so much more is asked for.
const PRECISION: f64 = 1e-4;

/// What a job asks of an axis, in bounds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Asked {
    /// Its highest speed, mm/s.
    fastest_mm_s: f64,
    /// The same on moves that cut; none where none does.
    fastest_cut_mm_s: Option<f64>,
    /// The most torque while it stands, N·m.
    standing_nm: f64,
}

impl Asked {
    /// Takes in a stretch that asks for `needed_nm`.
    pub fn see(&mut self, stretch: &Stretch, needed_nm: f64) {
        let [entry, exit] = stretch.speeds_mm_s.map(f64::abs);
        let fastest = entry.max(exit);
        self.fastest_mm_s = self.fastest_mm_s.max(fastest);
        if stretch.cuts {
            let known = self.fastest_cut_mm_s.unwrap_or(0.0);
            self.fastest_cut_mm_s = Some(known.max(fastest));
        }
        if !stretch.moves() && stretch.acceleration_mm_s2 == 0.0 {
            self.standing_nm = self.standing_nm.max(needed_nm);
        }
    }
}

/// Finds what would do for an axis.
pub(super) struct Remedy<'a> {
    pub axis: char,
    pub driven: &'a Driven,
    pub asked: Asked,
    /// How many times the torque needed the motor must have.
    pub margin: f64,
    /// Acceleration limit of the machine, mm/s².
    pub acceleration_limit_mm_s2: f64,
    /// Length of the travel, mm.
    pub travel_mm: f64,
}

impl Remedy<'_> {
    /// In words, without a full stop.
    pub fn words(&self) -> String {
        let axis = self.axis;
        let (fastest, hardest) = (self.asked.fastest_mm_s, self.acceleration_limit_mm_s2);
        let acceleration = self.most_acceleration(fastest);
        let speed = rounded_down(halve(fastest, |speed| self.holds(speed, hardest)));
        let mut ways = Vec::new();
        if ACCELERATION_LIMIT.least <= acceleration && acceleration < hardest {
            ways.push(format!(
                "an acceleration_limit of {axis} of {} mm/s² or less",
                digits(acceleration)
            ));
        }
        if SPEED_LIMIT.least <= speed && speed < fastest {
            ways.push(format!(
                "a speed_limit of {axis} of {} mm/s or less",
                digits(speed)
            ));
        }
        if ways.is_empty() {
            ways.extend(self.both());
        }
        if ways.is_empty() {
            "no acceleration and no speed is low enough; it takes less load or friction, a lower cutting \
             force, another ratio or a stronger motor"
                .into()
        } else {
            format!("{} would do for the whole job", ways.join(", or "))
        }
    }

    /// Where neither limit alone is enough: the pair that `size` would choose for a tenth of the travel.
    fn both(&self) -> Option<String> {
        let ceiling = halve(self.asked.fastest_mm_s, |speed| self.holds(speed, 0.0));
        if ceiling < SPEED_LIMIT.least {
            return None;
        }
        let most = |speed| self.most_acceleration(speed);
        let speed = rounded_down(quickest(ceiling, 0.1 * self.travel_mm, most));
        let acceleration = most(speed);
        let can = speed >= SPEED_LIMIT.least && acceleration >= ACCELERATION_LIMIT.least;
        can.then(|| {
            format!(
                "a speed_limit of {axis} of {} mm/s with an acceleration_limit of {} mm/s²",
                digits(speed),
                digits(acceleration),
                axis = self.axis
            )
        })
    }

    /// The highest acceleration, mm/s², that the motor can give up to `speed_mm_s`, rounded down.
    fn most_acceleration(&self, speed_mm_s: f64) -> f64 {
        let holds = |acceleration| self.holds(speed_mm_s, acceleration);
        rounded_down(halve(self.acceleration_limit_mm_s2, holds))
    }

    /// The motor has enough at all speeds and accelerations up to these.
    fn holds(&self, speed_mm_s: f64, acceleration_mm_s2: f64) -> bool {
        let enough = |upto_mm_s: f64, needed_nm: f64| {
            let up = Stretch {
                speeds_mm_s: [0.0, upto_mm_s],
                acceleration_mm_s2: 0.0,
                cuts: false,
            };
            needed_nm * self.margin * (1.0 + PRECISION) <= up.worst(self.driven).available_nm
        };
        let cutting = self.asked.fastest_cut_mm_s.is_none_or(|cut| {
            enough(
                speed_mm_s.min(cut),
                self.most_needed(acceleration_mm_s2, true),
            )
        });
        cutting
            && enough(speed_mm_s, self.most_needed(acceleration_mm_s2, false))
            && enough(0.0, self.asked.standing_nm)
    }

    /// The most torque at this acceleration, N·m: gathering speed and braking, both ways.
    fn most_needed(&self, acceleration_mm_s2: f64, cuts: bool) -> f64 {
        // Of the speed the direction alone counts.
        let ways = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
        let torque = ways.map(|(towards, change)| {
            let stretch = Stretch {
                speeds_mm_s: [towards; 2],
                acceleration_mm_s2: change * acceleration_mm_s2,
                cuts,
            };
            stretch.worst(self.driven).needed_nm
        });
        torque.into_iter().fold(0.0, f64::max)
    }
}
