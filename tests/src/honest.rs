//! Honest sheets: made up, realistic, and without a slip.
//!
//! A checker is only as good as it is silent. These sheets have what real leaflets have and what a hasty rule stumbles over:
//! marks of uneven, about logarithmic spacing; multipliers that follow `(scale strokes / strokes)^b` with b from 0.6 to 1.7
//! and not quite the same b for every count; everything rounded for print to two digits or so; ranges that adjoin and ranges
//! that overlap; correction tables, curves and formulas that are smooth before they are rounded. The tubes are invented from
//! the seed alone and imitate none.
//!
//! The same seed gives the same sheet on every machine. Nothing here looks at what the rules of the checker do.

#![allow(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::missing_panics_doc,
    reason = "a generator for tests may fail loudly"
)]

use std::fmt::Write as _;

use stainbook_core::elementary::{exp, ln, log10, power_of_ten, powf};

/// A file of a generated catalog.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HonestFile {
    /// Its path below the catalog.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// Numbers that look random and are the same for the same seed: SplitMix64 (Steele, Lea, Flood, "Fast splittable pseudorandom
/// number generators", OOPSLA 2014).
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// Starts from a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from `low` to `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number from `low` up to, but without, `high`.
    pub fn below(&mut self, low: usize, high: usize) -> usize {
        low + (self.next() % (high - low) as u64) as usize
    }

    /// One of several.
    pub fn one_of<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(0, of.len())]
    }

    /// True so often.
    pub fn in_percent(&mut self, percent: usize) -> bool {
        self.below(0, 100) < percent
    }
}

/// A catalog of so many sheets with the files that they refer to. It builds on the embedded reference catalog.
#[must_use]
pub fn catalog(seed: u64, sheets: usize) -> Vec<HonestFile> {
    let file = |path: &str, text: &str| HonestFile {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    let mut files = vec![
        file(
            "catalog.yaml",
            "catalog: honest\ntitle: Made-up sheets without a slip\nrevision: 2026-03-01\nformat: 1\nbuilds_on: [stainbook-reference]\n",
        ),
        file(
            "pumps/halves.pump-kind.yaml",
            "pump_kind: halves\nname: Pump with half strokes\nstroke: 100 mL\nhalf_strokes: true\nvolume_tolerance: 5 %\n",
        ),
        file(
            "pumps/wholes.pump-kind.yaml",
            "pump_kind: wholes\nname: Pump with whole strokes\nstroke: 100 mL\nhalf_strokes: false\nvolume_tolerance: 4 %\n",
        ),
    ];
    files.extend(
        (0..sheets).map(|index| sheet(seed.wrapping_mul(100_000).wrapping_add(index as u64))),
    );
    files
}

/// One sheet. Its short name holds the seed.
#[must_use]
pub fn sheet(seed: u64) -> HonestFile {
    let id = format!("honest-{seed}-r1");
    let mut chance = Chance::new(seed);
    let text = HonestSheet::draw(&mut chance).write(&id, &mut chance);
    HonestFile {
        path: format!("tubes/{id}.tube.yaml"),
        text,
    }
}

const GASES: [&str; 10] = [
    "ammonia",
    "carbon-monoxide",
    "chlorine",
    "hydrogen-sulfide",
    "nitrogen-dioxide",
    "sulfur-dioxide",
    "toluene",
    "acetone",
    "methanol",
    "benzene",
];

struct HonestScale {
    name: Option<&'static str>,
    marks: Vec<String>,
    strokes: f64,
    rows: Vec<HonestRange>,
}

struct HonestRange {
    strokes: f64,
    multiplier: String,
    from: String,
    to: String,
    seconds: usize,
    uses: &'static str,
}

struct HonestSheet {
    unit: &'static str,
    scales: Vec<HonestScale>,
}

fn value(text: &str) -> f64 {
    text.parse().expect("a printed number")
}

/// A number as a leaflet prints it: so many significant digits, no exponent, zeros at the end only where they are asked for.
fn print(number: f64, digits: i32) -> String {
    let exponent = log10(number.abs()).floor() as i32;
    let step = power_of_ten(exponent - digits + 1);
    let rounded = (number / step).round() * step;
    let decimals = usize::try_from(digits - 1 - exponent).unwrap_or(0);
    let text = format!("{rounded:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn stroke_words(strokes: f64) -> String {
    print(strokes, 3)
}

impl HonestSheet {
    /// A sheet whose concentrations can be.
    fn draw(chance: &mut Chance) -> Self {
        loop {
            let drawn = Self::draw_any(chance);
            let most = if drawn.unit == "% by volume" {
                60.0
            } else {
                200_000.0
            };
            let highest = drawn
                .scales
                .iter()
                .flat_map(|scale| &scale.rows)
                .map(|row| value(&row.to));
            if highest.fold(0.0, f64::max) < most {
                return drawn;
            }
        }
    }

    fn draw_any(chance: &mut Chance) -> Self {
        let unit = *chance.one_of(&["ppm", "ppm", "ppm", "ppm", "mg/m³", "% by volume"]);
        let first = match unit {
            "% by volume" => chance.between(0.005, 0.05),
            _ => powf(10.0, chance.between(-1.3, 2.0)),
        };
        // The same pump draws through the same tube, whichever scale is read.
        let seconds = chance.below(15, 120);
        let mut scales = vec![HonestScale::draw(chance, first, seconds, None)];
        if chance.in_percent(12) {
            scales[0].name = Some("fine");
            let above = value(scales[0].marks.last().expect("marks")) * chance.between(0.3, 0.9);
            scales.push(HonestScale::draw(chance, above, seconds, Some("coarse")));
        }
        Self { unit, scales }
    }

    fn write(&self, id: &str, chance: &mut Chance) -> String {
        let gas = *chance.one_of(&GASES);
        let halves = self
            .scales
            .iter()
            .flat_map(|scale| &scale.rows)
            .any(|row| row.strokes < 1.0);
        let kinds = if halves {
            "[halves]"
        } else {
            *chance.one_of(&["[halves]", "[wholes]", "[halves, wholes]"])
        };
        let low = *chance.one_of(&[-10.0, -5.0, 0.0, 5.0, 10.0]);
        let high = *chance.one_of(&[30.0, 35.0, 40.0, 50.0]);
        let year = chance.below(2015, 2025);
        let month = chance.below(1, 13);
        let mut text = String::new();
        let out = &mut text;
        let _ = writeln!(out, "tube: {id}\nname: Made-up tube {id}");
        let _ = writeln!(
            out,
            "leaflet: {{title: Made-up sheet, revision: \"1\", date: {year}-{month:02}}}"
        );
        let _ = writeln!(
            out,
            "entered: {{by: KL, date: {}-02-11}}\nverified: {{by: MT, date: {}-02-28}}",
            year + 1,
            year + 1
        );
        let _ = writeln!(out, "measures: {{substance: {gas}}}");
        let _ = writeln!(
            out,
            "before_use:\n  pump_kinds: {kinds}\n  usable: {{temperature: {low} to {high} °C, humidity: 10 to 90 %RH}}"
        );
        let _ = writeln!(out, "draw:\n  stroke: 100 mL\n  ranges:");
        for scale in &self.scales {
            for row in &scale.rows {
                let named = scale
                    .name
                    .map(|name| format!("scale: {name}, "))
                    .unwrap_or_default();
                let _ = writeln!(
                    out,
                    "    - {{{named}strokes: {}, multiply_by: {}, from: {}, to: {}, seconds_per_stroke: {}, {}uses: {}}}",
                    stroke_words(row.strokes),
                    row.multiplier,
                    row.from,
                    row.to,
                    row.seconds,
                    if row.strokes < 1.0 {
                        "seconds_for: half stroke, "
                    } else {
                        ""
                    },
                    row.uses
                );
            }
        }
        let _ = writeln!(out, "read:\n  scales:");
        let drawn = chance.in_percent(50);
        for scale in &self.scales {
            let named = scale
                .name
                .map(|name| format!("name: {name}, "))
                .unwrap_or_default();
            let mass = match (self.unit, drawn) {
                ("mg/m³", true) => ", mass_stated: in the air as drawn",
                ("mg/m³", false) => ", mass_stated: at calibration conditions",
                _ => "",
            };
            let _ = writeln!(
                out,
                "    - {{{named}unit: \"{}\", marks: [{}], printed_for_strokes: {}{mass}}}",
                self.unit,
                scale.marks.join(", "),
                stroke_words(scale.strokes)
            );
        }
        let rows = self.scales.iter().flat_map(|scale| &scale.rows);
        let finest = rows
            .min_by(|a, b| value(&a.from).total_cmp(&value(&b.from)))
            .expect("a row");
        let visible = print(value(&finest.from) * chance.between(0.3, 0.9), 1);
        let _ = writeln!(
            out,
            "  lowest_visible: {{concentration: {visible} {}, strokes: {}}}",
            self.unit,
            stroke_words(finest.strokes)
        );
        let controls = self.corrections(out, chance, low, high, self.unit == "mg/m³" && drawn);
        self.doubt(out, chance, gas);
        self.control(out, &controls);
        text
    }

    /// Writes the corrections; gives the factors of a temperature table for the control figures.
    fn corrections(
        &self,
        out: &mut String,
        chance: &mut Chance,
        low: f64,
        high: f64,
        as_drawn: bool,
    ) -> Vec<String> {
        let at = *chance.one_of(&[20.0, 20.0, 25.0]);
        let _ = writeln!(
            out,
            "correct:\n  calibrated_at: {{temperature: {at} °C, pressure: 101.3 kPa, humidity: 50 %RH}}"
        );
        // A reaction that goes faster when it is warmer, and a bend.
        let slope = chance.between(-0.012, 0.020);
        let bend = chance.between(-0.0001, 0.0002);
        let factor = |t: f64| exp(-slope * (t - at) + bend * (t - at) * (t - at));
        let step = *chance.one_of(&[5.0, 10.0]);
        let mut temperatures = Vec::new();
        let mut t = (low / step).floor() * step;
        while t < high {
            temperatures.push(t);
            t += step;
        }
        temperatures.push(t);
        let mut factors = Vec::new();
        match chance.below(0, 10) {
            0 | 1 => {
                let _ = writeln!(out, "  temperature: {{method: none needed}}");
            }
            2 if self.scales.len() == 1 => self.table(out, chance, &temperatures, at, slope),
            3 => {
                // 1 at the calibration temperature, whatever the digits.
                let (b, c) = (round_to(-slope, 4), round_to(bend, 6));
                let a = round_to(1.0 - b * at - c * at * at, 3);
                let _ = writeln!(
                    out,
                    "  temperature: {{method: polynomial, multiply: reading, of: °C, coefficients: [{a}, {b}, {c:.6}]}}"
                );
            }
            shape => {
                if shape == 4 {
                    temperatures.reverse();
                }
                let read_off = shape == 5;
                let method = if read_off {
                    "curve points"
                } else {
                    "factor table"
                };
                let _ = writeln!(
                    out,
                    "  temperature:\n    method: {method}\n    multiply: reading\n    columns: [°C, factor]\n    rows:"
                );
                for t in &temperatures {
                    factors.push(format!("{:.2}", factor(*t)));
                    let _ = writeln!(out, "      - [{t}, {}]", factors.last().expect("a factor"));
                }
                if read_off {
                    let _ = writeln!(out, "    read_off_within: 2 %");
                }
            }
        }
        if chance.in_percent(25) {
            let wet = chance.between(-0.003, 0.003);
            let _ = writeln!(
                out,
                "  humidity:\n    method: factor table\n    multiply: reading\n    columns: [\"%RH\", factor]\n    rows:"
            );
            for h in [10.0, 30.0, 50.0, 70.0, 90.0] {
                let _ = writeln!(out, "      - [{h}, {:.2}]", exp(wet * (h - 50.0_f64)));
            }
        } else {
            let _ = writeln!(out, "  humidity: {{method: none needed}}");
        }
        if as_drawn {
            let _ = writeln!(out, "  pressure: {{method: none needed}}");
        } else if chance.in_percent(20) {
            let _ = writeln!(
                out,
                "  pressure:\n    method: factor table\n    multiply: concentration\n    columns: [kPa, factor]\n    rows:"
            );
            for p in [70.0, 80.0, 90.0, 101.3, 106.0] {
                let _ = writeln!(out, "      - [{p}, {:.2}]", 101.3 / p);
            }
        } else {
            let _ = writeln!(out, "  pressure: {{method: proportional}}");
        }
        factors
    }

    fn table(
        &self,
        out: &mut String,
        chance: &mut Chance,
        temperatures: &[f64],
        at: f64,
        slope: f64,
    ) {
        let marks = &self.scales[0].marks;
        let widens = chance.between(-0.15, 0.15);
        let middle = ln(value(&marks[marks.len() / 2]));
        let heads: Vec<String> = temperatures.iter().map(|t| format!("{t} °C")).collect();
        let _ = writeln!(
            out,
            "  temperature:\n    method: table\n    replace: reading\n    columns: [{}]\n    lines:",
            heads.join(", ")
        );
        for mark in marks {
            let reading = value(mark);
            let values: Vec<String> = temperatures
                .iter()
                .map(|t| {
                    let strength = 1.0 + widens * (ln(reading) - middle);
                    print(reading * exp(-slope * strength * (t - at)), 3)
                })
                .collect();
            let _ = writeln!(
                out,
                "      - {{reading: {mark} {}, becomes: [{}]}}",
                self.unit,
                values.join(", ")
            );
        }
        let _ = writeln!(
            out,
            "    between: {}",
            chance.one_of(&["linear", "logarithmic"])
        );
    }

    fn doubt(&self, out: &mut String, chance: &mut Chance, gas: &str) {
        let last = self
            .scales
            .iter()
            .filter_map(|scale| scale.marks.last())
            .max_by(|a, b| value(a).total_cmp(&value(b)))
            .expect("a mark");
        let marks = &self.scales[0].marks;
        let (low, high) = (chance.below(8, 20), chance.below(4, 9));
        let _ = writeln!(
            out,
            "doubt:\n  repeatability:\n    - {{up_to: {} {}, rsd: {low} %}}",
            marks[marks.len() / 3],
            self.unit
        );
        let _ = writeln!(out, "    - {{up_to: {last} {}, rsd: {high} %}}", self.unit);
        if chance.in_percent(70) {
            let within = chance.one_of(&["15 %", "25 %", "30 %"]);
            let _ = writeln!(
                out,
                "  accuracy:\n    - {{up_to: {last} {}, within: {within}}}",
                self.unit
            );
        }
        let mut others: Vec<&str> = GASES
            .iter()
            .copied()
            .filter(|other| *other != gas)
            .collect();
        let _ = writeln!(out, "  other_gases:");
        for _ in 0..chance.below(1, 4) {
            let other = others.remove(chance.below(0, others.len()));
            let words = match chance.below(0, 4) {
                0 => format!(
                    "alone: stains, together: reads high, response: {}",
                    print(chance.between(0.05, 2.0), 2)
                ),
                1 => format!(
                    "alone: no stain, together: reads low, response: -{}",
                    print(chance.between(0.05, 0.8), 1)
                ),
                2 => "alone: no stain, together: no effect, tested_to: 20 ppm".to_owned(),
                _ => format!(
                    "alone: stains faintly, together: reads high, matters_from: {} ppm",
                    print(chance.between(1.0, 90.0), 1)
                ),
            };
            let _ = writeln!(out, "    - {{substance: {other}, {words}}}");
        }
    }

    /// Control figures, added up exactly.
    fn control(&self, out: &mut String, factors: &[String]) {
        let _ = writeln!(out, "control:");
        for scale in &self.scales {
            let named = scale
                .name
                .map(|name| format!(", scale: {name}"))
                .unwrap_or_default();
            let mut figure = |of: &str, numbers: &[String]| {
                let _ = writeln!(
                    out,
                    "  - {{of: {of}{named}, rows: {}, sum: {}}}",
                    numbers.len(),
                    sum(numbers)
                );
            };
            let of_rows = |pick: fn(&HonestRange) -> String| -> Vec<String> {
                scale.rows.iter().map(pick).collect()
            };
            figure("marks", &scale.marks);
            figure("strokes", &of_rows(|row| stroke_words(row.strokes)));
            figure("multipliers", &of_rows(|row| row.multiplier.clone()));
            figure("lower ends", &of_rows(|row| row.from.clone()));
            figure("upper ends", &of_rows(|row| row.to.clone()));
            figure("seconds", &of_rows(|row| row.seconds.to_string()));
        }
        if !factors.is_empty() {
            let _ = writeln!(
                out,
                "  - {{of: temperature table, column: 2, rows: {}, sum: {}}}",
                factors.len(),
                sum(factors)
            );
        }
    }
}

/// The sum of printed numbers with as many decimals as the finest of them.
fn sum(numbers: &[String]) -> String {
    let decimals = numbers
        .iter()
        .map(|number| number.split_once('.').map_or(0, |(_, d)| d.len()))
        .max()
        .unwrap_or(0);
    let total: f64 = numbers.iter().map(|number| value(number)).sum();
    format!("{total:.decimals$}")
}

fn round_to(number: f64, decimals: i32) -> f64 {
    let step = power_of_ten(decimals);
    (number * step).round() / step
}

impl HonestScale {
    fn draw(chance: &mut Chance, first: f64, seconds: usize, name: Option<&'static str>) -> Self {
        let digits = if chance.in_percent(30) { 1 } else { 2 };
        let mut marks = vec![print(first, digits)];
        let count = chance.below(5, 10);
        let usual = chance.between(0.3, 0.8);
        while marks.len() < count {
            let before = value(marks.last().expect("a mark"));
            // Uneven steps, and never so close that two marks could not be told apart on the glass.
            let next = print(before * exp(usual * chance.between(0.7, 1.4)), 2);
            if before * 1.18 < value(&next) {
                marks.push(next);
            }
        }
        let strokes = *chance.one_of(&[1.0, 1.0, 2.0, 3.0, 4.0, 5.0, 10.0]);
        let mut scale = Self {
            name,
            marks,
            strokes,
            rows: Vec::new(),
        };
        scale.ranges(chance, seconds);
        scale
    }

    fn ranges(&mut self, chance: &mut Chance, seconds: usize) {
        let exponent = chance.between(0.6, 1.7);
        let mut counts = vec![self.strokes];
        for _ in 0..chance.below(0, 4) {
            let count = *chance.one_of(&[0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0]);
            let ratio = count / self.strokes;
            let apart = counts.iter().all(|other| ln(count / other).abs() > 0.25);
            if apart && (0.099..=10.01).contains(&ratio) {
                counts.push(count);
            }
        }
        counts.sort_by(f64::total_cmp);
        let digits = *chance.one_of(&[2, 2, 2, 3]);
        let whole = chance.in_percent(40);
        let (first, last) = (
            self.marks[0].clone(),
            self.marks[self.marks.len() - 1].clone(),
        );
        let multipliers: Vec<f64> = counts
            .iter()
            .map(|count| {
                let own = exponent * (1.0 + chance.between(-0.03, 0.03));
                powf(self.strokes / count, own)
            })
            .collect();
        let home = counts
            .iter()
            .position(|count| (count - self.strokes).abs() < 1e-9)
            .expect("the scale's own count");
        for (index, (count, multiplier)) in counts.iter().zip(&multipliers).enumerate() {
            let (low, high) = (value(&first) * multiplier, value(&last) * multiplier);
            let (from, to, uses) = if index == home {
                (first.clone(), last.clone(), "whole scale")
            } else if whole {
                (print(low, digits), print(high, digits), "whole scale")
            } else if index < home {
                // Fewer strokes carry the scale upward, from where the next count ends.
                let next = if index + 1 == home {
                    last.clone()
                } else {
                    print(value(&last) * multipliers[index + 1], digits)
                };
                (next, print(high, digits), "extension")
            } else {
                let next = if index == home + 1 {
                    first.clone()
                } else {
                    print(value(&first) * multipliers[index - 1], digits)
                };
                (print(low, digits), next, "extension")
            };
            let printed = if index == home {
                "1".to_owned()
            } else {
                print(*multiplier, digits)
            };
            // Nobody prints two counts with one multiplier, a band without width, or bands that leave a gap.
            let below = multipliers
                .get(index + 1)
                .map_or(1.0, |next| multiplier / next);
            let above = index
                .checked_sub(1)
                .map_or(1.0, |before| multipliers[before] / multiplier);
            let reaches = value(&last) / value(&first) > 1.3 * below.max(above);
            if index == home || (value(&from) * 1.05 < value(&to) && reaches) {
                self.rows.push(HonestRange {
                    strokes: *count,
                    multiplier: printed,
                    from,
                    to,
                    seconds: if *count < 1.0 {
                        seconds.div_ceil(2)
                    } else {
                        seconds + index
                    },
                    uses,
                });
            }
        }
        // A band that was left out in the middle would leave a gap; then only the scale's own count is printed.
        if self.rows.len() != counts.len() {
            self.rows
                .retain(|row| (row.strokes - self.strokes).abs() < 1e-9);
        }
        if chance.in_percent(30) {
            self.rows.reverse();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_seed_gives_the_same_sheet() {
        assert_eq!(sheet(7), sheet(7));
        assert_ne!(sheet(7).text, sheet(8).text);
    }

    #[test]
    fn numbers_are_printed_as_on_leaflets() {
        for (number, digits, text) in [
            (0.2849, 2, "0.28"),
            (41.6, 2, "42"),
            (1234.0, 2, "1200"),
            (9.96, 2, "10"),
            (2.0, 2, "2"),
            (0.05, 1, "0.05"),
        ] {
            assert_eq!(print(number, digits), text);
        }
    }

    #[test]
    fn the_home_count_is_always_there() {
        for seed in 0..300 {
            let drawn = HonestSheet::draw(&mut Chance::new(seed));
            for scale in &drawn.scales {
                let home = scale.rows.iter().filter(|row| {
                    row.multiplier == "1" && (row.strokes - scale.strokes).abs() < 1e-9
                });
                assert_eq!(home.count(), 1, "{seed}");
            }
        }
    }
}
