//! The law as the module documentation has it, in double precision: for each place where a turn begins or
//! ends, the shortest stretch from there, forward and back, in which d·|Δu| comes to 8δ, found by walking
//! over the whole path each time.

mod close_turns;

use std::vec::Vec;

pub(crate) const DEVIATION: f64 = 0.02;
const WINDOW: f64 = 8.0 * DEVIATION;

pub(crate) type Vector = [f64; 3];

pub(crate) fn minus(a: Vector, b: Vector) -> Vector {
    [0, 1, 2].map(|i| a[i] - b[i])
}

pub(crate) fn norm(v: Vector) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// A straight part of the path.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Part {
    pub way: Vector,
    pub length: f64,
    /// Most v².
    pub fastest: f64,
}

/// What is known of the turn at the start of a part.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limited {
    pub spread: f64,
    /// How far it would go with all the room.
    pub asked: f64,
    pub lone: bool,
    pub most: f64,
    pub rate: Vector,
}

#[derive(Debug)]
pub(crate) struct Path {
    pub limits: Vector,
    pub parts: Vec<Part>,
    pub turns: Vec<Limited>,
    /// Where each part begins.
    starts: Vec<f64>,
    /// The shortest stretch forward from these places is found.
    met: Vec<bool>,
    /// So many parts are there yet.
    seen: usize,
}

/// A place along the path: where a turn begins or ends, and the direction there.
#[derive(Clone, Copy, Debug)]
struct Place {
    at: f64,
    way: Vector,
}

impl Path {
    /// From rest, with `ends` to rest.
    pub fn new(limits: Vector, parts: &[Part], ends: bool) -> Self {
        let mut path = Self {
            limits,
            parts: parts.to_vec(),
            turns: Vec::new(),
            starts: Vec::new(),
            met: std::vec![false; 2 * parts.len()],
            seen: 1,
        };
        let mut start = 0.0;
        for (i, part) in parts.iter().enumerate() {
            path.starts.push(start);
            start += part.length;
            let (mut spread, mut asked, mut lone) = (0.0, 0.0, false);
            if i > 0 {
                let width = path.width(i);
                let half = 0.5 * parts[i - 1].length.min(part.length);
                // δ·(1 + c)/s, with the half angle φ/2 of which sin is |w|/2.
                let (s, c) = (0.5 * width, (0.5 * width).asin().cos());
                asked = DEVIATION * (1.0 + c) / s;
                (spread, lone) = (asked.min(half), asked <= half);
            }
            path.turns.push(Limited {
                spread,
                asked,
                lone,
                most: f64::INFINITY,
                rate: [0.0; 3],
            });
        }
        for turn in 1..parts.len() {
            path.seen = turn + 1;
            path.close_turns(turn);
            path.up_to_turn(turn);
        }
        if ends {
            path.end();
        }
        path
    }

    fn change(&self, turn: usize) -> Vector {
        minus(self.parts[turn].way, self.parts[turn - 1].way)
    }

    fn width(&self, turn: usize) -> f64 {
        norm(self.change(turn))
    }

    fn shares(&self, by: Vector) -> Vector {
        [0, 1, 2].map(|i| by[i].abs() / self.limits[i])
    }

    /// The most that one axis is asked.
    fn share(&self, by: Vector) -> f64 {
        self.shares(by).into_iter().fold(0.0, f64::max)
    }

    /// v² and reach²: the length of a stretch that limits nothing any more, with the weakest of the axes.
    pub fn reach2(&self, v2: f64) -> f64 {
        let used = |i: &usize| {
            self.parts[..self.seen]
                .iter()
                .any(|part| part.way[*i].abs() > 2e-7)
        };
        let weakest = (0..3).filter(used).map(|i| self.limits[i]);
        v2 * WINDOW / weakest.fold(f64::INFINITY, f64::min)
    }

    fn fastest(&self) -> f64 {
        self.parts[..self.seen]
            .iter()
            .fold(0.0, |most, part| most.max(part.fastest))
    }

    fn fastest_at(&self, turn: usize) -> f64 {
        self.parts[turn].fastest.max(self.parts[turn - 1].fastest)
    }

    /// Begins and ends of turns, in order; where the path begins is the first.
    fn places(&self) -> Vec<Place> {
        let mut places = std::vec![Place {
            at: 0.0,
            way: self.parts[0].way
        }];
        for i in 1..self.parts.len() {
            let spread = self.turns[i].spread;
            for (at, part) in [(-spread, i - 1), (spread, i)] {
                places.push(Place {
                    at: self.starts[i] + at,
                    way: self.parts[part].way,
                });
            }
        }
        places
    }

    /// All turns within are asked for so much: a change of direction over a length.
    fn ask(&mut self, within: (f64, f64), turned: Vector, over: f64) {
        let rate = self.shares(turned).map(|share| share / over);
        for i in self.inside(within) {
            self.turns[i].most = self.turns[i].most.min(1.0 / norm(rate));
        }
        self.take(within, rate);
    }

    /// All turns within take so much, without a limit to v².
    fn take(&mut self, within: (f64, f64), rate: Vector) {
        for i in self.inside(within) {
            for (most, rate) in self.turns[i].rate.iter_mut().zip(rate) {
                *most = most.max(rate);
            }
        }
    }

    fn inside(&self, (from, to): (f64, f64)) -> Vec<usize> {
        let inside = |i: &usize| (from..=to).contains(&self.starts[*i]);
        (1..self.seen).filter(inside).collect()
    }

    /// The shortest stretch from a place, one of `places`, on which d·|Δu| comes to 8δ: its length and change of
    /// direction, and the place at which it does so.
    fn shortest(places: &[Place], from: usize, forward: bool) -> Option<(f64, Vector, usize)> {
        let origin = places[from];
        let apart = |place: &Place| (place.at - origin.at).abs();
        let others: Vec<usize> = if forward {
            (from..places.len()).collect()
        } else {
            (0..=from).rev().collect()
        };
        for pair in others.windows(2) {
            let (near, far) = (&places[pair[0]], &places[pair[1]]);
            let (u0, u1) = (minus(near.way, origin.way), minus(far.way, origin.way));
            let (d0, d1, g0, g1) = (apart(near), apart(far), norm(u0), norm(u1));
            if g1 > 1e-9 && d1 * g1 >= WINDOW {
                // Both grow evenly in between.
                let met = |t: f64| (d0 + t * (d1 - d0)) * (g0 + t * (g1 - g0)) >= WINDOW;
                let (mut low, mut high) = (0.0, 1.0);
                for _ in 0..60 {
                    let t = 0.5 * (low + high);
                    if met(t) { high = t } else { low = t }
                }
                let turned = [0, 1, 2].map(|i| u0[i] + high * (u1[i] - u0[i]));
                return Some((d0 + high * (d1 - d0), turned, pair[1]));
            }
        }
        None
    }

    /// All stretches that end in the part before a turn or in the turn, and those back from there, from the nearest
    /// on: as far as one can limit something.
    fn up_to_turn(&mut self, turn: usize) {
        let places = self.places();
        let (begin, end) = (2 * turn - 1, 2 * turn);
        let change = self.change(turn);
        let from_end = Self::shortest(&places, end, false);
        let from_begin = Self::shortest(&places, begin, false);
        let (mut fastest, mut walked, mut gentle) = (0.0_f64, 0, [0.0_f64; 3]);
        for part in (0..turn).rev() {
            if part + 1 == turn && !matches!(from_end, Some((.., at)) if at == begin - 1) {
                // More than the turn alone is needed to come to 8δ.
                if !self.slight(change) {
                    let v2 = self.one_turn(change);
                    self.turns[turn].most = self.turns[turn].most.min(v2);
                }
            }
            for at in [2 * part + 1, 2 * part] {
                if at == begin {
                    continue;
                }
                // Back from the begin of the turn, and from its end.
                for (from, shortest) in [(begin, from_begin), (end, from_end)] {
                    let (d, turned) = match shortest {
                        Some((d, turned, met)) if met == at => (d, turned),
                        _ => continue,
                    };
                    let nothing = from == end && at == begin - 1;
                    if !(nothing && self.turns[turn].lone && self.slight(change)) {
                        self.ask((places[from].at - d, places[from].at), turned, d);
                    }
                }
                if at == 0 {
                    continue;
                }
                if let Some((d, turned, met)) = Self::shortest(&places, at, true)
                    && (met == begin || met == end)
                {
                    self.met[at] = true;
                    // Not a long way up to a corner by itself.
                    let near = places[begin].at - places[at].at - self.turns[turn].spread;
                    let reach2 = self.reach2(self.fastest_at(turn));
                    let long = near > 0.0 && near * near >= reach2;
                    if !(at == begin - 1 && self.turns[turn].lone && long) {
                        self.ask((places[at].at, places[at].at + d), turned, d);
                    }
                }
            }
            let alone = self.turns[turn].lone && part + 1 == turn;
            walked = 2 * part;
            let d = places[end].at - places[walked].at;
            let long = part == 0 || d * d >= self.reach2(self.fastest_at(turn)) / 4.0;
            if !alone && long && !matches!(from_end, Some((.., at)) if at >= walked) {
                // What it takes of so long a way.
                let turned = minus(self.parts[turn].way, self.parts[part].way);
                for (most, share) in gentle.iter_mut().zip(self.shares(turned)) {
                    *most = most.max(share / d);
                }
            }
            fastest = fastest.max(self.turns[part].most.min(self.parts[part].fastest));
            let own = self.turns[turn].most.min(self.fastest_at(turn));
            let back = self.starts[turn] - self.starts[part];
            if back * back >= self.reach2(fastest.max(own)) {
                break;
            }
        }
        if !matches!(from_end, Some((.., at)) if at >= walked) {
            self.take((places[walked].at, places[end].at), gentle);
        }
    }

    /// The path ends in rest: stretches that are cut off count with the length that they have.
    fn end(&mut self) {
        let last = self.parts.len() - 1;
        let places = self.places();
        let length = self.starts[last] + self.parts[last].length;
        // Back as far as a stretch can limit the fastest speed.
        for turn in (1..last).rev() {
            for k in [2 * turn, 2 * turn - 1] {
                if !self.met[k] {
                    let turned = minus(self.parts[last].way, places[k].way);
                    self.ask((places[k].at, length), turned, length - places[k].at);
                }
            }
            if (self.starts[last] - self.starts[turn]).powi(2) >= self.reach2(self.fastest()) {
                break;
            }
        }
        let v2 = self.beside_rest(last, self.change(last));
        self.turns[last].most = self.turns[last].most.min(v2);
    }
}
