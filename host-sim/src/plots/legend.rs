//! Legends: swatches with words, in rows that break where the sheet ends.

use super::canvas::{Canvas, EM, Failure, Spot, Stroke};
use super::colour::INK;
use super::text;
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};

/// What a legend shows beside the words.
#[derive(Clone, Copy)]
pub(super) enum Swatch {
    Block(RGBColor, f64),
    Line(RGBColor),
    /// A thin line that stands.
    Thin(RGBColor),
    Stroke(Stroke),
    Dashes(RGBColor),
    ShortDashes(RGBColor),
    Ring(RGBColor),
    Disc(RGBColor),
    Square(RGBColor),
    /// A word alone, before the rest.
    Heading,
}

/// Height of a row.
pub(super) const ROW: f64 = 20.0;
const SWATCH: f64 = 22.0;
const GAP: f64 = 22.0;

/// A legend broken into rows.
pub(super) struct Legend {
    items: Vec<(Swatch, String, Spot)>,
    rows: usize,
}

impl Legend {
    pub fn new(items: impl IntoIterator<Item = (Swatch, String)>, most: f64) -> Self {
        let (mut x, mut rows) = (0.0, 1);
        let mut placed = Vec::new();
        for (swatch, words) in items {
            let swatch_width = if matches!(swatch, Swatch::Heading) {
                0.0
            } else {
                SWATCH + 6.0
            };
            let width = swatch_width + text::width(&words, EM);
            if x > 0.0 && x + width > most {
                (x, rows) = (0.0, rows + 1);
            }
            placed.push((swatch, words, (x, (rows - 1) as f64 * ROW)));
            x += width + GAP;
        }
        Self {
            items: placed,
            rows,
        }
    }

    pub fn height(&self) -> f64 {
        self.rows as f64 * ROW
    }

    /// Draws it with its upper left corner at `corner`.
    pub fn draw(&self, canvas: &Canvas, corner: Spot) -> Result<(), Failure> {
        for (swatch, words, (x, y)) in &self.items {
            let (x, y) = (corner.0 + x, corner.1 + y + ROW / 2.0);
            let (middle, end) = ((x + SWATCH / 2.0, y), (x + SWATCH, y));
            match *swatch {
                Swatch::Block(colour, opacity) => {
                    canvas.block((x, y - 6.0), (end.0, y + 6.0), colour, opacity)?;
                }
                Swatch::Line(colour) => canvas.line(&[(x, y), end], colour, 2.0)?,
                Swatch::Thin(colour) => {
                    canvas.line(&[(middle.0, y - 7.0), (middle.0, y + 7.0)], colour, 0.75)?;
                }
                Swatch::Stroke(stroke) => canvas.stroke(&[(x, y), end], &stroke)?,
                Swatch::Dashes(colour) => canvas.dashes(&[(x, y), end], colour, 1.25)?,
                Swatch::ShortDashes(colour) => canvas.short_dashes(&[(x, y), end], colour, 1.25)?,
                Swatch::Ring(colour) => canvas.disc(middle, 4.0, colour, Some(1.5))?,
                Swatch::Disc(colour) => canvas.disc(middle, 5.0, colour, None)?,
                Swatch::Square(colour) => {
                    canvas.block(
                        (middle.0 - 4.5, y - 4.5),
                        (middle.0 + 4.5, y + 4.5),
                        colour,
                        1.0,
                    )?;
                }
                Swatch::Heading => {}
            }
            let words_x = if matches!(swatch, Swatch::Heading) {
                x
            } else {
                end.0 + 6.0
            };
            canvas.words(words, EM, INK, (words_x, y), HPos::Left, VPos::Center)?;
        }
        Ok(())
    }
}
