//! The embedded reference catalog against what it was not made from: two packages' molar masses, printed molecular
//! weights, and the pairs of every limit.

use std::collections::BTreeMap;

use stainbook_catalog::model::Limit;
use stainbook_catalog::{Book, EntryKind};
use stainbook_core::convert;

use crate::data;
use crate::report::{Origin, PublishedReport};
use crate::rounding;

/// Largest ratio of a molar mass by the weights of the package molmass to that by the abridged weights of 2021: no
/// further than the weight that differs most, sulfur, 32.0648 there and 32.06 here (chlorine: 35.4529 and 35.45).
const OLDER_WEIGHTS: f64 = 32.0648 / 32.06 - 1.0;

pub(crate) fn check(report: &mut PublishedReport) {
    let (book, _) = Book::read([]);
    let by_cas: BTreeMap<String, String> = book
        .ids(EntryKind::Substance)
        .into_iter()
        .filter_map(|id| Some((book.substance(id)?.cas.clone()?, id.to_owned())))
        .collect();

    for row in data::molar_masses_of_packages() {
        let id = &by_cas[row.text("cas")];
        let ours = book.substance_model(id).unwrap().molar_mass.g_per_mol();
        report.origin = Origin::Computed;
        report.printed(
            "reference molar masses, package periodictable",
            id,
            ours,
            &row.decimal("periodictable"),
            0.0,
        );
        report.printed(
            "reference molar masses, package molmass with its older weights",
            id,
            ours,
            &row.decimal("molmass"),
            OLDER_WEIGHTS * ours,
        );
    }

    // Of the guide and of the tables of limits, whose rows are counted where they are checked as published.
    report.origin = Origin::Again;
    let mut limits = 0;
    for id in by_cas.values() {
        let model = book.substance_model(id).unwrap();
        let written = book.substance(id).unwrap();
        if let Some(printed) = &written.molar_mass {
            // The Pocket Guide's weights are older, and some are rounded another way: a step of the last digit, not half.
            let step = 2.0 * printed.half_step();
            let near = (printed.number() - model.molar_mass.g_per_mol()).abs() <= step;
            report.check(
                "reference formulas, within a step of the printed molecular weight",
                id,
                near,
                || format!("{} {}", printed.text(), model.molar_mass.g_per_mol()),
            );
        }
        for (index, (limit, model_limit)) in written.limits.iter().zip(&model.limits).enumerate() {
            limits += 1;
            let Some(printed) = &limit.also_printed else {
                continue;
            };
            let computed = mass(model_limit, &model);
            let digits = printed.number_text().parse().unwrap();
            let accepted = written
                .accept
                .iter()
                .any(|accept| accept.at.as_deref() == Some(format!("/limits/{index}").as_str()));
            let name = format!("{id}, {:?} of {}", model_limit.kind, model_limit.source);
            // The ppm is the limit, and exact; only the mass was computed from it, with the molar volume itself or that of
            // handbooks (24.0 for 24.06 L/mol at 20 °C, 24.45 for 24.47 at 25 °C; common practice, no source), and rounded.
            let celsius = model_limit.mass_stated_at.unwrap().temperature.celsius();
            let (exact, handbook) = if celsius < 22.5 {
                (24.06, 24.0)
            } else {
                (24.465, 24.45)
            };
            let by_handbook = computed * exact / handbook;
            let explained = rounding::explains(computed, &digits)
                || rounding::explains(by_handbook, &digits)
                || (computed..=by_handbook).contains(&digits.value());
            report.check(
                "reference limits, mg/m³ as carried beside ppm",
                &name,
                explained,
                || format!("{} {computed}", printed.text()),
            );
            // What nothing explains has its exception, with the reason, in the entry itself.
            assert!(explained || accepted, "{name}: no exception");
        }
    }
    assert!(700 < limits, "{limits}");
}

fn mass(limit: &Limit, of: &stainbook_catalog::model::Substance) -> f64 {
    let fraction = limit.at_most.value().volume_fraction().unwrap();
    let conditions = limit.mass_stated_at.unwrap();
    convert::mass_concentration(fraction, of.molar_mass, conditions).mg_per_m3()
}
