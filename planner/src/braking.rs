//! The queue behind the look-ahead: how fast the front move may end so that everything behind it
//! can still be braked for, in amortised constant time a move, whatever the capacity.
//!
//! On b = v², braking from one junction to a later one lowers b by at most the sum of 2·A·L
//! between them, the *reach*. With S the running sum of reaches, junction j with cap c_j lets b at
//! an earlier junction i be at most (c_j + S_j) − S_i. So the bound at the front is the least of
//! c_j + S_j over the queue, less S at the front's end: a sliding-window minimum, kept by a queue
//! of candidates that rise from front to back. A move that comes in throws out the candidates
//! that it undercuts; each is put in and thrown out once.
//!
//! Sums are whole numbers of 2⁻²³ mm²/s² and wrap: only differences count, and those of a full
//! queue stay within 63 bits (2²⁵ mm²/s² × 2¹⁴ moves × 2²³).

use crate::math::{halved, least};
use crate::reason::LowPoint;
use heapless::Deque;

/// The unit of the sums is 2⁻²³ mm²/s², as that of the fraction of a float of 1 to 2 is.
const UNIT: u32 = 23;

/// The most v² that counts: (5 793 mm/s)², past what six axes at 2 000 mm/s make together; a longer
/// reach changes nothing.
const MOST: f32 = (1_u32 << 25) as f32;

/// The largest capacity for which the sums cannot overflow.
pub(crate) const LARGEST: usize = 1 << 14;

/// v², 0 or more, in the unit of the sums, rounded down, so that no limit is passed.
fn units(v2: f32) -> i64 {
    let bits = least(v2, MOST).to_bits();
    let fraction = bits & 0x007f_ffff | 0x0080_0000;
    match (bits >> 23).checked_sub(127) {
        Some(up) => i64::from(fraction) << up,
        None => (fraction.checked_shr(127 - (bits >> 23)).unwrap_or(0)).into(),
    }
}

#[derive(Debug)]
pub(crate) struct BrakingQueue<T, const Q: usize> {
    spans: Deque<Span<T>, Q>,
    candidates: Deque<Candidate, Q>,
    /// Most spans to hold at a time, at most `Q`.
    depth: usize,
    /// Running number of the front span.
    front: u16,
    /// Running sum of reaches at the end of the front span, and at the end of the queue.
    front_end: i64,
    end: i64,
}

#[derive(Debug)]
struct Span<T> {
    item: T,
    /// As it was given: half as large as its whole number, which is made of it when it is needed.
    reach: f32,
}

/// A junction that may be the one to brake for.
#[derive(Debug)]
struct Candidate {
    /// Cap and running sum of the junction, together.
    level: Level,
    /// Running number of the span that begins at the junction: it wraps, and no queue is as long.
    span: u16,
    low: LowPoint,
}

/// A running sum that takes no more room than its bytes.
#[derive(Clone, Copy, Debug)]
struct Level([u32; 2]);

impl From<i64> for Level {
    fn from(sum: i64) -> Self {
        Self([sum as u32, (sum >> 32) as u32])
    }
}

impl Level {
    fn above(self, other: i64) -> i64 {
        self.sum().wrapping_sub(other)
    }

    fn sum(self) -> i64 {
        let Self([low, high]) = self;
        i64::from(high) << 32 | i64::from(low)
    }
}

/// How fast the front span may end.
pub(crate) struct Bound {
    /// Most v², mm²/s².
    pub v2: f32,
    /// Most v² from which every cap can still be kept by braking along the path.
    pub firm: f32,
    /// The junction that it comes from, `None` for the end of the queue.
    pub low: Option<LowPoint>,
    /// That junction is the end of the front span itself.
    pub adjacent: bool,
}

impl<T, const Q: usize> BrakingQueue<T, Q> {
    pub fn new() -> Self {
        const {
            assert!(
                Q >= 2 && Q <= LARGEST,
                "a look-ahead queue holds 2 to 16384 moves"
            )
        }
        Self {
            spans: Deque::new(),
            candidates: Deque::new(),
            depth: Q,
            front: 0,
            front_end: 0,
            end: 0,
        }
    }

    /// Holds at most `depth` spans from now on; false, and no change, where that is not 2 to `Q`.
    pub fn limit_depth(&mut self, depth: usize) -> bool {
        let fits = (2..=Q).contains(&depth);
        if fits {
            self.depth = depth;
        }
        fits
    }

    pub fn len(&self) -> usize {
        self.spans.len()
    }

    pub fn is_full(&self) -> bool {
        self.spans.len() >= self.depth
    }

    /// So many more can be pushed.
    pub fn has_room(&self, spans: usize) -> bool {
        self.spans.len() + spans <= self.depth
    }

    pub fn front(&self) -> Option<&T> {
        self.spans.front().map(|span| &span.item)
    }

    /// The item at the end.
    pub fn last(&self) -> Option<&T> {
        self.spans.back().map(|span| &span.item)
    }

    /// The items from front to back.
    pub fn items(&self) -> impl Iterator<Item = &T> {
        self.spans.iter().map(|span| &span.item)
    }

    /// The item so many places behind the front, and its reach.
    pub fn get_mut(&mut self, place: usize) -> Option<(&mut T, f32)> {
        let span = self.spans.get_mut(place)?;
        Some((&mut span.item, span.reach))
    }

    /// Adds a span whose entry may have at most v² = `entry`, because of `low`, and over which v²
    /// can change by `reach` (mm²/s²). The item comes back where there is no room.
    pub fn push(&mut self, item: T, entry: f32, low: LowPoint, reach: f32) -> Result<(), T> {
        if self.is_full() {
            return Err(item);
        }
        let span = Span { item, reach };
        let place = self.spans.len();
        let reach = units(reach);
        if place == 0 {
            // The entry of the front span is already decided.
            self.front_end = self.end.wrapping_add(reach);
        } else {
            self.take_up(place, entry, low);
        }
        self.end = self.end.wrapping_add(reach);
        self.spans.push_back(span).map_err(|span| span.item)
    }

    /// The span so many places behind the front, which begins where the sums end, becomes a candidate.
    fn take_up(&mut self, place: usize, entry: f32, low: LowPoint) {
        let level = self.end.wrapping_add(units(entry));
        while self
            .candidates
            .pop_back_if(|c| c.level.above(level) >= 0)
            .is_some()
        {}
        let candidate = Candidate {
            level: level.into(),
            span: self.front.wrapping_add(place as u16),
            low,
        };
        // There are fewer candidates than spans, so there is room.
        let _ = self.candidates.push_back(candidate);
    }

    /// Gives every span behind the front a new entry: `entry` is called with each item, the front with
    /// them, from front to back.
    pub fn renew(&mut self, mut entry: impl FnMut(&mut T) -> (f32, LowPoint)) {
        self.candidates.clear();
        self.end = self.front_end;
        for place in 0..self.spans.len() {
            let Some(span) = self.spans.get_mut(place) else {
                break;
            };
            let (entry, low) = entry(&mut span.item);
            let reach = units(span.reach);
            if place > 0 {
                self.take_up(place, entry, low);
                self.end = self.end.wrapping_add(reach);
            }
        }
    }

    /// Drops all.
    pub fn clear(&mut self) {
        self.spans.clear();
        self.candidates.clear();
    }

    /// Takes the front span out.
    pub fn pop(&mut self) -> Option<T> {
        let span = self.spans.pop_front()?;
        self.front = self.front.wrapping_add(1);
        if let Some(next) = self.spans.front() {
            self.front_end = self.front_end.wrapping_add(units(next.reach));
        }
        let front = self.front;
        self.candidates.pop_front_if(|c| c.span == front);
        Some(span.item)
    }

    /// How fast the front span may end.
    pub fn bound(&self) -> Bound {
        let (level, low, adjacent) = match self.candidates.front() {
            Some(c) if c.level.above(self.end) <= 0 => {
                let adjacent = c.span == self.front.wrapping_add(1);
                (c.level.sum(), Some(c.low), adjacent)
            }
            _ => (self.end, None, self.spans.len() == 1),
        };
        let v2 = halved(level.wrapping_sub(self.front_end) as f32, UNIT);
        Bound {
            v2,
            firm: v2,
            low,
            adjacent,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bound(queue: &BrakingQueue<u8, 4>) -> (f32, Option<LowPoint>, bool) {
        let bound = queue.bound();
        (bound.v2, bound.low, bound.adjacent)
    }

    #[test]
    fn the_end_of_the_front_is_told_from_later_places() {
        let mut queue: BrakingQueue<u8, 4> = BrakingQueue::new();
        queue.push(0, 0.0, LowPoint::Stop, 1000.0).unwrap();
        // The end of the queue, which is that of the front.
        assert_eq!(bound(&queue), (0.0, None, true));
        queue.push(1, 700.0, LowPoint::Corner, 500.0).unwrap();
        assert_eq!(bound(&queue), (500.0, None, false));
        queue.push(2, 900.0, LowPoint::Bend, 500.0).unwrap();
        assert_eq!(bound(&queue), (700.0, Some(LowPoint::Corner), true));
        queue.push(3, 100.0, LowPoint::Feed, 500.0).unwrap();
        assert_eq!(queue.last(), Some(&3));
        queue.pop();
        assert_eq!(bound(&queue), (600.0, Some(LowPoint::Feed), false));
        queue.pop();
        assert_eq!(bound(&queue), (100.0, Some(LowPoint::Feed), true));
    }
}
