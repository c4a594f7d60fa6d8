//! CSV for whoever opens it in a spreadsheet program, which takes a text that begins like a formula for one and computes it.

/// The table with an apostrophe before each text that begins with `=`, `+`, `-`, `@` or a tab: a remark that was typed as
/// `=HYPERLINK(…)` stays a remark. Numbers stay numbers.
///
/// Other programs see the apostrophe, so that it is for those who ask for it.
///
/// # Errors
///
/// If the text is no CSV, or a row cannot be written, which memory always can.
///
/// # Example
///
/// ```
/// use stainbook_present::csv_for_excel::without_formulas;
///
/// assert_eq!(without_formulas("r1,-2.5,=1+1\n").unwrap(), "r1,-2.5,'=1+1\n");
/// ```
pub fn without_formulas(table: &str) -> Result<String, csv::Error> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(table.as_bytes());
    let mut writer = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    for row in reader.records() {
        for cell in &row? {
            let apostrophe = if begins_a_formula(cell) { "'" } else { "" };
            writer.write_field(format!("{apostrophe}{cell}"))?;
        }
        writer.write_record(None::<&[u8]>)?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn begins_a_formula(cell: &str) -> bool {
    cell.starts_with(['=', '+', '-', '@', '\t']) && cell.parse::<f64>().is_err()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_that_begin_like_formulas_have_an_apostrophe() {
        let table = "id,remark\nr1,\"=HYPERLINK(\"\"x\"\",\"\"y\"\")\"\nr2,@SUM(A1)\nr3,-1e-3\nr4,+5 ppm\nr5,- none\nr6,\"a\n=b\"\n";
        let expected = "id,remark\nr1,\"'=HYPERLINK(\"\"x\"\",\"\"y\"\")\"\nr2,'@SUM(A1)\nr3,-1e-3\nr4,'+5 ppm\nr5,'- none\nr6,\"a\n=b\"\n";
        assert_eq!(without_formulas(table).unwrap(), expected);
    }
}
