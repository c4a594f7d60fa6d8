//! One sheet put to work in the air of the search: every stroke count swept once, then asked for each level.

use std::rc::Rc;

use stainbook_catalog::model::{MeasuringRange, PumpKind, Scale, Substance, Tube, Visible};
use stainbook_catalog::written::{Conditions as WrittenConditions, LimitKind};
use stainbook_core::{Concentration, print};

use crate::demand::demand;
use crate::found::{AtLevel, Coverage, Way};
use crate::question::{Question, SoughtGas, SoughtLevel};
use crate::reasons::weight_of;
use crate::spoken::{minutes, strokes_in_words};
use crate::trial::{Bench, Trial};
use crate::way::{self, NoWay, Sweep};
use crate::{Weight, route};
use stainbook_evaluation::Evaluator;
use stainbook_evaluation::compiled_sheet::CompiledSheet;
use stainbook_evaluation::outcome::{Code, Refusal};
use stainbook_evaluation::result::LimitUsed;

/// Printed ends are rounded: bands that miss each other or a bound by less, as a part, adjoin.
const ADJOINS: f64 = 0.02;

/// Inputs of the trial of a sheet's stroke counts.
pub(crate) struct LevelSearch<'e, 'b> {
    pub(crate) evaluator: &'e mut Evaluator<'b>,
    pub(crate) tried: &'e mut usize,
    pub(crate) question: &'e Question,
    pub(crate) compiled: &'e Rc<CompiledSheet<'b>>,
    pub(crate) route: &'e route::Route<'e>,
    pub(crate) conditions: &'e WrittenConditions,
    /// The pump that is tried with, by its short name, and the kind it is of.
    pub(crate) pump: Option<&'e str>,
    pub(crate) kind: Option<&'e PumpKind>,
}

/// A stroke count with its sweep.
pub(crate) struct StrokeCount<'t> {
    pub(crate) range: &'t MeasuringRange,
    scale: &'t Scale,
    pub(crate) sweep: Sweep,
    /// Refusal where it cannot be drawn, though it may read the level.
    blocked: Option<Refusal>,
}

/// Answer for a level, with the trial that the best way rests on.
pub(crate) struct Answer {
    pub(crate) at: AtLevel,
    pub(crate) trial: Option<Trial>,
}

impl<'e, 'b> LevelSearch<'e, 'b> {
    fn tube(&self) -> &'e Tube {
        &self.compiled.tube
    }

    pub(crate) fn substance(&self) -> &'e Substance {
        route::substance(self.tube(), self.route)
    }

    /// Sweeps every stroke count that the leaflet prints for the gas.
    pub(crate) fn counts(&mut self) -> Vec<StrokeCount<'e>> {
        let tube = self.tube();
        route::counts(tube, self.route)
            .into_iter()
            .filter_map(|(range, row)| {
                let scale = tube.scales.get(range.scale)?;
                let blocked = self.blocked(range);
                let sweep = Sweep::of(&mut self.bench(scale, range), row);
                Some(StrokeCount {
                    range,
                    scale,
                    sweep,
                    blocked,
                })
            })
            .collect()
    }

    fn bench<'x>(&'x mut self, scale: &'x Scale, range: &'x MeasuringRange) -> Bench<'x, 'b, 'x> {
        // Half strokes that the pump cannot draw are looked at all the same: they may be all that is missing.
        let whole = is_whole(range.strokes);
        let possible = whole || self.kind.is_none_or(|kind| kind.half_strokes);
        Bench {
            tube: &self.compiled.tube,
            substance: route::substance(&self.compiled.tube, self.route),
            scale,
            range,
            conditions: self.conditions,
            present: &self.question.present,
            pump: self.pump.filter(|_| possible),
            evaluator: &mut *self.evaluator,
            tried: &mut *self.tried,
        }
    }

    fn blocked(&self, range: &MeasuringRange) -> Option<Refusal> {
        let whole = is_whole(range.strokes);
        if let Some(kind) = self.kind.filter(|kind| !whole && !kind.half_strokes) {
            return Some(Refusal::new(
                Code::HalfStrokeImpossible,
                format!(
                    "{} would read it, which a pump of the kind {} cannot draw",
                    strokes_in_words(range.strokes),
                    kind.name
                ),
                "a pump that draws half strokes and that the sheet allows",
            ));
        }
        let seconds = range.seconds();
        let within = self.question.within_seconds?;
        (within < seconds).then(|| {
            Refusal::new(
                Code::TimeTooShort,
                format!(
                    "{} would read it and take {}, and there are {}",
                    strokes_in_words(range.strokes),
                    minutes(seconds),
                    minutes(within)
                ),
                format!("{} for drawing", minutes(seconds)),
            )
        })
    }

    /// Answer of the sheet for a level.
    pub(crate) fn level(
        &mut self,
        index: usize,
        level: &SoughtLevel,
        counts: &[StrokeCount<'e>],
    ) -> Answer {
        let molar_mass = self.substance().molar_mass;
        let nothing = |why_not| Answer {
            at: AtLevel {
                level: index,
                best: None,
                others: Vec::new(),
                coverage: None,
                why_not: Some(why_not),
            },
            trial: None,
        };
        let (Some(ppm), Some(per_ppm)) = (level.ppm(molar_mass), level.per_ppm(molar_mass)) else {
            return nothing(Refusal::new(
                Code::LevelNotComparable,
                format!(
                    "`{}` cannot be given as a volume fraction of {}",
                    level.written.text(),
                    self.substance().name
                ),
                "the level in ppm, or temperature and pressure",
            ));
        };
        let mut ways: Vec<(Way, Trial, &StrokeCount<'e>)> = Vec::new();
        let mut blocked = None;
        let mut refused = None;
        for count in counts {
            let mut bench = self.bench(count.scale, count.range);
            match count.sweep.reading_for(ppm, &mut bench) {
                Ok(trial) => {
                    let Some(way) = way::way(&trial, &count.sweep, &bench, level, per_ppm) else {
                        continue;
                    };
                    if let Some(why) = &count.blocked {
                        blocked = blocked.or_else(|| Some(why.clone()));
                    } else {
                        ways.push((way, trial, count));
                    }
                }
                Err(NoWay::Refused(why)) => refused = refused.or(Some(why)),
                Err(NoWay::Beside) => {}
            }
        }
        ways.sort_by(|a, b| {
            let heavy = |trial: &Trial| {
                trial
                    .result
                    .flags
                    .iter()
                    .filter(|flag| weight_of(&flag.code) == Some(Weight::Heavy))
                    .count()
            };
            heavy(&a.1)
                .cmp(&heavy(&b.1))
                .then(
                    in_percent(a.0.relative_expanded).total_cmp(&in_percent(b.0.relative_expanded)),
                )
                .then(a.0.seconds.total_cmp(&b.0.seconds))
                .then(a.0.strokes.total_cmp(&b.0.strokes))
                .then(a.2.range.row.cmp(&b.2.range.row))
        });
        if ways.is_empty() {
            return nothing(
                blocked
                    .or(refused)
                    .unwrap_or_else(|| self.beside(level, ppm, per_ppm, counts)),
            );
        }
        let (mut best, trial, count) = ways.remove(0);
        best.judged = self.judged(&trial, count, level, per_ppm);
        Answer {
            at: AtLevel {
                level: index,
                best: Some(best),
                others: ways.into_iter().map(|(way, _, _)| way).collect(),
                coverage: coverage(level, ppm, counts),
                why_not: None,
            },
            trial: Some(trial),
        }
    }

    fn judged(
        &mut self,
        trial: &Trial,
        count: &StrokeCount<'e>,
        level: &SoughtLevel,
        per_ppm: f64,
    ) -> Vec<super::JudgedHere> {
        let named: Vec<LimitUsed> = match (&level.limit, &self.question.gas) {
            (_, SoughtGas::Group { .. }) => return Vec::new(),
            (Some(limit), SoughtGas::One(substance)) => vec![LimitUsed::of(limit, substance)],
            (None, SoughtGas::One(substance)) => self
                .question
                .judged
                .iter()
                .map(|limit| LimitUsed::of(limit, substance))
                .collect(),
        };
        let mut bench = self.bench(count.scale, count.range);
        way::judged(trial, &count.sweep, &mut bench, per_ppm, |limit| {
            if named.is_empty() {
                // A tube does not speak to the average of a shift.
                limit.kind != LimitKind::EightHours
            } else {
                named.contains(limit)
            }
        })
    }

    /// A level that lies beside everything the sheet measures here, or between two bands.
    fn beside(
        &self,
        level: &SoughtLevel,
        ppm: f64,
        per_ppm: f64,
        counts: &[StrokeCount<'e>],
    ) -> Refusal {
        let ends: Vec<(f64, f64)> = counts
            .iter()
            .filter(|count| count.blocked.is_none())
            .filter_map(|count| count.sweep.ends())
            .collect();
        let lowest = ends.iter().map(|(low, _)| *low).reduce(f64::min);
        let highest = ends.iter().map(|(_, high)| *high).reduce(f64::max);
        let (Some(lowest), Some(highest)) = (lowest, highest) else {
            return counts
                .iter()
                .find_map(|count| count.blocked.clone())
                .unwrap_or_else(|| {
                    Refusal::new(
                        Code::NoStrokeCount,
                        "the leaflet prints no stroke count for this gas that the scale reaches",
                        "have the sheet checked",
                    )
                });
        };
        let unit = level.written.unit().canonical();
        let print = |ppm: f64| print::to_significant(ppm * per_ppm, 3);
        let measures = format!("{} to {} {unit}", print(lowest), print(highest));
        let sought = level.written.canonical();
        if ppm < lowest {
            return Refusal::new(
                Code::LevelBelowRange,
                format!("`{sought}` is below what it measures in this air, {measures}"),
                match self.visible(per_ppm) {
                    Some((visible, strokes)) if visible <= ppm * per_ppm => format!(
                        "a level from {} {unit} on; a stain shows from {} {unit} on with {}, without a value",
                        print(lowest),
                        print::to_significant(visible, 2),
                        strokes_in_words(strokes)
                    ),
                    _ => format!("a level from {} {unit} on", print(lowest)),
                },
            );
        }
        if highest < ppm {
            return Refusal::new(
                Code::LevelAboveRange,
                format!("`{sought}` is above what it measures in this air, {measures}"),
                format!("a level up to {} {unit}", print(highest)),
            );
        }
        Refusal::new(
            Code::LevelBetweenBands,
            format!("`{sought}` lies between two bands of the leaflet's stroke counts"),
            "a leaflet whose bands adjoin",
        )
    }

    /// The lowest visible concentration in the unit of the level, uncorrected, with its stroke count.
    fn visible(&self, per_ppm: f64) -> Option<(f64, f64)> {
        // The lowest of several is that of the greatest count.
        let lowest = self.tube().limits_of_detection.last()?;
        match lowest.visible {
            Visible::Concentration(Concentration::VolumeFraction(x)) => {
                Some((x.ppm() * per_ppm, lowest.strokes?))
            }
            Visible::Concentration(Concentration::MassConcentration(_))
            | Visible::PartOfFirstMark(_) => None,
        }
    }
}

/// Coverage of the range around a limit by the stroke counts that can be drawn.
fn coverage(level: &SoughtLevel, ppm: f64, counts: &[StrokeCount<'_>]) -> Option<Coverage> {
    let limit = level.limit.as_ref()?;
    let mut bands: Vec<(f64, f64, f64)> = counts
        .iter()
        .filter(|count| count.blocked.is_none())
        .filter_map(|count| {
            let (low, high) = count.sweep.ends()?;
            Some((low / ppm, high / ppm, count.range.strokes))
        })
        .collect();
    bands.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Only what hangs together about the limit counts.
    let mut together: Vec<(f64, f64, f64)> = Vec::new();
    for band in bands {
        let reached = together.iter().map(|(_, high, _)| *high).reduce(f64::max);
        if reached.is_some_and(|reached| reached * (1.0 + ADJOINS) < band.0) {
            if reached.is_some_and(|reached| 1.0 <= reached * (1.0 + ADJOINS)) {
                break;
            }
            together.clear();
        }
        together.push(band);
    }
    let from_times = together.first()?.0;
    let to_times = together.iter().map(|(_, high, _)| *high).reduce(f64::max)?;
    let mut strokes: Vec<f64> = together.iter().map(|(_, _, strokes)| *strokes).collect();
    strokes.sort_by(f64::total_cmp);
    strokes.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    Some(Coverage {
        from_times,
        to_times,
        strokes,
        whole: demand(limit.kind).map(|demand| {
            let [from, to] = demand.cover;
            from_times <= from * (1.0 + ADJOINS) && to <= to_times * (1.0 + ADJOINS)
        }),
    })
}

/// An uncertainty as it is compared: in whole percent, so that the last digit does not decide.
pub(crate) fn in_percent(part: f64) -> f64 {
    (part * 100.0).round()
}

fn is_whole(strokes: f64) -> bool {
    (strokes - strokes.round()).abs() < 1e-6
}
