//! Effects of a change of a sheet on results, over its whole scale and its conditions.

use std::collections::BTreeSet;

use stainbook_catalog::model::Tube;
use stainbook_core::print;

use super::grid::{self, ScaleGrid};
use super::group::{alike, regions, step};
use super::outcome::{Both, GridAir, GridPoint, StateOutcome, WorkedState};
use super::{AtCondition, Move, Readings, ResultEffect, Revision, SheetEffects};
use stainbook_evaluation::outcome::Code;
use stainbook_evaluation::stain::same_strokes;

/// Effects told of one place on the grid.
type ToldEffects = Vec<(Option<Readings>, ResultEffect)>;

/// A change of the relative standard uncertainty below this is not reported.
const SMALLEST_UNCERTAINTY: f64 = 5e-4;

/// Works readings out with two states of a sheet and says what moves.
pub fn of_sheet(old: Revision<'_>, new: Revision<'_>) -> SheetEffects {
    let mut effects = SheetEffects::default();
    let (mut old, mut new) = match (WorkedState::new(old), WorkedState::new(new)) {
        (Ok(old), Ok(new)) => (old, new),
        (Err(why), _) | (_, Err(why)) => {
            effects.not_compared = Some(why);
            return effects;
        }
    };
    let scales = match grid::scales(&old.tube, &new.tube) {
        Ok(scales) => scales,
        Err(why) => {
            effects.not_compared = Some(why);
            return effects;
        }
    };
    let reference = grid::reference(&old.tube, &new.tube);
    let conditions = conditions(&old.tube, &new.tube, &reference);
    for gas in gases(&old.tube, &new.tube) {
        for scale in &scales {
            let place = GridPlace {
                gas: gas.as_deref(),
                scale,
                named: (1 < scales.len())
                    .then_some(scale.name.as_deref())
                    .flatten(),
            };
            let mut work = SheetWork {
                old: &mut old,
                new: &mut new,
                place: &place,
                effects: &mut effects,
            };
            let told = work.by_strokes(&reference);
            for (axis, airs) in &conditions {
                work.by_condition(axis, airs, &told);
            }
            if gas.is_none() {
                work.no_stain(&reference);
                work.uncertainty(&reference);
                work.together(&conditions, &reference);
            }
        }
    }
    responses(&old.tube, &new.tube, &mut effects.moves);
    effects
}

/// The gases that are read on the sheet: its own, and those of `also_measures`.
fn gases(old: &Tube, new: &Tube) -> Vec<Option<String>> {
    let others: BTreeSet<String> = old
        .response_factors
        .iter()
        .chain(&new.response_factors)
        .map(|row| row.substance.id.clone())
        .collect();
    std::iter::once(None)
        .chain(others.into_iter().map(Some))
        .collect()
}

/// The conditions along each axis, each with its name; the reference is left out.
type Axes = [(&'static str, Vec<(String, GridAir)>); 3];

/// Readings from one to another, with their uncertainty before and now.
type ReadingSpan = (f64, f64, [f64; 2], [f64; 2]);

/// Readings with new over old.
type FactorsByReading = Vec<(f64, Option<f64>)>;

fn conditions(old: &Tube, new: &Tube, reference: &GridAir) -> Axes {
    let moved = |name: String, air: GridAir| (name, air);
    let temperatures = grid::temperatures(old, new)
        .into_iter()
        .filter(|celsius| 1e-6 < (celsius - reference.celsius).abs())
        .map(|celsius| {
            let air = GridAir {
                celsius,
                ..reference.clone()
            };
            moved(format!("{} °C", print::number(celsius)), air)
        })
        .collect();
    let humidities = grid::humidities(old, new)
        .into_iter()
        .filter(|humidity| reference.humidity.as_ref() != Some(humidity))
        .map(|humidity| {
            let air = GridAir {
                humidity: Some(humidity.clone()),
                ..reference.clone()
            };
            moved(humidity, air)
        })
        .collect();
    let pressures = grid::pressures(old, new)
        .into_iter()
        .filter(|kilopascals| 1e-6 < (kilopascals - reference.kilopascals).abs())
        .map(|kilopascals| {
            let air = GridAir {
                kilopascals,
                ..reference.clone()
            };
            moved(format!("{} kPa", print::number(kilopascals)), air)
        })
        .collect();
    [
        ("temperature", temperatures),
        ("humidity", humidities),
        ("pressure", pressures),
    ]
}

struct GridPlace<'g> {
    gas: Option<&'g str>,
    scale: &'g ScaleGrid,
    /// The scale's name, if there are several.
    named: Option<&'g str>,
}

/// Moves at calibration, by stroke count and reading: the factors that other conditions come on top of.
struct AtReference(Vec<(f64, FactorsByReading)>);

impl AtReference {
    fn factor(&self, strokes: f64, reading: f64) -> Option<f64> {
        let (_, row) = self.0.iter().find(|(s, _)| same_strokes(*s, strokes))?;
        let (_, factor) = row
            .iter()
            .find(|(r, _)| (r - reading).abs() <= 1e-9 * reading)?;
        *factor
    }
}

struct SheetWork<'w, 'b> {
    old: &'w mut WorkedState<'b>,
    new: &'w mut WorkedState<'b>,
    place: &'w GridPlace<'w>,
    effects: &'w mut SheetEffects,
}

impl SheetWork<'_, '_> {
    fn both(&mut self, strokes: f64, reading: Option<f64>, air: &GridAir) -> Both {
        let point = GridPoint {
            gas: self.place.gas,
            scale: self.place.scale.name.as_deref(),
            strokes,
            reading,
            unit: self.place.scale.unit,
            air,
        };
        let both = Both::of(self.old, self.new, &point);
        self.effects.computed += 1;
        if both.moved() {
            self.effects.moved += 1;
        }
        let by = both.ratio().map_or(0.0, |ratio| ratio - 1.0);
        self.effects.largest_rise = self.effects.largest_rise.max(by);
        self.effects.largest_fall = self.effects.largest_fall.min(by);
        both
    }

    fn push(&mut self, strokes: Option<f64>, at: Option<&AtCondition>, told: &ToldEffects) {
        for (readings, what) in told {
            self.effects.moves.push(Move {
                gas: self.place.gas.map(str::to_owned),
                scale: self.place.named.map(str::to_owned),
                strokes,
                at: at.cloned(),
                readings: readings.clone(),
                what: what.clone(),
            });
        }
    }

    /// At the calibration conditions, stroke count by stroke count.
    fn by_strokes(&mut self, reference: &GridAir) -> AtReference {
        let scale = self.place.scale;
        let mut at_reference = Vec::new();
        let mut told: Vec<(f64, ToldEffects)> = Vec::new();
        for strokes in &scale.strokes {
            let mut row = Vec::new();
            let mut steps = Vec::new();
            let mut refused = true;
            for reading in &scale.readings {
                let both = self.both(*strokes, Some(*reading), reference);
                refused &= matches!(
                    (&both.old, &both.new),
                    (StateOutcome::Refused(_), StateOutcome::Refused(_))
                );
                row.push((*reading, both.ratio()));
                steps.push((*reading, step(&both, 1.0)));
            }
            at_reference.push((*strokes, row));
            // What neither state gives has nothing to say, and does not keep the others from being told as one.
            if !refused {
                told.push((*strokes, regions(&steps, scale.unit.canonical())));
            }
        }
        let (first, others) = match told.split_first() {
            Some((first, others)) => (first.1.clone(), others),
            None => return AtReference(at_reference),
        };
        if !others.is_empty() && others.iter().all(|(_, other)| alike(&first, other)) {
            self.push(None, None, &first);
        } else {
            for (strokes, told) in &told {
                self.push(Some(*strokes), None, told);
            }
        }
        AtReference(at_reference)
    }

    /// Effects of the conditions along one axis on top of that. Conditions that do the same are told as one.
    fn by_condition(&mut self, axis: &'static str, airs: &[(String, GridAir)], at: &AtReference) {
        let scale = self.place.scale;
        let mut told: Vec<(Vec<String>, ToldEffects)> = Vec::new();
        let mut by_strokes: Vec<(Vec<String>, f64, ToldEffects)> = Vec::new();
        for (name, air) in airs {
            let mut each: Vec<(f64, ToldEffects)> = Vec::new();
            let mut flags: BTreeSet<(bool, Code)> = BTreeSet::new();
            for strokes in &scale.strokes {
                let mut steps = Vec::new();
                for reading in &scale.readings {
                    // What was told at calibration, a refusal too, is not told again at each condition.
                    let Some(factor) = at.factor(*strokes, *reading) else {
                        continue;
                    };
                    let both = self.both(*strokes, Some(*reading), air);
                    if let (StateOutcome::Given(old), StateOutcome::Given(new)) =
                        (&both.old, &both.new)
                    {
                        let gone = old
                            .outside
                            .iter()
                            .filter(|flag| !new.outside.contains(flag));
                        let come = new
                            .outside
                            .iter()
                            .filter(|flag| !old.outside.contains(flag));
                        flags.extend(gone.map(|flag| (false, flag.clone())));
                        flags.extend(come.map(|flag| (true, flag.clone())));
                    }
                    steps.push((*reading, step(&both, factor)));
                }
                if !steps.is_empty() {
                    each.push((*strokes, regions(&steps, scale.unit.canonical())));
                }
            }
            let Some(((_, first), others)) = each.split_first() else {
                continue;
            };
            if others.iter().all(|(_, other)| alike(first, other)) {
                let mut first = first.clone();
                first.extend(flags.into_iter().map(|(come, code)| {
                    let what = if come {
                        ResultEffect::NowFlagged { code }
                    } else {
                        ResultEffect::NoLongerFlagged { code }
                    };
                    (None, what)
                }));
                match told.last_mut() {
                    Some((names, last)) if alike(last, &first) => names.push(name.clone()),
                    _ => told.push((vec![name.clone()], first)),
                }
            } else {
                for (strokes, regions) in each {
                    by_strokes.push((vec![name.clone()], strokes, regions));
                }
            }
        }
        let at = |values: Vec<String>| AtCondition { axis, values };
        for (names, told) in told {
            self.push(None, Some(&at(names)), &told);
        }
        for (names, strokes, told) in by_strokes {
            self.push(Some(strokes), Some(&at(names)), &told);
        }
    }

    /// Meaning of no stain, stroke count by stroke count.
    fn no_stain(&mut self, reference: &GridAir) {
        for strokes in &self.place.scale.strokes {
            let both = self.both(*strokes, None, reference);
            if let (StateOutcome::Given(old), StateOutcome::Given(new)) = (&both.old, &both.new)
                && both.moved()
                && old.is_bound
                && new.is_bound
            {
                let what = ResultEffect::NoStain {
                    old: old.text.clone(),
                    new: new.text.clone(),
                };
                self.push(Some(*strokes), None, &vec![(None, what)]);
            }
        }
    }

    /// The standard uncertainty at the stroke count that the scale is printed for.
    fn uncertainty(&mut self, reference: &GridAir) {
        let scale = self.place.scale;
        let mut runs: Vec<ReadingSpan> = Vec::new();
        let mut open = false;
        for reading in &scale.readings {
            let both = self.both(scale.printed_for, Some(*reading), reference);
            let relative = |outcome: &StateOutcome| match outcome {
                StateOutcome::Given(given) => given.relative,
                StateOutcome::Refused(_) | StateOutcome::Nothing => None,
            };
            let moved = relative(&both.old)
                .zip(relative(&both.new))
                .filter(|(old, new)| SMALLEST_UNCERTAINTY < (new - old).abs());
            match (moved, runs.last_mut()) {
                (Some((old, new)), Some((_, to, was, is)))
                    if open && (was[0] < is[0]) == (old < new) =>
                {
                    *to = *reading;
                    *was = [was[0].min(old), was[1].max(old)];
                    *is = [is[0].min(new), is[1].max(new)];
                }
                (Some((old, new)), _) => {
                    runs.push((*reading, *reading, [old, old], [new, new]));
                }
                (None, _) => {}
            }
            open = moved.is_some();
        }
        let ends = (
            scale.readings.first().copied(),
            scale.readings.last().copied(),
        );
        for (from, to, old, new) in runs {
            let whole = ends.0 == Some(from) && ends.1 == Some(to);
            let readings = (!whole).then(|| Readings {
                from,
                to,
                unit: scale.unit.canonical().to_owned(),
            });
            let told = vec![(readings, ResultEffect::Uncertainty { old, new })];
            self.push(Some(scale.printed_for), None, &told);
        }
    }

    /// True if the moves multiply: the conditions taken together against each by itself.
    fn together(&mut self, axes: &Axes, reference: &GridAir) {
        let scale = self.place.scale;
        let middle = scale.readings.len() / 2;
        let mut readings: Vec<f64> = [0, middle, scale.readings.len().saturating_sub(1)]
            .into_iter()
            .filter_map(|index| scale.readings.get(index).copied())
            .collect();
        readings.dedup_by(|a, b| (*a - *b).abs() <= 0.0);
        let strokes: Vec<f64> = self.place.scale.strokes.clone();
        let [(_, temperatures), (_, humidities), (_, pressures)] = axes;
        for strokes in strokes {
            for reading in &readings {
                let mut ratio = |air: &GridAir| self.both(strokes, Some(*reading), air).ratio();
                let Some(base) = ratio(reference) else {
                    continue;
                };
                let mut alone = |airs: &[(String, GridAir)]| -> Vec<(GridAir, f64)> {
                    let mut of =
                        |air: &GridAir| ratio(air).map(|ratio| (air.clone(), ratio / base));
                    let own = std::iter::once((reference.clone(), 1.0));
                    own.chain(airs.iter().filter_map(|(_, air)| of(air)))
                        .collect()
                };
                let (by_t, by_h, by_p) = (alone(temperatures), alone(humidities), alone(pressures));
                for (at_t, factor_t) in &by_t {
                    for (at_h, factor_h) in &by_h {
                        for (at_p, factor_p) in &by_p {
                            let air = GridAir {
                                celsius: at_t.celsius,
                                humidity: at_h.humidity.clone(),
                                kilopascals: at_p.kilopascals,
                            };
                            let told = base * factor_t * factor_h * factor_p;
                            if let Some(ratio) = self.both(strokes, Some(*reading), &air).ratio() {
                                let off = (ratio / told - 1.0).abs();
                                self.effects.together_off = self.effects.together_off.max(off);
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Other gases whose response is another one now.
fn responses(old: &Tube, new: &Tube, moves: &mut Vec<Move>) {
    let find = |tube: &Tube, gas: &str| {
        let row = tube.interferents.iter().find(|row| row.gas == gas);
        row.and_then(|row| row.response)
    };
    let gases: BTreeSet<&String> = old
        .interferents
        .iter()
        .chain(&new.interferents)
        .map(|row| &row.gas)
        .collect();
    for gas in gases {
        let (before, now) = (find(old, gas), find(new, gas));
        let moved = match (before, now) {
            (Some(before), Some(now)) => 1e-12 < (before - now).abs(),
            (None, None) => false,
            _ => true,
        };
        if moved {
            moves.push(Move {
                gas: None,
                scale: None,
                strokes: None,
                at: None,
                readings: None,
                what: ResultEffect::Response {
                    gas: gas.clone(),
                    old: before,
                    new: now,
                },
            });
        }
    }
}
