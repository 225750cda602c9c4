//! Acceleration of each axis on straight stretches.
//!
//! Two mean velocities over the windows [t₀, t₁] and [t₂, t₃], their difference divided by the time
//! D between the middles of the windows: for any motion that is a mean of the acceleration over
//! [t₀, t₃], with weights that are nowhere negative and sum to 1 (the two boxes' difference,
//! integrated: a trapezium). So no motion within the limit shows more than the limit, however the
//! windows lie, and only the rounding of the samples needs a margin. A position sample is wrong by
//! at most e = v·(1 tick) + 8e-6 mm, the difference of two velocities by 2e/w for each window w:
//!
//!   error ≤ (2e/w₁ + 2e/w₂)/D ≤ `RESOLUTION` of the limit,  which asks for w·D ≥ 4e/(0.02·a)
//!
//! The windows are as the design asks, D = T = √(8δ/a) and w = T/8, but w (and then D) twice, four
//! times … as long where that would be wrong by more than 2 %: where ticks are coarse for the speed.
//! Where steps are coarse a window lasts from one step to another, so is longer by itself. Beside
//! them, windows of D = w = T/2, T/4 or T/8 (the shortest that is right to 2 %) reach into stretches
//! and ramps too short for T. All are slid at every pulse; only their starts are thinned to T/64.
//!
//! Near rest an axis makes few pulses, and a window there is long; rest.rs holds the first and last
//! pulses of each leg against the acceleration limit as well.

use super::geometry::Segment;
use super::result::{CheckResult, Here, Worst, Writer, axis_name};
use super::ring::Ring;

/// A window counts if its rounding error is at most this part of the limit.
const RESOLUTION: f64 = 0.02;

/// The limit of the check as a multiple of the axis' limit: `RESOLUTION`, and 1 % for directions of
/// short pieces, which are known to 1e-5 mm over their length.
const LIMIT: f64 = 1.0 + RESOLUTION + 0.01;

/// Two ends of a piece, each kept to 2^-17 mm, mm.
const POSITION_MM: f64 = 8e-6;

/// Samples kept in T.
const PARTS: usize = 64;

/// A pair of windows: length w and gap between them, T; w·D, T²; where its samples are.
#[derive(Clone, Copy, Debug)]
struct Windows {
    length: f64,
    gap: f64,
    product: f64,
    at: [usize; 3],
}

impl Windows {
    const fn new(length: f64, distance: f64) -> Self {
        Self {
            length,
            gap: distance - length,
            product: length * distance,
            at: [0; 3],
        }
    }
}

/// Acceleration of one axis.
#[derive(Clone, Debug)]
pub(super) struct AxisAcceleration {
    axis: usize,
    /// Limit, mm/tick².
    limit: f64,
    /// T, ticks.
    span: f64,
    ring: Ring,
    straight: usize,
    /// Index of the first sample of the straight stretch.
    first: usize,
    /// Speed of the axis about now, mm/tick.
    speed: f64,
    short: [Windows; 3],
    long: [Windows; 6],
    longest: f64,
    worst: Worst,
}

impl AxisAcceleration {
    /// `limit` in mm/tick², `deviation` in mm.
    pub fn new(axis: usize, limit: f64, deviation: f64) -> Self {
        let span = (8.0 * deviation / limit).sqrt();
        Self {
            axis,
            limit,
            span,
            // The longest pair spans 8 T.
            ring: Ring::new(8.0 * span, 8 * PARTS),
            straight: usize::MAX,
            first: 0,
            speed: 0.0,
            short: [0.125, 0.25, 0.5].map(|w| Windows::new(w, w)),
            long: [
                Windows::new(0.125, 1.0),
                Windows::new(0.25, 1.0),
                Windows::new(0.5, 1.0),
                Windows::new(1.0, 1.0),
                Windows::new(2.0, 2.0),
                Windows::new(4.0, 4.0),
            ],
            longest: 0.0,
            worst: Worst::NONE,
        }
    }

    /// The axis is at `x` mm at `t` ticks, clearly on the straight stretch of `segment`.
    #[inline]
    pub fn sample(&mut self, t: f64, x: f64, segment: &Segment, here: Here) {
        if segment.straight != self.straight {
            self.straight = segment.straight;
            self.first = self.ring.next();
            self.ring.keep([t, x, 0.0]);
            self.speed = 0.0;
            return;
        }
        // w·D, in T², that makes the rounding small enough (see above; 8δ = a·T²).
        let need =
            4.0 * (self.speed + POSITION_MM) / (RESOLUTION * self.limit * self.span * self.span);
        if let Some(k) = self.short.iter().position(|w| w.product >= need) {
            let mut windows = self.short[k];
            self.slide(&mut windows, t, x, segment, here);
            self.short[k] = windows;
        }
        if let Some(k) = self.long.iter().position(|w| w.product >= need) {
            let mut windows = self.long[k];
            if self.slide(&mut windows, t, x, segment, here) {
                self.longest = self.longest.max(windows.length);
            }
            self.long[k] = windows;
        }
        let [t0, x0, _] = self.ring.get(self.ring.next() - 1);
        if self.ring.push([t, x, 0.0]) {
            self.speed = (x - x0).abs() / (t - t0);
        }
    }

    /// Puts the windows so that they end at `t`; true if the stretch is long enough.
    #[inline]
    fn slide(
        &mut self,
        windows: &mut Windows,
        t: f64,
        x: f64,
        segment: &Segment,
        here: Here,
    ) -> bool {
        let (length, gap) = (windows.length * self.span, windows.gap * self.span);
        let at = &mut windows.at;
        let next = self.ring.next();
        let place = |from: &mut usize, limit: usize, t: f64, span: f64| {
            let found = self.ring.back((*from).max(self.first), limit, t, span)?;
            *from = found;
            Some((found, self.ring.get(found)))
        };
        let Some((i2, [t2, x2, _])) = place(&mut at[2], next, t, length) else {
            return false;
        };
        let Some((i1, [t1, x1, _])) = place(&mut at[1], i2 + 1, t2, gap) else {
            return false;
        };
        let Some((_, [t0, x0, _])) = place(&mut at[0], i1 + 1, t1, length) else {
            return false;
        };
        let (wide, late) = (t1 - t0, t - t2);
        let distance = (t + t2 - t1 - t0) / 2.0;
        let change = ((x - x2) * wide - (x1 - x0) * late).abs();
        let unit = distance * wide * late;
        if !(change <= self.worst.value * unit) {
            self.found(
                change / unit,
                [wide, late, distance],
                [x1 - x0, x - x2],
                segment,
                here,
            );
        }
        true
    }

    /// A larger acceleration than all before, if it is measured well enough.
    #[cold]
    fn found(
        &mut self,
        value: f64,
        [wide, late, distance]: [f64; 3],
        ways: [f64; 2],
        segment: &Segment,
        here: Here,
    ) {
        let speed = (ways[0].abs() / wide).max(ways[1].abs() / late);
        let error = 2.0 * (speed + POSITION_MM) * (1.0 / wide + 1.0 / late) / distance;
        // Directions in the stretch differ by so much, and the speed of the axis with them.
        let bend = segment.cap * segment.turned / distance;
        if error + bend <= RESOLUTION * self.limit {
            self.worst.raise(value, self.limit, Some(self.axis), here);
        }
    }

    /// Highest acceleration measured, mm/s².
    pub fn peak(&self, writer: Writer) -> f64 {
        self.worst.value.max(0.0) * writer.hz * writer.hz
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let ms = |parts: f64| parts * self.span / writer.hz * 1e3;
        let longer = if self.longest > 0.125 {
            format!(", up to {:.3} ms where ticks are coarse", ms(self.longest))
        } else {
            String::new()
        };
        let square = writer.hz * writer.hz;
        let what = format!(
            "Acceleration of {} on straight stretches: change of velocity over {:.3} ms, each \
             velocity a mean over {:.3} ms or one step{longer}; shorter windows where they are right \
             to 2 %. The limit of {:.3} mm/s² has 3 % for the rounding of pulses.",
            axis_name(self.axis),
            ms(1.0),
            ms(0.125),
            self.limit * square
        );
        let worst = Worst {
            axis: Some(self.axis),
            ..self.worst
        };
        let pass = !(worst.value > LIMIT * self.limit);
        let figures = (LIMIT * self.limit * square, worst.value * square, "mm/s²");
        writer.result("acceleration", what, figures, &worst, pass)
    }
}
