//! Atomic weights and molar masses.

use stainbook_core::Formula;
use stainbook_core::atomic_weights::element_of;

use crate::data;
use crate::report::{Origin, PublishedReport};

pub(crate) fn check(report: &mut PublishedReport) {
    for row in data::atomic_weights() {
        let symbol = row.text("symbol");
        let element = element_of(symbol).unwrap_or_else(|| panic!("{symbol}"));
        let weight = element.weight.unwrap_or_else(|| panic!("{symbol}"));
        let number = row.number("z");
        let named =
            element.name == row.text("name") && (f64::from(element.number) - number).abs() < 0.5;
        report.origin = Origin::Again;
        report.check("atomic weights, names and numbers", symbol, named, || {
            element.name.to_owned()
        });
        report.origin = Origin::Published;
        report.printed(
            "atomic weights",
            symbol,
            weight.value,
            &row.decimal("standard_atomic_weight_abridged"),
            0.0,
        );
        let printed = row.number("uncertainty");
        let same = (weight.uncertainty / printed - 1.0).abs() < 1e-9;
        report.check("atomic weights, uncertainties", symbol, same, || {
            format!("{} {printed}", weight.uncertainty)
        });
        let interval = row.text("interval").trim_matches(['[', ']']);
        if let Some((low, high)) = interval.split_once(',') {
            let (low, high): (f64, f64) = (low.parse().unwrap(), high.parse().unwrap());
            // The abridged value is rounded, and may so lie outside by half a unit of its last digit.
            let half = row.decimal("standard_atomic_weight_abridged").half_step();
            let inside = low - half <= weight.value && weight.value <= high + half;
            report.check(
                "atomic weights, within the printed interval",
                symbol,
                inside,
                || interval.to_owned(),
            );
        }
    }
    report.origin = Origin::Computed;
    for row in data::formulas() {
        let formula: Formula = row.text("formula").parse().unwrap();
        let mass = formula.molar_mass().g_per_mol();
        if !row.text("molar_mass").is_empty() {
            let id = format!("{} {formula}", row.text("name"));
            report.printed(
                "molar masses from formulas",
                &id,
                mass,
                &row.decimal("molar_mass"),
                0.0,
            );
        }
    }
}
