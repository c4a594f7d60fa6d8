//! Moves of results in a sentence each, for the hygienist.

use stainbook_core::print;
use stainbook_evaluation::outcome::Code;
use stainbook_revision::effects::{Move, ResultEffect, SheetEffects};

#[cfg(feature = "text")]
mod of_text;
#[cfg(feature = "text")]
pub(crate) use of_text::{extent, limit, molar_mass, move_words, survey};

/// Above this part of the result the conditions act on each other, and that is said.
const TOGETHER: f64 = 0.005;

/// The sentences for a sheet.
pub(crate) fn sheet(effects: &SheetEffects) -> Vec<String> {
    if let Some(why) = &effects.not_compared {
        return vec![format!("results cannot be compared: {why}")];
    }
    let mut sentences: Vec<String> = effects.moves.iter().map(sentence).collect();
    if effects.moves.is_empty() {
        sentences.push("no result moves".to_owned());
    }
    let results = |at_condition: bool| {
        effects.moves.iter().any(|one| {
            one.at.is_some() == at_condition && matches!(one.what, ResultEffect::Results { .. })
        })
    };
    if results(false) && results(true) {
        sentences
            .push("what moves at a condition comes on top of what moves at calibration".to_owned());
    }
    if TOGETHER < effects.together_off {
        sentences.push(format!(
            "where several conditions differ at once, the results are up to {} off what these moves give together",
            percent(effects.together_off)
        ));
    }
    sentences
}

fn sentence(one: &Move) -> String {
    if let ResultEffect::Response { gas, old, new } = &one.what {
        let number = |response: &Option<f64>| {
            response.map_or_else(|| "an unknown part".to_owned(), print::number)
        };
        return format!(
            "{gas}: one part of it now adds {} to the reading instead of {}",
            number(new),
            number(old)
        );
    }
    let mut place: Vec<String> = Vec::new();
    if let Some(gas) = &one.gas {
        place.push(format!("as {gas}"));
    }
    if let Some(scale) = &one.scale {
        place.push(format!("scale {scale}"));
    }
    if let Some(strokes) = one.strokes {
        let strokes = print::number(strokes);
        let word = if strokes == "1" || strokes == "0.5" {
            "stroke"
        } else {
            "strokes"
        };
        place.push(format!("{strokes} {word}"));
    }
    if let Some(at) = &one.at {
        place.push(format!("at {}", list(&at.values)));
    }
    if let Some(readings) = &one.readings {
        let (from, to) = (print::number(readings.from), print::number(readings.to));
        place.push(if from == to {
            format!("reading {from} {}", readings.unit)
        } else {
            format!("readings from {from} to {to} {}", readings.unit)
        });
    }
    let what = what(&one.what);
    if place.is_empty() {
        return format!("all readings: {what}");
    }
    format!("{}: {what}", place.join(", "))
}

fn what(what: &ResultEffect) -> String {
    match what {
        ResultEffect::Results { by_least, by_most } => {
            let (verb, low, high) = if *by_most < 0.0 {
                ("fall", by_most, by_least)
            } else {
                ("rise", by_least, by_most)
            };
            let (low, high) = (percent(*low), percent(*high));
            if low == high {
                return format!("results {verb} by {low}");
            }
            let low = low.trim_end_matches(" %");
            format!("results {verb} by {low} to {high}")
        }
        ResultEffect::NowRefused { text, .. } => format!("now refused: {text}"),
        ResultEffect::NowGiven => "now given, was refused".to_owned(),
        ResultEffect::NowFlagged { code } => format!("results are now marked {}", flag(code)),
        ResultEffect::NoLongerFlagged { code } => {
            format!("results are no longer marked {}", flag(code))
        }
        ResultEffect::NoStain { old, new } => {
            format!("no stain now means less than {new}, was less than {old}")
        }
        ResultEffect::Uncertainty { old, new } => {
            let verb = if old.iter().sum::<f64>() < new.iter().sum::<f64>() {
                "rises"
            } else {
                "falls"
            };
            format!(
                "the standard uncertainty {verb} from {} to {} of the result",
                span(*old),
                span(*new)
            )
        }
        ResultEffect::Response { .. } => String::new(),
    }
}

fn flag(code: &Code) -> String {
    code.as_str().replace('-', " ")
}

fn span([low, high]: [f64; 2]) -> String {
    let (low, high) = (percent(low), percent(high));
    if low == high {
        return low;
    }
    format!("{}–{high}", low.trim_end_matches(" %"))
}

/// A part of the whole in percent with two significant digits, without its sign.
pub(crate) fn percent(part: f64) -> String {
    print::percent_to_significant(part.abs(), 2)
}

fn list(values: &[String]) -> String {
    match values {
        [] => String::new(),
        [one] => one.clone(),
        [others @ .., last] => format!("{} and {last}", others.join(", ")),
    }
}
