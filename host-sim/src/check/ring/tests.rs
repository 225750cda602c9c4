//! Against a plain list of all samples, searched from end to end.

use super::super::random_motion::Random;
use super::*;

const ROOM: usize = 8;
const SPACING: f64 = 3.0;

/// Every sample that was kept, and those of which the ring still knows.
struct Plain {
    kept: Vec<Sample>,
}

impl Plain {
    fn takes(&self, t: f64) -> bool {
        self.kept.last().is_none_or(|last| t >= last[0] + SPACING)
    }

    fn oldest(&self) -> usize {
        // One slot is lent to the sample that is not kept.
        let held = self.kept.len().min(ROOM - 1);
        self.kept.len() - held
    }

    /// All indices from `from` on whose sample is at least so old.
    fn old(&self, from: usize, limit: usize, t: f64, span: f64) -> Vec<usize> {
        let from = from.max(self.oldest());
        let all = from..limit.min(self.kept.len());
        all.filter(|at| t - self.kept[*at][0] >= span).collect()
    }
}

/// A ring and the list, after so many samples at whole ticks.
fn filled(random: &mut Random, samples: usize) -> (Ring<ROOM>, Plain, f64) {
    let mut ring = Ring::new(6.0 * SPACING, 6);
    let mut plain = Plain { kept: Vec::new() };
    let mut t = 0.0;
    for at in 0..samples {
        let sample = [t, random.side(), at as f64];
        assert_eq!(ring.takes(t), plain.takes(t), "{t}");
        if random.part() < 0.1 {
            ring.keep(sample);
            plain.kept.push(sample);
        } else {
            let kept = ring.push(sample);
            assert_eq!(kept, plain.takes(t), "{t}");
            if kept {
                plain.kept.push(sample);
            }
        }
        t += (4.0 * random.part()).floor();
    }
    (ring, plain, t)
}

#[test]
fn samples_are_kept_and_forgotten_in_turn() {
    let mut random = Random::new(1);
    for samples in 0..60 {
        let (ring, plain, _) = filled(&mut random, samples);
        assert_eq!(ring.next(), plain.kept.len());
        assert_eq!(ring.oldest(), plain.oldest());
        for at in plain.oldest()..plain.kept.len() {
            assert_eq!(ring.get(at), plain.kept[at]);
            assert_eq!(ring.time(at), plain.kept[at][0]);
        }
        let due = plain.kept.last().map_or(f64::NEG_INFINITY, |l| l[0] + 3.0);
        assert_eq!(ring.due(), due);
    }
}

#[test]
fn the_search_finds_what_a_look_at_all_finds() {
    let mut random = Random::new(2);
    for samples in 0..60 {
        let (ring, plain, now) = filled(&mut random, samples);
        for from in 0..=ring.next() {
            for span in [0.0, 1.0, 3.0, 4.0, 7.0, 12.0, 40.0] {
                for t in [now, now + 1.0, now + 2.5] {
                    for limit in from..=ring.next() {
                        let found = plain.old(from, limit, t, span).last().copied();
                        assert_eq!(ring.back(from, limit, t, span), found);
                    }
                    let found = plain.old(from, ring.next(), t, span).last().copied();
                    let from = from.max(plain.oldest());
                    assert_eq!(ring.follow(from, t, span), found.unwrap_or(from));
                }
            }
        }
    }
}

// Until the time told the answer stays, whatever comes; at that time the next sample is old enough, or may be.
#[test]
fn the_answer_holds_until_the_time_told() {
    let mut random = Random::new(3);
    for samples in 0..60 {
        let (ring, plain, now) = filled(&mut random, samples);
        for span in [1.0, 3.0, 4.0, 7.0, 12.0, 40.0] {
            let answer = ring.back(0, ring.next(), now, span);
            let from = answer.unwrap_or(0).max(plain.oldest());
            let until = ring.until(from, now, span);
            let next = if answer.is_some() { from + 1 } else { from };
            let next = plain.kept.get(next).map_or(now, |sample| sample[0]);
            assert_eq!(until, next + span, "{samples} {span}");
        }
    }
}
