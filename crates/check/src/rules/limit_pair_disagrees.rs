//! One limit printed in ppm and in mg/m³ that are not the same.

use stainbook_catalog::written::{Limit, SubstanceEntry};
use stainbook_core::elementary::{log10, powf};
use stainbook_core::{Concentration, Formula, MolarMass, MolarVolume, Written};

use crate::limits::{source_of, stated_at};
use crate::printed::Interval;
use crate::words;
use crate::{Check, Context, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "limit-pair-disagrees",
    level: Level::Warning,
    since: "0.1.0",
    summary: "The ppm and the mg/m³ of one limit are not the same concentration.",
    family: Family::Substance,
    docs: include_str!("limit-pair-disagrees.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, context: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(Ok(formula)) = substance.formula.as_deref().map(Formula::parse) else {
        return;
    };
    for (row, limit) in substance.limits.iter().enumerate() {
        let Some((ppm, mass, mass_key)) = pair(limit) else {
            continue;
        };
        let Some(source) = source_of(limit, context) else {
            continue;
        };
        // Without stated conditions there is nothing to compare at, of which another rule speaks.
        let Some(conditions) = stated_at(source) else {
            continue;
        };
        let per_ppm = factor(formula.molar_mass(), MolarVolume::of_ideal_gas(conditions));
        let (Some(x), Some(printed)) = (in_ppm(ppm), in_mg_per_m3(mass)) else {
            continue;
        };
        let binding = if mass_key == "also_printed" {
            Binding::Ppm
        } else {
            Binding::Mass
        };
        if agree(x, printed, per_ppm, binding) {
            continue;
        }
        let computed = x.middle() * per_ppm;
        let at = |key| Path::root().key("limits").index(row).key(key);
        let other_key = if mass_key == "also_printed" {
            "at_most"
        } else {
            "also_printed"
        };
        sink.report(
            sink.at(at(mass_key))
                .message("the ppm and the mg/m³ of this limit are not the same")
                .label(format!("{} written, {} mg/m³ computed", mass.canonical(), words::number(computed)))
                .note(format!(
                    "{} times {:.3} g/mol, over {:.3} L/mol at {conditions}; the digits of both explain at most {} mg/m³",
                    ppm.canonical(),
                    formula.molar_mass().g_per_mol(),
                    MolarVolume::of_ideal_gas(conditions).l_per_mol(),
                    words::tolerance(x.half_width() * per_ppm + printed.half_width()),
                ))
                .note("rounding to one or two digits, or to steps of 5 or 2.5 of them, as legislators do, does not explain it either")
                .help("look at the source; if it prints the two so, accept the finding with that as the reason")
                .related(sink.place(at(other_key)), "the other of the two")
                .fact("written", words::written_fact(mass))
                .fact("computed", words::computed_fact(computed, "mg/m³"))
                .fact("ppm", words::written_fact(ppm)),
        );
    }
}

/// The two values of a limit, told apart by their units, with the key of the mass concentration.
fn pair(
    limit: &Limit,
) -> Option<(
    &Written<Concentration>,
    &Written<Concentration>,
    &'static str,
)> {
    let (a, b) = (limit.at_most.as_deref()?, limit.also_printed.as_deref()?);
    match (a.value(), b.value()) {
        (Concentration::VolumeFraction(_), Concentration::MassConcentration(_)) => {
            Some((a, b, "also_printed"))
        }
        (Concentration::MassConcentration(_), Concentration::VolumeFraction(_)) => {
            Some((b, a, "at_most"))
        }
        _ => None,
    }
}

fn factor(molar_mass: MolarMass, molar_volume: MolarVolume) -> f64 {
    molar_mass.g_per_mol() / molar_volume.l_per_mol()
}

fn in_ppm(written: &Written<Concentration>) -> Option<Interval> {
    let value = written.value().volume_fraction()?.ppm();
    Some(Interval::around(value, value * relative_half_step(written)))
}

fn in_mg_per_m3(written: &Written<Concentration>) -> Option<Interval> {
    let value = written.value().mass_concentration()?.mg_per_m3();
    Some(Interval::around(value, value * relative_half_step(written)))
}

fn relative_half_step(written: &Written<Concentration>) -> f64 {
    if 0.0 < written.number() {
        written.half_step() / written.number()
    } else {
        0.0
    }
}

/// The binding figure of the two: the source treats it as the limit; the other was computed from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Binding {
    Ppm,
    Mass,
}

/// True if the printed figures can be the same concentration: within half a step of the digits of both, or because the
/// figure that was computed was rounded as legislators round.
fn agree(ppm: Interval, mg: Interval, per_ppm: f64, binding: Binding) -> bool {
    ppm.times(Interval::exactly(per_ppm)).meets(mg)
        || match binding {
            Binding::Ppm => rounds_to(ppm.middle() * per_ppm, mg.middle()),
            Binding::Mass => rounds_to(mg.middle() / per_ppm, ppm.middle()),
        }
}

/// True if a computed figure becomes the printed one by rounding to one or two digits or to a step of 5 or 2.5.
///
/// So it is in 29 CFR 1910.1000 Table Z-1, whose footnote calls the mg/m³ approximate, and in the European lists: of the
/// rows of Table Z-1 with both figures, these roundings explain all but a handful.
fn rounds_to(computed: f64, printed: f64) -> bool {
    if computed <= 0.0 || printed <= 0.0 {
        return false;
    }
    let decade = powf(10.0, log10(computed).floor());
    [1.0, 0.5, 0.25, 0.1, 0.05, 0.025].into_iter().any(|part| {
        let step = decade * part;
        let rounded = (computed / step).round() * step;
        // Half a step more than the nearest multiple: a tie may be rounded either way.
        let tie =
            (computed - printed).abs() <= step * 0.5 * (1.0 + 1e-6) && is_multiple(printed, step);
        tie || (rounded - printed).abs() < step * 1e-6
    })
}

fn is_multiple(value: f64, step: f64) -> bool {
    let count = value / step;
    (count - count.round()).abs() < 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 29 CFR 1910.1000 Table Z-1, at 25 °C and 760 torr: ppm, mg/m³, molar mass, whether the two agree.
    #[test]
    fn pairs_as_printed_in_law() {
        for (ppm, mg, molar_mass, good) in [
            ("200", "360", 44.053, true),  // acetaldehyde
            ("10", "25", 60.052, true),    // acetic acid
            ("40", "70", 41.053, true),    // acetonitrile
            ("0.1", "0.25", 56.064, true), // acrolein
            ("2", "5", 58.080, true),      // allyl alcohol
            ("50", "35", 17.031, true),    // ammonia
            ("50", "55", 28.010, true),    // carbon monoxide
            ("50", "350", 17.031, false),  // ammonia, decimal point moved
            ("50", "53", 17.031, false),   // ammonia, digits swapped
        ] {
            let interval =
                |text: &str| Interval::of(&stainbook_core::Decimal::parse(text).unwrap());
            assert_eq!(
                agree(
                    interval(ppm),
                    interval(mg),
                    molar_mass / 24.465,
                    Binding::Ppm
                ),
                good,
                "{ppm} {mg}"
            );
        }
    }
}
