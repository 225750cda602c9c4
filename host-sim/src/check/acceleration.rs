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
//! After a sudden change of speed windows suit the new speed, and the rounding of the old one may be larger:
//! then what they show counts less that error, which is certain.
//! Where steps are coarse a window lasts from one step to another, so is longer by itself. Until a
//! stretch has lasted for both windows, shorter ones with D = w = T/2, T/4 or T/8 are used, the
//! shortest that is right to 2 %. All are slid at every pulse; only their starts are thinned to T/16.
//!
//! Near rest an axis makes few pulses, and a window there is long; rest.rs holds the first and last
//! pulses of each leg against the acceleration limit as well.

use super::result::{CheckResult, Here, Worst, Writer, axis_name};
use super::segment::Segment;
use super::steady::Steady;
use super::windows::{Kept, PARTS, Pair, Placed, Windows};

/// A window counts in full if its rounding error is at most this part of the limit, else less that error.
pub(super) const RESOLUTION: f64 = 0.02;

/// The limit of the check as a multiple of the axis' limit: `RESOLUTION`, and 1 % for directions of
/// short pieces, which are known to 1e-5 mm over their length.
const LIMIT: f64 = 1.0 + RESOLUTION + 0.01;

/// Two ends of a piece, each kept to 2^-17 mm, mm.
pub(super) const POSITION_MM: f64 = 8e-6;

/// Lengths of the windows, T; they lie T apart (middle to middle), or as far as they are long.
pub(super) const LONG: [f64; 6] = [0.125, 0.25, 0.5, 1.0, 2.0, 4.0];

/// What is certain of an acceleration that is wrong by at most `error`: all of it where that is little, so that
/// figures are not smaller than they are; else, as after a sudden stop, what is left.
pub(super) fn well_measured(value: f64, error: f64, limit: f64) -> f64 {
    if error <= RESOLUTION * limit {
        value
    } else {
        value - error
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
    ring: Kept,
    straight: usize,
    /// Index of the first sample of the straight stretch.
    first: usize,
    /// Windows by length, and which ones are in use for the speed of the axis about now.
    short: [Windows; 3],
    long: [Windows; 6],
    use_short: usize,
    use_long: usize,
    /// They suit rounding that needs a product of lengths in this range.
    suits: (f64, f64),
    /// The windows as they lie, and before what time they need not slide on.
    placed: Placed,
    until: f64,
    /// The velocity is so even that they need not be looked at; their w·D, at least.
    steady: Steady,
    calm: bool,
    product: f64,
    longest: usize,
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
            ring: Kept::new(8.0 * span, 8 * PARTS),
            straight: usize::MAX,
            first: 0,
            short: [0.125, 0.25, 0.5].map(|w| Windows::new(w * span, w * span)),
            long: LONG.map(|w| Windows::new(w * span, w.max(1.0) * span)),
            use_short: 0,
            use_long: 0,
            suits: (f64::INFINITY, 0.0),
            placed: Placed::NONE,
            until: f64::NEG_INFINITY,
            steady: Steady::NEW,
            calm: false,
            product: 0.0,
            longest: 0,
            worst: Worst::NONE,
        }
    }

    /// The axis is at `x` mm at `t` ticks, clearly on the straight stretch of `segment`.
    #[inline]
    pub fn sample(&mut self, t: f64, x: f64, segment: &Segment, here: &Here) {
        if segment.straight != self.straight {
            return self.begin(t, x, segment);
        }
        let last = self.ring.next() - 1;
        let [t0, x0, _] = self.ring.get(last);
        let (late, way) = (t - t0, x - x0);
        if !self.ring.takes(t) {
            if !(self.calm && self.steady.goes_on(late, way, self.product)) {
                self.compare(t, x, segment, here);
            }
            return;
        }
        let velocity = way / late;
        self.steady.keep(last, t0, t, velocity);
        self.settle();
        if !self.calm {
            self.compare(t, x, segment, here);
        }
        self.ring.keep([t, x, 0.0]);
        self.choose(velocity.abs());
    }

    /// The first sample of a straight stretch.
    fn begin(&mut self, t: f64, x: f64, segment: &Segment) {
        self.straight = segment.straight;
        self.first = self.ring.next();
        self.ring.keep([t, x, 0.0]);
        self.steady.start(self.first);
        self.until = f64::NEG_INFINITY;
        self.choose(segment.cap * segment.u[self.axis].abs());
        self.settle();
    }

    /// What the windows show that end here.
    #[inline(never)]
    fn compare(&mut self, t: f64, x: f64, segment: &Segment, here: &Here) {
        if t >= self.until {
            self.slide(t);
        }
        let pair = self.placed.end(t, x);
        if pair.change > self.worst.value * pair.unit() {
            self.found(&pair, segment, here);
        }
    }

    /// Whether windows need not be slid, as they show no new worst. They start no earlier than they
    /// did when they were placed last, nor than the stretch. How long they are is to be known first.
    #[inline]
    fn settle(&mut self) {
        let known = self
            .long
            .get(self.use_long)
            .filter(|_| self.use_long <= self.longest);
        self.calm = known.is_some_and(|long| self.steady.is_even(self.first.max(long.first())));
    }

    /// Windows of T where the stretch is long enough, shorter ones until then.
    fn slide(&mut self, t: f64) {
        let place = |windows: Option<&mut Windows>| match windows {
            Some(windows) => windows.slide(&self.ring, self.first, t),
            None => (None, f64::INFINITY),
        };
        let (long, until) = place(self.long.get_mut(self.use_long));
        if let Some(placed) = long {
            self.longest = self.longest.max(self.use_long);
            (self.placed, self.until) = (placed, until);
            return self.settle();
        }
        let (short, sooner) = place(self.short.get_mut(self.use_short));
        self.placed = short.unwrap_or(Placed::NONE);
        self.until = until.min(sooner);
    }

    /// Takes the shortest windows whose rounding is small enough for `speed`, mm/tick.
    #[inline]
    fn choose(&mut self, speed: f64) {
        let need = 4.0 * (speed + POSITION_MM) / (RESOLUTION * self.limit);
        let (low, high) = self.suits;
        if !(need > low && need <= high) {
            self.choose_anew(need);
        }
    }

    #[cold]
    fn choose_anew(&mut self, need: f64) {
        let product = |w: &Windows| w.product;
        let all = || [&self.long[..], &self.short[..]].into_iter();
        let enough = |w: &&Windows| w.product >= need;
        let high = all().filter_map(|ws| ws.iter().find(enough).map(product));
        let low = all().flatten().map(product).filter(|p| *p < need);
        self.suits = (
            low.fold(f64::NEG_INFINITY, f64::max),
            high.fold(f64::INFINITY, f64::min),
        );
        let first = |all: &[Windows]| all.iter().take_while(|w| w.product < need).count();
        (self.use_long, self.use_short) = (first(&self.long), first(&self.short));
        self.until = f64::NEG_INFINITY;
        // The short windows, where there are some, are the smaller ones.
        let used = self.short.get(self.use_short).into_iter();
        let used = used.chain(self.long.get(self.use_long)).map(product);
        self.product = used.fold(f64::INFINITY, f64::min);
        self.settle();
    }

    /// A larger acceleration than all before, if that much of it is certain.
    #[cold]
    fn found(&mut self, pair: &Pair, segment: &Segment, here: &Here) {
        // Directions in the stretch differ by so much, and the speed of the axis with them.
        let bend = segment.cap * segment.turned / pair.distance;
        let error = pair.rounding(POSITION_MM) + bend;
        let value = well_measured(pair.change / pair.unit(), error, self.limit);
        if value > self.worst.value {
            self.worst.raise(value, self.limit, Some(self.axis), here);
            self.steady.exceed(self.worst.value, self.limit);
        }
    }

    /// Highest acceleration measured, mm/s².
    pub fn peak(&self, writer: Writer) -> f64 {
        self.worst.value.max(0.0) * writer.hz * writer.hz
    }

    pub fn result(&self, writer: Writer) -> CheckResult {
        let ms = |parts: f64| parts * self.span / writer.hz * 1e3;
        let longer = if self.longest > 0 {
            format!(
                ", up to {:.3} ms where ticks are coarse",
                ms(LONG[self.longest])
            )
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
        let pass = worst.value <= LIMIT * self.limit;
        let figures = (LIMIT * self.limit * square, worst.value * square, "mm/s²");
        writer.result("straight acceleration", what, figures, &worst, pass)
    }
}

#[cfg(test)]
mod tests;
