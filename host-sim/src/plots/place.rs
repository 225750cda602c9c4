//! Finds room for labels: inside the chart, clear of each other, and where little is drawn.

use super::canvas::{Frame, Spot};

/// An upright rectangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Block {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

impl Block {
    fn right(&self) -> f64 {
        self.left + self.width
    }

    fn bottom(&self) -> f64 {
        self.top + self.height
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right()
            && other.left < self.right()
            && self.top < other.bottom()
            && other.top < self.bottom()
    }

    fn lies_in(&self, outer: &Self) -> bool {
        self.left >= outer.left
            && self.right() <= outer.right()
            && self.top >= outer.top
            && self.bottom() <= outer.bottom()
    }

    /// The point of it that is closest to `spot`.
    pub fn closest(&self, spot: Spot) -> Spot {
        (
            spot.0.clamp(self.left, self.right()),
            spot.1.clamp(self.top, self.bottom()),
        )
    }
}

/// Points from `a` to `b`, at most a cell apart.
fn along(a: Spot, b: Spot) -> impl Iterator<Item = Spot> {
    let steps = ((b.0 - a.0).hypot(b.1 - a.1) / CELL).ceil().max(1.0) as u32;
    (0..=steps).map(move |step| {
        let t = f64::from(step) / f64::from(steps);
        (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1))
    })
}

/// Side of a cell of the map of what is drawn.
const CELL: f64 = 4.0;
/// Distances from the marked place that are tried.
const REACHES: [f64; 5] = [10.0, 22.0, 40.0, 64.0, 95.0];
/// Directions that are tried.
const DIRECTIONS: u32 = 16;

pub(super) struct Placer {
    bounds: Block,
    across: usize,
    drawn: Vec<bool>,
    marks: Vec<Block>,
    labels: Vec<Block>,
    /// Points along the lines that tie labels to their marks.
    ties: Vec<Spot>,
}

impl Placer {
    /// Of a chart, a little within its frame.
    pub fn within(frame: &Frame) -> Self {
        Self::new(Block {
            left: frame.x + 2.0,
            top: frame.y + 2.0,
            width: frame.width - 4.0,
            height: frame.height - 4.0,
        })
    }

    fn new(bounds: Block) -> Self {
        let (across, down) = (
            (bounds.width / CELL) as usize + 1,
            (bounds.height / CELL) as usize + 1,
        );
        Self {
            bounds,
            across,
            drawn: vec![false; across * down],
            marks: Vec::new(),
            labels: Vec::new(),
            ties: Vec::new(),
        }
    }

    /// Notes that a line is drawn between two spots.
    pub fn line(&mut self, a: Spot, b: Spot) {
        for (x, y) in along(a, b) {
            if let Some(cell) = self.cell(x, y) {
                self.drawn[cell] = true;
            }
        }
    }

    /// Keeps labels off a mark at `spot`.
    pub fn mark(&mut self, spot: Spot, radius: f64) {
        let (left, top) = (spot.0 - radius, spot.1 - radius);
        self.marks.push(Block {
            left,
            top,
            width: 2.0 * radius,
            height: 2.0 * radius,
        });
    }

    /// Room for a label of this size near `spot`, the calmest there is; `None` where all is full.
    pub fn room(&mut self, spot: Spot, width: f64, height: f64) -> Option<Block> {
        let mut best: Option<(f64, Block)> = None;
        for reach in REACHES {
            for direction in 0..DIRECTIONS {
                let turn = f64::from(direction) * std::f64::consts::TAU / f64::from(DIRECTIONS);
                let (x, y) = (spot.0 + reach * turn.cos(), spot.1 + reach * turn.sin());
                // The label hangs on that point by the side that looks at the mark.
                let block = Block {
                    left: x - width * (0.5 - 0.5 * turn.cos()),
                    top: y - height * (0.5 - 0.5 * turn.sin()),
                    width,
                    height,
                };
                let free = block.lies_in(&self.bounds) && self.is_free(&block, spot);
                let calm =
                    self.cells(&block) + self.crossings(spot, block.closest(spot)) + reach / 4.0;
                if free && best.is_none_or(|(least, _)| calm < least) {
                    best = Some((calm, block));
                }
            }
        }
        let (_, block) = best?;
        self.ties.extend(along(spot, block.closest(spot)));
        self.labels.push(block);
        Some(block)
    }

    /// A label there would hide no mark, label or tie, and its own tie would cross no label.
    fn is_free(&self, block: &Block, spot: Spot) -> bool {
        let is_clear = |other: &Block| !other.meets(block);
        self.marks.iter().all(is_clear)
            && self.labels.iter().all(is_clear)
            && !self.ties.iter().any(|&tie| block.closest(tie) == tie)
            && !along(spot, block.closest(spot))
                .any(|tie| self.labels.iter().any(|label| label.closest(tie) == tie))
    }

    /// How much of a tie between two spots lies on something drawn, in cells.
    fn crossings(&self, a: Spot, b: Spot) -> f64 {
        along(a, b)
            .filter(|&(x, y)| self.cell(x, y).is_some_and(|cell| self.drawn[cell]))
            .count() as f64
    }

    /// The cell of a spot, where it lies on the map.
    fn cell(&self, x: f64, y: f64) -> Option<usize> {
        let (x, y) = ((x - self.bounds.left) / CELL, (y - self.bounds.top) / CELL);
        if x < 0.0 || y < 0.0 || x >= self.across as f64 {
            return None;
        }
        Some(y as usize * self.across + x as usize).filter(|&cell| cell < self.drawn.len())
    }

    /// How many cells with something drawn lie under `block`.
    fn cells(&self, block: &Block) -> f64 {
        let cell = |at: f64, start: f64| ((at - start) / CELL).max(0.0) as usize;
        let columns = cell(block.left, self.bounds.left)
            ..=cell(block.right(), self.bounds.left).min(self.across - 1);
        let rows = cell(block.top, self.bounds.top)..=cell(block.bottom(), self.bounds.top);
        let in_row = |row: usize| {
            columns
                .clone()
                .filter(|column| self.drawn.get(row * self.across + column) == Some(&true))
                .count()
        };
        rows.map(in_row).sum::<usize>() as f64
    }
}
