//! Formulas: counting atoms, so that a conventional spelling can be held against the table's Hill order.

use std::collections::BTreeMap;

/// Counts the atoms of each element, brackets multiplied out. `None` if the text is no plain formula.
pub(crate) fn atoms(formula: &str) -> Option<BTreeMap<String, u32>> {
    let mut levels: Vec<BTreeMap<String, u32>> = vec![BTreeMap::new()];
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        if first == '(' {
            levels.push(BTreeMap::new());
            rest = rest.strip_prefix('(')?;
            continue;
        }
        let group = if first == ')' {
            rest = rest.strip_prefix(')')?;
            levels.pop()?
        } else {
            let end = rest
                .char_indices()
                .skip(1)
                .find(|(_, c)| !c.is_ascii_lowercase())
                .map_or(rest.len(), |(at, _)| at);
            let (symbol, tail) = rest.split_at(end);
            if !first.is_ascii_uppercase() {
                return None;
            }
            rest = tail;
            BTreeMap::from([(symbol.to_owned(), 1)])
        };
        let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let (digits, tail) = rest.split_at(end);
        rest = tail;
        let times = if digits.is_empty() { 1 } else { digits.parse().ok()? };
        let level = levels.last_mut()?;
        for (symbol, count) in group {
            *level.entry(symbol).or_insert(0) += count * times;
        }
    }
    match (levels.pop(), levels.is_empty()) {
        (Some(atoms), true) if !atoms.is_empty() => Some(atoms),
        _ => None,
    }
}

/// True if the formula names one substance to a chemist: nothing with carbon and hydrogen but hydrogen cyanide.
pub(crate) fn is_inorganic(formula: &str) -> bool {
    let Some(atoms) = atoms(formula) else { return false };
    formula == "HCN" || !(atoms.contains_key("C") && atoms.contains_key("H"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_conventional_spelling_counts_the_same_atoms() {
        for (conventional, hill) in
            [("Ni(CO)4", "C4NiO4"), ("COCl2", "CCl2O"), ("NH3", "H3N"), ("(CN)2", "C2N2")]
        {
            assert_eq!(atoms(conventional), atoms(hill), "{conventional}");
            assert!(atoms(hill).is_some());
        }
        assert_ne!(atoms("CO"), atoms("Co"));
        for broken in ["", "co", "C(", "C)2", "2H"] {
            assert_eq!(atoms(broken), None, "{broken}");
        }
    }
}
