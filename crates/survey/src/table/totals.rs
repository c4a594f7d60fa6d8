//! Rows of a table that are no readings: those that sum its columns up, and the example of a template.
//!
//! A total is never a reading: it is passed over, and said. A row that may be a reading whose tube somebody forgot is none of
//! them, and refused as ever.

use super::header::Heading;

/// First words of rows that sum up, in the languages in which spreadsheets are set up most. Common practice, no source.
const WORDS: [&str; 34] = [
    "sum",
    "sums",
    "subtotal",
    "total",
    "totals",
    "mean",
    "average",
    "avg",
    "median",
    "min",
    "max",
    "minimum",
    "maximum",
    "count",
    "summe",
    "gesamt",
    "gesamtsumme",
    "zwischensumme",
    "mittel",
    "mittelwert",
    "durchschnitt",
    "anzahl",
    "somme",
    "moyenne",
    "médiane",
    "nombre",
    "suma",
    "promedio",
    "media",
    "mediana",
    "recuento",
    "somma",
    "totale",
    "conteggio",
];

/// Name of the row that shows in a template how one is filled in.
pub(crate) const EXAMPLE: &str = "example";

/// Its remark. Whoever makes a reading of the row changes one or the other, so that none is passed over by its name alone.
pub(crate) const EXAMPLE_REMARK: &str =
    "an example, passed over while it has this name and this remark";

/// Rows of which each is named; of more only their number is said.
const NAMED: usize = 3;

/// A row, as far as its cells say whether it is a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum RowKind {
    /// One that is to be evaluated, or refused.
    Reading,
    /// One that says itself that it sums up.
    Total,
    /// The example of a template, as it came.
    Example,
    /// Nothing but numbers, without a name, a time or a tube: a total if nothing comes below it.
    Numbers,
}

impl RowKind {
    /// The kind of a row, by its cells that hold something, each under its head.
    pub(crate) fn of(cells: &[(Option<&Heading>, &str)]) -> Self {
        let text_under = |name: &str| {
            let is_it = |heading: Option<&Heading>| heading.is_some_and(|head| head.name() == name);
            let found = cells.iter().find(|(heading, _)| is_it(*heading));
            found.map(|(_, text)| *text)
        };
        let under = |name: &str| text_under(name).is_some();
        if text_under("id") == Some(EXAMPLE) && text_under("remark") == Some(EXAMPLE_REMARK) {
            return Self::Example;
        }
        if under("tube") || under("seen") {
            return Self::Reading;
        }
        let Some(first_word) = cells.iter().position(|(_, text)| !is_number(text)) else {
            return if under("id") || under("at") || cells.is_empty() {
                Self::Reading
            } else {
                Self::Numbers
            };
        };
        let others_are_numbers = cells
            .iter()
            .skip(first_word + 1)
            .all(|(_, text)| is_number(text));
        let says_so = cells.get(first_word).is_some_and(|(_, text)| sums_up(text));
        if says_so && others_are_numbers {
            Self::Total
        } else {
            Self::Reading
        }
    }
}

fn sums_up(text: &str) -> bool {
    let lower = text.to_lowercase();
    let lower = lower.trim_start_matches(['Σ', 'σ', 'ø', 'Ø', ' ']);
    let end = lower
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(lower.len());
    let word = lower.get(..end).unwrap_or_default();
    WORDS.contains(&word) || (lower.is_empty() && !text.is_empty())
}

/// True of a number with its unit, or of what stands where a spreadsheet could not work one out.
fn is_number(text: &str) -> bool {
    let text = text.trim();
    if text.starts_with('#') {
        return true;
    }
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '−' | '\'');
    let (digits, unit) = text.split_at(text.find(|c| !number(c)).unwrap_or(text.len()));
    let plain = digits.replace(',', ".").replace('\'', "");
    // A date and a time go on with digits.
    let goes_on = unit
        .replace("m3", "")
        .contains(|c: char| c.is_ascii_digit());
    plain.parse::<f64>().is_ok() && !goes_on
}

/// Rows that were passed over, as far as they are to be said.
#[derive(Clone, Debug, Default)]
pub(crate) struct PassedOverRows {
    named: Vec<String>,
    first: Option<u64>,
    count: usize,
}

impl PassedOverRows {
    /// Notes a row with its cells.
    pub(crate) fn add(&mut self, line: u64, cells: &[&str]) {
        self.count += 1;
        self.first.get_or_insert(line);
        if self.named.len() < NAMED {
            self.named
                .push(format!("{line} ({})", super::header::quoted(cells)));
        }
    }

    /// The first of them, counted from 1.
    pub(crate) fn first(&self) -> Option<u64> {
        self.first
    }

    /// In words, if there are any; `row` is what a row is called: a line of a file, a row of a worksheet.
    pub(crate) fn words(&self, row: &str) -> Option<String> {
        let named = self.named.join(", ");
        match self.count {
            0 => None,
            1 => Some(format!(
                "{row} {named} is a total and no reading: it is passed over"
            )),
            count => {
                let more = match count - self.named.len() {
                    0 => String::new(),
                    more => format!(" and {more} more"),
                };
                Some(format!(
                    "{row}s {named}{more} are totals and no readings: they are passed over"
                ))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers() {
        for text in [
            "12", "-3.5", "34,5 ppm", "12 mg/m3", "5 mg/m³", "#DIV/0!", "50 %", "1'200",
        ] {
            assert!(is_number(text), "{text}");
        }
        for text in [
            "2026-06-16",
            "06:22",
            "6/22",
            "2026-06-16T06:22+01:00",
            "pump-02",
            "r1",
            "",
        ] {
            assert!(!is_number(text), "{text}");
        }
    }

    #[test]
    fn words() {
        for text in ["Total", "Sum of the day", "SUMME:", "Ø", "Σ", "Mean (ppm)"] {
            assert!(sums_up(text), "{text}");
        }
        for text in ["", "r1", "maximal", "sump", "Totality", "the sum"] {
            assert!(!sums_up(text), "{text}");
        }
    }
}
