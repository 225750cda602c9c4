//! How text is set on the terminal: tables in one style, prose in lines that fit.

use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle,
};

/// One rule, under the heads: so that a whole summary fits on a screen.
const STYLE: TableStyle =
    TableStyle::new().header_separator(LineStyle::none().fill('─').junction('─'));

/// Columns where the output goes to no terminal: the usual least width of one (common practice, no
/// source).
const WIDTH: u16 = 80;

/// Prose wider than this is hard to follow from line to line (common practice, no source).
const WIDEST_PROSE: u16 = 100;

/// A table under way.
pub(crate) struct Columns(Table);

/// A table in the one style, as wide as the terminal allows; `numbers` are the columns set to the
/// right.
pub(crate) fn table(header: &[&str], numbers: &[usize]) -> Columns {
    let mut table = Table::new();
    table
        .load_style(STYLE)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_header(header.iter().copied());
    for column in table.column_iter_mut() {
        // With the gap between columns this makes two blanks.
        column.set_padding((0, 1));
    }
    for column in numbers {
        if let Some(column) = table.column_mut(*column) {
            column.set_cell_alignment(CellAlignment::Right);
            // A number in two pieces would be read as two.
            column.set_constraint(ColumnConstraint::ContentWidth);
        }
    }
    Columns(table)
}

impl Columns {
    /// Adds a row.
    pub(crate) fn add_row<T: ToString>(&mut self, cells: impl IntoIterator<Item = T>) {
        let cells = cells.into_iter().map(|cell| cell.to_string());
        self.0.add_row(cells.collect::<Vec<_>>());
    }

    /// The table in lines, no blanks at their ends.
    pub(crate) fn lines(mut self) -> String {
        self.0.set_width(width());
        self.0.trim_fmt() + "\n"
    }
}

/// A table of `rows`, the heads first, with labels on the left and a column for each thing compared.
/// Columns that find no room go on in a table below, with the labels again.
pub(crate) fn side_by_side(rows: &[Vec<String>]) -> String {
    let widths = widths(rows);
    let (mut text, mut from) = (String::new(), 1);
    while from < widths.len() {
        let mut room = usize::from(width()).saturating_sub(widths[0] + widths[from]);
        let mut to = from + 1;
        while to < widths.len() && widths[to] <= room {
            room -= widths[to];
            to += 1;
        }
        let cells = |row: &Vec<String>| -> Vec<String> { [&row[..1], &row[from..to]].concat() };
        let header = cells(&rows[0]);
        let header: Vec<&str> = header.iter().map(String::as_str).collect();
        let mut part = table(&header, &(1..header.len()).collect::<Vec<_>>());
        rows[1..].iter().for_each(|row| part.add_row(cells(row)));
        if from > 1 {
            text += "\n";
        }
        text += &part.lines();
        from = to;
    }
    text
}

/// Whether a table of `rows`, the heads first, fits the terminal.
pub(crate) fn fits(rows: &[Vec<String>]) -> bool {
    // No gap follows the last column.
    widths(rows).iter().sum::<usize>() <= usize::from(width()) + 2
}

/// Columns that each column of `rows` takes, with the gap after it.
fn widths(rows: &[Vec<String>]) -> Vec<usize> {
    let count = |cell: &String| cell.chars().count();
    (0..rows[0].len())
        .map(|at| rows.iter().map(|row| count(&row[at])).max().unwrap_or(0) + 2)
        .collect()
}

/// Columns of the terminal.
fn width() -> u16 {
    Table::new().width().unwrap_or(WIDTH)
}

/// Prose in lines that fit the terminal; `indent` begins all lines but the first.
pub(crate) fn prose(text: &str, indent: &str) -> String {
    let width = width().min(WIDEST_PROSE);
    let options = textwrap::Options::new(width.into())
        .subsequent_indent(indent)
        // Settings, options and paths must stay whole, so that they can be copied.
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .break_words(false);
    textwrap::fill(text, options) + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_keeps_words_whole_and_indents_what_follows() {
        let long = "a ".repeat(60) + &"x".repeat(90);
        let text = prose(&long, "  ");
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines.len() >= 3, "{text}");
        assert!(lines[1].starts_with("  a"), "{text}");
        assert!(lines.last().unwrap().ends_with(&"x".repeat(90)), "{text}");
    }

    #[test]
    fn what_finds_no_room_side_by_side_goes_on_below() {
        let row = |label: &str, cell: &str| -> Vec<String> {
            let cells = (1..=7).map(|at| format!("{cell} {at}"));
            [label.to_owned()].into_iter().chain(cells).collect()
        };
        let text = side_by_side(&[
            row("what", "a machine"),
            row("first row", "12.5 of"),
            row("x", "y"),
        ]);
        let heads: Vec<&str> = text
            .lines()
            .filter(|line| line.starts_with("what"))
            .collect();
        assert_eq!(heads.len(), 2, "{text}");
        assert!(
            heads[0].ends_with("a machine 5") && heads[1].ends_with("a machine 7"),
            "{text}"
        );
        assert!(
            text.lines().all(|line| line.chars().count() <= 80),
            "{text}"
        );
        assert_eq!(text.matches("12.5 of").count(), 7, "{text}");
    }

    #[test]
    fn long_cells_wrap_and_lines_end_without_blanks() {
        let mut table = table(&["", "why"], &[0]);
        table.add_row(["1", &"word ".repeat(40)]);
        for line in table.lines().lines() {
            assert!(line.chars().count() <= 80 && !line.ends_with(' '), "{line}");
        }
    }
}
