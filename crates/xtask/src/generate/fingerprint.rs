//! `catalog/reference/fingerprint.csv`: one line for each number, so that a changed number is a changed line, beside
//! what it does to a result.

use std::fmt::Write as _;

use stainbook_catalog::Book;
use stainbook_catalog::model::{Limit as ModelLimit, Substance};
use stainbook_catalog::search::language;
use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::{Concentration, Conditions, MolarMass, VolumeFraction, convert};

use crate::output::Generated;

const HEAD: &str = "\
# Every number of the reference catalog on a line of its own, made by `cargo xtask generate` from the entries.
# effect: what a result makes of the number. 1 ppm is so much mg/m³ at 25 °C / at 20 °C and 101.325 kPa; a limit is compared in ppm, and the mass beside it is the one at its source's own conditions.
substance,field,value,source,effect
";

/// The table.
pub(super) fn fingerprint(book: &Book) -> Result<Generated, String> {
    let mut text = HEAD.to_owned();
    for (entry, written) in book.substances() {
        let model = book
            .substance_model(entry.id())
            .map_err(|error| format!("{}: {error}", entry.path))?;
        for line in lines(written, &model) {
            let cells: Vec<String> = std::iter::once(entry.id())
                .chain(line.iter().map(String::as_str))
                .map(quoted)
                .collect();
            let _ = writeln!(text, "{}", cells.join(","));
        }
    }
    Ok(Generated {
        path: "catalog/reference/fingerprint.csv".to_owned(),
        text,
    })
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// Field, value, source, effect.
type FingerprintLine = [String; 4];

fn lines(written: &SubstanceEntry, model: &Substance) -> Vec<FingerprintLine> {
    let line = |field: &str, value: &str, source: &Option<String>, effect: String| {
        [
            field.to_owned(),
            value.to_owned(),
            source.clone().unwrap_or_default(),
            effect,
        ]
    };
    let mut lines = Vec::new();
    if let Some(cas) = &written.cas {
        lines.push(line("cas", cas, &written.identified_by, String::new()));
    }
    if let Some(key) = &written.inchikey {
        lines.push(line(
            "inchikey",
            key,
            &written.inchikey_source,
            String::new(),
        ));
    }
    if let Some(formula) = &written.formula {
        lines.push(line(
            "formula",
            formula,
            &written.identified_by,
            String::new(),
        ));
    }
    for row in &written.names {
        if let (Some(code), Some(name)) = (&row.language, &row.name) {
            let field = format!("name in {}", language(code));
            lines.push(line(&field, name, &row.source, String::new()));
        }
    }
    let weights = Some("ciaaw-2021".to_owned());
    lines.push(line(
        "molar mass, computed",
        &format!("{:.3} g/mol", model.molar_mass.g_per_mol()),
        &weights,
        one_ppm(model.molar_mass),
    ));
    if let Some(printed) = &written.molar_mass {
        lines.push(line(
            "molar mass, printed",
            printed.text(),
            &written.molar_mass_source,
            "none: the computed one counts".to_owned(),
        ));
    }
    if let Some(boils) = &written.boils_at
        && let Some(temperature) = &boils.temperature
    {
        lines.push(line(
            "boiling point",
            temperature.text(),
            &boils.source,
            String::new(),
        ));
    }
    for fact in &written.vapour_pressure {
        if let (Some(temperature), Some(pressure)) = (&fact.temperature, &fact.pressure) {
            let whole = pressure.value().kilopascals() / 101.325;
            let effect = if whole < 1.0 {
                format!("saturated air holds {} %", digits(100.0 * whole, 3))
            } else {
                "a gas at this temperature".to_owned()
            };
            let field = format!("vapour pressure at {}", temperature.text());
            lines.push(line(&field, pressure.text(), &fact.source, effect));
        }
    }
    for fact in &written.explosive_limits {
        let holds: String = [
            fact.at.as_ref().map(|at| format!(" at {}", at.text())),
            fact.remark.as_ref().map(|remark| format!(" {remark}")),
        ]
        .into_iter()
        .flatten()
        .collect();
        if let Some(lower) = &fact.lower {
            let tenth = digits(lower.value().ppm() / 10.0, 3);
            let field = format!("lower explosive limit{holds}");
            let effect = format!("a tenth of it is {tenth} ppm");
            lines.push(line(&field, lower.text(), &fact.source, effect));
        }
        if let Some(upper) = &fact.upper {
            let field = format!("upper explosive limit{holds}");
            lines.push(line(&field, upper.text(), &fact.source, String::new()));
        }
    }
    for (limit, model_limit) in written.limits.iter().zip(&model.limits) {
        let period = limit
            .averaged_over
            .as_ref()
            .map_or_else(String::new, |period| format!(" over {}", period.text()));
        let field = format!("limit, {}{period}", model_limit.kind.name());
        let effect = effect_of(model_limit, model.molar_mass);
        lines.push(line(
            &field,
            model_limit.at_most.text(),
            &limit.source,
            effect,
        ));
        if let Some(mass) = &limit.also_printed {
            let field = format!("{field}, also printed");
            let effect = "none: the value above counts".to_owned();
            lines.push(line(&field, mass.text(), &limit.source, effect));
        }
        if let Some(peak) = &limit.peak
            && let Some(value) = &peak.at_most
        {
            let lasts = peak.lasts.as_deref().unwrap_or_default();
            let field = format!("{field}, peak for {lasts}");
            lines.push(line(&field, value.text(), &limit.source, String::new()));
        }
    }
    lines
}

fn one_ppm(molar_mass: MolarMass) -> String {
    let at = |conditions| {
        VolumeFraction::from_ppm(1.0).map_or_else(
            |_| String::new(),
            |one| {
                let mass = convert::mass_concentration(one, molar_mass, conditions);
                digits(mass.mg_per_m3(), 4)
            },
        )
    };
    format!(
        "1 ppm is {} / {} mg/m³",
        at(Conditions::at_25_celsius()),
        at(Conditions::at_20_celsius())
    )
}

/// The limit in the other unit, at its source's own conditions.
fn effect_of(limit: &ModelLimit, molar_mass: MolarMass) -> String {
    let Some(conditions) = limit.mass_stated_at else {
        return String::new();
    };
    match limit.at_most.value() {
        Concentration::VolumeFraction(fraction) => {
            let mass = convert::mass_concentration(fraction, molar_mass, conditions);
            format!("is {} mg/m³", digits(mass.mg_per_m3(), 4))
        }
        Concentration::MassConcentration(mass) => {
            match convert::volume_fraction(mass, molar_mass, conditions) {
                Ok(fraction) => format!("is {} ppm", digits(fraction.ppm(), 4)),
                Err(_) => String::new(),
            }
        }
    }
}

/// A number to so many significant digits.
fn digits(value: f64, significant: usize) -> String {
    let text = format!("{value:.*e}", significant.saturating_sub(1));
    let decimals = text
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse::<i64>().ok())
        .map_or(0, |exponent| {
            usize::try_from(i64::try_from(significant).unwrap_or(0) - 1 - exponent).unwrap_or(0)
        });
    format!("{value:.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_significant_ones() {
        for (value, significant, text) in [
            (28.6123, 4, "28.61"),
            (0.012_345, 3, "0.0123"),
            (1234.56, 4, "1235"),
            (123_456.0, 4, "123456"),
        ] {
            assert_eq!(digits(value, significant), text);
        }
    }
}
