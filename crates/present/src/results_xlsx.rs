//! Results as a spreadsheet, `.xlsx`: one row a reading with the units in a header that stays in sight, behind it what several
//! readings say together, every factor, every part of the uncertainty and every limit, and what the results rest on.
//!
//! The file is the same byte for byte for the same evaluation: it carries the day of the last reading for its date.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};
use stainbook_core::{Dimension, unit_of};
use stainbook_evaluation::result::Uncertainty;
use stainbook_evaluation::{Evaluation, ReadingResult};

use crate::lines::printable_lines;
use crate::result_value::value;
use crate::results_csv::limits_in_words;

mod together;

/// The columns of the first worksheet, with their widths in characters.
const COLUMNS: [(&str, f64); 34] = [
    ("id", 8.0),
    ("at", 22.0),
    ("place", 26.0),
    ("gas", 20.0),
    ("CAS", 11.0),
    ("sheet", 26.0),
    ("revision", 8.0),
    ("status", 11.0),
    ("result", 18.0),
    ("result [ppm]", 12.0),
    ("± [ppm]", 10.0),
    ("from [ppm]", 10.0),
    ("to [ppm]", 10.0),
    ("result [mg/m³]", 14.0),
    ("± [mg/m³]", 10.0),
    ("from [mg/m³]", 12.0),
    ("to [mg/m³]", 10.0),
    ("mg/m³ at [°C]", 13.0),
    ("mg/m³ at [kPa]", 13.0),
    ("coverage [%]", 11.0),
    ("draws", 10.0),
    ("median of the draws", 12.0),
    ("symmetric interval by draws, from", 12.0),
    ("to", 10.0),
    ("shortest interval by draws, from", 12.0),
    ("to", 10.0),
    ("reading on the scale", 18.0),
    ("strokes", 8.0),
    ("limits", 60.0),
    ("flags", 40.0),
    ("refused because", 40.0),
    ("what to do", 40.0),
    ("drawn and read by", 10.0),
    ("sheet digest", 20.0),
];

/// The spreadsheet.
///
/// # Errors
///
/// If it would be larger than a spreadsheet can be: about a million rows.
pub fn render(evaluation: &Evaluation) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    book.set_properties(&properties(evaluation)?);
    let formats = Formats::new();
    results(book.add_worksheet(), evaluation, &formats)?;
    if !evaluation.together.is_empty() {
        together::write_together(book.add_worksheet(), evaluation, &formats)?;
    }
    behind(book.add_worksheet(), evaluation, &formats)?;
    about(book.add_worksheet(), evaluation, &formats)?;
    book.save_to_buffer()
}

struct Formats {
    head: Format,
    plain: Format,
    wrapped: Format,
    strong: Format,
}

impl Formats {
    fn new() -> Self {
        let plain = Format::new().set_align(FormatAlign::Top);
        Self {
            head: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_border_bottom(FormatBorder::Medium),
            wrapped: plain.clone().set_text_wrap(),
            strong: plain.clone().set_bold(),
            plain,
        }
    }
}

fn properties(evaluation: &Evaluation) -> Result<DocProperties, XlsxError> {
    let last = evaluation
        .results
        .iter()
        .filter_map(|result| result.at.as_deref()?.get(..10))
        .max();
    let day = match last.map(ExcelDateTime::parse_from_str) {
        Some(Ok(day)) => day,
        _ => ExcelDateTime::from_ymd(2000, 1, 1)?,
    };
    Ok(DocProperties::new()
        .set_title(evaluation.title.as_deref().unwrap_or("Readings of a table"))
        .set_author(evaluation.by.as_deref().unwrap_or_default())
        .set_comment(&evaluation.software)
        .set_creation_datetime(&day))
}

/// Position of the next cell.
struct CellCursor<'w> {
    sheet: &'w mut Worksheet,
    row: u32,
    column: u16,
}

impl CellCursor<'_> {
    fn text(&mut self, text: &str, format: &Format) -> Result<(), XlsxError> {
        if !text.is_empty() {
            self.sheet.write_string_with_format(
                self.row,
                self.column,
                printable_lines(text).as_ref(),
                format,
            )?;
        }
        self.column += 1;
        Ok(())
    }

    fn number(&mut self, number: Option<f64>, format: &Format) -> Result<(), XlsxError> {
        if let Some(number) = number {
            self.sheet
                .write_number_with_format(self.row, self.column, number, format)?;
        }
        self.column += 1;
        Ok(())
    }

    fn next_row(&mut self) {
        self.row += 1;
        self.column = 0;
    }
}

fn table<'w>(
    sheet: &'w mut Worksheet,
    name: &str,
    columns: &[(&str, f64)],
    formats: &Formats,
) -> Result<CellCursor<'w>, XlsxError> {
    sheet.set_name(name)?;
    sheet.set_freeze_panes(1, 1)?;
    sheet.set_landscape();
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    for ((_, width), column) in columns.iter().zip(0..) {
        sheet.set_column_width(column, *width)?;
    }
    let mut cells = CellCursor {
        sheet,
        row: 0,
        column: 0,
    };
    for (head, _) in columns {
        cells.text(head, &formats.head)?;
    }
    cells.next_row();
    Ok(cells)
}

fn results(
    sheet: &mut Worksheet,
    evaluation: &Evaluation,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let mut cells = table(sheet, "Results", &COLUMNS, formats)?;
    for result in &evaluation.results {
        one(&mut cells, result, formats)?;
        cells.next_row();
    }
    Ok(())
}

fn one(
    cells: &mut CellCursor<'_>,
    result: &ReadingResult,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let (plain, wrapped) = (&formats.plain, &formats.wrapped);
    let substance = result.substance.as_ref();
    let sheet = result.sheet.as_ref();
    cells.text(&result.id, &formats.strong)?;
    cells.text(result.at.as_deref().unwrap_or_default(), plain)?;
    cells.text(result.place.as_deref().unwrap_or_default(), wrapped)?;
    let gas = substance.map(|s| match &s.stands_for_group {
        Some(group) => format!("{group}, as {}", s.name),
        None => s.name.clone(),
    });
    cells.text(&gas.unwrap_or_default(), wrapped)?;
    let cas = substance.and_then(|s| s.cas.as_deref());
    cells.text(cas.unwrap_or_default(), plain)?;
    cells.text(sheet.map_or("", |s| s.id.as_str()), plain)?;
    cells.text(sheet.map_or("", |s| s.revision.as_str()), plain)?;
    cells.text(&result.status.name().replace('_', " "), plain)?;
    cells.text(&in_words(result), &formats.strong)?;
    for side in [UnitSide::VolumeFraction, UnitSide::Mass] {
        for number in figures(result, side) {
            cells.number(number, plain)?;
        }
    }
    let at = result.converted.as_ref().map(|also| &also.conditions);
    cells.number(at.map(|at| at.temperature.value), plain)?;
    cells.number(at.map(|at| at.pressure.value), plain)?;
    let coverage = result.uncertainty.as_ref().map(|u| u.coverage * 100.0);
    cells.number(coverage, plain)?;
    for number in by_draws(result) {
        cells.number(number, plain)?;
    }
    let reading = result
        .reading
        .as_ref()
        .map(|reading| format!("{} {}", reading.text, reading.unit));
    cells.text(&reading.unwrap_or_default(), plain)?;
    let strokes = result.inputs.pointer("/reading/strokes");
    cells.number(strokes.and_then(serde_json::Value::as_f64), plain)?;
    cells.text(&limits_in_words(result).join("\n"), wrapped)?;
    let flags: Vec<&str> = result.flags.iter().map(|flag| flag.text.as_str()).collect();
    cells.text(&flags.join("\n"), wrapped)?;
    let refusal = result.refusal.as_ref();
    cells.text(refusal.map_or("", |r| r.text.as_str()), wrapped)?;
    let repeat = result
        .repeat_with
        .as_ref()
        .map(|repeat| repeat.text.as_str());
    let what_to_do = refusal.map(|r| r.remedy.as_str()).or(repeat);
    cells.text(what_to_do.unwrap_or_default(), wrapped)?;
    let by = result.inputs.get("by").and_then(serde_json::Value::as_str);
    cells.text(by.unwrap_or_default(), plain)?;
    cells.text(result.sheet_digest.as_deref().unwrap_or_default(), plain)
}

/// A result in words: `1.8 (1.1 to 3.2) ppm`, `less than 0.7 ppm`, `refused`.
fn in_words(result: &ReadingResult) -> String {
    match result.concentration {
        Some(_) => value(result),
        None => "refused".to_owned(),
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum UnitSide {
    VolumeFraction,
    Mass,
}

/// Result, expanded uncertainty and interval in ppm or mg/m³, as far as they were given in a unit of that kind.
fn figures(result: &ReadingResult, side: UnitSide) -> [Option<f64>; 4] {
    let (dimension, target) = match side {
        UnitSide::VolumeFraction => (Dimension::VolumeFraction, "ppm"),
        UnitSide::Mass => (Dimension::MassConcentration, "mg/m³"),
    };
    // Units of one kind differ by a factor alone.
    let factor = |name: &str| {
        let from = unit_of(dimension, name).ok()?;
        Some(from.to_base(1.0) / unit_of(dimension, target).ok()?.to_base(1.0))
    };
    let stated = result.concentration.as_ref();
    if let Some((amount, factor)) = stated.and_then(|amount| Some((amount, factor(&amount.unit)?)))
    {
        let uncertainty = result.uncertainty.as_ref();
        let ends = uncertainty.or(result.uncertainty_at_bound.as_ref());
        let end = |end: fn(&Uncertainty) -> Option<f64>| Some(end(ends?)? * factor);
        return [
            Some(amount.value * factor),
            uncertainty.map(|u| u.expanded * factor),
            end(|u| u.interval[0]),
            end(|u| u.interval[1]),
        ];
    }
    let also = result.converted.as_ref();
    let value = also.and_then(|also| Some(also.value * factor(&also.unit)?));
    [value, None, None, None]
}

/// Results of the Monte Carlo method in the unit of the result: draws, median, symmetric and shortest
/// interval. Nothing where draws were not asked for.
fn by_draws(result: &ReadingResult) -> [Option<f64>; 6] {
    let drawn = result
        .uncertainty
        .as_ref()
        .and_then(|uncertainty| uncertainty.monte_carlo.as_ref());
    let Some(drawn) = drawn else {
        return [None; 6];
    };
    let ([low, high], [shortest_low, shortest_high]) =
        (drawn.interval_symmetric, drawn.interval_shortest);
    [
        u32::try_from(drawn.draws).ok().map(f64::from),
        Some(drawn.median),
        low,
        high,
        shortest_low,
        shortest_high,
    ]
}

fn behind(
    sheet: &mut Worksheet,
    evaluation: &Evaluation,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let columns = [
        ("id", 8.0),
        ("part", 14.0),
        ("what", 44.0),
        ("value", 12.0),
        ("unit", 10.0),
        ("share or probability [%]", 14.0),
        ("from", 70.0),
    ];
    let mut cells = table(sheet, "Factors and limits", &columns, formats)?;
    for result in &evaluation.results {
        for step in &result.corrections {
            row(
                &mut cells,
                formats,
                [&result.id, "factor", step.step.name()],
                Some(step.factor),
                "1",
                None,
                &step.from.words,
            )?;
        }
        for line in result.uncertainty.iter().flat_map(|u| &u.budget) {
            row(
                &mut cells,
                formats,
                [&result.id, "uncertainty", &line.source],
                Some(line.value),
                &line.unit,
                Some(line.contribution),
                &line.origin,
            )?;
        }
        for against in &result.against {
            let limit = &against.limit;
            let what = format!("{}: {}", limit.name(), against.in_words());
            let by = against.by.as_ref().map(|by| format!("; by {by}"));
            let from = format!(
                "{}, {}{}{}",
                against.source,
                limit.edition,
                by.unwrap_or_default(),
                against
                    .reason
                    .as_ref()
                    .map(|reason| format!("; {reason}"))
                    .unwrap_or_default()
            );
            row(
                &mut cells,
                formats,
                [&result.id, "limit", &what],
                Some(limit.value),
                &limit.unit,
                against.probability_above.map(|p| p * 100.0),
                &from,
            )?;
        }
        let said = result
            .flags
            .iter()
            .map(|flag| ("flag", &flag.code, &flag.text))
            .chain(
                result
                    .statements
                    .iter()
                    .map(|said| ("statement", &said.code, &said.text)),
            );
        for (part, code, text) in said {
            row(
                &mut cells,
                formats,
                [&result.id, part, code.as_str()],
                None,
                "",
                None,
                text,
            )?;
        }
    }
    let last = cells.row.saturating_sub(1).max(1);
    cells.sheet.autofilter(0, 0, last, 6)?;
    Ok(())
}

fn row(
    cells: &mut CellCursor<'_>,
    formats: &Formats,
    names: [&str; 3],
    value: Option<f64>,
    unit: &str,
    share: Option<f64>,
    from: &str,
) -> Result<(), XlsxError> {
    let [id, part, what] = names;
    cells.text(id, &formats.strong)?;
    cells.text(part, &formats.plain)?;
    cells.text(what, &formats.wrapped)?;
    cells.number(value, &formats.plain)?;
    cells.text(unit, &formats.plain)?;
    cells.number(share, &formats.plain)?;
    cells.text(from, &formats.wrapped)?;
    cells.next_row();
    Ok(())
}

fn about(
    sheet: &mut Worksheet,
    evaluation: &Evaluation,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let columns = [("what", 24.0), ("", 110.0)];
    let mut cells = table(sheet, "About", &columns, formats)?;
    let mut lines: Vec<(&str, &str)> = Vec::new();
    let named = [
        ("survey", &evaluation.survey),
        ("title", &evaluation.title),
        ("drawn and read by", &evaluation.by),
        ("catalog", &evaluation.catalog),
        ("catalog revision", &evaluation.catalog_revision),
    ];
    for (name, text) in named {
        lines.extend(text.as_deref().map(|text| (name, text)));
    }
    lines.push(("software", &evaluation.software));
    lines.push((
        "sheet digest",
        "SHA-256 of everything a result depends on: sheet, substances, pump and limits as they were resolved. The JSON record holds these facts; `stainbook evaluate --verify` works results out again from it.",
    ));
    for caution in &evaluation.cautions {
        lines.push(("mind", &caution.text));
    }
    for (name, text) in lines {
        cells.text(name, &formats.strong)?;
        cells.text(text, &formats.wrapped)?;
        cells.next_row();
    }
    Ok(())
}
