//! Reasons for and against a tube.

use stainbook_catalog::Book;
use stainbook_catalog::model::{Indication, Measured, Thresholds, Tube};
use stainbook_catalog::written::TubeEntry;
use stainbook_catalog::written::tube::{InterferenceEffect, PreTubeForm};
use stainbook_core::print;

use crate::demand;
use crate::found::{Assumed, Condition, Reason, Weight};
use crate::level::Answer;
use crate::question::Question;
use crate::route::Route;
use crate::spoken::strokes_in_words;
use stainbook_evaluation::compiled_sheet::CompiledSheet;
use stainbook_evaluation::outcome::{Code, Flag, InSearch, Refusal, Statement};
use stainbook_evaluation::result::EffectOnReading;

/// Below this place in a range, or above its mirror, a stain may as well end beside the scale. Our own bound.
const NEAR_AN_END: f64 = 0.10;

/// Weight of an evaluation's flag against a tube; nothing if it says nothing about the tube.
pub(crate) fn weight_of(code: &Code) -> Option<Weight> {
    match code.in_search() {
        InSearch::OfTheRecord | InSearch::Excludes(_) => None,
        InSearch::Heavy => Some(Weight::Heavy),
        InSearch::Light => Some(Weight::Light),
    }
}

/// Refusals of a sheet in this air, whatever the level.
pub(crate) fn excluded(flags: &[Flag]) -> Vec<Refusal> {
    flags
        .iter()
        .filter_map(|flag| match flag.code.in_search() {
            InSearch::Excludes(remedy) => {
                Some(Refusal::new(flag.code.clone(), flag.text.clone(), remedy))
            }
            _ => None,
        })
        .collect()
}

/// Refusal of a tube without a scale, with what it tells.
pub(crate) fn thresholds_only(tube: &Tube) -> Refusal {
    let unit = tube
        .scales
        .first()
        .map_or("", |scale| scale.unit.canonical());
    let number = |value: f64| format!("{} {unit}", print::number(value));
    let tells = match &tube.thresholds {
        Some(Thresholds::Indicating(rows)) => {
            let of_row = |row: &Indication| {
                let colour = row
                    .at_least
                    .map(|at_least| format!("a colour says at least about {}", number(at_least)));
                let none = row
                    .less_than
                    .map(|less_than| format!("none says less than {}", number(less_than)));
                let says: Vec<String> = colour.into_iter().chain(none).collect();
                format!(
                    "after {} {}",
                    strokes_in_words(row.strokes),
                    says.join(", ")
                )
            };
            let rows: Vec<String> = rows.iter().map(of_row).collect();
            rows.join("; ")
        }
        Some(Thresholds::Counting(table)) => {
            let ends = table.rows.first().zip(table.rows.last());
            ends.map_or_else(String::new, |((few, high), (many, low))| {
                format!(
                    "strokes are counted, from {} for {} to {} for {}",
                    strokes_in_words(*few),
                    number(*high),
                    strokes_in_words(*many),
                    number(*low)
                )
            })
        }
        None => String::new(),
    };
    Refusal::new(
        Code::TellsThresholdsOnly,
        format!("it has no scale: {tells}"),
        "a tube with a scale, if the level has to be measured",
    )
}

/// Facts that the reasons are drawn from.
pub(crate) struct ReasonsFor<'c> {
    pub(crate) book: &'c Book,
    pub(crate) question: &'c Question,
    pub(crate) compiled: &'c CompiledSheet<'c>,
    pub(crate) route: &'c Route<'c>,
    pub(crate) answers: &'c [Answer],
    /// The sheet that replaces this one.
    pub(crate) replaced_by: Option<&'c str>,
    pub(crate) assumed: &'c [Assumed],
}

/// Both lists, the heavy reasons against first.
pub(crate) fn reasons(case: &ReasonsFor<'_>) -> (Vec<Reason>, Vec<Reason>) {
    let (mut pro, mut against) = (Vec::new(), Vec::new());
    the_route(case, &mut pro, &mut against);
    the_levels(case, &mut pro, &mut against);
    the_air(case, &mut pro, &mut against);
    the_box(case, &mut pro, &mut against);
    against.sort_by_key(|reason| reason.weight);
    (pro, against)
}

fn add(list: &mut Vec<Reason>, weight: Weight, code: Code, text: impl Into<String>) {
    let text = text.into();
    if !list
        .iter()
        .any(|reason: &Reason| reason.code == code && reason.text == text)
    {
        list.push(Reason { code, text, weight });
    }
}

fn the_route(case: &ReasonsFor<'_>, pro: &mut Vec<Reason>, against: &mut Vec<Reason>) {
    let tube = &case.compiled.tube;
    match case.route {
        Route::Own => add(
            pro,
            Weight::Light,
            Code::OwnScale,
            format!(
                "the scale is printed for {}",
                tube.measured.substance().name
            ),
        ),
        Route::Group => {
            if let (Measured::Group { name, .. }, true) =
                (&tube.measured, case.question.gas.sought().is_group)
            {
                add(
                    pro,
                    Weight::Light,
                    Code::OwnScale,
                    format!("it answers to {name}"),
                );
            }
        }
        Route::ResponseFactor(rows) => {
            let of = rows
                .first()
                .and_then(|row| row.uncertainty)
                .map(|u| {
                    format!(
                        ", known within {} (standard uncertainty)",
                        print::percent(u, 1)
                    )
                })
                .unwrap_or_default();
            add(
                against,
                Weight::Light,
                Code::ByFactor,
                format!(
                    "its scale is printed for {}; {} is read by the leaflet's factor{of}",
                    tube.measured.substance().name,
                    case.question.gas.name()
                ),
            );
        }
    }
}

fn the_levels(case: &ReasonsFor<'_>, pro: &mut Vec<Reason>, against: &mut Vec<Reason>) {
    for answer in case.answers {
        let Some(level) = case.question.levels.get(answer.at.level) else {
            continue;
        };
        let sought = level.written.canonical();
        let Some(best) = &answer.at.best else {
            continue;
        };
        if let Some(demand) = level.limit.as_ref().and_then(|l| demand::demand(l.kind)) {
            let (asked, found) = (demand.uncertainty, best.relative_expanded);
            let words = format!(
                "expanded uncertainty {} of {sought}, where at most {} are asked for ({})",
                print::percent(found, 0),
                print::percent(asked, 0),
                demand::SHORT_SOURCE
            );
            if found <= asked {
                add(pro, Weight::Light, Code::UncertaintyAsDemanded, words);
            } else {
                add(against, Weight::Light, Code::UncertaintyAboveDemand, words);
            }
        }
        if let Some(coverage) = &answer.at.coverage {
            let measures = format!(
                "measures {} to {} times the limit of {sought}",
                print::to_significant(coverage.from_times, 2),
                print::to_significant(coverage.to_times, 2)
            );
            match (
                coverage.whole,
                level.limit.as_ref().and_then(|l| demand::demand(l.kind)),
            ) {
                (Some(false), Some(demand)) => {
                    let [from, to] = demand.cover;
                    add(
                        against,
                        Weight::Light,
                        if from < coverage.from_times {
                            Code::PartOfLimitNotReached
                        } else {
                            Code::NotUpToTwiceTheLimit
                        },
                        format!(
                            "{measures}, where {} to {} are asked for ({})",
                            print::number(from),
                            print::number(to),
                            demand::SHORT_SOURCE
                        ),
                    );
                }
                _ => add(pro, Weight::Light, Code::CoversLimit, measures),
            }
        }
        if best.position < NEAR_AN_END || 1.0 - NEAR_AN_END < best.position {
            let end = if best.position < 0.5 { "low" } else { "high" };
            add(
                against,
                Weight::Light,
                Code::NearEndOfRange,
                format!(
                    "{sought} lies at the {end} end of what {} measure: a little {}, and the stain ends beside the scale",
                    strokes_in_words(best.strokes),
                    if end == "low" { "less" } else { "more" }
                ),
            );
        }
        if (best.strokes - best.strokes.round()).abs() > 1e-6 {
            add(
                against,
                Weight::Light,
                Code::HalfStrokes,
                "half strokes are drawn, which not every pump does evenly",
            );
        }
    }
}

fn the_air(case: &ReasonsFor<'_>, pro: &mut Vec<Reason>, against: &mut Vec<Reason>) {
    for answer in case.answers {
        let Some(trial) = &answer.trial else {
            continue;
        };
        for flag in &trial.result.flags {
            if let Some(weight) = weight_of(&flag.code) {
                add(against, weight, flag.code.clone(), flag.text.clone());
            }
        }
        for effect in &trial.result.interferents {
            let name = case
                .book
                .substance(&effect.substance)
                .and_then(|entry| entry.name.clone())
                .unwrap_or_else(|| effect.substance.clone());
            match (effect.effect, effect.share_on_scale) {
                (EffectOnReading::Subtracted | EffectOnReading::LeftIn, Some(share)) => add(
                    against,
                    Weight::Light,
                    Code::OtherGasSubtracted,
                    format!(
                        "{name} at {} changes the reading by {} {}, which is taken off and widens the uncertainty",
                        effect.level.as_deref().unwrap_or("its level"),
                        print::to_significant(share, 2),
                        effect.unit.as_deref().unwrap_or_default()
                    ),
                ),
                (EffectOnReading::NoEffect, _) => add(
                    pro,
                    Weight::Light,
                    Code::OtherGasNoEffect,
                    format!("{name} as stated does not change the reading"),
                ),
                _ => {}
            }
        }
    }
    let tube = &case.compiled.tube;
    let assumed = |one: &Assumed| one.condition == Condition::AirTemperature;
    if !case.assumed.iter().any(assumed) {
        let (low, high) = tube.usable_temperature;
        add(
            pro,
            Weight::Light,
            Code::UsableTemperature,
            format!(
                "works from {} to {}",
                stainbook_evaluation::air::celsius(low),
                stainbook_evaluation::air::celsius(high)
            ),
        );
    }
}

fn the_box(case: &ReasonsFor<'_>, pro: &mut Vec<Reason>, against: &mut Vec<Reason>) {
    let entry: &TubeEntry = case.compiled.entry;
    if entry.verified.is_some() {
        add(
            pro,
            Weight::Light,
            Code::SheetVerified,
            "two people have read the leaflet",
        );
    }
    if let Some(newer) = case.replaced_by {
        let lots = case
            .compiled
            .tube
            .lots
            .as_ref()
            .map(|lots| format!(", {}", lots.text()))
            .unwrap_or_default();
        add(
            against,
            Weight::Light,
            Code::OlderRevision,
            format!(
                "an older revision of the leaflet, for its own lots only{lots}; `{newer}` replaces it"
            ),
        );
    }
    let before = entry.before_use.as_ref();
    if let Some(pre_tube) = before.and_then(|before| before.pre_tube.as_ref())
        && pre_tube.form == Some(PreTubeForm::SeparateTube)
    {
        add(
            against,
            Weight::Light,
            Code::PreTubeNeeded,
            format!(
                "it needs {} before it, with an expiry to look at",
                pre_tube.name.as_deref().unwrap_or("a pre-tube")
            ),
        );
    }
    let storage = before.and_then(|before| before.storage.as_ref());
    if let Some(storage) = storage {
        let keeps = storage
            .shelf_life
            .as_ref()
            .map(|life| format!("keeps {}", life.text()));
        let below = storage
            .below
            .as_ref()
            .map(|below| format!("stored below {}", below.text()));
        let cold = storage.bring_to_ambient == Some(true);
        let warm_up = cold.then(|| "brought to the temperature of the place before use".to_owned());
        let all: Vec<String> = [keeps, below, warm_up].into_iter().flatten().collect();
        if !all.is_empty() {
            let list = if cold { against } else { pro };
            add(
                list,
                Weight::Light,
                if cold {
                    Code::ColdStorage
                } else {
                    Code::Storage
                },
                all.join(", "),
            );
        }
    }
}

/// Gases of the sheet that were not said to be present: whoever plans may know of them.
pub(crate) fn watch_for(case: &ReasonsFor<'_>) -> Vec<Statement> {
    let sought = case.question.gas.sought();
    let stated = case.question.present.iter();
    let known: Vec<&str> = stated
        .filter_map(|gas| gas.substance.as_deref().or(gas.group.as_deref()))
        .chain([sought.id.as_str()])
        .collect();
    let name = |id: &str| {
        let of_substance = case.book.substance(id).and_then(|entry| entry.name.clone());
        of_substance
            .or_else(|| case.book.group(id).and_then(|group| group.name.clone()))
            .unwrap_or_else(|| id.to_owned())
    };
    case.compiled
        .tube
        .interferents
        .iter()
        .filter(|row| !known.contains(&row.gas.as_str()))
        .filter_map(|row| {
            let (code, does) = match row.together {
                InterferenceEffect::ReadsHigh => (Code::ReadsHigh, "makes it read high"),
                InterferenceEffect::ReadsLow => (Code::ReadsLow, "makes it read low"),
                InterferenceEffect::Fades => (Code::ReadsLow, "fades the stain"),
                InterferenceEffect::WashesOut => (Code::WashesOut, "washes the stain out"),
                InterferenceEffect::Bleaches => (Code::WashesOut, "bleaches the stain"),
                InterferenceEffect::OtherColour => (Code::OtherColour, "changes the colour"),
                InterferenceEffect::NotStated => (Code::NotStated, "may disturb"),
                InterferenceEffect::NoEffect => return None,
            };
            Some(Statement::new(code, format!("{} {does}", name(&row.gas))))
        })
        .collect()
}
