//! The worksheet of what several readings say together: the rows and columns of [`crate::together_csv`].

use rust_xlsxwriter::{Worksheet, XlsxError};
use stainbook_evaluation::Evaluation;

use super::{Formats, table};
use crate::together_csv;

/// Widths of the columns in characters, in their order.
const WIDTHS: [f64; together_csv::WIDTH] = [
    14.0, 18.0, 34.0, 20.0, 18.0, 11.0, 11.0, 10.0, 6.0, 10.0, 10.0, 12.0, 9.0, 10.0, 10.0, 10.0,
    9.0, 10.0, 11.0, 11.0, 10.0, 9.0, 11.0, 60.0, 40.0, 30.0, 40.0, 40.0,
];

/// The columns that hold numbers.
const NUMBERS: [&str; 14] = [
    "value",
    "lowest",
    "highest",
    "expanded uncertainty",
    "coverage",
    "from",
    "to",
    "draws",
    "seed",
    "median of the draws",
    "symmetric from",
    "symmetric to",
    "over [min]",
    "covered [min]",
];

pub(super) fn write_together(
    sheet: &mut Worksheet,
    evaluation: &Evaluation,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let columns: Vec<(&str, f64)> = together_csv::columns().into_iter().zip(WIDTHS).collect();
    let mut cells = table(sheet, "Together", &columns, formats)?;
    for row in together_csv::rows(evaluation) {
        for (name, cell) in &row {
            match cell.parse::<f64>() {
                Ok(number) if NUMBERS.contains(name) => {
                    cells.number(Some(number), &formats.plain)?;
                }
                _ if *name == "id" => cells.text(cell, &formats.strong)?,
                _ => cells.text(cell, &formats.wrapped)?,
            }
        }
        cells.next_row();
    }
    Ok(())
}
