//! A conversion as a person reads it: the answer first, then what it rests on.

use stainbook_core::print;

use crate::Colour;
use crate::conversion::Conversion;
use crate::lines::{if_stated, push_hanging};

const WIDTH: usize = 80;

/// The answer on the first line, everything it rests on below it.
pub fn render(conversion: &Conversion, colour: Colour) -> String {
    let Conversion { result, from, .. } = conversion;
    let of = if_stated(conversion.substance.as_ref(), |substance| {
        format!(" {}", substance.name)
    });
    let mut head = format!("{}{of} = {}", from.text, result.text);
    if let Some(at) = &conversion.conditions {
        head.push_str(&format!(
            " at {} and {}",
            at.temperature.text, at.pressure.text
        ));
    }
    let mut out = colour.bold(&head);
    out.push('\n');
    let mut line =
        |name: &str, text: &str| push_hanging(&mut out, &format!("  {name:<14}"), text, WIDTH);
    if let Some(molar_mass) = &conversion.molar_mass {
        let origin = match &conversion.substance {
            Some(substance) => format!(", from the formula {}", substance.formula),
            None => ", as given".to_owned(),
        };
        line("molar mass", &format!("{}{origin}", molar_mass.text));
    }
    if let Some(volume) = &conversion.molar_volume {
        line("molar volume", &format!("{}, R·T/p", volume.text));
    }
    if let (Some(water), Some(basis)) = (&conversion.water, conversion.basis) {
        line(
            "water vapour",
            &format!(
                "{} of the air; the volume fraction is of {basis} air",
                water.text
            ),
        );
    }
    let in_full = format!("{} {}", print::number(result.value), result.unit);
    if in_full != result.text {
        line("in full", &in_full);
    }
    if !conversion.catalog.is_empty() {
        line("catalog", &conversion.catalog);
    }
    for assumption in &conversion.assumptions {
        line("assumed", &assumption.text);
    }
    out
}
