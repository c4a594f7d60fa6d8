//! Layout of a table: the places of its cells in its text.

use stainbook_catalog::written::Reading;
use stainbook_document::Cells;

use super::Bytes;
use crate::table::column::Column;
use crate::table::header::named;

/// The cells of a table, line by line.
pub(super) struct Layout<'t> {
    text: &'t str,
    /// The column of each cell of the header, if it names one.
    columns: Vec<Option<&'static Column>>,
    header: Vec<Bytes>,
    /// Those above the header.
    above: Vec<Line>,
    lines: Vec<Line>,
}

/// A row of a table, with the bytes of its cells.
pub(super) struct Line {
    /// The line of the file that it begins in, or the row of a worksheet, counted from 1.
    pub(super) number: u64,
    /// The cells one beside the other.
    pub(super) cells: Vec<Bytes>,
    /// Of a worksheet those that stand further to the right, with their columns counted from 1.
    pub(super) beyond: Vec<(usize, Bytes)>,
}

/// A row of a table.
pub(super) struct LayoutRow<'l> {
    layout: &'l Layout<'l>,
    line: &'l Line,
}

impl<'t> Layout<'t> {
    /// The layout of a text whose header begins in this line, counted from 1.
    pub(super) fn of(text: &'t str, delimiter: u8, header_line: u64) -> Self {
        let lines = split(text, delimiter).into_iter();
        let lines = lines.map(|(number, cells)| Line {
            number,
            cells,
            beyond: Vec::new(),
        });
        let (above, mut lines): (Vec<Line>, Vec<Line>) =
            lines.partition(|line| line.number < header_line);
        let header = if lines.first().is_some_and(|line| line.number == header_line) {
            lines.remove(0).cells
        } else {
            Vec::new()
        };
        Self::of_cells(text, above, header, lines)
    }

    /// A table whose cells are known: those above the header, of the header, and of each row.
    pub(super) fn of_cells(
        text: &'t str,
        above: Vec<Line>,
        header: Vec<Bytes>,
        lines: Vec<Line>,
    ) -> Self {
        let column = |range: &Bytes| named(text.get(range.clone())?);
        Self {
            text,
            columns: header.iter().map(column).collect(),
            header,
            above,
            lines,
        }
    }

    /// A cell that stands above the header, by its line and column.
    pub(super) fn cell_above(&self, number: u64, column: usize) -> Option<Bytes> {
        let line = self.above.iter().find(|line| line.number == number)?;
        Some(LayoutRow { layout: self, line }.cell(column))
    }

    /// A cell of the header or above it.
    pub(super) fn cell_of_head(&self, number: u64, column: usize) -> Bytes {
        self.cell_above(number, column)
            .unwrap_or_else(|| self.header_cell(column))
    }

    /// A cell of the header, counted from 1; behind the last its end.
    pub(super) fn header_cell(&self, column: usize) -> Bytes {
        cell(&self.header, column)
    }

    /// The row that begins in this line.
    pub(super) fn line(&self, number: u64) -> Option<LayoutRow<'_>> {
        let at = self.lines.binary_search_by_key(&number, |line| line.number);
        Some(LayoutRow {
            layout: self,
            line: self.lines.get(at.ok()?)?,
        })
    }
}

impl LayoutRow<'_> {
    /// A cell, counted from 1; behind the last the end of the row.
    pub(super) fn cell(&self, column: usize) -> Bytes {
        let beyond = self.line.beyond.iter().find(|(at, _)| *at == column);
        match beyond {
            Some((_, range)) => range.clone(),
            None => cell(&self.line.cells, column),
        }
    }

    /// The cells under the paths that the fields of a reading have.
    pub(super) fn cells(&self, reading: &Reading) -> Cells {
        let under = self.line.cells.as_slice();
        let whole = cell(under, 1).start..cell(under, under.len()).end;
        let mut fields: Vec<(&'static str, Cells)> = Vec::new();
        let columns = self.layout.columns.iter().zip(under);
        for (column, range) in columns.filter_map(|(column, range)| Some(((*column)?, range))) {
            let text = self.layout.text.get(range.clone()).unwrap_or_default();
            if text.trim().is_empty() {
                continue;
            }
            let of_cell = || Cells::Text(text.to_owned(), range.clone());
            match column.field {
                ["readings", "not_kept"] => {
                    let each = text
                        .split(';')
                        .map(|one| Cells::Text(one.trim().to_owned(), range.clone()));
                    fields.push(("not_kept", Cells::List(each.collect(), range.clone())));
                }
                ["readings", field] => fields.push((field, of_cell())),
                ["readings", "present", "substance"] => {
                    let gases = reading.present.iter().map(|present| {
                        let name = present.substance.clone().unwrap_or_default();
                        let gas = Cells::Text(name, range.clone());
                        Cells::Fields(vec![("substance", gas)], range.clone())
                    });
                    fields.push(("present", Cells::List(gases.collect(), range.clone())));
                }
                // What is said of the levels is said of the gases.
                ["readings", "present", _] => {}
                // Both sides of an uneven front in one cell.
                ["readings", "reading", "at"] if two_sides_of(reading) => {
                    let sides = vec![("short", of_cell()), ("long", of_cell())];
                    fields.push(("reading", Cells::Fields(sides, whole.clone())));
                }
                ["readings", "reading", "at"] if bound_of(reading).is_some() => {
                    let field = bound_of(reading).unwrap_or("less_than");
                    let bound = Cells::Fields(vec![(field, of_cell())], whole.clone());
                    fields.push(("reading", bound));
                }
                ["readings", group, field] => {
                    let there = fields.iter_mut().find(|(name, _)| name == group);
                    if let Some((_, Cells::Fields(inner, _))) = there {
                        inner.push((field, of_cell()));
                    } else {
                        let inner = Cells::Fields(vec![(field, of_cell())], whole.clone());
                        fields.push((group, inner));
                    }
                }
                _ => {}
            }
        }
        Cells::Fields(fields, whole)
    }
}

/// True if a reading has the sides of its front and no value, as `80-100` in one cell is read.
fn two_sides_of(reading: &Reading) -> bool {
    let seen = reading.reading.as_ref();
    seen.is_some_and(|seen| seen.at.is_none() && seen.short.is_some())
}

/// The field of a bound, as `<10` in one cell is read.
fn bound_of(reading: &Reading) -> Option<&'static str> {
    let seen = reading.reading.as_ref()?;
    let less = seen.less_than.as_ref().map(|_| "less_than");
    less.or(seen.more_than.as_ref().map(|_| "more_than"))
}

fn cell(cells: &[Bytes], column: usize) -> Bytes {
    let end = cells.last().map_or(0, |last| last.end);
    let found = column.checked_sub(1).and_then(|index| cells.get(index));
    found.cloned().unwrap_or(end..end)
}

/// The rows of a table with the line that each begins in and the bytes of its cells, quotation marks not counted. Lines
/// that hold nothing are no rows.
pub(crate) fn split(text: &str, delimiter: u8) -> Vec<(u64, Vec<Bytes>)> {
    let bytes = text.as_bytes();
    let mut rows: Vec<(u64, Vec<Bytes>)> = Vec::new();
    let mut cells: Vec<Bytes> = Vec::new();
    let (mut line, mut first_line) = (1, 1);
    let mut start = if text.starts_with('\u{feff}') { 3 } else { 0 };
    let mut at = start;
    let mut quoted = false;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' if quoted && bytes.get(at + 1) == Some(&b'"') => at += 1,
            b'"' if quoted => quoted = false,
            b'"' if at == start => quoted = true,
            b'\n' | b'\r' => {
                if !quoted {
                    cells.push(unquoted(bytes, start..at));
                }
                if *byte == b'\r' && bytes.get(at + 1) == Some(&b'\n') {
                    at += 1;
                }
                line += 1;
                if !quoted {
                    let row = std::mem::take(&mut cells);
                    if !matches!(row.as_slice(), [only] if only.is_empty()) {
                        rows.push((first_line, row));
                    }
                    first_line = line;
                    start = at + 1;
                }
            }
            byte if *byte == delimiter && !quoted => {
                cells.push(unquoted(bytes, start..at));
                start = at + 1;
            }
            _ => {}
        }
        at += 1;
    }
    if start < bytes.len() || !cells.is_empty() {
        cells.push(unquoted(bytes, start..bytes.len()));
        rows.push((first_line, cells));
    }
    rows
}

/// The bytes between the quotation marks of a cell, or all of them, without blanks around.
fn unquoted(bytes: &[u8], range: Bytes) -> Bytes {
    let blank = |at: usize| matches!(bytes.get(at), Some(b' ' | b'\t'));
    let (mut start, mut end) = (range.start, range.end);
    while start < end && blank(start) {
        start += 1;
    }
    while start < end && blank(end - 1) {
        end -= 1;
    }
    let is_quote = |at: usize| bytes.get(at) == Some(&b'"');
    if start + 1 < end && is_quote(start) && is_quote(end - 1) {
        return start + 1..end - 1;
    }
    start..end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_of_tables() {
        for (text, expected) in [
            ("a,b\n1,2\n", vec![(1, vec!["a", "b"]), (2, vec!["1", "2"])]),
            (
                "a,b\r\n\r\n1, 2 ",
                vec![(1, vec!["a", "b"]), (3, vec!["1", "2"])],
            ),
            (
                "\u{feff}a\n\"x,\ny\",z\nw",
                vec![(1, vec!["a"]), (2, vec!["x,\ny", "z"]), (4, vec!["w"])],
            ),
            ("a\r1\r", vec![(1, vec!["a"]), (2, vec!["1"])]),
            ("a,\n", vec![(1, vec!["a", ""])]),
            ("", vec![]),
        ] {
            let found = split(text, b',');
            let found: Vec<(u64, Vec<&str>)> = found
                .into_iter()
                .map(|(line, cells)| (line, cells.into_iter().map(|range| &text[range]).collect()))
                .collect();
            assert_eq!(found, expected, "{text:?}");
        }
    }
}
