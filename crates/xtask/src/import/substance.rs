//! A substance entry.

use super::ImportError;
use super::amendments::Amendments;
use super::entry::{self, ImportedException};
use super::limits::{self, ImportedLimit};
use super::names::{self, Names};
use super::pair;
use super::report::ImportReport;
use super::source::head;
use super::tables::{NameRow, SubstanceRow, Tables};
use super::yaml::{self, YamlNode};
use super::{explosive_limits, vapour_pressure};
use stainbook_catalog::search::folded;
use stainbook_core::{CasNumber, Formula};

/// Remark on an entry whose limits come from tables that are not complete.
const ONLY_PAIRS: &str = "Only limits that their source prints in ppm and mg/m³ side by side were at hand: others, a level dangerous to life or health and a note on carcinogenicity may exist and are not here.";

/// Rows of the table that stand in the NIOSH Pocket Guide say so here.
const NOT_IN_THE_GUIDE: &str = "not in the NIOSH Pocket Guide";

/// The id and the text of a substance entry.
pub(crate) fn substance(
    row: &SubstanceRow,
    tables: &Tables,
    amendments: &Amendments,
    report: &mut ImportReport,
) -> Result<(String, String), ImportError> {
    let row = &amendments.apply(row);
    let wrong = |problem: String| ImportError::Row {
        cas: row.cas.clone(),
        problem,
    };
    row.cas
        .parse::<CasNumber>()
        .map_err(|error| wrong(error.to_string()))?;
    let formula = amendments
        .one(&row.cas, "formula")
        .unwrap_or(&row.formula_hill);
    let read = |text: &str| Formula::parse(text).map_err(|error| wrong(error.to_string()));
    let atoms = read(formula)?;
    if atoms != read(&row.formula_hill)? {
        return Err(wrong(format!(
            "`{formula}` and `{}` are two formulas",
            row.formula_hill
        )));
    }
    let molar_mass = atoms.molar_mass();
    if !prints_as(molar_mass.g_per_mol(), &row.molar_mass_g_mol) {
        let computed = molar_mass.g_per_mol();
        return Err(wrong(format!(
            "`{formula}` gives {computed} g/mol, not `{}`",
            row.molar_mass_g_mol
        )));
    }
    let names = names::names(row, formula, amendments);
    report.checked_formula(&row.npg_mw_printed);
    let found = limits::limits(row, tables, amendments);
    let judged = entry::judge(&found.limits, molar_mass, tables);
    let explosive = explosive_limits::explosive_limits(row);
    let further = row.npg_entry_is_not_at_hand();
    let in_the_guide = !further && !row.how_limits.starts_with(NOT_IN_THE_GUIDE);

    let mut entries = vec![
        ("substance", YamlNode::text(&names.id)),
        ("name", YamlNode::text(&names.name)),
    ];
    push_list(
        &mut entries,
        "also_called",
        names.also_called.iter().map(YamlNode::text).collect(),
    );
    push_list(&mut entries, "names", in_languages(row, &names, tables)?);
    entries.push(("cas", YamlNode::text(&row.cas)));
    if let Some(key) = inchikey(row, &atoms, tables)? {
        entries.push(("inchikey", YamlNode::text(key)));
        entries.push(("inchikey_source", YamlNode::text("open-property-tables")));
    }
    entries.push(("formula", YamlNode::text(formula)));
    if !row.npg_mw_printed.is_empty() {
        entries.push((
            "molar_mass",
            YamlNode::Text(format!("{} g/mol", row.npg_mw_printed)),
        ));
        entries.push(("molar_mass_source", YamlNode::text("niosh-pocket-guide")));
        if !prints_as(molar_mass.g_per_mol(), &row.npg_mw_printed) {
            report.molar_mass(&names.id, &row.npg_mw_printed, molar_mass.g_per_mol());
        }
    }
    let identified_by = amendments
        .one(&row.cas, "identified_by")
        .unwrap_or(if in_the_guide {
            "niosh-pocket-guide"
        } else {
            "open-property-tables"
        });
    entries.push(("identified_by", YamlNode::text(identified_by)));
    entries.push(("family", YamlNode::text(&row.group)));
    if !row.tb_c.is_empty() {
        let boils_at = vec![
            ("temperature", YamlNode::Text(format!("{} °C", row.tb_c))),
            ("source", YamlNode::text("open-property-tables")),
        ];
        entries.push(("boils_at", YamlNode::Row(boils_at)));
    }
    push_list(
        &mut entries,
        "vapour_pressure",
        saturation(row, &names.id, tables, report),
    );
    push_list(&mut entries, "explosive_limits", explosive.rows.clone());
    push_list(
        &mut entries,
        "limits",
        found.limits.iter().map(limit).collect(),
    );

    let mut remarks: Vec<String> = Vec::new();
    if !row.note.is_empty() {
        remarks.push(sentence(&row.note));
    }
    remarks.extend(found.remarks.iter().cloned());
    if !explosive.qualified.is_empty() {
        let cells = explosive.qualified.join(", ");
        remarks.push(format!(
            "The NIOSH Pocket Guide prints explosive limits for conditions of their own: {cells}."
        ));
    }
    if row.is_from_pairs() || further && !found.limits.is_empty() && !row.is_of_several() {
        remarks.push(ONLY_PAIRS.to_owned());
    } else if further && found.limits.is_empty() {
        remarks.push("No limit value of this catalog's sources was at hand.".to_owned());
    } else if !in_the_guide && found.limits.is_empty() {
        remarks.push("No limit value is known to this catalog.".to_owned());
    }
    remarks.extend(
        amendments
            .of(&row.cas, "remark")
            .map(|amendment| sentence(&amendment.value)),
    );
    if !remarks.is_empty() {
        entries.push(("remark", YamlNode::Text(remarks.join(" "))));
    }
    let mut accepted = judged.accept.clone();
    for amendment in amendments.of(&row.cas, "accept") {
        let (rule, at) = match amendment.value.split_once(' ') {
            Some((rule, at)) => (rule, Some(at.to_owned())),
            None => (amendment.value.as_str(), None),
        };
        accepted.push(ImportedException {
            rule: rule.to_owned(),
            at,
            because: amendment.because.clone(),
        });
    }
    push_list(
        &mut entries,
        "accept",
        accepted.iter().map(accept).collect(),
    );
    report.substance(row, &names, &found, &judged, &explosive);
    Ok((
        names.id,
        head("../../../", "substance") + &yaml::document(&entries),
    ))
}

/// Names in other languages. A row is found by its CAS number; the English name beside it has to be one of the substance too.
fn in_languages(
    row: &SubstanceRow,
    names: &Names,
    tables: &Tables,
) -> Result<Vec<YamlNode>, ImportError> {
    let english: Vec<String> = std::iter::once(&names.name)
        .chain(&names.also_called)
        .chain([&row.name])
        .map(|name| folded(name))
        .collect();
    let found = tables.names.iter().filter(|found| found.cas == row.cas);
    let rows = found.map(|found| {
        // The row of a table with CAS numbers is found by the number alone.
        let is_by_number = found.source == FOUND_BY_NUMBER;
        if !is_by_number && !english.contains(&folded(&found.english)) {
            return Err(ImportError::Row {
                cas: row.cas.clone(),
                problem: format!(
                    "`{}` is beside `{}`, which is no name of it",
                    found.name, found.english
                ),
            });
        }
        Ok(YamlNode::Row(name_row(found)))
    });
    rows.collect()
}

/// The source of names whose own rows have CAS numbers.
const FOUND_BY_NUMBER: &str = "fr-code-du-travail";

fn name_row(found: &NameRow) -> Vec<(&'static str, YamlNode)> {
    let mut fields = vec![
        ("language", YamlNode::text(&found.language)),
        ("name", YamlNode::text(&found.name)),
        ("source", YamlNode::text(&found.source)),
    ];
    if !found.taken_for.is_empty() {
        fields.push(("taken_for", YamlNode::text(&found.taken_for)));
    }
    fields
}

/// The InChIKey, provided that the package that gives it means the same atoms.
fn inchikey(
    row: &SubstanceRow,
    atoms: &Formula,
    tables: &Tables,
) -> Result<Option<String>, ImportError> {
    let Some(found) = tables.inchikeys.iter().find(|found| found.cas == row.cas) else {
        return Ok(None);
    };
    let theirs = Formula::parse(&found.formula_in_package);
    if theirs.is_ok_and(|theirs| theirs == *atoms) {
        return Ok(Some(found.inchikey.clone()));
    }
    Err(ImportError::Row {
        cas: row.cas.clone(),
        problem: format!(
            "the InChIKey is for `{}`, another formula",
            found.formula_in_package
        ),
    })
}

/// True if the value is within half a step of the printed digits.
fn prints_as(value: f64, printed: &str) -> bool {
    let half_step = pair::half_step(printed) + 1e-9;
    printed
        .parse::<f64>()
        .is_ok_and(|printed| (printed - value).abs() <= half_step)
}

fn push_list(entries: &mut Vec<(&'static str, YamlNode)>, key: &'static str, items: Vec<YamlNode>) {
    if !items.is_empty() {
        entries.push((key, YamlNode::List(items)));
    }
}

fn saturation(
    row: &SubstanceRow,
    id: &str,
    tables: &Tables,
    report: &mut ImportReport,
) -> Vec<YamlNode> {
    let ours = |temperature: &str, kpa: &str| {
        let pressure = format!("{kpa} kPa");
        vapour_pressure::row(temperature, pressure, None, "open-property-tables")
    };
    let mut rows = Vec::new();
    for (temperature, cell) in [("20 °C", &row.pvap_20c_kpa), ("25 °C", &row.pvap_25c_kpa)] {
        if !cell.is_empty() {
            rows.push(ours(temperature, cell));
        }
    }
    match vapour_pressure::compare(row, tables) {
        Some(printed) => {
            rows.extend(printed.second.map(|kpa| ours(&printed.temperature, &kpa)));
            rows.push(vapour_pressure::row(
                &printed.temperature,
                printed.pressure,
                printed.disputed,
                "niosh-pocket-guide",
            ));
        }
        None if row.npg_vp_printed.is_empty() => {}
        None => report.vapour_pressure(id, &row.npg_vp_printed),
    }
    rows
}

fn limit(limit: &ImportedLimit) -> YamlNode {
    let mut entries = vec![("kind", YamlNode::text(limit.kind.name()))];
    if let Some(period) = &limit.averaged_over {
        entries.push(("averaged_over", YamlNode::text(period)));
    }
    entries.push((
        "at_most",
        YamlNode::Text(format!("{} {}", limit.number, limit.unit)),
    ));
    if let Some(mass) = &limit.also_printed {
        entries.push(("also_printed", YamlNode::Text(format!("{mass} mg/m³"))));
    }
    entries.push(("source", YamlNode::text(limit.source)));
    if limit.skin {
        entries.push(("skin", YamlNode::Bare("true")));
    }
    if let Some((peak, lasts)) = &limit.peak {
        let row = vec![
            ("at_most", YamlNode::text(peak)),
            ("lasts", YamlNode::text(lasts)),
        ];
        entries.push(("peak", YamlNode::Row(row)));
    }
    if !limit.remarks.is_empty() {
        entries.push(("remark", YamlNode::Text(limit.remarks.join("; "))));
    }
    YamlNode::Map(entries)
}

fn accept(accept: &ImportedException) -> YamlNode {
    let mut entries = vec![("rule", YamlNode::text(&accept.rule))];
    entries.extend(accept.at.as_ref().map(|at| ("at", YamlNode::text(at))));
    entries.push(("because", YamlNode::text(&accept.because)));
    YamlNode::Map(entries)
}

/// The note as a sentence.
fn sentence(note: &str) -> String {
    let mut letters = note.trim_end_matches('.').chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).chain(['.']).collect(),
        None => String::new(),
    }
}
