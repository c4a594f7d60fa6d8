//! The limits of a substance, put together from what the tables print.

use stainbook_catalog::written::LimitKind;

use super::amendments::Amendments;
use super::printed_limit::{self, LimitColumn, PrintedCell, PrintedLimit};
use super::tables::{SubstanceRow, Tables};

/// The sentence that stands for `Ca`.
const CARCINOGEN: &str = "NIOSH treats it as a potential occupational carcinogen (Ca)";

/// A limit of an entry.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ImportedLimit {
    pub(crate) kind: LimitKind,
    pub(crate) averaged_over: Option<String>,
    pub(crate) number: String,
    pub(crate) unit: &'static str,
    /// mg/m³ beside ppm, as printed.
    pub(crate) also_printed: Option<String>,
    /// True if the table marks the pair as not explained by rounding.
    pub(crate) marked_unexplained: bool,
    pub(crate) source: &'static str,
    pub(crate) skin: bool,
    /// The peak above a ceiling: value, and for how long and how often.
    pub(crate) peak: Option<(String, String)>,
    pub(crate) remarks: Vec<String>,
}

/// The limits of a substance, and what could not be carried.
#[derive(Debug, Default)]
pub(crate) struct ImportedLimits {
    pub(crate) limits: Vec<ImportedLimit>,
    /// Sentences for the entry's remark.
    pub(crate) remarks: Vec<String>,
    /// Cells that are not understood: column, cell, first piece.
    pub(crate) unread: Vec<(&'static str, String, String)>,
    /// Rows of the pair tables that no limit of the entry answers to.
    pub(crate) unmatched: Vec<String>,
    /// Columns whose level is `N.D.`
    pub(crate) not_determined: bool,
    /// References to appendices.
    pub(crate) appendices: Vec<String>,
}

/// Puts the limits together: United States law, United States recommendation, danger, Europe; with what an authority
/// prints for several isomers together.
pub(crate) fn limits(
    row: &SubstanceRow,
    tables: &Tables,
    amendments: &Amendments,
) -> ImportedLimits {
    let mut found = printed_for(row, tables);
    for isomers in tables
        .isomers
        .iter()
        .filter(|isomers| isomers.cas == row.cas)
    {
        let mut each = isomers
            .from
            .split(' ')
            .filter_map(|cas| tables.substances.iter().find(|from| from.cas == cas))
            .map(|from| printed_for(&amendments.apply(from), tables).limits);
        let Some(first) = each.next() else { continue };
        let others: Vec<_> = each.collect();
        let of_authority = |limit: &ImportedLimit| {
            let mut sources = tables.sources.iter();
            sources.any(|source| {
                source.source == limit.source && source.authority == isomers.authority
            })
        };
        for mut limit in first.into_iter().filter(of_authority) {
            let period = |other: &ImportedLimit| {
                other.kind == limit.kind && other.averaged_over == limit.averaged_over
            };
            let own = found.limits.iter();
            let alike = |other: &&ImportedLimit| {
                period(other) && other.unit == limit.unit && same(&other.number, &limit.number)
            };
            let mut alike_in_others = others.iter().map(|of_one| of_one.iter().find(alike));
            if own.filter(|own| of_authority(own)).any(period)
                || !alike_in_others.clone().all(|found| found.is_some())
            {
                continue;
            }
            limit.also_printed = limit.also_printed.take().or_else(|| {
                alike_in_others.find_map(|found| found.and_then(|one| one.also_printed.clone()))
            });
            limit.remarks.push(isomers.because.clone());
            found.limits.push(limit);
        }
    }
    found.limits.sort_by_key(|limit| {
        let mut sources = tables.sources.iter();
        let place = sources.position(|source| source.source == limit.source);
        (place, limit.kind)
    });
    found
}

/// The limits that the tables print beside the substance's own number.
fn printed_for(row: &SubstanceRow, tables: &Tables) -> ImportedLimits {
    let mut found = ImportedLimits::default();
    if row.npg_entry_is_not_at_hand() {
        united_states_pairs(&mut found, row, tables);
        european_pairs(&mut found, row, tables);
        return found;
    }
    let cell = &row.us_osha_pel_printed;
    if let Some(printed) = found.read("us_osha_pel_printed", cell, LimitColumn::Limits) {
        osha(&mut found, &printed, row, tables);
    }
    let cell = &row.us_niosh_rel_printed;
    if let Some(printed) = found.read("us_niosh_rel_printed", cell, LimitColumn::Limits) {
        niosh(&mut found, &printed, row, tables);
    }
    let cell = &row.us_niosh_idlh_printed;
    if let Some(printed) = found.read("us_niosh_idlh_printed", cell, LimitColumn::Danger) {
        found.not_determined = printed.not_determined;
        let limits = printed.limits.iter();
        found
            .limits
            .extend(limits.map(|limit| as_printed(limit, "niosh-idlh")));
    }
    france(&mut found, row, tables);
    european_union(&mut found, row, tables);
    found
}

impl ImportedLimits {
    fn read(&mut self, column: &'static str, cell: &str, kind: LimitColumn) -> Option<PrintedCell> {
        match printed_limit::read(cell, kind) {
            Ok(printed) => {
                self.appendices.extend(printed.appendices.iter().cloned());
                Some(printed)
            }
            Err(piece) => {
                self.unread.push((column, cell.to_owned(), piece));
                None
            }
        }
    }
}

fn as_printed(limit: &PrintedLimit, source: &'static str) -> ImportedLimit {
    ImportedLimit {
        kind: limit.kind,
        averaged_over: limit.averaged_over.clone(),
        number: limit.number.clone(),
        unit: limit.unit,
        also_printed: None,
        marked_unexplained: false,
        source,
        skin: false,
        peak: limit.peak.clone(),
        remarks: limit.remarks.clone(),
    }
}

/// True if two numbers are one, whatever their digits.
pub(super) fn same(a: &str, b: &str) -> bool {
    a.parse::<f64>()
        .ok()
        .zip(b.parse::<f64>().ok())
        .is_some_and(|(a, b)| (a - b).abs() <= 1e-9 * a.abs())
}

fn osha(found: &mut ImportedLimits, printed: &PrintedCell, row: &SubstanceRow, tables: &Tables) {
    let rows: Vec<_> = tables
        .osha_rows
        .iter()
        .filter(|osha| osha.is_about(row))
        .collect();
    let mut matched = vec![false; rows.len()];
    for limit in &printed.limits {
        let mut made = as_printed(limit, "us-osha-pel");
        made.skin = printed.skin;
        if let Some(section) = &printed.section {
            made.source = "us-osha-subpart-z";
            made.remarks.insert(0, format!("29 CFR {section}"));
        }
        for (osha, matched) in rows.iter().zip(&mut matched) {
            let in_ppm = limit.unit == "ppm";
            let kind = osha.kind();
            if osha.table == "Z-1" && in_ppm && kind == limit.kind && same(&osha.ppm, &limit.number)
            {
                made.source = "us-osha-z1";
                made.also_printed = Some(osha.mg_m3.clone());
                made.marked_unexplained = osha.explained_by_rounding == "no";
                if osha.note.starts_with("limit expressed as Se") {
                    made.remarks.push("the mass is that of Se alone".to_owned());
                }
                *matched = true;
            }
            if osha.table != "Z-2" || !in_ppm {
                continue;
            }
            if limit.kind == LimitKind::EightHours && same(&osha.ppm, &limit.number) {
                made.source = "us-osha-z2";
                *matched = true;
            }
            if limit.kind == LimitKind::Ceiling && same(&osha.z2_ceiling_ppm, &limit.number) {
                made.source = "us-osha-z2";
                *matched = true;
                // The table's own words for the peak come before those of the reprint.
                if !osha.z2_peak_ppm.is_empty() {
                    let peak = format!("{} ppm", osha.z2_peak_ppm);
                    made.peak = Some((peak, osha.z2_peak_duration.replace(" hr", " h")));
                }
            }
        }
        found.limits.push(made);
    }
    let unmatched = rows.iter().zip(&matched).filter(|(_, matched)| !**matched);
    found.unmatched.extend(unmatched.map(|(osha, _)| {
        format!(
            "OSHA {}: {} {} ppm; the entry's cell says `{}`",
            osha.table, osha.limit_type, osha.ppm, row.us_osha_pel_printed
        )
    }));
}

fn niosh(found: &mut ImportedLimits, printed: &PrintedCell, row: &SubstanceRow, tables: &Tables) {
    let pairs: Vec<_> = tables
        .niosh_pairs
        .iter()
        .filter(|pair| pair.cas == row.cas)
        .collect();
    let mut matched = vec![false; pairs.len()];
    for limit in &printed.limits {
        let mut made = as_printed(limit, "niosh-pocket-guide");
        made.skin = printed.skin;
        if limit.kind == LimitKind::EightHours {
            // The guide's recommended averages are for up to 10 hours.
            made.averaged_over.get_or_insert_with(|| "10 h".to_owned());
        }
        if printed.carcinogen {
            made.remarks.push(CARCINOGEN.to_owned());
        }
        let kind = match limit.kind {
            LimitKind::EightHours => "TWA10",
            LimitKind::ShortTerm => "STEL",
            _ => "ceiling",
        };
        for (pair, matched) in pairs.iter().zip(&mut matched) {
            if pair.limit_type == kind && limit.unit == "ppm" && same(&pair.ppm, &limit.number) {
                made.also_printed = Some(pair.mg_m3.clone());
                *matched = true;
            }
        }
        found.limits.push(made);
    }
    if printed.carcinogen && printed.limits.is_empty() {
        found
            .remarks
            .push(format!("{CARCINOGEN} and recommends no number."));
    }
    let unmatched = pairs.iter().zip(&matched).filter(|(_, matched)| !**matched);
    found.unmatched.extend(unmatched.map(|(pair, _)| {
        format!(
            "NIOSH pair: {} {} ppm; the entry's cell says `{}`",
            pair.limit_type, pair.ppm, row.us_niosh_rel_printed
        )
    }));
}

/// The two European texts share a table and are told apart by its source column.
const FRENCH: &str = "French Labour Code";

fn period(printed: &str) -> Option<LimitKind> {
    match printed {
        "8h" => Some(LimitKind::EightHours),
        "15min" => Some(LimitKind::ShortTerm),
        _ => None,
    }
}

/// A limit in ppm, with the mass concentration that is printed beside it.
fn pair(kind: LimitKind, ppm: &str, mass: &str, source: &'static str) -> ImportedLimit {
    let printed = PrintedLimit {
        kind,
        number: ppm.to_owned(),
        unit: "ppm",
        averaged_over: None,
        peak: None,
        remarks: Vec::new(),
    };
    let mut made = as_printed(&printed, source);
    made.also_printed = (!mass.is_empty()).then(|| mass.to_owned());
    made
}

fn france(found: &mut ImportedLimits, row: &SubstanceRow, tables: &Tables) {
    let pairs: Vec<_> = tables
        .european_pairs
        .iter()
        .filter(|pair| pair.cas == row.cas && pair.source.starts_with(FRENCH))
        .collect();
    let mut matched = vec![false; pairs.len()];
    for part in row.fr_limits.split("; ").filter(|part| !part.is_empty()) {
        let words: Vec<&str> = part.split(' ').collect();
        let read = match words.as_slice() {
            [printed, number, "ppm"] => period(printed).map(|kind| (kind, printed, number)),
            _ => None,
        };
        let Some((kind, printed, number)) = read else {
            found
                .unread
                .push(("fr_limits", row.fr_limits.clone(), part.to_owned()));
            continue;
        };
        let mut made = pair(kind, number, "", "fr-code-du-travail");
        for (pair, matched) in pairs.iter().zip(&mut matched) {
            if pair.reference_period == *printed && same(&pair.ppm, number) {
                made.also_printed = Some(pair.mg_m3.clone());
                *matched = true;
            }
        }
        found.limits.push(made);
    }
    let unmatched = pairs.iter().zip(&matched).filter(|(_, matched)| !**matched);
    found.unmatched.extend(unmatched.map(|(pair, _)| {
        format!(
            "French pair: {} {} ppm; the entry's cell says `{}`",
            pair.reference_period, pair.ppm, row.fr_limits
        )
    }));
}

fn european_union(found: &mut ImportedLimits, row: &SubstanceRow, tables: &Tables) {
    let pairs = tables
        .european_pairs
        .iter()
        .filter(|pair| pair.cas == row.cas && !pair.source.starts_with(FRENCH));
    for pair in pairs {
        if let Some(kind) = period(&pair.reference_period) {
            let made = self::pair(kind, &pair.ppm, &pair.mg_m3, "eu-2019-1831");
            found.limits.push(made);
        } else {
            found.unread.push((
                "reference_period",
                pair.reference_period.clone(),
                pair.ppm.clone(),
            ));
        }
    }
}

/// The rows of the tables of pairs as limits by themselves, for substances whose printed cells were not at hand.
fn united_states_pairs(found: &mut ImportedLimits, row: &SubstanceRow, tables: &Tables) {
    for osha in tables
        .osha_rows
        .iter()
        .filter(|osha| osha.table == "Z-1" && osha.is_about(row))
    {
        let kind = osha.kind();
        let mut made = pair(kind, &osha.ppm, &osha.mg_m3, "us-osha-z1");
        made.marked_unexplained = osha.explained_by_rounding == "no";
        if let Some((_, element)) = osha.name.split_once(" (as ") {
            let element = element.trim_end_matches(')');
            made.remarks
                .push(format!("printed with the words `as {element}`"));
        }
        found.limits.push(made);
    }
    for pair in tables.niosh_pairs.iter().filter(|pair| pair.cas == row.cas) {
        let kind = match pair.limit_type.as_str() {
            "TWA10" => LimitKind::EightHours,
            "STEL" => LimitKind::ShortTerm,
            _ => LimitKind::Ceiling,
        };
        let mut made = self::pair(kind, &pair.ppm, &pair.mg_m3, "niosh-pocket-guide");
        if kind == LimitKind::EightHours {
            made.averaged_over = Some("10 h".to_owned());
        }
        match pair.duration_printed.split_once('-') {
            Some((count, "minute")) => made.averaged_over = Some(format!("{count} min")),
            Some((count, "hr" | "hour")) => made.averaged_over = Some(format!("{count} h")),
            Some(_) => found.unread.push((
                "duration_printed",
                pair.duration_printed.clone(),
                pair.ppm.clone(),
            )),
            None => made.skin = pair.duration_printed == "skin",
        }
        found.limits.push(made);
    }
}

fn european_pairs(found: &mut ImportedLimits, row: &SubstanceRow, tables: &Tables) {
    for pair in tables
        .european_pairs
        .iter()
        .filter(|pair| pair.cas == row.cas && pair.source.starts_with(FRENCH))
    {
        if let Some(kind) = period(&pair.reference_period) {
            let made = self::pair(kind, &pair.ppm, &pair.mg_m3, "fr-code-du-travail");
            found.limits.push(made);
        }
    }
    european_union(found, row, tables);
}
