//! The value of a result in words, with what it can come from.

#[cfg(feature = "text")]
use stainbook_core::print;
#[cfg(feature = "text")]
use stainbook_evaluation::result::Basis;
use stainbook_evaluation::result::Uncertainty;
use stainbook_evaluation::{ReadingResult, Status};

/// `23 (15 to 36) ppm`, `less than 0.520 ppm (with 95 %: less than 0.702)`, `none`.
pub(crate) fn value(result: &ReadingResult) -> String {
    let Some(concentration) = &result.concentration else {
        return "none".to_owned();
    };
    let (text, unit) = (&concentration.text, &concentration.unit);
    let side = match result.status {
        Status::LessThan => "less than",
        Status::MoreThan => "more than",
        Status::Measured | Status::Refused => {
            let ends = result.uncertainty.as_ref().map(ends);
            return format!("{text}{} {unit}", ends.unwrap_or_default());
        }
    };
    let reaches = bound_reaches(result).map_or_else(String::new, |reaches| {
        format!(" (with 95 %: {side} {reaches})")
    });
    format!("{side} {text} {unit}{reaches}")
}

/// Volume fraction in the air as it is, in ppm, that limits are compared with, where the result says another figure in dry air.
#[cfg(feature = "text")]
pub(crate) fn judged_at(result: &ReadingResult) -> Option<String> {
    let concentration = result.concentration.as_ref()?;
    let of_dry_air = matches!(concentration.basis, Basis::DryAir);
    let ppm = result.as_ppm.filter(|_| of_dry_air)?;
    Some(format!(
        "{} ppm in the air as it is, with its water vapour: limits are compared with that",
        print::to_significant(ppm, 3)
    ))
}

/// The same in short, for a line among others: `less than 0.520 (95 %: 0.759) ppm`.
#[cfg(feature = "text")]
pub(crate) fn short_value(result: &ReadingResult) -> String {
    let reaches = bound_reaches(result);
    let Some((concentration, reaches)) = result.concentration.as_ref().zip(reaches) else {
        return value(result);
    };
    let side = match result.status {
        Status::LessThan => "less than",
        _ => "more than",
    };
    let (text, unit) = (&concentration.text, &concentration.unit);
    format!("{side} {text} (95 %: {reaches}) {unit}")
}

/// Reach of a bound to its open side, as printed; nothing for a value, or where that cannot be told.
pub(crate) fn bound_reaches(result: &ReadingResult) -> Option<&str> {
    let uncertainty = result.uncertainty_at_bound.as_ref()?;
    uncertainty
        .text
        .interval
        .iter()
        .flatten()
        .next()
        .map(String::as_str)
}

/// ` (15 to 36)`, ` (at least 15)`.
fn ends(uncertainty: &Uncertainty) -> String {
    match &uncertainty.text.interval {
        [Some(low), Some(high)] => format!(" ({low} to {high})"),
        [Some(low), None] => format!(" (at least {low})"),
        [None, _] => String::new(),
    }
}
