//! Typed quantities, and their readings: tables of cases, and the laws that hold for every unit and every text.
#![cfg(test)]
#![allow(
    clippy::float_cmp,
    reason = "a test may stop at the first thing that is not as it says"
)]

use proptest::prelude::*;
use stainbook_core::{
    AbsoluteHumidity, Altitude, CasNumber, Concentration, Decimal, Dimension, Duration, Formula,
    Humidity, MassConcentration, MassFraction, MolarMass, MolarVolume, Pressure, Quantity, Ratio,
    RelativeHumidity, Temperature, TemperatureDifference, Unit, Volume, VolumeFraction, Written,
    WrittenError, WrittenErrorKind, WrittenRange, unit, unit_of, units,
};

fn canonical<Q: Quantity>(text: &str) -> String {
    Written::<Q>::parse(text)
        .unwrap_or_else(|e| panic!("{text}: {e}"))
        .canonical()
}

fn refused<Q: Quantity>(text: &str) -> WrittenError {
    match Written::<Q>::parse(text) {
        Ok(written) => panic!("{text} was taken as {}", written.canonical()),
        Err(error) => error,
    }
}

/// Runs a check with the quantity that a dimension belongs to.
macro_rules! with_quantity {
    ($dimension:expr, $check:ident($($argument:expr),*)) => {
        match $dimension {
            Dimension::VolumeFraction => $check::<VolumeFraction>($($argument),*),
            Dimension::MassFraction => $check::<MassFraction>($($argument),*),
            Dimension::MassConcentration => $check::<MassConcentration>($($argument),*),
            Dimension::MolarMass => $check::<MolarMass>($($argument),*),
            Dimension::MolarVolume => $check::<MolarVolume>($($argument),*),
            Dimension::Temperature => $check::<Temperature>($($argument),*),
            Dimension::TemperatureDifference => $check::<TemperatureDifference>($($argument),*),
            Dimension::Pressure => $check::<Pressure>($($argument),*),
            Dimension::RelativeHumidity => $check::<RelativeHumidity>($($argument),*),
            Dimension::AbsoluteHumidity => $check::<AbsoluteHumidity>($($argument),*),
            Dimension::Altitude => $check::<Altitude>($($argument),*),
            Dimension::Volume => $check::<Volume>($($argument),*),
            Dimension::Duration => $check::<Duration>($($argument),*),
            Dimension::Ratio => $check::<Ratio>($($argument),*),
            other => panic!("{other} has no units of its own"),
        }
    };
}

#[test]
fn what_people_type() {
    for text in [
        "25ppm",
        "25 ppm",
        " 25  PPM ",
        "25\u{a0}ppm",
        "+25 ppm",
        "25 [ppm]",
        "25 ppm by volume",
    ] {
        assert_eq!(canonical::<VolumeFraction>(text), "25 ppm", "{text:?}");
    }
    for text in [
        "2.50 % by volume",
        "2.50%",
        "2.50 vol%",
        "2.50 %vol",
        "2.50 Vol.-%",
        "2.50 %\u{202f}by\u{202f}volume",
    ] {
        assert_eq!(
            canonical::<Concentration>(text),
            "2.50 % by volume",
            "{text:?}"
        );
    }
    for text in [
        "7 mg/m3",
        "7 mg/m³",
        "7 mg m-3",
        "7 mg·m⁻³",
        "7mg/m^3",
        "7 mg / m3",
        "7 mg m−3",
    ] {
        assert_eq!(canonical::<MassConcentration>(text), "7 mg/m³", "{text:?}");
    }
    for text in ["7 µg/m3", "7 μg/m³", "7 ug/m3", "7ug m-3"] {
        assert_eq!(canonical::<Concentration>(text), "7 µg/m³", "{text:?}");
    }
    for text in ["-5 °C", "-5C", "−5 degC", "-5℃", "-5 Cel", "-5 º C"] {
        assert_eq!(canonical::<Temperature>(text), "-5 °C", "{text:?}");
    }
    for (text, expected) in [
        ("760 mm[Hg]", "760 mmHg"),
        ("29.92 [in_i'Hg]", "29.92 inHg"),
        ("760 torr", "760 Torr"),
        ("4 inH2O", "4 inH2O"),
    ] {
        assert_eq!(canonical::<Pressure>(text), expected);
    }
    for text in ["50 %RH", "50%RH", "50 % RH", "50 % rh", "50 %", "50 %{RH}"] {
        assert_eq!(canonical::<Humidity>(text), "50 %RH", "{text:?}");
    }
    assert_eq!(canonical::<Humidity>("12 mg/L"), "12 mg/L");
    assert_eq!(canonical::<Temperature>("0 F"), "0 °F");
    assert_eq!(canonical::<Duration>("24 month"), "24 months");
    assert_eq!(canonical::<Duration>("1 years"), "1 year");
    assert_eq!(canonical::<Duration>("1 s"), "1 s");
    assert_eq!(canonical::<Duration>("1.0 year"), "1.0 years");
    assert_eq!(canonical::<Ratio>("10%"), "10 %");
    assert_eq!(canonical::<Ratio>("1.25"), "1.25");
    assert_eq!(canonical::<VolumeFraction>(".5 ppm"), "0.5 ppm");
    assert_eq!(canonical::<VolumeFraction>("5. ppm"), "5 ppm");
    assert_eq!(canonical::<VolumeFraction>("1E3 ppb"), "1e3 ppb");
}

#[test]
fn the_text_is_kept_to_the_letter_and_the_digits_are_read() {
    let x: Written<VolumeFraction> = "2.50ppm".parse().unwrap();
    assert_eq!(
        (
            x.text(),
            x.number_text(),
            x.number(),
            x.decimals(),
            x.significant_digits()
        ),
        ("2.50ppm", "2.50", 2.5, 2, 3)
    );
    assert!((x.half_step() - 0.005).abs() < 1e-15);
    assert!(!x.is_canonical());
    let y: Written<VolumeFraction> = "2.50 ppm".parse().unwrap();
    assert!(y.is_canonical());
    assert_eq!(x.value(), y.value());
    assert_eq!(format!("{x}"), "2.50ppm");

    let built = Written::of(
        VolumeFraction::from_ppm(28.628).unwrap(),
        unit("ppm").unwrap(),
        1,
    )
    .unwrap();
    assert_eq!((built.text(), built.number_text()), ("28.6 ppm", "28.6"));
    assert!(
        Written::of(
            VolumeFraction::from_ppm(1.0).unwrap(),
            unit("mg/m³").unwrap(),
            1
        )
        .is_err()
    );
}

#[test]
fn refusals_say_what_is_wrong_where_and_what_to_write() {
    for (text, part, suggestion, message) in [
        (
            "0,5 ppm",
            "0,5",
            Some("0.5 ppm"),
            "`0,5` has a decimal comma, write `0.5`",
        ),
        (
            "1,000 ppm",
            "1,000",
            None,
            "`1,000` can be read in two ways, write `1.000` or `1000`",
        ),
        (
            "1 000 ppm",
            "1 000",
            Some("1000 ppm"),
            "`1 000` has its digits in groups, write them without a separator",
        ),
        (
            "25",
            "",
            None,
            "`25` has no unit, a volume fraction is written in `ppm`, `ppb` or `% by volume`",
        ),
        (
            "25 pmp",
            "pmp",
            Some("25 ppm"),
            "unknown unit `pmp`, did you mean `ppm`?",
        ),
        (
            "25 furlongs",
            "furlongs",
            None,
            "unknown unit `furlongs`, a volume fraction is written in `ppm`, `ppb` or `% by volume`",
        ),
        (
            "ppm",
            "ppm",
            None,
            "`ppm` does not start with a number, a volume fraction is a number with its unit, such as `2.5 ppm`",
        ),
        (
            "",
            "",
            None,
            "a number is missing, a volume fraction is a number with its unit, such as `2.5 ppm`",
        ),
        (
            "25 mg/m3",
            "mg/m3",
            None,
            "`mg/m3` is a unit of mass concentration, but a volume fraction is wanted here, written in `ppm`, `ppb` or `% by volume`",
        ),
        (
            "25 ppm by mass",
            "ppm by mass",
            None,
            "`ppm by mass` is a unit of mass fraction, but a volume fraction is wanted here, written in `ppm`, `ppb` or `% by volume`",
        ),
        (
            "25 ppt",
            "ppt",
            None,
            "`ppt` means parts per trillion to some and parts per thousand to others, write `pmol/mol` or `mmol/mol`",
        ),
        (
            "120 %",
            "120 %",
            None,
            "`120 % by volume` is more than the whole, a volume fraction is at most `100 % by volume`",
        ),
        (
            "-1 ppm",
            "-1 ppm",
            None,
            "`-1 ppm` is below zero, which a volume fraction cannot be",
        ),
        ("NaN ppm", "NaN", None, "`NaN` is not a finite number"),
        ("1e999 ppm", "1e999", None, "`1e999` is not a finite number"),
        (
            "O.5 ppm",
            "O.5",
            Some("0.5 ppm"),
            "`O.5` has a letter in the place of a digit, write `0.5`",
        ),
        (
            "025 ppm",
            "025",
            None,
            "`025` starts with a zero, as if a decimal point were lost, write the number without it or with its point",
        ),
        (
            "25 рpm",
            "рpm",
            Some("25 ppm"),
            "`р` in `рpm` is a Cyrillic letter that only looks like a Latin one, write `ppm`",
        ),
    ] {
        let error = refused::<VolumeFraction>(text);
        assert_eq!(error.to_string(), message, "{text}");
        assert_eq!(&text[error.span()], part, "{text}");
        assert_eq!(error.suggestion().as_deref(), suggestion, "{text}");
        assert_eq!(error.text(), text);
    }
    assert!(refused::<VolumeFraction>("25 mg/m3").is_wrong_dimension());
    assert!(refused::<VolumeFraction>("0,5 ppm").is_decimal_comma());
    assert!(refused::<VolumeFraction>("25").is_unit_missing());
    assert!(refused::<VolumeFraction>("120 %").is_impossible());
    assert_eq!(
        refused::<Temperature>("-300 °C").to_string(),
        "`-300 °C` is not above absolute zero (-273.15 °C)"
    );
    assert!(
        refused::<Temperature>("20 °С")
            .to_string()
            .contains("Cyrillic")
    );
    assert_eq!(
        refused::<Pressure>("101.3 Kpa").suggestion().as_deref(),
        Some("101.3 kPa")
    );
    assert_eq!(
        refused::<Altitude>("1600").to_string(),
        "`1600` has no unit, an altitude is written in `m` or `ft`"
    );
    for text in ["25-30 ppm", "25±2 ppm", "1/2 ppm", "25..30 ppm"] {
        let error = refused::<Concentration>(text);
        assert!(
            matches!(error.kind(), WrittenErrorKind::SeveralNumbers { .. }),
            "{text}: {error}"
        );
    }
    for text in ["1:30 min", "1 min 30 s"] {
        let error = refused::<Duration>(text);
        assert!(
            matches!(error.kind(), WrittenErrorKind::SeveralNumbers { .. }),
            "{text}: {error}"
        );
    }
    // What must never be put right to something near it.
    assert!(
        refused::<Concentration>("5 % LEL")
            .to_string()
            .contains("explosion limit")
    );
    assert!(
        refused::<Pressure>("14.7 psig")
            .to_string()
            .contains("absolute pressure")
    );
    assert!(
        refused::<Temperature>("20 deg")
            .to_string()
            .contains("which scale")
    );
    for error in [
        refused::<Concentration>("5 % LEL"),
        refused::<Pressure>("14.7 psig"),
        refused::<Concentration>("5 ppm/h"),
    ] {
        assert_eq!(error.suggestion(), None, "{error}");
    }
    let normal = refused::<MassConcentration>("5 mg/Nm3");
    assert_eq!(normal.suggestion(), None);
    assert_eq!(
        normal.to_string(),
        "`mg/Nm3` is per normal cubic metre (0 °C and 101.325 kPa), write `mg/m³` and state those conditions beside it"
    );
}

#[test]
fn ranges() {
    let range: WrittenRange<Temperature> = "0 to 40 °C".parse().unwrap();
    assert_eq!((range.low().number(), range.high().number()), (0.0, 40.0));
    assert_eq!(range.low().text(), "0 °C");
    assert!(range.contains(Temperature::from_celsius(40.0).unwrap()));
    assert!(!range.contains(Temperature::from_celsius(40.1).unwrap()));
    assert!(range.is_canonical());
    for (text, expected) in [
        ("-5 °C to 40 °C", "-5 to 40 °C"),
        ("-5C to 40C", "-5 to 40 °C"),
        ("-5–40 °C", "-5 to 40 °C"),
        ("−5 … 40 °C", "-5 to 40 °C"),
        ("0..40 °C", "0 to 40 °C"),
        ("-5 ... 40 °C", "-5 to 40 °C"),
        ("0 °C to 104 °F", "0 °C to 104 °F"),
    ] {
        assert_eq!(
            text.parse::<WrittenRange<Temperature>>()
                .unwrap()
                .canonical(),
            expected,
            "{text}"
        );
    }
    let reversed: WrittenRange<RelativeHumidity> = "85 to 10 %RH".parse().unwrap();
    assert!(reversed.is_reversed());
    assert!(!reversed.contains(RelativeHumidity::from_percent(50.0).unwrap()));

    let range_error = |text: &str| text.parse::<WrittenRange<RelativeHumidity>>().unwrap_err();
    for (text, part, suggestion) in [
        ("10-85 %RH", "10-85 %RH", Some("10 to 85 %RH")),
        ("10 %RH", "10 %RH", None),
        ("10 to 85", "", None),
        ("0,5 to 85 %RH", "0,5", Some("0.5 to 85 %RH")),
        ("10 to 8,5 %RH", "8,5", Some("10 to 8.5 %RH")),
        ("10 to 120 %RH", "120 %RH", None),
        ("-10 to 85 %RH", "-10", None),
        ("10 °C to 85 %RH", "°C", None),
    ] {
        let error = range_error(text);
        assert_eq!(&text[error.span()], part, "{text}: {error}");
        assert_eq!(error.suggestion().as_deref(), suggestion, "{text}");
    }
    assert!(matches!(
        range_error("10 %RH").kind(),
        WrittenErrorKind::NoRange { .. }
    ));
}

fn spelled<Q: Quantity>(row: &Unit, spelling: &str) {
    // Half of any unit can be, in every dimension.
    let text = format!("0.50 {spelling}");
    let written = Written::<Q>::parse(&text).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(written.unit(), row, "{text}");
    assert_eq!(
        written.canonical().trim_end(),
        format!("0.50 {}", row.canonical()).trim_end()
    );
    assert_eq!(written.text(), text);
    let again = Written::<Q>::parse(&written.canonical()).unwrap();
    assert_eq!(
        (again.value(), again.unit()),
        (written.value(), written.unit())
    );
    assert!(again.is_canonical());
    // Without a space, as people type it.
    let tight =
        Written::<Q>::parse(&format!("0.50{spelling}")).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(
        (tight.value(), tight.unit()),
        (written.value(), written.unit()),
        "{text}"
    );
}

#[test]
fn every_spelling_parses_and_prints_canonically() {
    let mut spellings = 0;
    for row in units() {
        assert_eq!(row.spellings()[0], row.canonical());
        assert!(
            row.ucum() == "1"
                || unit_of(row.dimension(), row.ucum())
                    .is_ok_and(|found| found.ucum() == row.ucum())
                || UCUM_IS_NO_SPELLING.contains(&row.ucum()),
            "{} {}",
            row.canonical(),
            row.ucum()
        );
        assert!(!row.source().is_empty());
        for spelling in row.spellings() {
            with_quantity!(row.dimension(), spelled(row, spelling));
            spellings += 1;
        }
    }
    assert!(400 < spellings, "{spellings}");
}

/// UCUM expressions for units that have no code of their own: nobody types them.
const UCUM_IS_NO_SPELLING: [&str; 4] = ["10*-8", "atm/760", "[ppth]", "kgf/cm2"];

fn in_its_unit<Q: Quantity>(number: f64, row: &'static Unit) -> Option<f64> {
    Q::from_unit(number, row)
        .ok()
        .map(|quantity| quantity.in_unit(row))
}

proptest! {
    #[test]
    fn a_number_in_any_unit_comes_back(number in 1e-3..1e3_f64, at in 0..units().len()) {
        let row = &units()[at];
        let back = with_quantity!(row.dimension(), in_its_unit(number, row));
        if let Some(back) = back {
            // On a scale with its zero elsewhere the bound is relative to the distance from absolute zero.
            let size = if row.dimension() == Dimension::Temperature { number + 460.0 } else { number };
            prop_assert!((back - number).abs() <= stainbook_core::convert::THERE_AND_BACK * size, "{number} {row}: {back}");
        }
    }

    #[test]
    fn canonical_is_idempotent(
        number in "[+−-]?(0|[1-9][0-9]{0,4})(\\.[0-9]{0,4})?([eE][+-]?[0-9])?", at in 0..units().len(), space in " {0,2}",
    ) {
        let row = &units()[at];
        let text = format!("{number}{space}{}", row.canonical());
        with_quantity!(row.dimension(), idempotent(&text));
    }

    #[test]
    fn nothing_panics_and_every_error_names_its_place(text in "\\PC{0,24}") {
        survives(&text);
    }

    #[test]
    fn nothing_panics_on_likely_texts(text in "[-+−0-9.,eE '\u{a0}%°CFKpbmgµμuLl/³·⁻Hhat()–to]{0,14}") {
        survives(&text);
    }
}

fn idempotent<Q: Quantity>(text: &str) {
    let Ok(written) = Written::<Q>::parse(text) else {
        return;
    };
    let canonical = written.canonical();
    let again =
        Written::<Q>::parse(&canonical).unwrap_or_else(|e| panic!("{text} -> {canonical}: {e}"));
    assert_eq!(again.canonical(), canonical);
    assert_eq!(again.value(), written.value(), "{text} {canonical}");
    assert_eq!(again.decimals(), written.decimals(), "{text} {canonical}");
}

fn survives(text: &str) {
    fn quantity<Q: Quantity>(text: &str) {
        match Written::<Q>::parse(text) {
            Ok(written) => {
                assert_eq!(written.text(), text);
                assert!(written.half_step() > 0.0);
            }
            Err(error) => {
                faulty(&error, text);
                // What is suggested must be taken, unless the quantity itself cannot be.
                if let Some(better) = error
                    .suggestion()
                    .filter(|_| matches!(error.kind(), WrittenErrorKind::Unit(_)))
                {
                    let taken = Written::<Q>::parse(&better);
                    assert!(
                        taken.is_ok() || taken.is_err_and(|e| e.is_impossible()),
                        "{text:?} {better:?}"
                    );
                }
            }
        }
        match WrittenRange::<Q>::parse(text) {
            Ok(range) => assert_eq!(range.text(), text),
            Err(error) => faulty(&error, text),
        }
    }
    fn faulty(error: &WrittenError, text: &str) {
        assert!(
            text.get(error.span()).is_some(),
            "{text:?} {error} {:?}",
            error.span()
        );
        assert!(!error.to_string().is_empty());
    }
    quantity::<Concentration>(text);
    quantity::<Temperature>(text);
    quantity::<Pressure>(text);
    quantity::<Humidity>(text);
    quantity::<Ratio>(text);
    quantity::<Duration>(text);
    let _ = Decimal::parse(text).map_err(|error| {
        assert!(text.get(error.span()).is_some(), "{text:?}");
        error.suggestion()
    });
    let _ = (Formula::parse(text), CasNumber::parse(text), unit(text));
}

#[test]
fn what_is_too_small_to_be_kept_is_not_nothing() {
    for text in ["1e-400 ppm", "0.5e-310 ppm", "4.9e-324 ppm"] {
        let error = text.parse::<Written<VolumeFraction>>().unwrap_err();
        assert!(
            error
                .to_string()
                .contains("too small to be kept as a number"),
            "{text}: {error}"
        );
    }
    for (text, value) in [
        ("0e-400 ppm", 0.0),
        ("0.000 ppm", 0.0),
        ("1e-300 ppm", 1e-300),
    ] {
        let written = text.parse::<Written<VolumeFraction>>().unwrap();
        assert!((written.number() - value).abs() <= 0.0, "{text}");
    }
}
