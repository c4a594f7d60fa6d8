//! The examples that a sheet works out, worked out again.
//!
//! Conditions that an example does not state are as at calibration, so that a step whose condition is not named has the
//! factor that its table gives there.

use stainbook_catalog::model::{MeasuringRange, Scale, Tube};
use stainbook_catalog::written::tube::Worked;
use stainbook_catalog::{Book, Entry, WrittenEntry};
use stainbook_core::{Concentration, Quantity, print};
use stainbook_document::finding::{Fact, Finding, Level};
use stainbook_document::place::{Path, Place};

use crate::chain::{AirState, Chain, StatedHumidity, TableLookup};
use crate::outcome::{Code, Refusal};

use crate::stain::same_strokes;
use crate::step_words;

/// The rule under which an example that does not come out is reported.
pub const RULE: &str = "worked-example-differs";

/// Value of an example, in the unit in which it states its result.
///
/// # Errors
///
/// A [`Refusal`]: the example leaves out what is needed, or the sheet has no value there.
pub fn worked_value(tube: &Tube, worked: &Worked) -> Result<f64, Refusal> {
    let missing = |what: &str| {
        Refusal::new(
            Code::ExampleIncomplete,
            format!("the example does not state {what}"),
            "complete the example from the leaflet",
        )
    };
    let reading = worked
        .reading
        .as_ref()
        .ok_or_else(|| missing("a reading"))?;
    let strokes = worked
        .strokes
        .as_ref()
        .ok_or_else(|| missing("the number of strokes"))?
        .value();
    let gives = worked.gives.as_ref().ok_or_else(|| missing("its result"))?;
    let (scale, range) = scale_and_range(tube, worked, strokes)?;
    let other = match &worked.substance {
        Some(gas) if *gas != tube.measured.substance().id => {
            let rows = || {
                tube.response_factors
                    .iter()
                    .filter(|row| row.substance.id == *gas && row.scale == range.scale)
            };
            let row = rows()
                .find(|row| same_strokes(row.strokes, strokes))
                .or_else(|| rows().next());
            Some(row.ok_or_else(|| {
                Refusal::new(
                    Code::GasNotOnSheet,
                    format!("the sheet has no factor for `{gas}`"),
                    "look at the gas of the example again",
                )
            })?)
        }
        _ => None,
    };
    let on_scale = |quantity: Concentration, text: &str| {
        let number = quantity.in_unit(scale.unit);
        if number.is_finite() {
            return Ok(number);
        }
        Err(Refusal::new(
            Code::ReadingInAnotherUnit,
            format!(
                "`{text}` is not in a unit of the scale's kind, {}",
                scale.unit.canonical()
            ),
            "write the example in the unit of the scale",
        ))
    };
    let reading = on_scale(reading.value(), reading.text())?;
    on_scale(gives.value(), gives.text())?;
    let temperature = worked
        .temperature
        .as_ref()
        .map_or(tube.calibration.temperature, |t| t.value());
    let humidity = worked
        .humidity
        .as_ref()
        .map(|h| h.value())
        .or(tube.calibration.humidity);
    let pressure = worked
        .pressure
        .as_ref()
        .map_or(tube.calibration.pressure, |p| p.value());
    let air = AirState {
        tube_celsius: temperature.celsius(),
        air_celsius: temperature.celsius(),
        humidity: humidity.map_or(StatedHumidity::Unknown, StatedHumidity::of),
        kilopascals: pressure.kilopascals(),
    };
    let value = Chain::new(tube, scale, range, other)
        .value(reading, &air, TableLookup::AsStated)
        .map_err(|failed| {
            step_words::refusal(tube, range.strokes, scale.unit.canonical(), &failed)
        })?;
    Ok(gives.unit().from_base(scale.unit.to_base(value)))
}

fn scale_and_range<'t>(
    tube: &'t Tube,
    worked: &Worked,
    strokes: f64,
) -> Result<(&'t Scale, &'t MeasuringRange), Refusal> {
    tube.ranges
        .iter()
        .filter(|range| same_strokes(range.strokes, strokes))
        .filter_map(|range| Some((tube.scales.get(range.scale)?, range)))
        .find(|(scale, _)| worked.scale.is_none() || worked.scale == scale.name)
        .ok_or_else(|| {
            Refusal::new(
                Code::StrokesNotOnSheet,
                format!(
                    "`{}` strokes are not on the sheet for this scale",
                    print::number(strokes)
                ),
                "look at strokes and scale of the example again",
            )
        })
}

/// Tolerance of an example beyond half the last printed digit: what a leaflet's author lost in rounding on
/// the way.
const ROUNDING_ON_THE_WAY: f64 = 1e-9;

/// Works out the examples of every sheet of the catalog's own and speaks of those that do not come out, or cannot be
/// worked out. Sheets that cannot be computed with at all are left to the rules that say why.
pub fn check_worked(book: &Book) -> Vec<Finding> {
    book.own()
        .flat_map(|entry| check_entry(book, entry))
        .collect()
}

/// The same for one entry, which may be done for several at the same time.
pub fn check_entry(book: &Book, entry: &Entry) -> Vec<Finding> {
    let mut findings = Vec::new();
    let WrittenEntry::Tube(written) = &entry.written else {
        return findings;
    };
    if written.worked.is_empty() {
        return findings;
    }
    if let Ok(tube) = book.tube_model(entry.id()) {
        for (index, worked) in written.worked.iter().enumerate() {
            let path = Path::root().key("worked").index(index);
            match (worked_value(&tube, worked), &worked.gives) {
                (Ok(value), Some(gives)) => {
                    let off = (value - gives.number()).abs();
                    let tolerance = gives.half_step();
                    if tolerance + ROUNDING_ON_THE_WAY * gives.number().abs().max(1.0) < off {
                        findings.push(differs(Place::value(entry.file, path.key("gives")), value, gives, tolerance));
                    }
                }
                (Err(refusal), _) => findings.push(
                    Finding::of(RULE, Level::Error, Place::entry(entry.file, path))
                        .message(format!("the example cannot be worked out: {}", refusal.text))
                        .note("examples are on a leaflet so that a reader can see whether its tables were understood")
                        .help(refusal.remedy),
                ),
                (Ok(_), None) => {}
            }
        }
    }
    findings
}

fn differs(
    place: Place,
    value: f64,
    gives: &stainbook_core::Written<Concentration>,
    tolerance: f64,
) -> Finding {
    let unit = gives.unit().canonical();
    let computed = print::to_decimals(value, gives.decimals() + 1);
    Finding::of(RULE, Level::Error, place)
        .message(format!("the sheet's own tables give {computed} {unit} here, the example says `{}`", gives.text()))
        .label(format!("{computed} {unit} by the tables"))
        .note("the leaflet's makers worked the example out with the leaflet's tables: one of the two was typed wrongly, or the order of the steps is another")
        .help("compare the example, the factor rows and `order` with the leaflet")
        .fact("written", Fact::number(gives.number(), unit, gives.text()))
        .fact("computed", Fact::number(value, unit, format!("{computed} {unit}")))
        .fact("tolerance", Fact::number(tolerance, unit, format!("{} {unit}", print::number(tolerance))))
}
