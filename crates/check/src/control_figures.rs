//! The numbers of a sheet that a control figure is about, in the order in which they stand there.

use stainbook_catalog::model::factor_columns;
use stainbook_catalog::written::Num;
use stainbook_catalog::written::tube::paper_words::{Factor, RatioSpan, UpTo};
use stainbook_catalog::written::tube::{
    Axis, Control, ControlOf, Interferent, MeasuringRange, Method, ResponseFactor,
};
use stainbook_core::{Decimal, Quantity, Unit, Written, unit};
use stainbook_document::place::Path;

use crate::SheetView;

/// One number as it stands on the sheet.
#[derive(Clone, Debug)]
pub(crate) struct SheetNumber {
    pub(crate) value: f64,
    pub(crate) half_step: f64,
    pub(crate) text: String,
    /// The unit that it is in, its own or that of its column or scale; nothing for a count or a factor.
    pub(crate) unit: Option<&'static Unit>,
}

/// The numbers that a control figure is about.
#[derive(Clone, Debug)]
pub(crate) struct Figures {
    pub(crate) numbers: Vec<SheetNumber>,
    /// Number of rows, bands, gases or marks that they come from.
    pub(crate) rows: usize,
    /// Path of the list.
    pub(crate) path: Path,
}

impl Figures {
    /// The numbers of the sheet; nothing if the sheet has no such part, or one of its numbers was not understood.
    pub(crate) fn of(control: &Control, sheet: &SheetView<'_>) -> Option<Self> {
        let root = Path::root;
        let performance = || root().key("doubt");
        match control.of? {
            ControlOf::Marks => {
                let view = sheet.scale_named(control.scale.as_deref())?;
                let marks = view.scale.marks.iter().map(|mark| decimal(mark));
                let numbers = marks.map(|figure| figure.in_unit(view.unit)).collect();
                Some(Self::each(numbers, view.path().key("marks")))
            }
            ControlOf::Strokes => ranges(control, sheet, |range| range.strokes.as_ref()),
            ControlOf::Multipliers => ranges(control, sheet, |range| range.multiply_by.as_ref()),
            ControlOf::LowerEnds => ranges(control, sheet, |range| range.from.as_ref()),
            ControlOf::UpperEnds => ranges(control, sheet, |range| range.to.as_ref()),
            ControlOf::Seconds => ranges(control, sheet, |range| range.seconds_per_stroke.as_ref()),
            ControlOf::TemperatureTable => column(control, sheet, Axis::Temperature),
            ControlOf::HumidityTable => column(control, sheet, Axis::Humidity),
            ControlOf::PressureTable => column(control, sheet, Axis::Pressure),
            ControlOf::Calibration => {
                let at = sheet.calibrated_at()?;
                let numbers = [
                    at.temperature.as_deref().map(quantity),
                    at.pressure.as_deref().map(quantity),
                    at.humidity.as_deref().map(quantity),
                ];
                Some(Self::each(
                    numbers.into_iter().flatten().collect(),
                    root().key("correct").key("calibrated_at"),
                ))
            }
            ControlOf::UsableRange => {
                let usable = sheet.usable()?;
                let mut numbers = Vec::new();
                if let Some(range) = &usable.temperature {
                    numbers.extend([quantity(range.low()), quantity(range.high())]);
                }
                if let Some(range) = &usable.humidity {
                    numbers.extend([quantity(range.low()), quantity(range.high())]);
                }
                Some(Self::each(numbers, root().key("before_use").key("usable")))
            }
            ControlOf::Storage => {
                let storage = sheet.storage()?;
                let numbers = [
                    storage.below.as_deref().map(quantity),
                    storage.above.as_deref().map(quantity),
                    storage.shelf_life.as_deref().map(quantity),
                ];
                Some(Self::each(
                    numbers.into_iter().flatten().collect(),
                    root().key("before_use").key("storage"),
                ))
            }
            ControlOf::LimitOfDetection => {
                let lowest = sheet.limit_of_detection()?;
                let mut numbers: Vec<SheetNumber> = Vec::new();
                numbers.extend(lowest.concentration.as_deref().map(quantity));
                numbers.extend(lowest.strokes.as_ref().map(|strokes| decimal(strokes)));
                for row in &lowest.by_strokes {
                    numbers.push(decimal(row.strokes.as_ref()?));
                    numbers.push(quantity(row.concentration.as_deref()?));
                }
                Some(Self::each(
                    numbers,
                    root().key("read").key("lowest_visible"),
                ))
            }
            ControlOf::ResponseFactors => {
                let gases = &sheet.read.as_ref()?.response_factors;
                let numbers = gases
                    .iter()
                    .map(of_response_factors)
                    .collect::<Vec<_>>()
                    .concat();
                Some(Self {
                    rows: gases.len(),
                    ..Self::each(numbers, root().key("read").key("also_measures"))
                })
            }
            ControlOf::Repeatability => {
                let bands = &sheet.performance.as_ref()?.repeatability;
                let numbers = bands
                    .iter()
                    .map(|band| {
                        let mut numbers = up_to(band.up_to.as_ref());
                        numbers.extend(share(band.rsd.as_ref()));
                        numbers.extend(band.at_least.as_deref().map(quantity));
                        numbers
                    })
                    .collect::<Vec<_>>()
                    .concat();
                Some(Self {
                    rows: bands.len(),
                    ..Self::each(numbers, performance().key("repeatability"))
                })
            }
            ControlOf::Accuracy => {
                let bands = &sheet.performance.as_ref()?.accuracy;
                let mut numbers = Vec::new();
                for band in bands {
                    numbers.extend(up_to(band.up_to.as_ref()));
                    numbers.extend(share(band.within.as_ref()));
                    numbers.extend(band.at_least.as_deref().map(quantity));
                    numbers.extend(band.within_mm.as_ref().map(|mm| decimal(mm)));
                    numbers.extend(band.confidence.as_deref().map(quantity));
                }
                Some(Self {
                    rows: bands.len(),
                    ..Self::each(numbers, performance().key("accuracy"))
                })
            }
            ControlOf::Interferents => {
                let gases = &sheet.performance.as_ref()?.interferents;
                let numbers = gases.iter().map(other_gas).collect::<Vec<_>>().concat();
                Some(Self {
                    rows: gases.len(),
                    ..Self::each(numbers, performance().key("other_gases"))
                })
            }
        }
    }

    /// Of a part that the sheet does not have.
    pub(crate) fn none(path: Path) -> Self {
        Self::each(Vec::new(), path)
    }

    /// Each number is a row.
    fn each(numbers: Vec<SheetNumber>, path: Path) -> Self {
        Self {
            rows: numbers.len(),
            numbers,
            path,
        }
    }
}

impl SheetNumber {
    fn in_unit(self, unit: Option<&'static Unit>) -> Self {
        Self { unit, ..self }
    }
}

fn decimal(number: &Decimal) -> SheetNumber {
    SheetNumber {
        value: number.value(),
        half_step: number.half_step(),
        text: number.text().to_owned(),
        unit: None,
    }
}

fn quantity<Q: Quantity>(written: &Written<Q>) -> SheetNumber {
    SheetNumber {
        value: written.number(),
        half_step: written.half_step(),
        text: written.number_text().to_owned(),
        unit: Some(written.unit()),
    }
}

/// The number in the bound of a band; none of words.
fn up_to(bound: Option<&UpTo>) -> Vec<SheetNumber> {
    let reading = bound.and_then(UpTo::reading);
    reading.map(quantity).into_iter().collect()
}

/// A share as printed; both ends of a span.
fn share(span: Option<&RatioSpan>) -> Vec<SheetNumber> {
    span.into_iter()
        .flat_map(|span| span.smaller().into_iter().chain([span.larger()]))
        .map(quantity)
        .collect()
}

fn of_response_factors(gas: &ResponseFactor) -> Vec<SheetNumber> {
    let first = gas.by.iter().flat_map(Factor::numbers);
    let rows = gas.rows.iter().flatten().map(|number| &**number);
    let rest = [&gas.strokes, &gas.from, &gas.to];
    let rest = rest.into_iter().flatten().map(|number| &**number);
    let mut numbers: Vec<SheetNumber> = first.chain(rows).chain(rest).map(decimal).collect();
    numbers.extend(gas.uncertainty.as_deref().map(quantity));
    numbers
}

fn other_gas(gas: &Interferent) -> Vec<SheetNumber> {
    let response = gas.response.iter().flat_map(Factor::numbers).map(decimal);
    let rest = [
        gas.response_uncertainty.as_deref().map(quantity),
        gas.matters_from.as_deref().map(quantity),
        gas.matters_from_times.as_deref().map(decimal),
        gas.only_above_humidity.as_deref().map(quantity),
        gas.tested_to.as_deref().map(quantity),
    ];
    response.chain(rest.into_iter().flatten()).collect()
}

fn ranges<'a>(
    control: &Control,
    sheet: &'a SheetView<'_>,
    of: impl Fn(&'a MeasuringRange) -> Option<&'a Num>,
) -> Option<Figures> {
    let draw = sheet.draw.as_ref()?;
    let numbers = draw
        .ranges
        .iter()
        .filter(|range| control.scale.is_none() || range.scale == control.scale)
        .filter_map(|range| of(range).map(|number| decimal(number)))
        .collect();
    Some(Figures::each(
        numbers,
        Path::root().key("draw").key("ranges"),
    ))
}

/// A column of a correction, counted from 1 at the left of the paper; if none is named, the factors of a list and the
/// headings of a table. A formula has its coefficients for rows.
fn column(control: &Control, sheet: &SheetView<'_>, axis: Axis) -> Option<Figures> {
    let placed = sheet
        .corrections()
        .iter()
        .find(|placed| placed.axis == axis)?;
    let wanted = control
        .column
        .as_ref()
        .map(|column| usize::try_from(column.value()).unwrap_or(usize::MAX));
    let correction = placed.correction;
    if correction.method == Some(Method::Polynomial) {
        let numbers = correction
            .coefficients
            .iter()
            .map(|number| decimal(number))
            .collect();
        return Some(Figures::each(numbers, placed.path().key("coefficients")));
    }
    if placed.is_table() {
        let Some(wanted) = wanted else {
            let (values, unit) = placed.columns()?;
            let numbers = values
                .iter()
                .map(|value| SheetNumber {
                    value: *value,
                    half_step: 0.5,
                    text: crate::words::exact(*value),
                    unit: Some(unit),
                })
                .collect();
            return Some(Figures::each(numbers, placed.path().key("columns")));
        };
        // The first column of the paper holds the readings.
        let wanted = wanted.checked_sub(1)?;
        let numbers = correction
            .lines
            .iter()
            .filter_map(|line| match wanted.checked_sub(1) {
                // A cell in which nothing is printed has nothing to add.
                Some(index) => match line.cells().get(index) {
                    Some(cell) => cell.number().map(|number| Some(decimal(number))),
                    None => Some(None),
                },
                None => Some(line.reading.as_deref().map(quantity)),
            })
            .collect::<Option<Vec<_>>>()?;
        return Some(Figures::each(numbers, placed.path().key("lines")));
    }
    let index = match wanted {
        Some(wanted) => wanted.checked_sub(1)?,
        None => placed.points()?.0.first()?.factor_column,
    };
    let is_condition =
        factor_columns(&correction.columns, axis).is_ok_and(|(condition, ..)| condition == index);
    let of_column = correction.columns.get(index).filter(|_| is_condition);
    let of_column = of_column.and_then(|text| unit(text).ok());
    let numbers = correction
        .rows
        .iter()
        .map(|row| {
            row.get(index)
                .map(|number| decimal(number).in_unit(of_column))
        })
        .collect::<Option<Vec<_>>>()?;
    (!numbers.is_empty()).then(|| Figures::each(numbers, placed.path().key("rows")))
}
