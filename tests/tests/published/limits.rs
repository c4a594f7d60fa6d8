//! Limits that print a volume fraction and a mass concentration side by side.

use stainbook_core::{Conditions, MolarMass};

use crate::data;
use crate::factors::{handbook_conditions, mg_per_m3};
use crate::report::{Origin, PublishedReport};
use crate::rounding;

pub(crate) fn check(report: &mut PublishedReport) {
    rounding::self_check();
    let masses = data::molar_masses();

    for row in data::niosh_rel_pairs() {
        let (ppm, printed) = (row.number("ppm"), row.decimal("mg_m3"));
        let molar_mass = MolarMass::from_g_per_mol(row.number("mw_printed")).unwrap();
        let id = format!(
            "{} {} {} ppm",
            row.text("name"),
            row.text("limit_type"),
            row.text("ppm")
        );
        let computed = mg_per_m3(ppm, molar_mass, Conditions::at_25_celsius());
        let handbook = mg_per_m3(ppm, molar_mass, handbook_conditions());
        let agrees =
            rounding::explains(computed, &printed) || rounding::explains(handbook, &printed);
        report.check("NIOSH limit pairs at 25 °C", &id, agrees, || {
            format!("{} {computed}", printed.text())
        });
    }

    for row in data::osha_z1() {
        if row.text("mg_m3").is_empty() {
            continue;
        }
        let (ppm, printed) = (row.number("ppm"), row.decimal("mg_m3"));
        let cas = row.text("cas").split(" / ").next().unwrap();
        // A mixture has no molar mass: there is nothing to compute.
        let Some(molar_mass) = masses.get(cas) else {
            report.not_computable(row.text("name"));
            continue;
        };
        let id = format!("{} {} ppm", row.text("name"), row.text("ppm"));
        let computed = mg_per_m3(ppm, *molar_mass, Conditions::at_25_celsius());
        let handbook = mg_per_m3(ppm, *molar_mass, handbook_conditions());
        let agrees =
            rounding::explains(computed, &printed) || rounding::explains(handbook, &printed);
        // The marks were made by another calculation when the rows were collected: the two must agree on every row.
        match row.text("explained_by_rounding") {
            "yes" => assert!(agrees, "{id} is marked as explained by rounding"),
            "no" => assert!(!agrees, "{id} is marked as not explained by rounding"),
            _ => {}
        }
        report.check("OSHA Table Z-1 pairs at 25 °C", &id, agrees, || {
            format!(
                "{} {computed} (mark: {})",
                printed.text(),
                row.text("explained_by_rounding")
            )
        });
    }

    for row in data::european_pairs() {
        let (ppm, printed) = (row.number("ppm"), row.decimal("mg_m3"));
        let id = format!(
            "{} {} {} ppm",
            name(&row),
            row.text("reference_period"),
            row.text("ppm")
        );
        let molar_mass = masses
            .get(row.text("cas"))
            .unwrap_or_else(|| panic!("{id}: no formula"));
        let computed = mg_per_m3(ppm, *molar_mass, Conditions::at_20_celsius());
        let agrees = rounding::explains(computed, &printed);
        report.check("European limit pairs at 20 °C", &id, agrees, || {
            format!("{} {computed}", printed.text())
        });
    }

    told_apart(report, &masses);
}

/// The European pairs must not be explained as well by the conditions of the United States: their printed digits tell 20 °C from
/// 25 °C wherever there are three of them.
fn told_apart(
    report: &mut PublishedReport,
    masses: &std::collections::BTreeMap<String, MolarMass>,
) {
    report.origin = Origin::Again;
    for row in data::european_pairs() {
        let printed = row.decimal("mg_m3");
        let computed = mg_per_m3(
            row.number("ppm"),
            masses[row.text("cas")],
            Conditions::at_20_celsius(),
        );
        // Only rows that the right conditions reproduce to 0.5 % can tell conditions 1.7 % apart.
        if printed
            .text()
            .replace('.', "")
            .trim_start_matches('0')
            .len()
            < 3
            || 0.005 < (computed / printed.value() - 1.0).abs()
        {
            continue;
        }
        let wrong = mg_per_m3(
            row.number("ppm"),
            masses[row.text("cas")],
            Conditions::at_25_celsius(),
        );
        let id = format!("{} {} ppm", name(&row), row.text("ppm"));
        let nearer = (computed - printed.value()).abs() < (wrong - printed.value()).abs();
        report.check(
            "European pairs nearer to 20 °C than to 25 °C",
            &id,
            nearer,
            || format!("{computed} {wrong}"),
        );
    }
}

/// The English name, or the CAS number where the source gives none.
fn name(row: &data::PublishedRow) -> &str {
    match row.text("name_en") {
        "" => row.text("cas"),
        name => name,
    }
}
