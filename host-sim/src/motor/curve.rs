//! Torque against speed as a data sheet has it.

/// A curve of pull-out torque: straight between its points.
///
/// ```
/// use spokeshave_sim::motor::TorqueCurve;
/// let curve = TorqueCurve::new(vec![(100.0, 1.0), (500.0, 0.6)]).unwrap();
/// assert_eq!(curve.at(50.0), 1.0); // before the first point: that of the first
/// assert_eq!(curve.at(300.0), 0.8);
/// assert_eq!(curve.at(f64::from(500.0_f32.next_up())), 0.6); // the same in single precision
/// assert_eq!(curve.at(500.01), 0.0); // nothing is known there
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct TorqueCurve(Vec<(f64, f64)>);

/// Points that make no curve.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CurveError {
    /// Fewer than two.
    #[error("a curve needs at least two points")]
    TooFew,
    /// The speed of a point is not above that of the one before; its index.
    #[error("the speeds of a curve must rise from point to point")]
    NotRising(usize),
    /// A speed or a torque is below 0 or not finite; its index.
    #[error("the speeds and torques of a curve are 0 or more")]
    Negative(usize),
}

/// By what part a speed may pass the last point and still be that of the last point.
const ROUNDING: f64 = 1e-6;

impl TorqueCurve {
    /// A curve through `points`: speed in rpm and torque in N·m, speeds rising.
    ///
    /// # Errors
    /// As [`CurveError`] says.
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFew);
        }
        let wrong = |value: f64| !value.is_finite() || value < 0.0;
        if let Some(index) = points.iter().position(|at| wrong(at.0) || wrong(at.1)) {
            return Err(CurveError::Negative(index));
        }
        if let Some(index) = points.windows(2).position(|two| two[1].0 <= two[0].0) {
            return Err(CurveError::NotRising(index + 1));
        }
        Ok(Self(points))
    }

    /// Its points: rpm, N·m.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.0
    }

    /// The torque at `rpm`, N·m: that of the first point before it, 0 past the last.
    pub fn at(&self, rpm: f64) -> f64 {
        // A limit at the last point, as `size` may choose it, comes out a rounding past it: the planner keeps
        // speeds in single precision, to 6e-8, and a path's is divided among axes.
        let last = self.last_rpm();
        let rpm = if rpm <= last * (1.0 + ROUNDING) {
            rpm.min(last)
        } else {
            rpm
        };
        let after = self.0.partition_point(|point| point.0 < rpm);
        match (
            after.checked_sub(1).and_then(|at| self.0.get(at)),
            self.0.get(after),
        ) {
            (Some(before), Some(next)) => {
                let part = (rpm - before.0) / (next.0 - before.0);
                before.1 + part * (next.1 - before.1)
            }
            (None, Some(first)) => first.1,
            (_, None) => 0.0,
        }
    }

    /// The speed of the last point, rpm.
    pub fn last_rpm(&self) -> f64 {
        self.0.last().map_or(0.0, |point| point.0)
    }
}
