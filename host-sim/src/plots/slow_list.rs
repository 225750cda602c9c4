//! The list beneath the picture of slow places: number, line, time lost and why.

use super::canvas::{Canvas, EM, Failure, MARGIN, WIDTH};
use super::colour::{INK, SOFT_INK};
use super::text;
use crate::places::Row;
use plotters::style::text_anchor::{HPos, VPos};

/// Most places that are listed: a sheet should still be one.
const MOST: usize = 20;
const LINE: f64 = 16.0;
/// Where the columns end (numbers) and begin (words), from the left margin.
const COLUMNS: [f64; 3] = [26.0, 110.0, 178.0];
const WHY: f64 = 190.0;

pub(super) struct SlowList {
    /// Number, line, seconds and the lines of the sentence.
    rows: Vec<([String; 3], Vec<String>)>,
    left_out: usize,
}

impl SlowList {
    pub fn new(rows: &[Row]) -> Self {
        let width = WIDTH - 2.0 * MARGIN - WHY;
        let row = |row: &Row| {
            let numbers = [
                row.number.to_string(),
                format!("line {}", row.line),
                format!("{:.3} s", row.lost_s),
            ];
            (numbers, text::wrap(&row.why, EM, width))
        };
        Self {
            rows: rows.iter().take(MOST).map(row).collect(),
            left_out: rows.len().saturating_sub(MOST),
        }
    }

    fn lines(&self) -> usize {
        let lines = self.rows.iter().map(|(_, why)| why.len().max(1));
        lines.sum::<usize>() + usize::from(self.left_out > 0)
    }

    pub fn height(&self) -> f64 {
        self.lines() as f64 * LINE
    }

    pub fn draw(&self, canvas: &Canvas, top: f64) -> Result<(), Failure> {
        let mut y = top + LINE / 2.0;
        for (numbers, why) in &self.rows {
            for (words, right) in numbers.iter().zip(COLUMNS) {
                let spot = (MARGIN + right, y);
                canvas.words(words, EM, INK, spot, HPos::Right, VPos::Center)?;
            }
            for (index, line) in why.iter().enumerate() {
                let spot = (MARGIN + WHY, y + index as f64 * LINE);
                canvas.words(line, EM, SOFT_INK, spot, HPos::Left, VPos::Center)?;
            }
            y += why.len().max(1) as f64 * LINE;
        }
        if self.left_out > 0 {
            let words = format!("{} more stand in the table, corners.csv.", self.left_out);
            let spot = (MARGIN + WHY, y);
            canvas.words(&words, EM, SOFT_INK, spot, HPos::Left, VPos::Center)?;
        }
        Ok(())
    }
}
