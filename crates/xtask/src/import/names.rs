//! Names: the id, the name in running text, and the synonyms under which people look.

use super::amendments::Amendments;
use super::tables::SubstanceRow;
use stainbook_core::Formula;

/// Families in which a formula names one substance; elsewhere isomers share it.
const NAMED_BY_FORMULA: [&str; 5] = [
    "ammonia and amines",
    "hydrides",
    "halogens and inorganic halides",
    "inorganic gases",
    "acids and acid gases",
];

/// Parts of replacement names that a program generates and nobody types.
const GENERATED: [&str; 9] = [
    "$",
    "fluoranyl",
    "chloranyl",
    "bromanyl",
    "iodanyl",
    "azanyl",
    "sulfanyl",
    "oxidanyl",
    "&",
];

/// Parts that turn a name into that of a solution.
const SOLUTION: [&str; 3] = ["aqueous", "solution", "%"];

/// Names of a substance.
pub(crate) struct Names {
    pub(crate) id: String,
    pub(crate) name: String,
    pub(crate) also_called: Vec<String>,
    /// Synonyms of the table that were left out by the rules above, not by an amendment.
    pub(crate) dropped: Vec<String>,
}

/// Works out what a substance is called.
pub(crate) fn names(row: &SubstanceRow, formula: &str, amendments: &Amendments) -> Names {
    let name = lower(amendments.one(&row.cas, "name").unwrap_or(&row.name));
    let mut also_called: Vec<String> = Vec::new();
    let mut dropped = Vec::new();
    let listed = std::iter::once(row.name.as_str()).chain(row.synonyms.split('|'));
    for synonym in listed.filter(|synonym| !synonym.is_empty()) {
        if amendments
            .of(&row.cas, "drop-name")
            .any(|amendment| amendment.value == synonym)
        {
            continue;
        }
        let folded = synonym.to_lowercase();
        if GENERATED
            .iter()
            .chain(&SOLUTION)
            .any(|part| folded.contains(part))
        {
            dropped.push(synonym.to_owned());
            continue;
        }
        // What is measured in air is free of water anyway.
        also_called.push(lower(synonym.trim_end_matches(" (anhydrous)")));
    }
    also_called.extend(
        amendments
            .of(&row.cas, "add-name")
            .map(|amendment| amendment.value.clone()),
    );
    if NAMED_BY_FORMULA.contains(&row.group.as_str()) && is_inorganic(formula) {
        also_called.push(formula.to_owned());
    }
    let british: Vec<String> = std::iter::once(&name)
        .chain(&also_called)
        .filter(|name| name.contains("sulf"))
        .map(|name| name.replace("sulf", "sulph"))
        .collect();
    also_called.extend(british);
    let mut seen = vec![fold(&name)];
    also_called.retain(|synonym| {
        let folded = fold(synonym);
        let new = !seen.contains(&folded);
        seen.push(folded);
        new
    });
    Names {
        id: id(&name),
        name,
        also_called,
        dropped,
    }
}

/// True if the formula names one substance to a chemist: nothing with carbon and hydrogen but hydrogen cyanide.
fn is_inorganic(formula: &str) -> bool {
    let Ok(atoms) = Formula::parse(formula) else {
        return false;
    };
    let has = |symbol| atoms.atoms().any(|(element, _)| element.symbol == symbol);
    formula == "HCN" || !(has("C") && has("H"))
}

/// Two spellings that differ in case only are one name.
pub(crate) fn fold(name: &str) -> String {
    name.to_lowercase()
}

/// Small letters, digits and single hyphens.
fn id(name: &str) -> String {
    let mut id = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    id.trim_end_matches('-').to_owned()
}

/// The name as in running text: words lose their capital, abbreviations and locants (`TDI`, `N,N-`) keep theirs.
fn lower(name: &str) -> String {
    let mut out = String::new();
    let mut rest = name;
    while let Some(first) = rest.chars().next() {
        let end = rest
            .find(|c: char| c.is_alphabetic() != first.is_alphabetic())
            .unwrap_or(rest.len());
        let (piece, tail) = rest.split_at(end);
        let mut letters = piece.chars();
        let capital = letters.next().is_some_and(char::is_uppercase);
        let word = letters.clone().next().is_some() && letters.all(char::is_lowercase);
        if capital && word {
            out.push_str(&piece.to_lowercase());
        } else {
            out.push_str(piece);
        }
        rest = tail;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_written_as_in_running_text() {
        for (printed, running) in [
            ("Acetic acid", "acetic acid"),
            ("N,N-Diethylamine", "N,N-diethylamine"),
            ("2,4-TDI", "2,4-TDI"),
            ("EtOH", "EtOH"),
            ("m-Xylene", "m-xylene"),
            (
                "1,1,2-Trichloro-1,2,2-trifluoroethane",
                "1,1,2-trichloro-1,2,2-trifluoroethane",
            ),
            ("β-Methyl acrolein", "β-methyl acrolein"),
        ] {
            assert_eq!(lower(printed), running);
        }
    }

    #[test]
    fn an_id_is_small_letters_digits_and_hyphens() {
        for (name, expected) in [
            ("carbon monoxide", "carbon-monoxide"),
            ("1,1,1-trichloroethane", "1-1-1-trichloroethane"),
            ("m-xylene", "m-xylene"),
            ("toluene-2,4-diisocyanate", "toluene-2-4-diisocyanate"),
        ] {
            assert_eq!(id(name), expected);
        }
    }
}
