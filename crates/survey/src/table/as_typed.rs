//! Cells as people type them, and what a spreadsheet makes of them.

use super::column::{Column, Holds};
use super::row::UnreadableCell;

/// The count of strokes in digits, where half a stroke is written otherwise: `½`, `1/2`, `2½`, `2 1/2`, `0,5`, `2,5`. A
/// comma with one digit behind it divides no thousands.
pub(super) fn strokes(text: &str) -> Option<String> {
    let text = text.trim();
    if let Some(whole) = text.strip_suffix(",5") {
        return digits(whole).then(|| format!("{whole}.5"));
    }
    let whole = text.strip_suffix('½').map(str::trim_end).or_else(|| {
        match text.strip_suffix("1/2")? {
            "" => Some(""),
            before => before.ends_with(' ').then(|| before.trim_end()),
        }
    })?;
    match whole {
        "" => Some("0.5".to_owned()),
        whole => digits(whole).then(|| format!("{whole}.5")),
    }
}

/// The short and the long side of an uneven front in one cell, each with the unit that stands behind both: `80-100`,
/// `80 – 100 ppm`, `80 to 100 ppm`.
pub(super) fn two_sides(text: &str) -> Option<[String; 2]> {
    let is_of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let (short, rest) = text
        .trim()
        .split_at_checked(text.trim().find(|c| !is_of_number(c))?)?;
    let rest = rest.trim_start();
    let long = rest
        .strip_prefix(['-', '–'])
        .or_else(|| rest.strip_prefix("to "))?
        .trim_start();
    let number = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
    if !number(short) || !number(long) {
        return None;
    }
    let unit = long.trim_start_matches(is_of_number);
    // `8-10-2026` is a date.
    if unit.trim_start().starts_with(['-', '–', '/', '.']) {
        return None;
    }
    Some([format!("{short}{unit}"), long.to_owned()])
}

/// Sign before a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    LessThan,
    MoreThan,
}

/// A reading with a sign before it, `<10`, and what stands behind the sign. What may also be equal is no stain beside a mark.
pub(super) fn bound(text: &str) -> Option<(Sign, &str)> {
    let (sign, bound) = match text.strip_prefix('<') {
        Some(bound) => (Sign::LessThan, bound),
        None => (Sign::MoreThan, text.strip_prefix('>')?),
    };
    let bound = bound.trim();
    bound
        .starts_with(|c: char| c.is_ascii_digit())
        .then_some((sign, bound))
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// The same problem in other words, where the cell shows what the text was meant for.
pub(super) fn or_what_it_became(
    problem: UnreadableCell,
    text: &str,
    column: &Column,
) -> UnreadableCell {
    let number = matches!(column.holds, Holds::Number(_)) || column.usual_unit().is_some();
    if number && looks_like_a_date(text) {
        return UnreadableCell {
            message: format!("a spreadsheet has made a date of this cell, `{text}`"),
            help: typed_again(column),
        };
    }
    if matches!(column.holds, Holds::Number(_)) {
        return no_count(problem, text);
    }
    match text.chars().next() {
        Some('<' | '≤') if column.name == "reading" => beside_the_scale(text, Sign::LessThan),
        Some('>' | '≥') if column.name == "reading" => beside_the_scale(text, Sign::MoreThan),
        _ => problem,
    }
}

/// The problem with a text that is no count of strokes.
fn no_count(problem: UnreadableCell, text: &str) -> UnreadableCell {
    let message = if text.contains('/') {
        format!("`{text}` is no count of strokes")
    } else {
        problem.message
    };
    let help = if problem.help.is_empty() {
        "write the number of strokes in digits; half a stroke is `0.5`".to_owned()
    } else {
        problem.help
    };
    UnreadableCell { message, help }
}

/// The remedy where a spreadsheet has made a date of what was typed.
pub(crate) fn typed_again(column: &Column) -> String {
    let how = match column.holds {
        Holds::Number(_) => "; half a stroke is `0.5`",
        _ if column.name == "reading" => {
            "; an uneven front is `8` under `short` and `10` under `long`"
        }
        _ => "",
    };
    format!("show the column as text and type it again{how}")
}

/// The beginnings of the months' names in English, German, French, Spanish and Italian spreadsheets. Common practice, no
/// source.
const MONTHS: [&str; 31] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec", "mär",
    "mrz", "mai", "okt", "dez", "janv", "févr", "avr", "juin", "juil", "août", "déc", "ene", "abr",
    "ago", "dic", "gen", "mag", "giu",
];

/// True if a text is a day, or a month with its day or year, as a spreadsheet writes it into a plain table.
fn looks_like_a_date(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let time = [" 00:00:00", "t00:00:00", " 00:00", " 0:00"];
    let day = time
        .iter()
        .find_map(|time| lower.strip_suffix(time))
        .unwrap_or(&lower);
    let parts: Vec<&str> = day
        .split(['-', '/', '.', ' '])
        .filter(|part| !part.is_empty())
        .collect();
    let month = |part: &str| MONTHS.iter().any(|month| part.starts_with(month));
    match parts.as_slice() {
        [one, other] => (digits(one) && month(other)) || (month(one) && digits(other)),
        [one, middle, last] => {
            digits(one)
                && digits(last)
                && (month(middle) || (digits(middle) && one.len().max(last.len()) == 4))
        }
        _ => false,
    }
}

/// A reading with a sign before it: what was found, or only that nothing was.
pub(super) fn beside_the_scale(text: &str, sign: Sign) -> UnreadableCell {
    let (seen, otherwise) = match sign {
        Sign::LessThan => (
            "`below first mark` if a stain ended before the first mark",
            "`no stain` if the filling kept its colour",
        ),
        Sign::MoreThan => (
            "`beyond last mark` if the stain ended behind the last mark",
            "the reading itself if it ended before that",
        ),
    };
    UnreadableCell {
        message: format!(
            "`{text}` may be a stain beside the scale, or a bound that somebody worked out"
        ),
        help: format!(
            "leave this cell empty and write under `seen` what was seen: {seen}; {otherwise}"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_strokes() {
        for (text, expected) in [
            ("½", Some("0.5")),
            ("1/2", Some("0.5")),
            ("2½", Some("2.5")),
            ("2 ½", Some("2.5")),
            ("2 1/2", Some("2.5")),
            ("0,5", Some("0.5")),
            ("12,5", Some("12.5")),
            // Eleven halves, or one and a half without its blank?
            ("11/2", None),
            ("1/3", None),
            ("3", None),
            ("1,500", None),
            (",5", None),
            ("-½", None),
            ("x½", None),
        ] {
            assert_eq!(strokes(text).as_deref(), expected, "{text}");
        }
    }

    #[test]
    fn both_sides_of_a_front() {
        for (text, expected) in [
            ("80-100", Some(["80", "100"])),
            ("80 – 100 ppm", Some(["80 ppm", "100 ppm"])),
            ("80 to 100 ppm", Some(["80 ppm", "100 ppm"])),
            ("0.5-0.8", Some(["0.5", "0.8"])),
            ("80", None),
            ("80 ppm", None),
            ("-80", None),
            ("80-", None),
            ("80--100", None),
            ("8-10-2026", None),
            ("2026-03-02", None),
        ] {
            let sides = two_sides(text);
            let sides = sides
                .as_ref()
                .map(|[short, long]| [short.as_str(), long.as_str()]);
            assert_eq!(sides, expected, "{text}");
        }
    }

    #[test]
    fn dates_that_a_spreadsheet_makes() {
        for text in [
            "01-Feb",
            "1. Feb",
            "02-Jan",
            "Okt 80",
            "Oct-80",
            "01.02.2026",
            "1/2/2026",
            "2026-02-01",
            "08. Okt",
            "2026-02-01 00:00:00",
            "8-Oct-26",
            "01/02/2026",
        ] {
            assert!(looks_like_a_date(text), "{text}");
        }
        for text in [
            "1/2",
            "8-10",
            "0.5",
            "5 ppm",
            "12 mar mar",
            "80-100",
            "20 min",
            "3 m",
            "1.5 h",
        ] {
            assert!(!looks_like_a_date(text), "{text}");
        }
    }
}
