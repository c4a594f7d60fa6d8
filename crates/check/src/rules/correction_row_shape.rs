//! A correction table whose rows do not fit its columns.

use stainbook_catalog::model::{axis_dimension, band_ends, factor_columns, table_columns};
use stainbook_catalog::written::tube::Axis;
use stainbook_core::{Concentration, Quantity, unit_of};
use stainbook_document::help;
use stainbook_document::offer::Offer;
use stainbook_document::typed::Problem;

use super::humidity_kind_not_said::not_said;
use crate::points::{Placed, axis_name};
use crate::{Check, Context, Fact, Family, Level, Rule, SheetView, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "correction-row-shape",
    level: Level::Error,
    since: "0.1.0",
    summary: "A correction table has columns that cannot be read, or a row that does not fit them.",
    family: Family::Correction,
    docs: include_str!("correction-row-shape.md"),
    check: Check::Tube(check),
};

fn check(sheet: &SheetView<'_>, _: &Context<'_>, sink: &mut Sink<'_>) {
    for placed in sheet.corrections() {
        if not_said(placed).is_some() {
            // Of a humidity of no kind another rule speaks.
        } else if placed.is_factors() {
            factors(placed, sink);
        } else if placed.is_table() {
            table(placed, sheet, sink);
        } else if placed.is_bands() {
            bands(placed, sink);
        } else if placed.is_grid() {
            grid(placed, sink);
        } else {
            variable(placed, sink);
        }
    }
}

/// The unit in which the variable of a printed formula is.
fn variable(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let Some(of) = placed.correction.of.as_deref() else {
        return;
    };
    let Err(why) = unit_of(axis_dimension(placed.axis), of) else {
        return;
    };
    let axis = axis_name(placed.axis);
    let example = match placed.axis {
        Axis::Temperature => "°C",
        Axis::Humidity => "%RH",
        Axis::Pressure => "kPa",
    };
    sink.report(
        sink.at(placed.path().key("of"))
            .message(format!(
                "the variable of the {axis} correction cannot be read"
            ))
            .label(why.to_string())
            .note("a formula in °C gives another factor with kelvin put in, and nothing shows it")
            .help(help!(
                "write the unit that the leaflet's formula is in, as in {}",
                Offer::yaml(example)
            ))
            .fact("written", Fact::text(of)),
    );
}

fn factors(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let columns = &placed.correction.columns;
    if columns.is_empty() {
        return;
    }
    if let Err(why) = factor_columns(columns, placed.axis) {
        let path = placed.path().key("columns");
        unreadable_columns(placed, path, &columns.join(", "), &why, sink);
        return;
    }
    for (row, numbers) in placed.correction.rows.iter().enumerate() {
        if numbers.len() == columns.len() {
            continue;
        }
        let path = placed.path().key("rows").index(row);
        row_length(placed, path, numbers.len(), columns.len(), sink);
    }
}

fn table(placed: &Placed<'_>, sheet: &SheetView<'_>, sink: &mut Sink<'_>) {
    let columns = &placed.correction.columns;
    if columns.is_empty() {
        return;
    }
    if let Err((index, why)) = table_columns(columns, placed.axis) {
        let path = placed.path().key("columns").index(index);
        unreadable_columns(placed, path, placed.heading(index), &why, sink);
        return;
    }
    let unit = sheet
        .scales()
        .first()
        .and_then(|view| view.scale.unit.as_deref());
    let unit = unit.and_then(|unit| unit_of(Concentration::DIMENSION, unit).ok());
    for (row, line) in placed.correction.lines.iter().enumerate() {
        let path = placed.path().key("lines").index(row);
        let (cells, key) = (line.cells(), line.cells_key());
        if !cells.is_empty() && cells.len() != columns.len() {
            row_length(
                placed,
                path.clone().key(key),
                cells.len(),
                columns.len(),
                sink,
            );
        }
        if !line.becomes.is_empty() && !line.factors.is_empty() {
            sink.report(
                sink.at(path.clone().key("factors"))
                    .message(format!(
                        "a row of the {} correction says two things",
                        axis_name(placed.axis)
                    ))
                    .label("`becomes` and `factors` in one row")
                    .note("the leaflet prints concentrations or factors in a row; which of the two counts cannot be guessed")
                    .help("keep the one that is printed"),
            );
        }
        if !cells.is_empty() && cells.iter().all(|cell| cell.number().is_none()) {
            without_number(placed, path.clone().key(key), sink);
        }
        let (Some(reading), Some(unit)) = (&line.reading, unit) else {
            continue;
        };
        if reading.unit().dimension() != unit.dimension() {
            sink.report(
                sink.at(path.key("reading"))
                    .message(format!("this reading is in {}, and the scale in {}", reading.unit().canonical(), unit.canonical()))
                    .label(format!("a {} is wanted", unit.dimension().name()))
                    .note("a reading is looked up in the table by its number on the scale; in another unit it finds the wrong row")
                    .help(format!("write it in {}, as the scale is printed", unit.canonical()))
                    .fact("written", Fact::text(reading.text())),
            );
        }
    }
}

/// Bands that cannot be read, or say none or several things.
fn bands(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let axis = axis_name(placed.axis);
    for (row, band) in placed.correction.bands.iter().enumerate() {
        let path = placed.path().key("bands").index(row);
        if let Some(within) = band.within.as_deref() {
            let why = match band_ends(within, placed.axis) {
                Err(why) => Some(why),
                Ok(ends) if ends.high < ends.low => Some(Problem::new("the lower end comes first")),
                Ok(_) => None,
            };
            if let Some(why) = why {
                let example = match placed.axis {
                    Axis::Temperature => "0 to 20 °C",
                    Axis::Humidity => "30 to 60 %RH",
                    Axis::Pressure => "below 900 hPa",
                };
                sink.report(
                    sink.at(path.clone().key("within"))
                        .message(format!("a band of the {axis} correction cannot be read"))
                        .label(why.message().to_owned())
                        .note("a factor counts only in its own band; without its ends it would count nowhere, or everywhere")
                        .help(why.remedy().cloned().unwrap_or_else(|| {
                            help!(
                                "write both ends with the unit, or one open end, as in {}",
                                Offer::yaml(example)
                            )
                        }))
                        .fact("written", Fact::text(within)),
                );
            }
        }
        let said = [
            band.factor.is_some(),
            band.per_unit.is_some(),
            band.says.is_some(),
        ];
        if 1 < said.iter().filter(|said| **said).count() {
            sink.report(
                sink.at(path)
                    .message(format!("a band of the {axis} correction says two things"))
                    .label("one of `factor`, `per_unit` and `says` is wanted")
                    .note("which of the two counts cannot be guessed")
                    .help("keep the one that is printed"),
            );
        }
    }
}

/// Rows of a table against temperature and humidity that do not fit its columns.
fn grid(placed: &Placed<'_>, sink: &mut Sink<'_>) {
    let columns = &placed.correction.columns;
    if columns.is_empty() {
        return;
    }
    if let Err((index, why)) = table_columns(columns, Axis::Temperature) {
        let path = placed.path().key("columns").index(index);
        unreadable_columns(placed, path, placed.heading(index), &why, sink);
        return;
    }
    for (row, line) in placed.correction.humidities.iter().enumerate() {
        let path = placed.path().key("humidities").index(row).key("factors");
        if line.factors.is_empty() {
        } else if line.factors.len() != columns.len() {
            row_length(placed, path, line.factors.len(), columns.len(), sink);
        } else if line.factors.iter().all(|cell| cell.number().is_none()) {
            without_number(placed, path, sink);
        }
    }
}

fn without_number(placed: &Placed<'_>, path: stainbook_document::place::Path, sink: &mut Sink<'_>) {
    sink.report(
        sink.at(path)
            .message(format!(
                "a row of the {} correction has no number",
                axis_name(placed.axis)
            ))
            .label("every cell is empty")
            .note("no result can be had from such a row, and it looks as if the table reached it")
            .help("take the row out, or type what the leaflet prints in it"),
    );
}

fn unreadable_columns(
    placed: &Placed<'_>,
    path: stainbook_document::place::Path,
    text: &str,
    why: &str,
    sink: &mut Sink<'_>,
) {
    let by_columns = placed.is_table() || placed.is_grid();
    let example = match (by_columns, axis_name(placed.axis)) {
        (true, "temperature") => "[0 °C, 20 °C, 40 °C]",
        (true, "humidity") => "[\"10 %RH\", \"50 %RH\", \"90 %RH\"]",
        (true, _) => "[80 kPa, 101.3 kPa]",
        (false, "temperature") => "[°C, factor]",
        (false, "humidity") => "[\"%RH\", factor]",
        (false, _) => "[kPa, factor]",
    };
    sink.report(
        sink.at(path)
            .message(format!("the columns of the {} correction cannot be read", axis_name(placed.axis)))
            .label(why.to_owned())
            .note("without the unit of its columns a table could be read as °F for °C, or as relative for absolute humidity")
            .help(help!(
                "name them as in {}",
                Offer::yaml(example).at(sink.place(placed.path().key("columns")))
            ))
            .fact("written", Fact::text(text)),
    );
}

fn row_length(
    placed: &Placed<'_>,
    path: stainbook_document::place::Path,
    found: usize,
    wanted: usize,
    sink: &mut Sink<'_>,
) {
    let missing = if found < wanted {
        "a cell is missing"
    } else {
        "a cell too many"
    };
    sink.report(
        sink.at(path)
            .message(format!(
                "a row of the {} correction does not fit its columns",
                axis_name(placed.axis)
            ))
            .label(format!("{found} numbers under {wanted} columns: {missing}"))
            .note("in a shifted row every number stands under the wrong condition")
            .help("compare the row with the leaflet, cell by cell")
            .fact("numbers", Fact::text(found.to_string()))
            .fact("columns", Fact::text(wanted.to_string())),
    );
}
