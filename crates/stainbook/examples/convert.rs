//! Converting a reading to mg/m³, at the conditions of a place and at those of a limit.
//!
//! Run it with `cargo run -p stainbook --example convert`.

use std::error::Error;

use stainbook::Book;
use stainbook::conversion::{Gas, PressureGiven, SubstanceUsed, Terms, convert};
use stainbook::core::unit;

fn main() -> Result<(), Box<dyn Error>> {
    // A book without files of its own builds on the embedded reference data.
    let (book, _) = Book::read([]);
    let ammonia = book.find_substance("ammonia")?;
    let model = book.substance_model(ammonia.substance.as_deref().unwrap_or_default())?;
    let gas = Gas::Known {
        molar_mass: model.molar_mass,
        substance: SubstanceUsed {
            id: model.id,
            name: model.name,
            cas: model.cas.map(|cas| cas.to_string()),
            formula: ammonia.formula.clone().unwrap_or_default(),
        },
    };

    let mut here = Terms::default();
    here.gas = Some(gas);
    here.temperature = Some("6 °C".parse()?);
    here.pressure = Some(PressureGiven::Altitude("1600 m".parse()?));
    let mut at_limits = here.clone();
    at_limits.temperature = Some("25 °C".parse()?);
    at_limits.pressure = Some(PressureGiven::Station("101.325 kPa".parse()?));
    for terms in [here, at_limits] {
        let conversion = convert(&"25 ppm".parse()?, unit("mg/m3")?, &terms)?;
        let text = stainbook::present::conversion_text::render(
            &conversion,
            stainbook::present::Colour::Plain,
        );
        #[allow(clippy::print_stdout, reason = "an example shows what comes out")]
        {
            println!("{text}");
        }
    }
    Ok(())
}
