//! A CAS number whose check digit does not fit.

use stainbook_catalog::written::SubstanceEntry;
use stainbook_core::{CasError, CasNumber};
use stainbook_document::help;
use stainbook_document::offer::Offer;

use crate::{Check, Context, Fact, Family, Level, Path, Rule, Sink};

pub(crate) const RULE: Rule = Rule {
    name: "cas-check-digit",
    level: Level::Error,
    since: "0.1.0",
    summary: "The last digit of a CAS number does not follow from the others.",
    family: Family::Substance,
    docs: include_str!("cas-check-digit.md"),
    check: Check::Substance(check),
};

fn check(substance: &SubstanceEntry, _: &Context<'_>, sink: &mut Sink<'_>) {
    let Some(cas) = substance.cas.as_deref() else {
        return;
    };
    let Err(CasError::CheckDigit {
        found, expected, ..
    }) = CasNumber::parse(cas)
    else {
        return;
    };
    let mut finding = sink
        .at(Path::root().key("cas"))
        .message(format!("`{cas}` cannot be a CAS number: its check digit does not fit"))
        .label(format!("ends in {found}, the other digits ask for {expected}"))
        .note(arithmetic(cas))
        .note("the number is what tells one substance from another; a wrong one brings in the formula and the limits of something else")
        .fact("written", Fact::text(cas))
        .fact("expected_digit", Fact::number(f64::from(expected), "", expected.to_string()));
    let swaps = neighbours_swapped(cas);
    finding = match swaps.as_slice() {
        [] => finding.help("compare every digit with the source"),
        swaps => {
            let swapped = swaps.iter().map(|swapped| Offer::yaml(swapped.clone()));
            finding.help(help!(
                "compare every digit with the source; with two neighbours swapped it would be {}",
                swapped.collect::<Vec<Offer>>()
            ))
        }
    };
    sink.report(finding);
}

/// The sum that the check digit is the last digit of.
fn arithmetic(cas: &str) -> String {
    let digits: Vec<u32> = cas.chars().filter_map(|c| c.to_digit(10)).collect();
    let Some((_, body)) = digits.split_last() else {
        return String::new();
    };
    let products: Vec<(u32, u32)> = body
        .iter()
        .rev()
        .zip(1_u32..)
        .map(|(digit, place)| (*digit, place))
        .collect();
    let sum: u32 = products.iter().map(|(digit, place)| digit * place).sum();
    let words: Vec<String> = products
        .iter()
        .map(|(digit, place)| format!("{digit}·{place}"))
        .collect();
    format!(
        "from the right, each digit times its place: {} = {sum}; the check digit is the last digit of that sum",
        words.join(" + ")
    )
}

/// The numbers with two neighbouring digits swapped whose check digit fits: the slip that people make most.
fn neighbours_swapped(cas: &str) -> Vec<String> {
    let places: Vec<usize> = cas
        .char_indices()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(at, _)| at)
        .collect();
    places
        .windows(2)
        .filter_map(|pair| {
            let [a, b] = *pair else { return None };
            let mut bytes = cas.as_bytes().to_vec();
            bytes.swap(a, b);
            let swapped = String::from_utf8(bytes).ok()?;
            CasNumber::parse(&swapped).ok().map(|_| swapped)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swap_is_found() {
        assert_eq!(neighbours_swapped("6130-08-0").len(), 0);
        assert_eq!(neighbours_swapped("603-08-0"), ["630-08-0"]);
    }

    #[test]
    fn the_sum_is_shown() {
        assert!(
            arithmetic("630-08-0").contains("= 50;"),
            "{}",
            arithmetic("630-08-0")
        );
    }
}
