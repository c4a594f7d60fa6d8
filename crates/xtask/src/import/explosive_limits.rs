//! Explosive limits, as three publications print them.

use super::tables::SubstanceRow;
use super::yaml::Node;

/// The explosive limits of a substance, and the cells that say more than a value.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Found {
    pub(crate) rows: Vec<Node>,
    /// Cells of the NIOSH Pocket Guide with a condition that has no field.
    pub(crate) qualified: Vec<String>,
}

/// Reads the four columns.
pub(crate) fn explosive_limits(row: &SubstanceRow) -> Found {
    let mut found = Found::default();
    let mut niosh = Vec::new();
    for (key, cell) in [("lower", &row.lel_pct_npg), ("upper", &row.uel_pct_npg)] {
        match plain_percent(cell) {
            Some(number) => niosh.push((key, number)),
            // Not applicable, and not known.
            None if ["", "NA", "?"].contains(&cell.as_str()) => {}
            None => found.qualified.push(format!("{key} {cell}")),
        }
    }
    push(&mut found.rows, niosh, "niosh-pocket-guide");
    for (label, source) in [
        ("IEC 60079-20-1 (2010)", "iec-60079-20-1"),
        ("NFPA 497 (2008)", "nfpa-497"),
    ] {
        let mut limits = Vec::new();
        for (key, cell) in [("lower", &row.lel_pct_other), ("upper", &row.uel_pct_other)] {
            let value = cell
                .split("; ")
                .filter_map(|part| part.split_once(": "))
                .find(|(printed, _)| *printed == label);
            limits.extend(value.map(|(_, number)| (key, number.to_owned())));
        }
        push(&mut found.rows, limits, source);
    }
    found
}

fn push(rows: &mut Vec<Node>, limits: Vec<(&'static str, String)>, source: &'static str) {
    if limits.is_empty() {
        return;
    }
    let mut row: Vec<(&'static str, Node)> = limits
        .into_iter()
        .map(|(key, number)| (key, Node::Text(format!("{number} %"))))
        .collect();
    row.push(("source", Node::text(source)));
    rows.push(Node::Row(row));
}

fn plain_percent(cell: &str) -> Option<String> {
    let number = cell.strip_suffix('%')?;
    number.parse::<f64>().ok().map(|_| number.to_owned())
}
