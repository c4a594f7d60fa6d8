//! Rows as CSV.

/// Rows of cells as text.
///
/// # Errors
///
/// If a row cannot be written, which memory always can.
pub(crate) fn written<C: AsRef<[u8]>>(
    rows: impl IntoIterator<Item = impl IntoIterator<Item = C>>,
) -> Result<String, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.write_record(row)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
