//! `IMPORT.md`: what was taken over, what was left out and why, and where the sources contradict themselves.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::amendments::Amendments;
use super::entry::ComparedLimits;
use super::explosive_limits;
use super::limits;
use super::names::Names;
use super::tables::{SourceRow, SubstanceRow, Tables};
use stainbook_catalog::search::{folded, language};

/// Report gathered while the entries are made.
#[derive(Debug, Default)]
pub(crate) struct ImportReport {
    ids: Vec<String>,
    without_limits: Vec<String>,
    by_kind: BTreeMap<&'static str, usize>,
    by_source: BTreeMap<&'static str, usize>,
    pairs: usize,
    disagreeing: Vec<String>,
    far_but_explained: Vec<String>,
    out_of_order: Vec<String>,
    unread: Vec<String>,
    unmatched: Vec<String>,
    carcinogen_without_number: Vec<String>,
    not_determined: Vec<String>,
    qualified: Vec<String>,
    vapour_pressures: Vec<String>,
    molar_masses: Vec<String>,
    printed_molar_masses: usize,
    generated_names: Vec<String>,
    appendices: BTreeMap<String, usize>,
    /// Every name as it is searched for, with the substances that answer to it.
    answers: BTreeMap<String, Vec<String>>,
}

/// The part of a source that is from memory.
fn from_memory(source: &SourceRow) -> &str {
    if source.licence.contains("from memory") {
        &source.licence
    } else {
        &source.remark
    }
}

impl ImportReport {
    /// Notes what became of a substance.
    pub(crate) fn substance(
        &mut self,
        row: &SubstanceRow,
        names: &Names,
        found: &limits::ImportedLimits,
        judged: &ComparedLimits,
        explosive: &explosive_limits::ExplosiveLimits,
    ) {
        let id = names.id.as_str();
        let with_id = |items: &[String]| {
            items
                .iter()
                .map(|item| format!("{id}: {item}"))
                .collect::<Vec<_>>()
        };
        self.ids.push(id.to_owned());
        if found.limits.is_empty() {
            self.without_limits.push(id.to_owned());
        }
        for limit in &found.limits {
            *self.by_kind.entry(limit.kind.name()).or_insert(0) += 1;
            *self.by_source.entry(limit.source).or_insert(0) += 1;
        }
        self.pairs += judged.pairs;
        self.disagreeing.extend(with_id(&judged.disagreeing));
        self.far_but_explained
            .extend(with_id(&judged.far_but_explained));
        self.out_of_order.extend(with_id(&judged.out_of_order));
        for (column, cell, piece) in &found.unread {
            self.unread.push(format!(
                "{id}, `{column}`: `{cell}` (not understood from `{piece}`)"
            ));
        }
        self.unmatched.extend(with_id(&found.unmatched));
        if !found.remarks.is_empty() {
            self.carcinogen_without_number.push(id.to_owned());
        }
        if found.not_determined {
            self.not_determined.push(id.to_owned());
        }
        self.qualified.extend(with_id(&explosive.qualified));
        self.generated_names.extend(with_id(&names.dropped));
        for appendix in &found.appendices {
            *self.appendices.entry(appendix.clone()).or_insert(0) += 1;
        }
        let own = [names.name.as_str(), id, row.cas.as_str()];
        for name in own
            .into_iter()
            .chain(names.also_called.iter().map(String::as_str))
        {
            let answers = self.answers.entry(folded(name)).or_default();
            if !answers.iter().any(|answer| answer == id) {
                answers.push(id.to_owned());
            }
        }
    }

    /// Notes a vapour pressure that is no plain value.
    pub(crate) fn vapour_pressure(&mut self, id: &str, cell: &str) {
        self.vapour_pressures.push(format!("{id}: `{cell}`"));
    }

    /// Notes a printed molar mass that the formula does not give.
    pub(crate) fn molar_mass(&mut self, id: &str, printed: &str, computed: f64) {
        self.molar_masses.push(format!(
            "{id}: printed {printed}, computed {computed:.3} g/mol"
        ));
    }

    /// Notes whether a formula could be compared with a printed molecular weight.
    pub(crate) fn checked_formula(&mut self, printed: &str) {
        self.printed_molar_masses += usize::from(!printed.is_empty());
    }

    /// Names that lead to more than one substance.
    pub(crate) fn ambiguous(&self) -> Vec<String> {
        self.answers
            .iter()
            .filter(|(_, ids)| ids.len() > 1)
            .map(|(name, ids)| format!("`{name}`: {}", ids.join(", ")))
            .collect()
    }

    /// The text of the report.
    pub(crate) fn text(&self, tables: &Tables, amendments: &Amendments) -> String {
        let mut out = String::from(
            "# What the import took over\n\n\
             Made by `cargo xtask import` from catalog/reference/tables; amend there, not here.\n\n",
        );
        let limits: usize = self.by_source.values().sum();
        let count = |out: &mut String, what: &str, n: usize| {
            let _ = writeln!(out, "| {what} | {n} |");
        };
        out.push_str("| what | how many |\n| --- | ---: |\n");
        count(&mut out, "substances", self.ids.len());
        count(&mut out, "sources", tables.sources.len());
        count(&mut out, "amendments by hand", amendments.rows().len());
        count(&mut out, "InChIKeys", tables.inchikeys.len());
        count(&mut out, "names in other languages", tables.names.len());
        let of_groups = tables.names.iter().filter(|row| !row.group.is_empty());
        count(&mut out, "names of groups among them", of_groups.count());
        let mut by_language: BTreeMap<&str, usize> = BTreeMap::new();
        let mut by_source: BTreeMap<&str, usize> = BTreeMap::new();
        for row in &tables.names {
            *by_language.entry(&row.language).or_default() += 1;
            *by_source.entry(&row.source).or_default() += 1;
        }
        for (code, n) in by_language {
            count(&mut out, &format!("names in {}", language(code)), n);
        }
        for (source, n) in by_source {
            count(&mut out, &format!("names from {source}"), n);
        }
        count(
            &mut out,
            "formulas compared with a printed molecular weight",
            self.printed_molar_masses,
        );
        count(&mut out, "limits", limits);
        for (kind, n) in &self.by_kind {
            count(&mut out, &format!("limits: {kind}"), *n);
        }
        for (source, n) in &self.by_source {
            count(&mut out, &format!("limits from {source}"), *n);
        }
        count(&mut out, "limits with ppm and mg/m³ printed", self.pairs);
        let eh40 = tables
            .substances
            .iter()
            .filter(|row| !row.uk_eh40.is_empty())
            .count();
        count(
            &mut out,
            "limits of United Kingdom EH40 (not part of the tables)",
            eh40,
        );

        let mut section = |title: &str, why: &str, items: &[String]| {
            let _ = write!(out, "\n## {title}\n\n{why}\n\n");
            if items.is_empty() {
                out.push_str("None.\n");
            }
            for item in items {
                let _ = writeln!(out, "- {item}");
            }
        };
        section(
            "Pairs that neither digits nor rounding explain",
            "Kept as printed and excepted in the entry. Computed with the ideal molar volume at the source's own conditions; half a step of the printed mass does not cover the difference (ppm is the limit, and exact), and neither rounding it to 1 to 4 significant digits nor to a step of 5 or 2.5 gives it.",
            &self.disagreeing,
        );
        section(
            "Pairs more than 10 % apart, or marked in the table, that printed digits or rounding explain",
            "No exception is needed.",
            &self.far_but_explained,
        );
        section(
            "Limits out of order",
            "Within one authority: 8-hour average, short-term, ceiling, danger. Kept as printed and excepted.",
            &self.out_of_order,
        );
        section(
            "Rows of the pair tables that no limit answers to",
            "Two copies of one publication disagree, or a row is missing.",
            &self.unmatched,
        );
        section(
            "Cells that were not understood",
            "Nothing of the cell was taken over.",
            &self.unread,
        );
        section(
            "Printed molar masses that the formula does not give",
            "To half a step of the printed digits, against the CIAAW 2021 weights. Kept as printed.",
            &self.molar_masses,
        );
        section(
            "Recommended without a number",
            "NIOSH treats these as potential occupational carcinogens and recommends no value; the entry's remark says so.",
            &self.carcinogen_without_number,
        );
        section(
            "Dangerous level not determined",
            "Printed as N.D.; no limit of that kind.",
            &self.not_determined,
        );
        section(
            "Explosive limits that are no plain value",
            "The value stands in the entry's remark.",
            &self.qualified,
        );
        let left_out: Vec<String> = tables
            .left_out
            .iter()
            .map(|row| format!("{} ({}), {}: {}", row.name, row.cas, row.what, row.because))
            .collect();
        section(
            "Left out by hand",
            "What the tables of limits or the packages give and is not taken over, from `what_was_left_out.csv`.",
            &left_out,
        );
        let from_memory: Vec<String> = tables
            .sources
            .iter()
            .filter(|source| {
                source.obtained == "from memory"
                    || source.licence.contains("from memory")
                    || source.remark.contains("from memory")
            })
            .map(|source| format!("{}: {}", source.source, from_memory(source)))
            .chain(
                tables
                    .osha_rows
                    .iter()
                    .filter(|row| row.note.contains("(memory:"))
                    .map(|row| format!("{}, a remark only: {}", row.name, row.note)),
            )
            .chain(
                amendments
                    .rows()
                    .iter()
                    .filter(|row| {
                        row.because.contains("from memory") || row.value.contains("from memory")
                    })
                    .map(|row| format!("{}, `{}`: {}", row.cas, row.field, row.value)),
            )
            .collect();
        section(
            "From memory",
            "Recalled without a look, to be confirmed before it is relied on. No limit, no physical value and no formula is among them.",
            &from_memory,
        );
        section(
            "Vapour pressures that are no plain value",
            "Left out.",
            &self.vapour_pressures,
        );
        section(
            "Substances without any limit",
            "As far as the tables go.",
            &self.without_limits,
        );
        section(
            "Names that lead to more than one substance",
            "Each should be dropped from all but one by an amendment.",
            &self.ambiguous(),
        );
        section(
            "Synonyms left out by rule",
            "Names made by a program, and names of solutions.",
            &self.generated_names,
        );
        let appendices: Vec<String> = self
            .appendices
            .iter()
            .map(|(appendix, n)| format!("{appendix}: {n} times"))
            .collect();
        section(
            "References that are not carried on",
            "The Pocket Guide's appendices: A on carcinogens, C on supplementary limits, D on substances without a recommendation, F and G on OSHA's exceptions and vacated values.",
            &appendices,
        );
        out
    }
}
