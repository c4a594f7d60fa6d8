//! The search: every sheet of the catalog into one of two lists.

use std::collections::BTreeMap;
use std::rc::Rc;

use serde_json::{Value, json};
use stainbook_catalog::model::{PumpKind, Tube};
use stainbook_catalog::written::{Conditions as WrittenConditions, TubeEntry};
use stainbook_catalog::{Book, EntryKind};
use stainbook_core::{Humidity, print};

use crate::found::{Assumed, Condition, Excluded, Search, SuitableTube};
use crate::level::{Answer, LevelSearch};
use crate::question::{self, Question, present_gas, stated};
use crate::reasons::{self, ReasonsFor};
use crate::route::{self, Route};
use crate::{Wanted, demand, ranking};
use stainbook_evaluation::air::round;
use stainbook_evaluation::cautions::{cautions, covers_air_drawn};
use stainbook_evaluation::compiled_sheet::CompiledSheet;
use stainbook_evaluation::outcome::{Code, Refusal, Statement};
use stainbook_evaluation::{Evaluator, Options};

/// The conditions, each of them named: what is null was not stated.
fn as_typed(conditions: &WrittenConditions) -> Value {
    json!({
        "air_temperature": conditions.air_temperature,
        "tube_temperature": conditions.tube_temperature,
        "humidity": conditions.humidity,
        "pressure": conditions.pressure,
        "altitude": conditions.altitude,
        "sea_level_pressure": conditions.sea_level_pressure,
    })
}

/// Finds the tubes of a catalog that can serve, ranked, and says of every other why it cannot.
///
/// Conditions that are not stated are taken as at each sheet's own calibration, and said to be. `options` are those of an
/// evaluation: a sheet with errors does not serve unless they say so.
///
/// # Errors
///
/// A [`Refusal`] of the question as a whole: a substance, limit, gas or pump that is not known or may mean several
/// things, conditions that contradict each other, a level in mg/m³ without conditions, no level at all.
///
/// # Example
///
/// ```
/// use stainbook_catalog::Book;
/// use stainbook_tube_search::{Wanted, find};
/// use stainbook_evaluation::Options;
///
/// let (book, _) = Book::demo();
/// let mut wanted = Wanted::default();
/// wanted.substance = "ammonia".to_owned();
/// wanted.level = Some("25 ppm".parse()?);
/// wanted.within = Some("1 min".parse::<stainbook_core::Written<_>>()?.value());
/// let search = find(&book, &wanted, &Options::default()).map_err(|refusal| refusal.text)?;
/// for found in &search.serve {
///     let way = found.levels[0].best.as_ref().ok_or("a sheet that serves has a way")?;
///     assert!(way.seconds <= 60.0 && way.lowest <= 25.0 && 25.0 <= way.highest);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn find(book: &Book, wanted: &Wanted, options: &Options<'_>) -> Result<Search, Refusal> {
    let question = question::question(book, wanted)?;
    let mut evaluator = Evaluator::new(book, *options);
    evaluator.plan();
    let mut tried = 0;
    let newer = replacements(book);
    let (mut serve, mut cannot) = (Vec::new(), Vec::new());
    let mut assumed_somewhere: Vec<Condition> = Vec::new();
    for id in book.ids(EntryKind::Tube) {
        let Some(entry) = book.tube(id) else { continue };
        let sheet = SheetSearch {
            book,
            question: &question,
            wanted,
            id,
            entry,
            replaced_by: newer.get(id).copied(),
        };
        match sheet.judge(&mut evaluator, &mut tried, &mut assumed_somewhere) {
            Ok(found) => serve.push(found),
            Err(excluded) => cannot.push(excluded),
        }
    }
    serve.sort_by(ranking::order);
    for (place, found) in serve.iter_mut().enumerate() {
        found.rank = place + 1;
    }
    cannot.sort_by(|a, b| {
        b.measures_it
            .cmp(&a.measures_it)
            .then(a.sheet.cmp(&b.sheet))
    });
    let frame = evaluator.frame(Vec::new());
    let mut statements = question.statements.clone();
    if !assumed_somewhere.is_empty() {
        let words: Vec<&str> = assumed_somewhere.iter().map(|one| one.words()).collect();
        statements.push(Statement::new(
            Code::ConditionsAssumed,
            format!(
                "Not stated, and assumed as at each sheet's own calibration: {}.",
                words.join(", ")
            ),
        ));
    }
    if question.levels.iter().any(|level| {
        level
            .limit
            .as_ref()
            .is_some_and(|l| demand::demand(l.kind).is_some())
    }) {
        statements.push(Statement::new(
            Code::Demands,
            format!(
                "How far around a limit a procedure should measure, and how well: {}.",
                demand::SOURCE
            ),
        ));
    }
    if wanted.present.is_empty() && wanted.interferents.is_none() {
        statements.push(Statement::new(
            Code::OtherGasesNotStated,
            "Nothing is said about other gases: look at what each tube is to be watched for, and say with `--present` what there is, or `none known`.",
        ));
    }
    statements.push(covers_air_drawn());
    Ok(Search {
        substance: question.gas.sought(),
        levels: question
            .levels
            .iter()
            .map(|level| level.sought(&question.gas))
            .collect(),
        conditions: as_typed(&wanted.conditions),
        present: question
            .present
            .iter()
            .map(|gas| present_gas(book, gas))
            .collect(),
        within_seconds: question.within_seconds,
        pump: question.pump.as_ref().map(question::AtHand::asked),
        serve,
        cannot,
        ranked_by: ranking::words(),
        statements,
        catalog: frame.catalog,
        catalog_revision: frame.catalog_revision,
        cautions: cautions(),
    })
}

/// Replacements: from a sheet to the one that replaces it.
fn replacements(book: &Book) -> BTreeMap<&str, &str> {
    book.ids(EntryKind::Tube)
        .into_iter()
        .filter_map(|id| Some((book.tube(id)?.replaces.as_deref()?, id)))
        .collect()
}

/// A sheet that is looked at.
struct SheetSearch<'s> {
    book: &'s Book,
    question: &'s Question,
    wanted: &'s Wanted,
    id: &'s str,
    entry: &'s TubeEntry,
    replaced_by: Option<&'s str>,
}

impl<'s> SheetSearch<'s> {
    fn excluded(&self, measures_it: bool, why: Vec<Refusal>) -> Excluded {
        Excluded {
            sheet: self.id.to_owned(),
            name: self
                .entry
                .name
                .clone()
                .unwrap_or_else(|| self.id.to_owned()),
            measures_it,
            why,
        }
    }

    fn judge(
        &self,
        evaluator: &mut Evaluator<'s>,
        tried: &mut usize,
        assumed_somewhere: &mut Vec<Condition>,
    ) -> Result<SuitableTube, Excluded> {
        let (compiled, _) = evaluator
            .sheet(self.id)
            .map_err(|refusal| self.excluded(self.may_measure_it(), vec![refusal]))?;
        let tube = &compiled.tube;
        let route = route::route(self.book, tube, self.entry, &self.question.gas)
            .map_err(|(near, refusal)| self.excluded(near, vec![refusal]))?;
        if tube.thresholds.is_some() {
            return Err(self.excluded(true, vec![reasons::thresholds_only(tube)]));
        }
        let (conditions, assumed) = self.conditions(tube);
        for what in &assumed {
            if !assumed_somewhere.contains(&what.condition) {
                assumed_somewhere.push(what.condition);
            }
        }
        let (pump, kind) = self.pump(tube);
        let mut work = LevelSearch {
            evaluator,
            tried,
            question: self.question,
            compiled: &compiled,
            route: &route,
            conditions: &conditions,
            pump: pump.as_deref(),
            kind: kind.as_ref(),
        };
        let counts = work.counts();
        let flags = counts
            .iter()
            .find_map(|count| count.sweep.flags())
            .unwrap_or_default();
        let mut why = self.wrong_pump(tube);
        for refusal in reasons::excluded(&flags) {
            if !why.iter().any(|said| said.code == refusal.code) {
                why.push(refusal);
            }
        }
        if !why.is_empty() {
            return Err(self.excluded(true, why));
        }
        let answers: Vec<Answer> = self
            .question
            .levels
            .iter()
            .enumerate()
            .map(|(index, level)| work.level(index, level, &counts))
            .collect();
        if answers.iter().all(|answer| answer.at.best.is_none()) {
            let mut why: Vec<Refusal> = Vec::new();
            for answer in answers {
                why.extend(answer.at.why_not.filter(|refusal| !why.contains(refusal)));
            }
            return Err(self.excluded(true, why));
        }
        Ok(self.found(&compiled, &route, answers, assumed))
    }

    fn found(
        &self,
        compiled: &Rc<CompiledSheet<'s>>,
        route: &Route<'_>,
        answers: Vec<Answer>,
        assumed: Vec<Assumed>,
    ) -> SuitableTube {
        let case = ReasonsFor {
            book: self.book,
            question: self.question,
            compiled,
            route,
            answers: &answers,
            replaced_by: self.replaced_by,
            assumed: &assumed,
        };
        let (pro, against) = reasons::reasons(&case);
        let watch_for = reasons::watch_for(&case);
        let tube = &compiled.tube;
        SuitableTube {
            rank: 0,
            sheet: tube.id.clone(),
            name: tube.name.clone(),
            revision: tube.revision.clone(),
            lots: tube.lots.as_ref().map(|lots| lots.text().to_owned()),
            by: route.name().to_owned(),
            levels: answers.into_iter().map(|answer| answer.at).collect(),
            pro,
            against,
            pump_kinds: tube.pump_kinds.clone(),
            assumed,
            watch_for,
        }
    }

    /// True if a sheet that cannot be computed with names the gas.
    fn may_measure_it(&self) -> bool {
        let sought = self.question.gas.sought();
        let measures = self.entry.measures.as_ref();
        let named = |name: Option<&String>| name == Some(&sought.id);
        let also = self
            .entry
            .response_factors()
            .iter()
            .any(|row| named(row.substance.as_ref()));
        also || measures.is_some_and(|measures| {
            named(measures.substance.as_ref())
                || named(measures.group.as_ref())
                || named(measures.expressed_as.as_ref())
        })
    }

    /// The conditions, with what is not stated as at the sheet's calibration.
    fn conditions(&self, tube: &Tube) -> (WrittenConditions, Vec<Assumed>) {
        let mut conditions = self.wanted.conditions.clone();
        let mut assumed = Vec::new();
        let mut say = |condition, number: f64, unit: &str| {
            assumed.push(Assumed {
                condition,
                value: format!("{} {unit}", print::number(round(number, 3))),
            });
        };
        let calibration = &tube.calibration;
        if conditions.air_temperature.is_none() {
            let celsius = calibration.temperature.celsius();
            conditions.air_temperature = stated(celsius, "°C");
            say(Condition::AirTemperature, celsius, "°C");
        }
        if conditions.humidity.is_none()
            && let Some(humidity) = calibration.humidity
        {
            let (number, unit) = match humidity {
                Humidity::Relative(relative) => (relative.percent(), "%RH"),
                Humidity::Absolute(absolute) => (absolute.g_per_m3(), "g/m³"),
            };
            conditions.humidity = stated(number, unit);
            say(Condition::Humidity, number, unit);
        }
        // A weather report's pressure without an altitude says nothing about the place.
        if conditions.pressure.is_none() && conditions.altitude.is_none() {
            let kilopascals = calibration.pressure.kilopascals();
            conditions.pressure = stated(kilopascals, "kPa");
            say(Condition::Pressure, kilopascals, "kPa");
        }
        (conditions, assumed)
    }

    /// The pump that readings are tried with: the one at hand, else one of the catalog of a kind that the sheet names.
    fn pump(&self, tube: &Tube) -> (Option<String>, Option<PumpKind>) {
        let of_kind = |kind: &str| {
            self.book
                .pumps()
                .find(|(_, pump)| pump.kind.as_deref() == Some(kind))
                .and_then(|(_, pump)| pump.pump.clone())
        };
        if let Some(at_hand) = &self.question.pump {
            let pump = at_hand.pump.clone().or_else(|| of_kind(&at_hand.kind.id));
            return (pump, Some(at_hand.kind.clone()));
        }
        tube.pump_kinds
            .iter()
            .find_map(|kind| Some((of_kind(kind), Some(self.book.pump_kind_model(kind).ok()?))))
            .unwrap_or_default()
    }

    fn wrong_pump(&self, tube: &Tube) -> Vec<Refusal> {
        let Some(at_hand) = &self.question.pump else {
            return Vec::new();
        };
        let kind = &at_hand.kind;
        let mut why = Vec::new();
        if !tube.pump_kinds.contains(&kind.id) {
            why.push(Refusal::new(
                Code::PumpNotAllowed,
                format!(
                    "it is calibrated with {}, not with a pump of the kind {}; pumps and tubes are not mixed",
                    tube.pump_kinds
                        .iter()
                        .map(|kind| format!("`{kind}`"))
                        .collect::<Vec<_>>()
                        .join(" or "),
                    kind.name
                ),
                self.pumps_of(tube),
            ));
        }
        why
    }

    /// A pump that the sheet allows, by name if the catalog has one.
    fn pumps_of(&self, tube: &Tube) -> String {
        let pumps: Vec<&str> = self
            .book
            .pumps()
            .filter(|(_, pump)| {
                pump.withdrawn.is_none()
                    && pump
                        .kind
                        .as_ref()
                        .is_some_and(|kind| tube.pump_kinds.contains(kind))
            })
            .filter_map(|(_, pump)| pump.pump.as_deref())
            .collect();
        if pumps.is_empty() {
            "a pump of that kind".to_owned()
        } else {
            format!("a pump of that kind: {}", pumps.join(", "))
        }
    }
}
