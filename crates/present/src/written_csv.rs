//! Rows as CSV.

use std::borrow::Cow;

use stainbook_core::print;

use crate::lines::steers;

/// Rows of cells as text. A cell may have several lines, and nothing else in it steers a terminal.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub(crate) fn written<C: AsRef<str>>(
    rows: impl IntoIterator<Item = impl IntoIterator<Item = C>>,
) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        for cell in row {
            writer.write_field(clean(cell.as_ref()).as_bytes())?;
        }
        writer.write_record(None::<&[u8]>)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A number as a cell: every digit but the noise of binary arithmetic; empty where there is none.
pub(crate) fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| {
        print::number(print::without_noise(value))
    })
}

fn clean(cell: &str) -> Cow<'_, str> {
    let unwanted = |c: char| !matches!(c, '\n' | '\t') && steers(c);
    if cell.contains(unwanted) {
        Cow::Owned(cell.replace("\r\n", "\n").replace(unwanted, "\u{fffd}"))
    } else {
        Cow::Borrowed(cell)
    }
}
