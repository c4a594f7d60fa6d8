//! A sheet with the correction that is asked about, and the chain made of it.

use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;
use stainbook_catalog::model::{ResponseFactor, Tube};
use stainbook_catalog::{Book, SourceFile};
use stainbook_core::{Humidity, RelativeHumidity};
use stainbook_evaluation::chain::{
    AirState, Chain, Failure, StatedHumidity, StepFailed, TableLookup,
};
use stainbook_evaluation::interpolation::NoValue;

use crate::support::{KIND, PUMP, SHEET, changed};

/// Text of [`SHEET`] about temperature, to be replaced.
const TEMPERATURE: &str = "temperature:\n    method: factor table\n    multiply: reading\n    columns: [°C, factor]\n    rows: [[0, 1.30], [10, 1.10], [20, 1.00], [40, 0.80]]";

/// The stroke multipliers of [`SHEET`], in its order.
pub(crate) const MULTIPLIERS: [f64; 3] = [2.5, 1.0, 0.4];

/// So many cases, those that ever failed first; a new one is kept there, to be committed.
pub(crate) fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/proptest-regressions/corrections.txt"
        )))),
        ..ProptestConfig::with_cases(cases)
    }
}

/// Along which condition a correction is stated, in which unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Along {
    Temperature,
    RelativeHumidity,
    AbsoluteHumidity,
    Pressure,
}

impl Along {
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::Temperature => "°C",
            Self::RelativeHumidity => "%RH",
            Self::AbsoluteHumidity => "g/m³",
            Self::Pressure => "hPa",
        }
    }

    /// Span of a table of it.
    pub(crate) fn span(self) -> (f64, f64) {
        match self {
            Self::Temperature => (-20.0, 50.0),
            Self::RelativeHumidity => (5.0, 95.0),
            // Air of 35 °C holds 39 g/m³.
            Self::AbsoluteHumidity => (1.0, 35.0),
            Self::Pressure => (600.0, 1100.0),
        }
    }

    /// The air in which it is `at`, and all else is as at calibration.
    pub(crate) fn air(self, at: f64) -> AirState {
        let usual = AirState {
            tube_celsius: 20.0,
            air_celsius: 35.0,
            humidity: StatedHumidity::Relative(50.0),
            kilopascals: 101.3,
        };
        match self {
            Self::Temperature => AirState {
                tube_celsius: at,
                ..usual
            },
            Self::RelativeHumidity => AirState {
                humidity: StatedHumidity::Relative(at),
                ..usual
            },
            Self::AbsoluteHumidity => AirState {
                humidity: StatedHumidity::Absolute(at),
                ..usual
            },
            Self::Pressure => AirState {
                kilopascals: at / 10.0,
                ..usual
            },
        }
    }

    /// The sheet on which this correction alone is stated.
    pub(crate) fn tube(self, correction: &str) -> Tube {
        let of = |which: &[Self]| {
            if which.contains(&self) {
                correction.to_owned()
            } else {
                "{method: none needed}".to_owned()
            }
        };
        tube(&[
            (
                TEMPERATURE,
                &format!("temperature: {}", of(&[Self::Temperature])),
            ),
            (
                "humidity: {method: none needed}",
                &format!(
                    "humidity: {}",
                    of(&[Self::RelativeHumidity, Self::AbsoluteHumidity])
                ),
            ),
            (
                "pressure: {method: proportional}",
                &format!("pressure: {}", of(&[Self::Pressure])),
            ),
        ])
    }
}

pub(crate) fn along() -> impl Strategy<Value = Along> {
    prop::sample::select(vec![
        Along::Temperature,
        Along::RelativeHumidity,
        Along::AbsoluteHumidity,
        Along::Pressure,
    ])
}

pub(crate) fn target() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["reading", "concentration"])
}

/// Interpolation between rows, where a sheet allows it.
pub(crate) fn between() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["linear", "logarithmic"])
}

/// A tube of the usual sheet with changes.
pub(crate) fn tube(changes: &[(&str, &str)]) -> Tube {
    let (book, _) = Book::read([
        SourceFile::new(
            "catalog.yaml",
            "catalog: slip\ntitle: Slipway\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        ),
        SourceFile::new("slip-chlorine-r2.tube.yaml", changed(SHEET, changes)),
        SourceFile::new("quay.pump-kind.yaml", KIND),
        SourceFile::new("pump-1.pump.yaml", PUMP),
    ]);
    book.tube_model("slip-chlorine-r2")
        .unwrap_or_else(|unusable| panic!("{}: {}", unusable.path, unusable.message))
}

/// The concentration for a reading drawn with the stroke count of this row.
pub(crate) fn at(
    tube: &Tube,
    row: usize,
    other: Option<&ResponseFactor>,
    reading: f64,
    air: &AirState,
) -> Result<f64, StepFailed> {
    Chain::new(tube, &tube.scales[0], &tube.ranges[row], other).value(
        reading,
        air,
        TableLookup::AsStated,
    )
}

/// The ends of the table that the number lay outside of.
pub(crate) fn outside(result: Result<f64, StepFailed>) -> Option<(f64, f64)> {
    match result {
        Err(StepFailed {
            why: Failure::Table(NoValue::Outside { low, high, .. }),
            ..
        }) => Some((low, high)),
        _ => None,
    }
}

pub(crate) fn between_rows(result: Result<f64, StepFailed>) -> bool {
    matches!(
        result,
        Err(StepFailed {
            why: Failure::Table(NoValue::BetweenRows { .. }),
            ..
        })
    )
}

/// Rising numbers in a span, as printed with two decimals, at least a hundredth of the span apart.
pub(crate) fn nodes((low, high): (f64, f64)) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(1.0..10.0_f64, 2..8).prop_map(move |steps| {
        let whole: f64 = steps.iter().sum::<f64>() * 1.05;
        let mut sum = 0.0;
        steps
            .into_iter()
            .map(|step| {
                sum += step;
                two_decimals(low + (high - low) * sum / whole)
            })
            .collect()
    })
}

pub(crate) fn two_decimals(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// True if two numbers are the same but for rounding on the way.
pub(crate) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-11 * a.abs().max(b.abs())
}

/// A condition that lies this share of the way from the first node to the last.
pub(crate) fn part_of(nodes: &[f64], share: f64) -> f64 {
    nodes[0] + (nodes[nodes.len() - 1] - nodes[0]) * share
}

/// Saturated air may not be exceeded on the way from one kind of humidity to the other.
pub(crate) fn grams(percent: f64, celsius: f64) -> f64 {
    Humidity::from(RelativeHumidity::from_percent(percent).unwrap())
        .to_absolute(stainbook_core::Temperature::from_celsius(celsius).unwrap())
        .unwrap()
        .g_per_m3()
}
