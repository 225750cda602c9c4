//! Braking over one move or many, as a map: how fast a place may be passed (as v²), given how fast
//! a later place may be.
//!
//! Along a straight move v² may fall by its reach R = 2·A·L. On a bend the turn itself takes a
//! part v²/B of the acceleration, and braking gets what is left: A·(1 − v²/B). Over a move that is
//! v² ≤ (v²_later + R)/(1 + R/B), and so is speeding up, the other way round.
//!
//! Such maps, each with a cap, make another of the same kind when one follows the other:
//! min(m, s·b + a) after min(n, t·b + c) is min(min(m, s·n + a), s·t·b + s·c + a). Where m ≤ a, nothing
//! later counts: from m even a stop can be braked for.

use crate::math::{halved, less};
use crate::moves::LONG;
use crate::reason::LowPoint;

#[derive(Clone, Copy, Debug)]
pub(crate) struct BrakeMap {
    most: f32,
    scale: f32,
    add: f32,
    low: LowPoint,
    /// `most` is the cap of the first place of all.
    own: bool,
}

/// What a map allows.
#[derive(Debug)]
pub(crate) struct Passing {
    /// Most v², mm²/s².
    pub v2: f32,
    /// The place that it comes from, `None` for the last place of all.
    pub low: Option<LowPoint>,
    /// That place is the first one itself.
    pub own: bool,
}

impl BrakeMap {
    /// No way at all.
    pub const NONE: Self = Self {
        most: f32::MAX,
        scale: 1.0,
        add: 0.0,
        low: LowPoint::QueueEnd,
        own: false,
    };

    /// A place of rest.
    pub const REST: Self = Self {
        most: 0.0,
        low: LowPoint::Stop,
        own: true,
        ..Self::NONE
    };

    /// A move that begins where v² may be at most `cap`, because of `low`, with reach `reach`, on
    /// a bend that leaves no acceleration at v² = `bend`.
    pub fn new(cap: f32, low: LowPoint, reach: f32, bend: f32) -> Self {
        let straight = Self {
            most: cap,
            scale: 1.0,
            add: reach,
            low,
            own: true,
        };
        if !less(bend, f32::INFINITY) {
            return straight;
        }
        let scale = 1.0 / (1.0 + reach / bend);
        Self {
            scale,
            add: reach * scale,
            ..straight
        }
    }

    /// Nothing later counts.
    pub fn is_whole(&self) -> bool {
        !less(self.add, self.most)
    }

    /// The same way where, besides, a bend begins that may be passed with at most v² = `cap`, and takes
    /// `share` of the acceleration per v², at v² = `within` at most: see `Straight::shares`.
    pub fn on_bend(&self, share: f32, within: f32, cap: f32) -> Self {
        let mut bent = *self;
        if less(0.0, share) {
            if less(within * share, halved(1.0, LONG)) {
                bent.add *= 1.0 - within * share;
            } else {
                let part = 1.0 / (1.0 + self.add * share);
                bent.most *= part;
                bent.scale *= part;
                bent.add *= part;
            }
        }
        if less(cap, bent.most) {
            (bent.most, bent.low) = (cap, LowPoint::Bend);
        }
        bent
    }

    /// This, and then `later`.
    pub fn then(&self, later: &Self) -> Self {
        if self.is_whole() {
            return *self;
        }
        if !less(self.most, f32::MAX) {
            return Self {
                own: false,
                ..*later
            };
        }
        // On a straight way there is nothing to multiply with.
        let scaled = |x| {
            if less(self.scale, 1.0) {
                self.scale * x
            } else {
                x
            }
        };
        let beyond = scaled(later.most) + self.add;
        let (most, low, own) = if !less(beyond, self.most) {
            (self.most, self.low, self.own)
        } else {
            (beyond, later.low, false)
        };
        Self {
            most,
            scale: scaled(later.scale),
            add: scaled(later.add) + self.add,
            low,
            own,
        }
    }

    /// How fast the first place may be passed where the last one may be at `v2`.
    pub fn at(&self, v2: f32) -> Passing {
        let v2 = self.scale * v2 + self.add;
        if !less(v2, self.most) {
            Passing {
                v2: self.most,
                low: Some(self.low),
                own: self.own,
            }
        } else {
            Passing {
                v2,
                low: None,
                own: false,
            }
        }
    }
}

#[cfg(test)]
mod tests;
