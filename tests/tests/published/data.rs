//! The tables in `tests/published`.

use std::collections::BTreeMap;

use stainbook_core::{Decimal, Formula, MolarMass};

/// One row, by column name.
pub(crate) struct PublishedRow {
    table: &'static str,
    cells: BTreeMap<String, String>,
}

impl PublishedRow {
    /// A cell; the column must exist.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("{}: no column {column}", self.table))
    }

    /// A cell as a number with its digits.
    pub(crate) fn decimal(&self, column: &str) -> Decimal {
        let text = self.text(column).trim_end_matches("...");
        text.parse()
            .unwrap_or_else(|e| panic!("{}: {column}: {e}", self.table))
    }

    /// A cell as a number.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.decimal(column).value()
    }
}

macro_rules! tables {
    ($($name:ident = $file:literal;)*) => {
        $(
            pub(crate) fn $name() -> Vec<PublishedRow> {
                rows($file, include_str!(concat!("../../published/", $file)))
            }
        )*
    };
}

tables! {
    niosh_factors = "niosh_factors.csv";
    niosh_rel_pairs = "niosh_rel_pairs.csv";
    osha_z1 = "osha_z1.csv";
    european_pairs = "european_pairs.csv";
    formulas = "formulas.csv";
    molar_masses_of_packages = "molar_masses.csv";
    worked_pairs = "worked_pairs.csv";
    molar_volumes = "molar_volumes.csv";
    other_examples = "other_examples.csv";
    en689_factors = "en689_factors.csv";
    atmosphere = "atmosphere.csv";
    water_vapour_saturation = "water_vapour_saturation.csv";
    unit_equivalents = "unit_equivalents.csv";
    atomic_weights = "atomic_weights.csv";
    cas_vectors = "cas_vectors.csv";
    ucum_codes = "ucum_codes.csv";
    known_disagreements = "known_disagreements.csv";
    uncertainty = "uncertainty.csv";
    strokes_and_pressure = "strokes_and_pressure.csv";
}

fn rows(table: &'static str, text: &str) -> Vec<PublishedRow> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let columns: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap_or_else(|e| panic!("{table}: {e}"));
            PublishedRow {
                table,
                cells: columns
                    .iter()
                    .cloned()
                    .zip(record.iter().map(str::to_owned))
                    .collect(),
            }
        })
        .collect()
}

/// The molar masses of the substances, by CAS number, each from its formula.
pub(crate) fn molar_masses() -> BTreeMap<String, MolarMass> {
    formulas()
        .iter()
        .map(|row| {
            let formula: Formula = row
                .text("formula")
                .parse()
                .unwrap_or_else(|e| panic!("{}: {e}", row.text("name")));
            (row.text("cas").to_owned(), formula.molar_mass())
        })
        .collect()
}
