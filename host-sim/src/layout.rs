//! How text is set on the terminal: tables in one style, prose in lines that fit.

use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};

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
        self.0.set_width(self.0.width().unwrap_or(WIDTH));
        self.0.trim_fmt() + "\n"
    }
}

/// Prose in lines that fit the terminal; `indent` begins all lines but the first.
pub(crate) fn prose(text: &str, indent: &str) -> String {
    let width = Table::new().width().unwrap_or(WIDTH).min(WIDEST_PROSE);
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
    fn long_cells_wrap_and_lines_end_without_blanks() {
        let mut table = table(&["", "why"], &[0]);
        table.add_row(["1", &"word ".repeat(40)]);
        for line in table.lines().lines() {
            assert!(line.chars().count() <= 80 && !line.ends_with(' '), "{line}");
        }
    }
}
