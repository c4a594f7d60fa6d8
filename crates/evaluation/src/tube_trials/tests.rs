//! Trials side by side come out as trials one by one: for every sheet of the demo, and for sheets made at random.

use proptest::prelude::*;
use stainbook_catalog::model::{ResponseFactor, Tube};
use stainbook_catalog::written::tube::Axis;
use stainbook_catalog::{Book, EntryKind, SourceFile};

use super::*;
use crate::budget::{Source, Spans};
use crate::chain::{Chain, TableLookup};
use stainbook_uncertainty::distribution::Distribution;

/// More than are worked out side by side, and not a multiple of it.
const TRIALS: usize = SIDE_BY_SIDE + 77;

/// One way to read a tube.
#[derive(Clone, Copy, Debug)]
struct TubeCase {
    reading: f64,
    bias: f64,
    air: AirState,
    tube_by_itself: bool,
    spans: Spans,
    /// Width of the inputs.
    width: f64,
}

impl TubeCase {
    fn inputs(&self) -> Vec<Input> {
        let width = self.width;
        let rectangular = |half_width| Distribution::Rectangular { half_width };
        let normal = |standard| Distribution::Normal { standard };
        let mut inputs = vec![
            Input::new(Source::Accuracy, normal(0.1)),
            Input::new(
                Source::Repeatability,
                Distribution::StudentT {
                    scale: 0.08,
                    degrees_of_freedom: 6.0,
                },
            ),
            Input::new(Source::StrokeVolume, rectangular(0.05)),
            Input::new(
                Source::Multiplier,
                Distribution::Triangular { half_width: 0.02 },
            ),
            Input::new(
                Source::Table(Axis::Temperature),
                Distribution::Trapezoid {
                    half_width: 0.01,
                    top: 0.3,
                },
            ),
        ];
        if 0.0 < width {
            inputs.extend([
                Input::new(Source::Reading, normal(self.reading * 0.2 * width)),
                Input::new(Source::Front, rectangular(self.reading * 0.1 * width)),
                Input::new(Source::Temperature, rectangular(2.0 * width)),
                Input::new(
                    Source::AirTemperature,
                    Distribution::Arcsine {
                        half_width: 2.0 * width,
                    },
                ),
                Input::new(
                    Source::Humidity,
                    Distribution::CurvilinearTrapezoid {
                        half_width: 5.0 * width,
                        inexactness: 1.0,
                    },
                ),
                Input::new(Source::Pressure, normal(1.5 * width)),
            ]);
        }
        if 0.0 < self.bias {
            inputs.push(Input::new(Source::Interferent(0), normal(self.bias * 0.3)));
        }
        inputs
    }

    /// Works trials out in both ways. Whether they could be worked out side by side.
    fn compare(&self, chain: &Chain<'_>, what: &str) -> bool {
        let value = chain.held(self.reading - self.bias, &self.air).0;
        let run = MeasurementModel {
            chain,
            air: &self.air,
            tube_by_itself: self.tube_by_itself,
            reading: self.reading,
            bias: self.bias,
            value: value.unwrap_or(self.reading),
            spans: self.spans,
        };
        let trials = TubeTrials::new(run, &self.inputs());
        let side_by_side = trials.side_by_side.is_some();
        let draw = |trials: &TubeTrials<'_>| {
            let mut out = vec![f64::NAN; TRIALS];
            let held = trials.draw(&mut Generator::of_block(5, 0), &mut out);
            (out, held)
        };
        let (found, held) = draw(&trials);
        let (expected, expected_held) = draw(&trials.one_by_one());
        assert_eq!(held, expected_held, "{what}: {self:?}");
        for (trial, (found, expected)) in found.iter().zip(&expected).enumerate() {
            // What is left where a large share was taken off is a small difference.
            let rounding = 1e-10 * (expected.abs() + run.value.abs());
            assert!(
                (found - expected).abs() <= rounding,
                "{what}, trial {trial}: {found} and not {expected}: {self:?}"
            );
        }
        side_by_side
    }
}

fn air(tube: f64, air: f64, humidity: StatedHumidity, kilopascals: f64) -> AirState {
    AirState {
        tube_celsius: tube,
        air_celsius: air,
        humidity,
        kilopascals,
    }
}

/// Each chain that a tube has: for every scale, stroke count and gas.
fn each_chain(tube: &Tube, mut look: impl FnMut(&Chain<'_>, f64)) {
    let others = tube.response_factors.iter().map(Some);
    let others: Vec<Option<&ResponseFactor>> = std::iter::once(None).chain(others).collect();
    for scale in &tube.scales {
        for range in &tube.ranges {
            for other in &others {
                let marks = (scale.marks[0], scale.marks[scale.marks.len() - 1]);
                look(
                    &Chain::new(tube, scale, range, *other),
                    marks.0 + 0.3 * (marks.1 - marks.0),
                );
            }
        }
    }
}

#[test]
fn every_sheet_of_the_demo() {
    let (book, _) = Book::demo();
    let narrow = Spans {
        temperature: (0.0, 40.0),
        humidity: (8.0, 85.0),
        pressure: (80.0, 104.0),
        ..Spans::OPEN
    };
    // The usual air; a row of many tables; where tables end; outside.
    let airs = [
        (air(17.0, 17.0, StatedHumidity::Relative(55.0), 98.0), false),
        (air(20.0, 24.0, StatedHumidity::Absolute(11.0), 101.3), true),
        (air(5.5, 7.0, StatedHumidity::Relative(84.0), 103.0), true),
        (air(39.5, 39.5, StatedHumidity::Absolute(40.0), 80.5), false),
        (air(60.0, 60.0, StatedHumidity::Relative(2.0), 60.0), false),
    ];
    let (mut tubes, mut compared) = (0, 0);
    for id in book.ids(EntryKind::Tube) {
        let tube = book.tube_model(id).unwrap();
        tubes += 1;
        each_chain(&tube, |chain, reading| {
            for (number, (air, tube_by_itself)) in airs.into_iter().enumerate() {
                for (bias, spans) in [(0.0, Spans::OPEN), (reading * 0.4, narrow)] {
                    for width in [0.0, 1.0] {
                        let case = TubeCase {
                            reading,
                            bias,
                            air,
                            tube_by_itself,
                            spans,
                            width,
                        };
                        let side_by_side = case.compare(chain, id);
                        assert!(side_by_side || 0 < number, "{id}: {case:?}");
                        compared += usize::from(side_by_side);
                    }
                }
            }
        });
    }
    assert!(15 < tubes && 1000 < compared, "{tubes} {compared}");
}

/// A sheet with these corrections. Invented.
fn sheet(corrections: &str, response_factors: &str) -> Tube {
    let text = format!(
        "\
tube: weir-ammonia-r1
name: Weir ammonia tube
leaflet: {{title: Sheet 7, revision: '1', date: 2024-05}}
entered: {{by: KL, date: 2026-01-11}}
measures: {{substance: ammonia}}
before_use:
  pump_kinds: [quay]
  usable: {{temperature: -10 to 50 °C, humidity: 5 to 95 %RH}}
draw:
  stroke: 100 mL
  ranges:
    - {{strokes: 2, multiply_by: 1.7, from: 2, to: 40, seconds_per_stroke: 50, uses: whole scale}}
read:
  scales:
    - {{unit: ppm, marks: [2, 6, 15, 40], printed_for_strokes: 2}}
{response_factors}\
correct:
  calibrated_at: {{temperature: 20 °C, pressure: 101.3 kPa, humidity: 50 %RH}}
{corrections}\
doubt:
  repeatability: [{{up_to: 40 ppm, rsd: 10 %}}]
"
    );
    let (book, findings) =
        Book::read([SourceFile::new("weir-ammonia-r1.tube.yaml", text.as_str())]);
    assert!(findings.is_empty(), "{text}\n{findings:?}");
    book.tube_model("weir-ammonia-r1").unwrap()
}

fn between() -> impl Strategy<Value = &'static str> {
    prop_oneof![Just("linear"), Just("logarithmic"), Just("not allowed")]
}

fn target() -> impl Strategy<Value = &'static str> {
    prop_oneof![Just("reading"), Just("concentration")]
}

/// Rising conditions between two ends, so many that a draw may reach several.
fn conditions(low: f64, high: f64) -> impl Strategy<Value = Vec<f64>> {
    prop::collection::vec(0.05..1.0_f64, 3..7).prop_map(move |steps| {
        let all: f64 = steps.iter().skip(1).sum();
        let mut sum = 0.0;
        let along = steps.iter().enumerate().map(|(index, step)| {
            sum += if index == 0 { 0.0 } else { *step };
            low + (high - low) * sum / all
        });
        along.map(|at| (at * 100.0).round() / 100.0).collect()
    })
}

fn listed(numbers: impl IntoIterator<Item = f64>) -> String {
    let numbers: Vec<String> = numbers.into_iter().map(|n| format!("{n:.3}")).collect();
    numbers.join(", ")
}

/// A correction along an axis in this unit, from one end to the other.
fn correction(
    axis: &'static str,
    unit: &'static str,
    (low, high): (f64, f64),
) -> impl Strategy<Value = String> {
    let factors = (
        conditions(low, high),
        prop::collection::vec(0.6..1.6_f64, 7),
        target(),
        between(),
    );
    let table = (
        conditions(low, high),
        conditions(1.0, 60.0),
        prop::collection::vec(0.8..1.25_f64, 49),
        target(),
        between(),
    );
    prop_oneof![
        1 => Just(format!("  {axis}: {{method: none needed}}\n")),
        3 => factors.prop_map(move |(at, factors, target, between)| {
            let rows: Vec<String> = at
                .iter()
                .zip(factors)
                .map(|(at, factor)| format!("[{at:.2}, {factor:.3}]"))
                .collect();
            format!(
                "  {axis}: {{method: factor table, multiply: {target}, columns: ['{unit}', factor], rows: [{}], between: {between}}}\n",
                rows.join(", ")
            )
        }),
        1 => (0.6..1.2_f64, -0.004..0.006_f64, target()).prop_map(move |(c, slope, target)| {
            format!(
                "  {axis}: {{method: polynomial, multiply: {target}, of: '{unit}', coefficients: [{c:.3}, {slope:.5}, 0.00002]}}\n"
            )
        }),
        3 => table.prop_map(move |(columns, readings, shares, target, between)| {
            let lines: Vec<String> = readings
                .iter()
                .enumerate()
                .map(|(index, reading)| {
                    let becomes = shares.iter().skip(7 * index).take(columns.len());
                    format!(
                        "{{reading: {reading:.2} ppm, becomes: [{}]}}",
                        listed(becomes.map(|share| share * reading))
                    )
                })
                .collect();
            let columns: Vec<String> =
                columns.iter().map(|at| format!("'{at:.2} {unit}'")).collect();
            format!(
                "  {axis}: {{method: table, replace: {target}, columns: [{}], lines: [{}], between: {between}}}\n",
                columns.join(", "),
                lines.join(", ")
            )
        }),
    ]
}

fn corrections() -> impl Strategy<Value = String> {
    let temperature = prop_oneof![
        correction("temperature", "°C", (-5.0, 40.0)),
        correction("temperature", "°F", (14.0, 110.0)),
    ];
    let humidity = prop_oneof![
        correction("humidity", "%RH", (10.0, 90.0)),
        correction("humidity", "g/m³", (1.0, 25.0)),
    ];
    let pressure = prop_oneof![
        Just("  pressure: {method: proportional}\n".to_owned()),
        correction("pressure", "hPa", (820.0, 1060.0)),
    ];
    let order = Just([
        "strokes",
        "temperature",
        "humidity",
        "pressure",
        "other gas",
    ])
    .prop_shuffle()
    .prop_map(|steps| format!("  order: [{}]\n", steps.join(", ")));
    (temperature, humidity, pressure, order).prop_map(|(t, h, p, o)| t + &h + &p + &o)
}

fn response_factors() -> impl Strategy<Value = String> {
    let rows = (
        conditions(2.0, 40.0),
        prop::collection::vec(0.6..1.6_f64, 7),
    )
        .prop_map(|(readings, factors)| {
            let rows: Vec<String> = readings
                .iter()
                .zip(factors)
                .map(|(at, factor)| format!("[{at:.2}, {factor:.3}]"))
                .collect();
            format!("rows: [{}]", rows.join(", "))
        });
    let factor = prop_oneof![
        Just("by: 0.8".to_owned()),
        (rows, between()).prop_map(|(rows, between)| format!("{rows}, between: {between}")),
    ];
    factor.prop_map(|factor| {
        format!(
            "  also_measures: [{{substance: methylamine, multiply: reading, {factor}, strokes: 2, from: 2, to: 40}}]\n"
        )
    })
}

fn case() -> impl Strategy<Value = TubeCase> {
    let humidity = prop_oneof![
        (8.0..92.0_f64).prop_map(StatedHumidity::Relative),
        (1.0..30.0_f64).prop_map(StatedHumidity::Absolute),
    ];
    let air = (-8.0..45.0_f64, -5.0..6.0_f64, humidity, 80.0..107.0_f64).prop_map(
        |(tube, warmer, humidity, kilopascals)| air(tube, tube + warmer, humidity, kilopascals),
    );
    let spans = prop_oneof![
        Just(Spans::OPEN),
        Just(Spans {
            temperature: (-4.0, 41.0),
            humidity: (10.0, 85.0),
            pressure: (85.0, 104.0),
            ..Spans::OPEN
        })
    ];
    let bias = prop_oneof![Just(0.0), 0.05..0.9_f64];
    let width = prop_oneof![1 => Just(0.0), 4 => 0.2..3.0_f64];
    (2.0..45.0_f64, bias, air, any::<bool>(), spans, width).prop_map(
        |(reading, bias, air, tube_by_itself, spans, width)| TubeCase {
            reading,
            bias: bias * reading,
            air,
            tube_by_itself,
            spans,
            width,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn any_sheet(
        corrections in corrections(), also in response_factors(),
        cases in prop::collection::vec(case(), 4),
    ) {
        let tube = sheet(&corrections, &also);
        each_chain(&tube, |chain, _| {
            for case in &cases {
                case.compare(chain, &corrections);
            }
        });
    }
}

#[test]
fn a_trial_within_every_table_is_what_the_chain_says() {
    let tube = sheet(
        "  temperature: {method: factor table, multiply: reading, columns: [°C, factor], rows: [[0, 1.2], [20, 1], [40, 0.9]]}
  humidity: {method: none needed}
  pressure: {method: proportional}
",
        "",
    );
    let chain = Chain::new(&tube, &tube.scales[0], &tube.ranges[0], None);
    let air = air(15.0, 15.0, StatedHumidity::Relative(50.0), 95.0);
    let value = chain.value(12.0, &air, TableLookup::AsStated).unwrap();
    let run = MeasurementModel {
        chain: &chain,
        air: &air,
        tube_by_itself: false,
        reading: 12.0,
        bias: 0.0,
        value,
        spans: Spans::OPEN,
    };
    // 12 ppm times 1.05 between 0 and 20 °C, the multiplier, and 101.3 over 95 kPa.
    assert!((value - 12.0 * 1.05 * 1.7 * 101.3 / 95.0).abs() < 1e-12);
    let mut out = [0.0; 3];
    let held = TubeTrials::new(run, &[]).draw(&mut Generator::of_block(0, 0), &mut out);
    assert_eq!(held, Clamped::default());
    assert!(out.iter().all(|out| (out - value).abs() < 1e-12), "{out:?}");
}
