//! Cell of a table in which the field of a refusal stands.

use stainbook_evaluation::ReadingResult;
use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::GroupResult;

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

/// Puts what a result asks for into the words of a table, where a survey file has a group of fields.
pub(crate) fn in_cells(result: &mut ReadingResult) {
    for flag in &mut result.flags {
        if flag.code == Code::OtherGasesNotStated {
            flag.text = flag.text.replace(
                "`other_gases: none known`",
                "`none known` under `other_gases`",
            );
        }
    }
    let Some(refusal) = &mut result.refusal else {
        return;
    };
    let remedy = match refusal.code {
        Code::ReadingMissing => {
            "fill in `reading`, or `short` and `long`, or write `no stain`, `below first mark` or `beyond last mark` under `seen`".to_owned()
        }
        Code::ReadingOffScale => {
            let seen = ["below first mark", "beyond last mark"]
                .into_iter()
                .find(|seen| refusal.remedy.contains(seen));
            let Some(seen) = seen else { return };
            format!(
                "leave the cell empty and write `{seen}` under `seen`, which gives a bound, and repeat with another stroke count"
            )
        }
        Code::BoundNotAMark => {
            let (seen, otherwise) = if refusal.remedy.contains("below first mark") {
                (
                    "`below first mark` if a stain ended before the first mark",
                    "`no stain` if the filling kept its colour",
                )
            } else {
                (
                    "`beyond last mark` if the stain ended behind the last mark",
                    "the reading itself if it ended before that",
                )
            };
            format!("leave this cell empty and write under `seen` what was seen: {seen}; {otherwise}; a bound that was worked out belongs under `remark`")
        }
        Code::ScaleNotStated => "write the name of the scale under `scale`".to_owned(),
        Code::ReadingContradictsItself => {
            "keep one of `reading`, `short` with `long`, and `seen`".to_owned()
        }
        Code::FrontHalfRead => {
            "write both, `short` and `long`; or `reading`, if the front was even".to_owned()
        }
        _ => return,
    };
    refusal.remedy = remedy;
}

/// The same of an average, which a survey file has a list for and a table a column.
pub(crate) fn average_in_cells(average: &mut GroupResult) {
    let Some(refusal) = &mut average.refusal else {
        return;
    };
    let remedy = match refusal.code {
        Code::SeveralGases => {
            "give the readings of each gas an average of their own under `average`; gases that act alike are put together in a survey file"
        }
        Code::BlankAmongReadings => "leave `average` empty in the row of the blank",
        Code::NoPeriod => "write the period of the limit under `average_over`: `8 h` or `15 min`",
        _ => return,
    };
    remedy.clone_into(&mut refusal.remedy);
}

/// The columns that may hold a field, the likeliest first.
fn names(field: &str) -> Vec<&str> {
    match field {
        "/reading/reading" => vec!["reading", "short", "seen"],
        "/reading/reading/at" | "/reading/reading/less_than" | "/reading/reading/more_than" => {
            vec!["reading"]
        }
        "/reading/reading/short" => vec!["short", "reading"],
        "/reading/reading/long" => vec!["long", "reading"],
        _ => field.rsplit('/').next().into_iter().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
