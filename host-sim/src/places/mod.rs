//! The places that cost time: each dip of the speed below what the program asks, with its cause.
//!
//! A slow stretch around one low point is one place: braking and pulling away belong to what caused
//! them. Between two low points that the asked speed does not part, the border is the highest speed
//! between. Dips shallower than [`PROMINENCE`] belong to the deeper one beside them, so that a
//! circle of a thousand chords is one place. Where an axis is at its speed limit no low point is
//! below: there the stretch on which it is, over the dips in it, is a place of its own, for what the
//! limit costs. What an override of the operator slows or quickens is one place too, and standing for
//! a hold or a stall belongs to the place where it stands. So the seconds of all places, those that
//! are not told one by one summed by reason, are the whole time lost.

mod dip;
mod heading;
mod held;
mod keep;
mod overridden;
mod place;
mod row;
mod sentence;

use crate::machine::Machine;
use crate::motion::Point;
use crate::trace::Slice;
use dip::Dip;
use heading::Heading;
use held::Held;
use keep::Keeper;
use overridden::Overrides;
pub use place::{Found, Others, Place, Stop, Turn};
pub use row::{AxisLimit, Row, rows};
pub use sentence::sentence;
pub(crate) use sentence::{angle, length};

/// The most places that are kept one by one; the others are summed by reason.
pub const MAX_PLACES: usize = 4096;

/// Two low points are two places where the highest speed between them is more than this many times
/// each of them. It is small enough to part two corners that a maker would part, and larger than
/// the ripples of the speed on a bend of chords (a few per cent).
pub const PROMINENCE: f64 = 1.1;

/// Slices shorter than this tell no direction, mm: their ends are kept to 2⁻³² of a step, which
/// may be 10 mm.
const SHORTEST_MM: f64 = 1e-4;

/// Speeds closer than this to the one asked for are that speed: single precision, some roundings.
const SAME_SPEED: f64 = 1e-5;

/// Finds the places in a stream of slices, in bounded memory.
///
/// ```
/// use spokeshave_sim::places::{self, Places};
/// use spokeshave_sim::{machine_file, program, run, trace};
/// # struct Ears(Places);
/// # impl run::Sink for Ears {
/// #     fn piece(&mut self, _: &spokeshave_sim::check::Piece) {}
/// #     fn slice(&mut self, slice: &trace::Slice) { self.0.slice(slice); }
/// #     fn record(&mut self, _: &trace::MoveRecord) -> Result<(), run::SinkError> { Ok(()) }
/// #     fn pulse(&mut self, _: u64, _: [i8; 3]) -> Result<(), run::SinkError> { Ok(()) }
/// # }
/// # let machine = machine_file::read("belt.toml", include_str!("../../../docs/demo/belt-router.toml"))?;
/// let text = "G21 G90\nG1 X50 F3000\nY50\nM2\n";
/// // `Ears` is a sink that passes each slice on to its `Places`.
/// let mut sink = Ears(Places::new(&machine));
/// let items = program::Reader::new("two.nc", text.as_bytes(), program::Settings::for_machine(&machine));
/// let totals = run::run(&machine, [0.0; 3], items, &mut sink)?;
/// let found = sink.0.found();
/// assert_eq!(found.places.len(), 3); // the start, the corner, the end
/// let rows = places::rows(&found, 10, &machine, totals.job_time_s);
/// let corner = rows.iter().find(|row| row.reason == "corner").unwrap();
/// assert_eq!(
///     corner.why,
///     "the path turns 90° at once, and the junction deviation is 0.02 mm; \
///      y can change speed by at most 500 mm/s²"
/// );
/// assert!((found.lost_s() - (totals.job_time_s - totals.feed_time_s)).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Places {
    heading: Heading,
    speeds: Point,
    /// The place under way, and the highest speed since its low point.
    open: Option<Dip>,
    peak_mm_s: f64,
    /// What follows that highest speed: the next place, or a ripple of this one.
    next: Option<Dip>,
    /// The machine has come down to the lower speed of a move, and moves at it.
    level: bool,
    /// The stretch under way on which an axis is at its speed limit.
    held: Option<Held>,
    overrides: Overrides,
    moved: bool,
    kept: Keeper,
}

impl Places {
    /// None yet, of a run on `machine`.
    pub fn new(machine: &Machine) -> Self {
        Self {
            heading: Heading::new(machine),
            speeds: machine.axes.map(|axis| axis.speed_limit_mm_s),
            open: None,
            peak_mm_s: 0.0,
            next: None,
            level: false,
            held: None,
            overrides: Overrides::default(),
            moved: false,
            kept: Keeper::default(),
        }
    }

    /// Takes in the next slice; slices come in the order of time. A rest of the program costs nothing.
    pub fn slice(&mut self, slice: &Slice) {
        if slice.is_standstill() {
            self.stands(slice);
        }
        if slice.kind.is_none() {
            return;
        }
        self.overrides.slice(slice, &mut self.kept);
        let overridden = slice.overridden.is_some();
        let at_cap = !overridden && is_at_cap(slice);
        // Below the speed that the axes allow, that speed is not what holds the machine back.
        let reached_mm_s = if at_cap {
            slice.cap_mm_s
        } else {
            slice.asked_mm_s
        };
        let there_s = slice.length_mm / reached_mm_s;
        if !overridden {
            self.hold(slice, at_cap, there_s - slice.length_mm / slice.asked_mm_s);
        }
        let first = !std::mem::replace(&mut self.moved, true);
        let junction = self.heading.slice(slice);
        if let (Some(junction), Some(dip)) = (junction, self.next.as_mut().or(self.open.as_mut())) {
            dip.turns(&junction);
        }
        if overridden {
            // Its time is booked.
            self.steady(slice, 0.0);
            return;
        }
        let lost_s = slice.duration_s - there_s;
        if at_cap {
            self.steady(slice, lost_s);
            return;
        }
        let mut dip = Dip::of(slice, lost_s, first);
        if std::mem::take(&mut self.level) && !self.leaves_slower_move(slice) {
            self.close();
        }
        if self.open.is_none() && !first {
            dip.reaches_full_speed();
        }
        // A place that begins with pulling away lies at the junction before it.
        if self.open.is_none()
            && slice.entry_mm_s < slice.exit_mm_s
            && let Some(junction) = junction
        {
            dip.turns(&junction);
        }
        self.add(slice, dip);
    }

    /// The machine stands where it came to rest last: for a hold, or because no moves come.
    fn stands(&mut self, slice: &Slice) {
        let dip = Dip::of(slice, slice.lost_s(), false);
        match self.next.as_mut().or(self.open.as_mut()) {
            Some(under_way) => under_way.absorb(dip),
            None => (self.open, self.peak_mm_s) = (Some(dip), 0.0),
        }
    }

    /// Books what the axes' speed limits cost where they are reached; a stretch goes on over the
    /// slow places in it.
    fn hold(&mut self, slice: &Slice, reached: bool, lost_s: f64) {
        if !Held::holds(slice) {
            self.kept.rounding(lost_s);
            let held = self.held.take();
            held.into_iter()
                .for_each(|held| self.kept.add(held.place()));
            return;
        }
        match &mut self.held {
            _ if !reached => {}
            Some(held) => held.absorb(slice, lost_s, &self.speeds),
            None => self.held = Some(Held::of(slice, lost_s, &self.speeds)),
        }
    }

    /// A slice at the cap of its move parts places, but for the lower speed of a move that the
    /// machine has braked for: that place goes on until it has pulled away.
    fn steady(&mut self, slice: &Slice, lost_s: f64) {
        let in_slower_move = self.next.is_none()
            && self.open.as_ref().is_some_and(|dip| {
                dip.is_for_slower_move()
                    && slice.entry_mm_s <= dip.lowest_mm_s() * (1.0 + SAME_SPEED)
            });
        if in_slower_move {
            self.level = true;
        } else {
            self.close();
        }
        self.kept.rounding(lost_s);
    }

    fn leaves_slower_move(&self, slice: &Slice) -> bool {
        let is_same = |dip: &Dip| dip.low_point() == slice.low_point;
        slice.exit_mm_s > slice.entry_mm_s && self.open.as_ref().is_some_and(is_same)
    }

    fn add(&mut self, slice: &Slice, dip: Dip) {
        let (entry, exit) = (slice.entry_mm_s, slice.exit_mm_s);
        let Some(open) = &mut self.open else {
            self.open = Some(dip);
            self.peak_mm_s = exit;
            return;
        };
        if let Some(next) = &mut self.next {
            next.absorb(dip);
        } else if exit < entry && self.peak_mm_s > open.lowest_mm_s() {
            self.next = Some(dip);
        } else {
            let before = open.lowest_mm_s();
            open.absorb(dip);
            self.peak_mm_s = if open.lowest_mm_s() < before {
                exit
            } else {
                self.peak_mm_s.max(exit)
            };
        }
        self.part(exit);
    }

    /// Says whether what follows the highest speed is a place of its own, as soon as it shows.
    fn part(&mut self, speed: f64) {
        let (Some(open), Some(next)) = (&mut self.open, &self.next) else {
            return;
        };
        let peak = self.peak_mm_s;
        let stands_out = |dip: &Dip| dip.lowest_mm_s() * PROMINENCE < peak;
        if stands_out(open) && stands_out(next) {
            let done = std::mem::replace(open, next.clone());
            self.next = None;
            self.peak_mm_s = speed;
            self.kept.add(done.place(false));
        } else if speed >= peak || (!stands_out(open) && next.lowest_mm_s() <= open.lowest_mm_s()) {
            open.absorb(next.clone());
            self.next = None;
            self.peak_mm_s = speed;
        }
    }

    fn whole(&self) -> Option<Dip> {
        let mut open = self.open.clone()?;
        if let Some(next) = &self.next {
            open.absorb(next.clone());
        }
        Some(open)
    }

    /// Ends the place under way at full speed.
    fn close(&mut self) {
        if let Some(mut dip) = self.whole() {
            dip.reaches_full_speed();
            self.kept.add(dip.place(false));
        }
        (self.open, self.next) = (None, None);
    }

    /// The places so far, the one under way with them as the end of the job.
    pub fn found(&self) -> Found {
        let dip = self.whole().map(|dip| dip.place(true));
        let held = self.held.as_ref().map(Held::place);
        let under_way = dip.into_iter().chain(held);
        self.kept.found(under_way.chain(self.overrides.places()))
    }
}

fn is_at_cap(slice: &Slice) -> bool {
    slice.entry_mm_s.min(slice.exit_mm_s) >= slice.cap_mm_s * (1.0 - SAME_SPEED)
}
