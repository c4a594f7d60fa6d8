//! Explosive limits, as three publications print them.

use super::tables::SubstanceRow;
use super::yaml::YamlNode;

/// The explosive limits of a substance, and the cells that say something that has no field.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct ExplosiveLimits {
    pub(crate) rows: Vec<YamlNode>,
    pub(crate) qualified: Vec<String>,
}

/// For what a printed limit holds: a temperature of its own, or something else in words.
#[derive(Clone, Debug, Default, PartialEq)]
struct Holds {
    at: Option<String>,
    remark: Option<String>,
}

/// Reads the four columns.
pub(crate) fn explosive_limits(row: &SubstanceRow) -> ExplosiveLimits {
    let mut found = ExplosiveLimits::default();
    // Limits that hold for the same stand in one row.
    let mut niosh: Vec<(Holds, Vec<(&'static str, String)>)> = Vec::new();
    for (key, cell) in [("lower", &row.lel_pct_npg), ("upper", &row.uel_pct_npg)] {
        match read(cell) {
            Some((number, holds)) => match niosh.iter_mut().find(|(other, _)| *other == holds) {
                Some((_, limits)) => limits.push((key, number)),
                None => niosh.push((holds, vec![(key, number)])),
            },
            // Not applicable, and not known.
            None if ["", "NA", "?"].contains(&cell.as_str()) => {}
            None => found.qualified.push(format!("{key} {cell}")),
        }
    }
    for (holds, limits) in niosh {
        push(&mut found.rows, limits, holds, "niosh-pocket-guide");
    }
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
        push(&mut found.rows, limits, Holds::default(), source);
    }
    found
}

fn push(
    rows: &mut Vec<YamlNode>,
    limits: Vec<(&'static str, String)>,
    holds: Holds,
    source: &'static str,
) {
    if limits.is_empty() {
        return;
    }
    let mut row: Vec<(&'static str, YamlNode)> = limits
        .into_iter()
        .map(|(key, number)| (key, YamlNode::Text(format!("{number} %"))))
        .collect();
    row.extend(holds.at.map(|at| ("at", YamlNode::Text(at))));
    row.extend(
        holds
            .remark
            .map(|remark| ("remark", YamlNode::Text(remark))),
    );
    row.push(("source", YamlNode::text(source)));
    rows.push(YamlNode::Row(row));
}

/// `19.9%`, `(200°F): 19.9%`, `18% (90% solution)` or `(calc.): 1.6%`: the number and what it holds for.
fn read(cell: &str) -> Option<(String, Holds)> {
    let plain = |text: &str| {
        let number = text.strip_suffix('%')?;
        number.parse::<f64>().ok().map(|_| number.to_owned())
    };
    if let Some((before, value)) = cell.split_once("): ") {
        let before = before.strip_prefix('(')?;
        let holds = match before.strip_suffix("°F") {
            Some(degrees) => Holds {
                at: Some(format!("{degrees} °F")),
                remark: None,
            },
            None if before.starts_with("calc") => Holds {
                at: None,
                remark: Some("calculated".to_owned()),
            },
            None => return None,
        };
        return Some((plain(value)?, holds));
    }
    if let Some((value, behind)) = cell.split_once(" (") {
        let (percent, _) = behind.split_once("% solution)")?;
        let holds = Holds {
            at: None,
            remark: Some(format!("of a {percent} % solution")),
        };
        return Some((plain(value)?, holds));
    }
    Some((plain(cell)?, Holds::default()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_limit_holds_for_is_read() {
        for (cell, number, at, remark) in [
            ("4.0%", "4.0", None, None),
            ("(200°F): 19.9%", "19.9", Some("200 °F"), None),
            ("18% (90% solution)", "18", None, Some("of a 90 % solution")),
            ("(calc.): 1.6%", "1.6", None, Some("calculated")),
        ] {
            let holds = Holds {
                at: at.map(str::to_owned),
                remark: remark.map(str::to_owned),
            };
            assert_eq!(read(cell), Some((number.to_owned(), holds)), "{cell}");
        }
        for cell in ["NA", "?", "", "about 4%", "(dry): 4%"] {
            assert_eq!(read(cell), None, "{cell}");
        }
    }
}
