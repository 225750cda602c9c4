//! Where words find room beside a mark, clear of the lines of a chart.

use super::canvas::{Frame, Spot};

/// From the mark to the words.
const GAP: f64 = 10.0;
/// Steps in which a place is looked for.
const STEP: f64 = 3.0;
/// Room between words and lines.
const AIR: f64 = 3.0;

/// The upper left corner for words of `size` (width, height) beside the mark `at`, within `frame`: the one
/// nearest to the mark that meets none of `lines`; where all do, the one that meets the fewest.
pub(super) fn clear_spot(
    frame: &Frame,
    at: Spot,
    (width, height): (f64, f64),
    lines: &[Vec<Spot>],
) -> Spot {
    let lefts = [at.0 - GAP - width, at.0 + GAP, at.0 - 0.5 * width];
    let rows = (frame.height / STEP) as i32;
    let mut best: Option<((usize, f64), Spot)> = None;
    for row in -rows..=rows {
        let middle = at.1 + f64::from(row) * STEP;
        let top = middle - 0.5 * height;
        if top < frame.y + AIR || top + height > frame.y + frame.height - AIR {
            continue;
        }
        for left in lefts {
            let right = left + width;
            let beside = left >= at.0 || right <= at.0;
            let covers = !beside && (middle - at.1).abs() < GAP + 0.5 * height;
            if left < frame.x + AIR || right > frame.x + frame.width || covers {
                continue;
            }
            let words = [(left - AIR, top - AIR), (right + AIR, top + height + AIR)];
            let met = lines.iter().filter(|line| meets(line, words)).count();
            let rank = (met, (middle - at.1).abs());
            if best.is_none_or(|(known, _)| rank < known) {
                best = Some((rank, (left, top)));
            }
        }
    }
    // A chart that has room for no words at all.
    best.map_or((frame.x, frame.y), |(_, corner)| corner)
}

/// A part of the line lies within the box.
fn meets(line: &[Spot], [low, high]: [Spot; 2]) -> bool {
    line.windows(2)
        .any(|two| crosses([two[0], two[1]], low, high))
}

/// Clips a segment at the sides of a box, one after the other (Liang, Barsky 1984; memory).
fn crosses([from, to]: [Spot; 2], low: Spot, high: Spot) -> bool {
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (start, change, least, most) in [
        (from.0, to.0 - from.0, low.0, high.0),
        (from.1, to.1 - from.1, low.1, high.1),
    ] {
        if change == 0.0 {
            if start < least || start > most {
                return false;
            }
            continue;
        }
        let ends = [(least - start) / change, (most - start) / change];
        enters = enters.max(ends[0].min(ends[1]));
        leaves = leaves.min(ends[0].max(ends[1]));
    }
    enters <= leaves
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Frame {
        Frame {
            x: 0.0,
            y: 0.0,
            width: 400.0,
            height: 200.0,
            xs: 0.0..1.0,
            ys: 0.0..1.0,
            x_title: String::new(),
            y_title: String::new(),
        }
    }

    #[test]
    fn words_keep_clear_of_lines_and_stay_near() {
        let size = (80.0, 16.0);
        // A line that falls to the mark: above it there is room on the right alone, below on the left.
        let falling = vec![(0.0, 20.0), (300.0, 120.0), (400.0, 150.0)];
        let (left, top) = clear_spot(
            &frame(),
            (300.0, 120.0),
            size,
            std::slice::from_ref(&falling),
        );
        let words = [(left, top), (left + size.0, top + size.1)];
        assert!(!meets(&falling, words), "{words:?}");
        assert!((top + 8.0 - 120.0).abs() < 40.0, "{words:?}");
        // At the edge there is room on the left alone.
        let (left, _) = clear_spot(&frame(), (395.0, 100.0), size, &[]);
        assert!(left + size.0 <= 395.0);
        // Lines everywhere: somewhere all the same, within the frame.
        let all: Vec<Vec<Spot>> = (0..200)
            .map(|y| vec![(0.0, f64::from(y)), (400.0, f64::from(y))])
            .collect();
        let (left, top) = clear_spot(&frame(), (200.0, 100.0), size, &all);
        assert!(left >= 0.0 && top >= 0.0 && top + size.1 <= 200.0);
    }
}
