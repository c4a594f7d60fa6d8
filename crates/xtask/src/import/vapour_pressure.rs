//! Saturation pressures: computed at 20 and 25 °C, and as the NIOSH Pocket Guide prints them.

use stainbook_core::elementary::ln;
use stainbook_core::{Pressure, Temperature, Written};

use super::tables::{SubstanceRow, Tables};
use super::yaml::YamlNode;

/// Ratio above which two vapour pressures contradict each other. The Pocket Guide prints one or two digits.
const APART: f64 = 1.25;

/// A vapour pressure of the Pocket Guide beside what else is known.
pub(crate) struct ComparedPressure {
    /// As printed.
    pub(crate) temperature: String,
    pub(crate) pressure: String,
    /// True if a second value was at hand.
    pub(crate) compared: bool,
    /// The second value, by hand, in kPa.
    pub(crate) second: Option<String>,
    /// The reason for which the printed value is kept and not computed with.
    pub(crate) disputed: Option<String>,
}

/// Compares the printed vapour pressure of a substance, if it is a plain value.
pub(crate) fn compare(row: &SubstanceRow, tables: &Tables) -> Option<ComparedPressure> {
    let (temperature, pressure) = printed(&row.npg_vp_printed)?;
    let by_hand = tables
        .vapour_pressures
        .iter()
        .find(|by_hand| by_hand.cas == row.cas);
    let at = Written::<Temperature>::parse(&temperature)
        .ok()?
        .value()
        .celsius();
    let ours = [(20.0, &row.pvap_20c_kpa), (25.0, &row.pvap_25c_kpa)]
        .into_iter()
        .find(|(celsius, kpa)| (at - celsius).abs() < 0.1 && !kpa.is_empty());
    let second = by_hand.filter(|by_hand| !by_hand.second.is_empty());
    let said = |celsius: f64, kpa: &str| {
        format!("{kpa} kPa at {celsius:.0} °C by the open property tables")
    };
    let disputed = match (ours, by_hand) {
        (Some((celsius, kpa)), _) => far_apart(kpa, &pressure)?.then(|| said(celsius, kpa)),
        (None, Some(by_hand)) if by_hand.second.is_empty() => Some(by_hand.because.clone()),
        (None, Some(by_hand)) => far_apart(&by_hand.second, &pressure)?
            .then(|| format!("{} ({})", said(at, &by_hand.second), by_hand.because)),
        (None, None) => None,
    };
    Some(ComparedPressure {
        compared: ours.is_some() || by_hand.is_some(),
        second: second.map(|by_hand| by_hand.second.clone()),
        temperature,
        pressure,
        disputed,
    })
}

fn far_apart(kpa: &str, printed: &str) -> Option<bool> {
    let in_kpa = |text: &str| Some(Written::<Pressure>::parse(text).ok()?.value().kilopascals());
    Some(ln(APART) < ln(in_kpa(printed)? / in_kpa(&format!("{kpa} kPa"))?).abs())
}

/// One saturation pressure.
pub(crate) fn row(
    temperature: &str,
    pressure: String,
    disputed: Option<String>,
    source: &'static str,
) -> YamlNode {
    let mut entries = vec![
        ("temperature", YamlNode::text(temperature)),
        ("pressure", YamlNode::Text(pressure)),
    ];
    entries.extend(disputed.map(|why| ("disputed", YamlNode::Text(why))));
    entries.push(("source", YamlNode::text(source)));
    YamlNode::Row(entries)
}

/// Reads a cell such as `11 mmHg` or `(77°F): 0.3 mmHg`: temperature and pressure. The guide's own temperature is
/// 68 °F. `None` if it is neither, such as `>1 atm`.
pub(crate) fn printed(cell: &str) -> Option<(String, String)> {
    let (temperature, pressure) = match cell.strip_prefix('(') {
        Some(rest) => {
            let (temperature, pressure) = rest.split_once("): ")?;
            (format!("{} °F", temperature.strip_suffix("°F")?), pressure)
        }
        None => ("68 °F".to_owned(), cell),
    };
    let (number, unit) = pressure.split_once(' ')?;
    let known = ["mmHg", "atm"].contains(&unit);
    (known && number.parse::<f64>().is_ok()).then(|| (temperature, pressure.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_plain_value_is_read() {
        let expected =
            |temperature: &str, pressure: &str| Some((temperature.to_owned(), pressure.to_owned()));
        for (cell, value) in [
            ("11 mmHg", expected("68 °F", "11 mmHg")),
            ("(77°F): 0.3 mmHg", expected("77 °F", "0.3 mmHg")),
            ("40.5 atm", expected("68 °F", "40.5 atm")),
            (">1 atm", None),
            ("180-265 mmHg", None),
            ("", None),
        ] {
            assert_eq!(printed(cell), value, "{cell}");
        }
    }
}
