//! The textbook rival of the look-ahead: at every move that comes in, one backward and one
//! forward pass over the whole queue.

use spokeshave::{Machine, Point};
use std::collections::VecDeque;

struct Move {
    entry_cap: f32,
    reach: f32,
    entry: f32,
}

/// Plans `path` with a queue of `capacity` moves; returns the sum of the v² at which moves leave
/// the queue.
pub fn plan(machine: &Machine<3>, from: Point<3>, path: &[Point<3>], capacity: usize) -> f32 {
    let mut queue: VecDeque<Move> = VecDeque::with_capacity(capacity);
    let mut before: Option<[f32; 3]> = None;
    let mut at = from;
    let mut left = 0.0;
    for to in path {
        let way: [f32; 3] =
            std::array::from_fn(|i| (to[i].counts() - at[i].counts()) as f32 / 131_072.0);
        let length = way.iter().map(|x| x * x).sum::<f32>().sqrt();
        let heading = way.map(|x| x / length);
        let limit = |direction: &[f32; 3], of: &dyn Fn(usize) -> f32| {
            (0..3)
                .map(|i| of(i) / direction[i].abs())
                .fold(f32::INFINITY, f32::min)
        };
        let axes = machine.axes();
        let acceleration = limit(&heading, &|i| axes[i].acceleration_limit);
        let cap = limit(&heading, &|i| axes[i].speed_limit);
        let corner = before.map_or(0.0, |before| {
            let change: [f32; 3] = std::array::from_fn(|i| heading[i] - before[i]);
            let width = change.iter().map(|x| x * x).sum::<f32>().sqrt();
            let normal = change.map(|x| x / width);
            let s2 = 0.25 * width * width;
            let c = (1.0 - s2).max(0.0).sqrt();
            limit(&normal, &|i| axes[i].acceleration_limit)
                * machine.junction_deviation()
                * c
                * (1.0 + c)
                / s2
        });
        if queue.len() == capacity {
            left += queue.pop_front().map_or(0.0, |gone| gone.entry);
        }
        queue.push_back(Move {
            entry_cap: corner.min(cap * cap),
            reach: 2.0 * acceleration * length,
            entry: 0.0,
        });
        let mut exit = 0.0;
        for m in queue.iter_mut().rev() {
            m.entry = m.entry_cap.min(exit + m.reach);
            exit = m.entry;
        }
        let mut most = queue.front().map_or(0.0, |m| m.entry);
        for m in &mut queue {
            m.entry = m.entry.min(most);
            most = m.entry + m.reach;
        }
        before = Some(heading);
        at = *to;
    }
    left + queue.iter().map(|m| m.entry).sum::<f32>()
}
