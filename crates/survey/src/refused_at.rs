//! Cell of a table in which the field of a refusal stands.

use stainbook_evaluation::outcome::Refusal;

use crate::table::place;

/// `line 4, column 7 (`strokes`)`, or the line alone if the table has no column for the field.
pub(crate) fn in_table(
    refusal: &Refusal,
    columns: &[&'static str],
    worksheet: Option<&str>,
    line: u64,
) -> String {
    let cell = refusal.field.as_deref().and_then(|field| {
        names(field).iter().find_map(|name| {
            let position = columns.iter().position(|column| column == name)?;
            Some((position + 1, *name))
        })
    });
    match (cell, worksheet) {
        (Some((column, name)), _) => place(worksheet, line, column, name),
        (None, Some(worksheet)) => format!("worksheet `{worksheet}`, row {line}"),
        (None, None) => format!("line {line}"),
    }
}

/// The columns that may hold a field, the likeliest first.
fn names(field: &str) -> Vec<&str> {
    match field {
        "/reading/reading" => vec!["reading", "short", "seen"],
        "/reading/reading/at" => vec!["reading"],
        "/reading/reading/short" => vec!["short", "reading"],
        "/reading/reading/long" => vec!["long", "reading"],
        _ => field.rsplit('/').next().into_iter().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use stainbook_evaluation::outcome::Code;

    #[test]
    fn the_cell_of_a_table() {
        let columns = ["id", "short", "long", "strokes", "air_temperature"];
        for (field, expected) in [
            (
                Some("/conditions/air_temperature"),
                "line 4, column 5 (`air_temperature`)",
            ),
            (Some("/reading/strokes"), "line 4, column 4 (`strokes`)"),
            (Some("/reading/reading/long"), "line 4, column 3 (`long`)"),
            (Some("/reading/reading"), "line 4, column 2 (`short`)"),
            (Some("/conditions/pressure"), "line 4"),
            (None, "line 4"),
        ] {
            let mut refusal = Refusal::new(Code::ReadingMissing, "x", "x");
            refusal.field = field.map(str::to_owned);
            assert_eq!(in_table(&refusal, &columns, None, 4), expected);
        }
        let mut refusal = Refusal::new(Code::ReadingMissing, "x", "x");
        refusal.field = Some("/reading/strokes".to_owned());
        assert_eq!(
            in_table(&refusal, &columns, Some("Round"), 4),
            "worksheet `Round`, cell D4 (`strokes`)"
        );
    }
}
