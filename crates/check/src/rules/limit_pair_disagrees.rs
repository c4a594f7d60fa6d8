//! One limit printed in ppm and in mg/m³ that are not the same.

use stainbook_catalog::written::{Limit, SubstanceEntry};
use stainbook_core::elementary::{log10, powf};
use stainbook_core::{Concentration, Formula, MolarVolume, Written};

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
        let molar_volume = MolarVolume::of_ideal_gas(conditions);
        let per_ppm = formula.molar_mass().g_per_mol() / molar_volume.l_per_mol();
        let (Some(x), Some(printed)) = (in_ppm(ppm), in_mg_per_m3(mass)) else {
            continue;
        };
        let binding = if mass_key == "also_printed" {
            Binding::Ppm
        } else {
            Binding::Mass
        };
        let by_handbook = per_ppm * rounded_in_handbooks(molar_volume);
        if agree(
            x,
            printed,
            Interval {
                low: per_ppm,
                high: by_handbook,
            },
            binding,
        ) {
            continue;
        }
        let computed = x.middle() * per_ppm;
        let explained = match binding {
            Binding::Ppm => printed.half_width(),
            Binding::Mass => x.half_width() * per_ppm,
        };
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
                    "{} times {:.3} g/mol, over {:.3} L/mol at {conditions}; the limit itself is exact, and the digits of the other figure explain at most {} mg/m³",
                    ppm.canonical(),
                    formula.molar_mass().g_per_mol(),
                    molar_volume.l_per_mol(),
                    words::tolerance(explained),
                ))
                .note("rounding to one to three digits, or to steps of 5 or 2.5 of them, as legislators do, does not explain it either")
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

/// Molar volumes in L/mol with which authorities compute at 20 °C (24.06 itself) and at 25 °C (24.47 itself). Common practice,
/// no source; 24.45 is the one that reproduces the factors of the NIOSH Pocket Guide.
const OF_HANDBOOKS: [f64; 2] = [24.0, 24.45];
/// Part of the molar volume itself within which one of the handbooks stands for it.
const SAME_CONDITIONS: f64 = 0.003;

/// Ratio of a molar volume to the one that handbooks round it to; 1 at conditions for which they have none.
fn rounded_in_handbooks(molar_volume: MolarVolume) -> f64 {
    OF_HANDBOOKS
        .into_iter()
        .map(|rounded| molar_volume.l_per_mol() / rounded)
        .find(|ratio| (ratio - 1.0).abs() < SAME_CONDITIONS)
        .unwrap_or(1.0)
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

/// True if the printed figures can be the same concentration. The figure that binds is exact: a legal limit of 3 ppm is not one
/// of 2.5 ppm. The other was computed from it, and lies within half a step of its digits or was rounded as legislators round.
///
/// The factor between them is that of the molar volume itself, or of the one of handbooks.
fn agree(ppm: Interval, mg: Interval, per_ppm: Interval, binding: Binding) -> bool {
    let (computed, printed) = match binding {
        Binding::Ppm => (Interval::exactly(ppm.middle()).times(per_ppm), mg),
        Binding::Mass => (Interval::exactly(mg.middle()).over(per_ppm), ppm),
    };
    computed.meets(printed)
        || [computed.low, computed.high]
            .into_iter()
            .any(|computed| rounds_to(computed, printed.middle()))
}

/// True if a computed figure becomes the printed one by rounding to one to three digits or to a step of 5 or 2.5.
///
/// So it is in 29 CFR 1910.1000 Table Z-1, whose footnote calls the mg/m³ approximate, and in the European lists: of the
/// rows of Table Z-1 with both figures, these roundings explain all but a handful.
fn rounds_to(computed: f64, printed: f64) -> bool {
    if computed <= 0.0 || printed <= 0.0 {
        return false;
    }
    let decade = powf(10.0, log10(computed).floor());
    let parts = [1.0, 0.1, 0.01].map(|digits| [1.0, 0.5, 0.25].map(|part| digits * part));
    parts.into_iter().flatten().any(|part| {
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
            ("200", "360", 44.053, true),    // acetaldehyde
            ("10", "25", 60.052, true),      // acetic acid
            ("40", "70", 41.053, true),      // acetonitrile
            ("0.1", "0.25", 56.064, true),   // acrolein
            ("2", "5", 58.080, true),        // allyl alcohol
            ("50", "35", 17.031, true),      // ammonia
            ("50", "55", 28.010, true),      // carbon monoxide
            ("3", "6", 61.084, false),       // ethanolamine, printed so: 7.49 mg/m³
            ("0.05", "0.3", 122.212, false), // decaborane, printed so: 0.25 mg/m³
            ("0.2", "0.4", 42.041, false),   // diazomethane, printed so: 0.34 mg/m³
            ("3", "13.5", 102.445, false),   // perchloryl fluoride, printed so: 12.6 mg/m³
            ("50", "350", 17.031, false),    // ammonia, decimal point moved
            ("50", "53", 17.031, false),     // ammonia, digits swapped
        ] {
            let interval =
                |text: &str| Interval::of(&stainbook_core::Decimal::parse(text).unwrap());
            assert_eq!(
                agree(
                    interval(ppm),
                    interval(mg),
                    Interval {
                        low: molar_mass / 24.465,
                        high: molar_mass / 24.45
                    },
                    Binding::Ppm
                ),
                good,
                "{ppm} {mg}"
            );
        }
    }
}
