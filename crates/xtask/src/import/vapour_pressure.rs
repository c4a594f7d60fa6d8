//! Saturation pressures: computed at 20 and 25 °C, and as the NIOSH Pocket Guide prints them.

use super::yaml::YamlNode;

/// One saturation pressure.
pub(crate) fn row(temperature: &str, pressure: String, source: &'static str) -> YamlNode {
    YamlNode::Row(vec![
        ("temperature", YamlNode::text(temperature)),
        ("pressure", YamlNode::Text(pressure)),
        ("source", YamlNode::text(source)),
    ])
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
