//! Contour lines of values on a grid: where a straight interpolation between neighbours meets a
//! level. (Marching squares: W. Lorensen, H. Cline, 1987, in two dimensions; from memory.)

use std::collections::BTreeMap;

/// A place on the grid, in columns and rows.
pub(super) type Place = (f64, f64);

/// A side of a cell: the point at its lower end, and whether it goes along the row.
type Side = (usize, usize, bool);

/// The lines of `level` through the rows of `values`; cells with an unknown corner have none.
pub(super) fn lines(values: &[Vec<Option<f64>>], level: f64) -> Vec<Vec<Place>> {
    let mut places: BTreeMap<Side, Place> = BTreeMap::new();
    // Each side belongs to two cells at most, so each has two neighbours at most.
    let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
    for row in 0..values.len().saturating_sub(1) {
        for column in 0..values[row].len().saturating_sub(1) {
            let Some(crossings) = crossings(values, level, row, column) else {
                continue;
            };
            for pair in crossings.chunks_exact(2) {
                for (side, place) in pair {
                    places.insert(*side, *place);
                }
                let (a, b) = (pair[0].0, pair[1].0);
                joined.entry(a).or_default().push(b);
                joined.entry(b).or_default().push(a);
            }
        }
    }
    chains(joined, &places)
}

/// Where the sides of a cell meet the level, in pairs that belong together.
fn crossings(
    values: &[Vec<Option<f64>>],
    level: f64,
    row: usize,
    column: usize,
) -> Option<Vec<(Side, Place)>> {
    let at = |row: usize, column: usize| values[row][column];
    // Around the cell, so that pairs of crossings in order cut off one corner each.
    let sides = [
        (row, column, true),
        (row, column + 1, false),
        (row + 1, column, true),
        (row, column, false),
    ];
    let mut found = Vec::new();
    for side in sides {
        let (row, column, is_along) = side;
        let (next_row, next_column) = if is_along {
            (row, column + 1)
        } else {
            (row + 1, column)
        };
        let (a, b) = (at(row, column)?, at(next_row, next_column)?);
        if (a < level) != (b < level) {
            let part = (level - a) / (b - a);
            let (x, y) = (column as f64, row as f64);
            let place = if is_along {
                (x + part, y)
            } else {
                (x, y + part)
            };
            found.push((side, place));
        }
    }
    Some(found)
}

/// Walks from side to side: first the lines that end at the border, then the rings.
fn chains(
    mut joined: BTreeMap<Side, Vec<Side>>,
    places: &BTreeMap<Side, Place>,
) -> Vec<Vec<Place>> {
    let mut lines = Vec::new();
    let ends = |joined: &BTreeMap<Side, Vec<Side>>| {
        let end = joined.iter().find(|(_, next)| next.len() == 1);
        end.or_else(|| joined.iter().next()).map(|(side, _)| *side)
    };
    while let Some(start) = ends(&joined) {
        let mut line = vec![places[&start]];
        let mut side = start;
        while let Some(next) = joined.get_mut(&side).and_then(Vec::pop) {
            if joined[&side].is_empty() {
                joined.remove(&side);
            }
            if let Some(back) = joined.get_mut(&next) {
                if let Some(index) = back.iter().position(|known| *known == side) {
                    back.swap_remove(index);
                }
                if back.is_empty() {
                    joined.remove(&next);
                }
            }
            line.push(places[&next]);
            side = next;
        }
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(f: impl Fn(f64, f64) -> f64) -> Vec<Vec<Option<f64>>> {
        (0..9)
            .map(|y| {
                (0..9)
                    .map(|x| Some(f(f64::from(x), f64::from(y))))
                    .collect()
            })
            .collect()
    }

    #[test]
    fn a_slope_has_one_straight_line_through_all_rows() {
        let found = lines(&grid(|x, y| x + 0.25 * y), 4.1);
        assert_eq!(found.len(), 1);
        // It meets each of the 9 rows, and a column where it passes from one to the next.
        assert!(found[0].len() >= 9);
        for (x, y) in &found[0] {
            assert!((x + 0.25 * y - 4.1).abs() < 1e-12);
        }
        let (first, last) = (found[0][0], found[0][found[0].len() - 1]);
        assert_eq!([first.1.min(last.1), first.1.max(last.1)], [0.0, 8.0]);
    }

    #[test]
    fn a_hill_has_a_ring_that_closes() {
        let found = lines(&grid(|x, y| (x - 4.0).hypot(y - 4.0)), 2.5);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0][0], found[0][found[0].len() - 1]);
    }

    #[test]
    fn a_saddle_has_two_lines_and_unknown_points_have_none() {
        let mut values = grid(|x, y| (x - 3.5) * (y - 3.5));
        assert_eq!(lines(&values, 0.1).len(), 2);
        values.iter_mut().flatten().for_each(|value| *value = None);
        assert!(lines(&values, 0.1).is_empty());
    }
}
