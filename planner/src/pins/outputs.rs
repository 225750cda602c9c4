//! The outputs of all axes: tuples and arrays of single axes.

use super::axis_outputs::AxisOutputs;
use super::error::PinError;

/// The outputs of `N` axes, 1 to 6. Masks have bit 0 for the first axis.
///
/// Tuples of [`AxisOutputs`] have it, for pins of a type each, and arrays. Implement it yourself
/// where all step lines lie on one port: one write then makes all edges at the same time.
///
/// ```
/// use core::convert::Infallible;
/// use spokeshave::pins::{Lines, Outputs, PinError};
/// /// Step lines on bits 0 to 2 of a port, direction lines on bits 4 to 6.
/// struct Port(u8);
/// impl Outputs<3> for Port {
///     type Error = Infallible; // a register write cannot fail
///     fn direct(&mut self, axes: u8, forward: u8) -> Result<(), PinError<Infallible>> {
///         self.0 = self.0 & !(axes << 4) | (forward & axes) << 4;
///         Ok(())
///     }
///     fn begin(&mut self, axes: u8) -> Result<(), PinError<Infallible>> {
///         self.0 |= axes;
///         Ok(())
///     }
///     fn end(&mut self, axes: u8) -> Result<(), PinError<Infallible>> {
///         self.0 &= !axes;
///         Ok(())
///     }
/// }
/// let mut lines = Lines::new(Port(0));
/// let pulse = spokeshave::Pulse { tick: 0, steps: 0b101, forward: 0b100 };
/// lines.direct(&pulse).unwrap();
/// lines.begin(&pulse).unwrap();
/// assert_eq!(lines.release().0, 0b0100_0101);
/// ```
pub trait Outputs<const N: usize> {
    /// The error of its pins.
    type Error;

    /// Sets the directions of `axes`: forward, where its bit in `forward` is set.
    ///
    /// # Errors
    /// The first axis whose pin failed; axes after it were not set.
    fn direct(&mut self, axes: u8, forward: u8) -> Result<(), PinError<Self::Error>>;

    /// The edges that make a step of `axes`, one right after the other.
    ///
    /// # Errors
    /// The first axis whose pin failed: axes before it were stepped, axes after it were not.
    fn begin(&mut self, axes: u8) -> Result<(), PinError<Self::Error>>;

    /// Ends the pulses of `axes`. Where one is over already, nothing changes.
    ///
    /// # Errors
    /// The first axis whose pin failed; all the others are ended all the same.
    fn end(&mut self, axes: u8) -> Result<(), PinError<Self::Error>>;
}

/// Written out for each axis: no loop, and a mask bit is one test.
macro_rules! tuple {
    ($count:literal: $($axis:ident $at:tt)+) => {
        impl<E, $($axis: AxisOutputs<Error = E>),+> Outputs<$count> for ($($axis,)+) {
            type Error = E;

            #[inline]
            fn direct(&mut self, axes: u8, forward: u8) -> Result<(), PinError<E>> {
                $(if axes & (1 << $at) != 0 {
                    let outcome = self.$at.direct(forward & (1 << $at) != 0);
                    outcome.map_err(|error| error.on_axis($at))?;
                })+
                Ok(())
            }

            #[inline]
            fn begin(&mut self, axes: u8) -> Result<(), PinError<E>> {
                $(if axes & (1 << $at) != 0 {
                    self.$at.begin().map_err(|error| error.on_axis($at))?;
                })+
                Ok(())
            }

            #[inline]
            fn end(&mut self, axes: u8) -> Result<(), PinError<E>> {
                let mut first = Ok(());
                $(if axes & (1 << $at) != 0 {
                    let outcome = self.$at.end();
                    first = first.and(outcome.map_err(|error| error.on_axis($at)));
                })+
                first
            }
        }
    };
}

tuple!(1: A 0);
tuple!(2: A 0 B 1);
tuple!(3: A 0 B 1 C 2);
tuple!(4: A 0 B 1 C 2 D 3);
tuple!(5: A 0 B 1 C 2 D 3 F 4);
tuple!(6: A 0 B 1 C 2 D 3 F 4 G 5);

impl<A: AxisOutputs, const N: usize> Outputs<N> for [A; N] {
    type Error = A::Error;

    #[inline]
    fn direct(&mut self, axes: u8, forward: u8) -> Result<(), PinError<A::Error>> {
        for (i, axis) in (0_u8..).zip(self) {
            if axes >> i & 1 != 0 {
                let outcome = axis.direct(forward >> i & 1 != 0);
                outcome.map_err(|error| error.on_axis(i))?;
            }
        }
        Ok(())
    }

    #[inline]
    fn begin(&mut self, axes: u8) -> Result<(), PinError<A::Error>> {
        for (i, axis) in (0_u8..).zip(self) {
            if axes >> i & 1 != 0 {
                axis.begin().map_err(|error| error.on_axis(i))?;
            }
        }
        Ok(())
    }

    #[inline]
    fn end(&mut self, axes: u8) -> Result<(), PinError<A::Error>> {
        let mut first = Ok(());
        for (i, axis) in (0_u8..).zip(self) {
            if axes >> i & 1 != 0 {
                first = first.and(axis.end().map_err(|error| error.on_axis(i)));
            }
        }
        first
    }
}
