//! Events of a script as thin lines across a chart against time, with words above it that cross neither each other
//! nor a line.

use super::canvas::{Canvas, EM, Failure, Frame, LEFT, MARGIN};
use super::colour::SOFT_INK;
use super::text;
use super::time::TimeAxis;
use crate::recording::Recording;
use plotters::style::text_anchor::{HPos, VPos};

/// Most lines; more would hide the speed.
pub(super) const MOST: usize = 60;
/// Rows of words at most, and the height of one.
const MOST_ROWS: usize = 6;
const ROW: f64 = 14.0;
/// From a line to its words, and between words.
const GAP: f64 = 3.0;

/// Words beside the line at `x`, from `left` to `right`, in a row that counts from the chart up.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Label {
    x: f64,
    row: usize,
    left: f64,
    right: f64,
}

impl Label {
    /// The words of one, or its line that leads up to them, cross the words of the other.
    fn collides(&self, other: &Self) -> bool {
        let apart = self.right + GAP < other.left || other.right + GAP < self.left;
        let crosses = |line: &Self, words: &Self| {
            line.row > words.row && (words.left - GAP..=words.right + GAP).contains(&line.x)
        };
        (self.row == other.row && !apart) || crosses(self, other) || crosses(other, self)
    }
}

/// Finds room for words so wide beside lines at `x`, which do not fall, in `from..to`; none where there is none.
fn arrange(lines: &[(f64, f64)], from: f64, to: f64) -> Vec<Option<Label>> {
    let mut placed: Vec<Option<Label>> = vec![None; lines.len()];
    // From the right: words to the right of a line then pass over the lower words of those that follow.
    for (index, (x, width)) in lines.iter().copied().enumerate().rev() {
        let sides = [x + GAP, x - GAP - width];
        let candidates = sides.into_iter().flat_map(|left| {
            (0..MOST_ROWS).map(move |row| Label {
                x,
                row,
                left,
                right: left + width,
            })
        });
        let found = candidates
            .filter(|label| from <= label.left && label.right <= to)
            .find(|label| !placed.iter().flatten().any(|other| label.collides(other)));
        placed[index] = found;
    }
    placed
}

/// The marks of a run.
pub(super) struct EventMarks {
    lines: Vec<(f64, String, Option<Label>)>,
    rows: usize,
}

impl EventMarks {
    /// For a chart from `left`, so wide.
    pub fn new(recording: &Recording, time: &TimeAxis, left: f64, width: f64) -> Self {
        let x = |at_s: f64| {
            let share = (at_s * time.scale - time.span.start) / (time.span.end - time.span.start);
            left + width * share.clamp(0.0, 1.0)
        };
        let events = recording.events().iter().take(MOST);
        let lines: Vec<(f64, String)> = events
            .map(|event| (x(event.at_s), event.what.clone()))
            .collect();
        let widths: Vec<(f64, f64)> = lines
            .iter()
            .map(|(x, words)| (*x, text::width(words, EM - 1.0)))
            .collect();
        let labels = arrange(&widths, left - LEFT, left + width + MARGIN);
        let rows = labels.iter().flatten().map(|label| label.row + 1).max();
        let lines = lines.into_iter().zip(labels);
        Self {
            lines: lines.map(|((x, words), label)| (x, words, label)).collect(),
            rows: rows.unwrap_or(0),
        }
    }

    /// Height of the words above the chart.
    pub fn height(&self) -> f64 {
        self.rows as f64 * ROW
    }

    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// Draws lines across `frame` and words above it.
    pub fn draw(&self, canvas: &Canvas, frame: &Frame) -> Result<(), Failure> {
        for (x, words, label) in &self.lines {
            // Up to its words, or to the top of the chart.
            let top = label.map_or(frame.y, |label| {
                frame.y - (label.row as f64 + 1.0) * ROW + 2.0
            });
            let ends = [(*x, frame.y + frame.height), (*x, top)];
            canvas.line(&ends, SOFT_INK, 0.75)?;
            if let Some(label) = label {
                let y = frame.y - (label.row as f64 + 0.5) * ROW;
                let spot = (label.left, y);
                canvas.words(words, EM - 1.0, SOFT_INK, spot, HPos::Left, VPos::Center)?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_ROWS, arrange};

    #[test]
    fn words_cross_neither_words_nor_lines() {
        // Alone; two at once; a crowd; the last at the edge.
        let lines = [
            (50.0, 60.0),
            (300.0, 60.0),
            (300.0, 40.0),
            (500.0, 60.0),
            (510.0, 60.0),
            (520.0, 60.0),
            (530.0, 60.0),
            (995.0, 80.0),
        ];
        let labels = arrange(&lines, 0.0, 1000.0);
        assert!(labels.iter().all(Option::is_some), "{labels:?}");
        for (index, one) in labels.iter().flatten().enumerate() {
            assert!(one.left >= 0.0 && one.right <= 1000.0);
            for other in labels.iter().flatten().skip(index + 1) {
                assert!(
                    one.row != other.row || one.right < other.left || other.right < one.left,
                    "{one:?} {other:?}"
                );
                for (line, words) in [(one, other), (other, one)] {
                    let beneath = line.row > words.row;
                    assert!(
                        !(beneath && words.left < line.x && line.x < words.right),
                        "{line:?} crosses {words:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_crowd_keeps_its_lines_but_not_all_words() {
        let lines: Vec<(f64, f64)> = (0..40).map(|k| (500.0 + f64::from(k), 60.0)).collect();
        let named = arrange(&lines, 0.0, 1000.0).iter().flatten().count();
        assert!((MOST_ROWS..40).contains(&named), "{named}");
    }
}
