//! What turns within T, and those beside a rest, may change the velocity by.

use super::{Limited, Path, Vector, WINDOW, minus, norm};

impl Path {
    /// A change that can be made at once at any speed.
    pub fn slight(&self, change: Vector) -> bool {
        norm(change).powi(2) * self.reach2(self.fastest()) <= WINDOW * WINDOW
    }

    /// So long that a T passes on half of it at any speed.
    fn passes_t(&self, half: f64) -> bool {
        let (x, y, z) = (self.limits[0], self.limits[1], self.limits[2]);
        let (all, least) = ((x * x + y * y + z * z).sqrt(), x.min(y).min(z));
        half > 0.25 * WINDOW * all / least && half * half > self.reach2(self.fastest())
    }

    /// v² where a change of direction takes 1.05·A·T: v·|Δu| = 1.05·A·T, T² = 8δ/A, A = |Δu|/share.
    pub fn one_turn(&self, change: Vector) -> f64 {
        1.05 * 1.05 * WINDOW / (norm(change) * self.share(change))
    }

    pub fn beside_rest(&self, part: usize, change: Vector) -> f64 {
        if self.passes_t(self.parts[part].length) || self.slight(change) {
            f64::INFINITY
        } else {
            self.one_turn(change) / 4.0
        }
    }

    /// Two turns that may fall into one T, or one near rest.
    pub fn close_turns(&mut self, turn: usize) {
        let cap = |limited: &mut Limited, v2: f64| limited.most = limited.most.min(v2);
        if turn == 1 {
            let v2 = self.beside_rest(0, self.change(1));
            cap(&mut self.turns[1], v2);
            return;
        }
        let between = self.parts[turn - 1];
        let change = minus(self.parts[turn].way, self.parts[turn - 2].way);
        let share = self.share(change);
        if self.passes_t(0.5 * between.length) || self.slight(change) || share == 0.0 {
            return;
        }
        let width = norm(change);
        let t = (WINDOW * share / width).sqrt();
        let along = 1.0 / self.share(between.way);
        // From v to v over l in the shortest time t: half of it up and half down, l = v·t + a·t²/4.
        let part = |v: f64| {
            let time = 2.0 * ((v * v + along * between.length).sqrt() - v) / along;
            time / t
        };
        // A·T/|Δu|, with A = |Δu|/share.
        let whole = t / share;
        let v = whole * (1.05 + part(1.6 * whole)).min(1.6);
        // The speed from which the way takes all of T.
        let apart = (between.length / t - along * t / 4.0).max(0.0);
        for at in [turn - 1, turn] {
            cap(&mut self.turns[at], (v * v).max(apart * apart));
        }
    }
}
