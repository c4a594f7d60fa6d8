//! Carrying out a conversion between volume fraction and mass concentration, and saying what it rests on.
//!
//! A [`Plan`] is everything but the number: worked out once, it converts one value with its whole story
//! ([`Plan::convert`]) or millions of bare ones ([`Plan::apply_checked`]).

mod crossing;
mod plausibility;
mod terms;

use stainbook_core::{Concentration, Dimension, Quantity, QuantityError, Unit, Written, print};
pub use terms::{Gas, ImplausibleConditions, PressureGiven, ReferenceConditions, Terms};

use crossing::crossing;
pub use stainbook_present::conversion::{
    Amount, Assumption, ConditionsUsed, Conversion, ConversionRefused, SubstanceUsed,
};

/// A conversion between two units, worked out but for the number.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    from: &'static Unit,
    to: &'static Unit,
    /// Molar mass over molar volume and its inverse are not stored as one factor: multiplying and dividing in the order
    /// of the formula keeps 35 ppb at 0.035 ppm to the last digit.
    step: ConversionStep,
    whole: f64,
    /// All but the numbers.
    story: Conversion,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum ConversionStep {
    Same,
    ToMass {
        molar_mass: f64,
        molar_volume: f64,
        dry_part: f64,
    },
    ToVolume {
        molar_mass: f64,
        molar_volume: f64,
        dry_part: f64,
    },
}

impl Plan {
    /// Works out everything but the number.
    ///
    /// # Errors
    ///
    /// [`ConversionRefused`]: the units are not of concentration, or the gas, the conditions or the humidity are missing
    /// where they are needed, they cannot be, or they are implausible and not accepted so ([`Terms::implausible`]).
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook::conversion::{Plan, Terms};
    /// use stainbook::core::unit;
    ///
    /// let refused = Plan::new(unit("ppm")?, unit("mg/m3")?, &Terms::default()).unwrap_err();
    /// assert_eq!(refused.code, "missing-molar-mass");
    /// let plan = Plan::new(unit("ppb")?, unit("ppm")?, &Terms::default())?;
    /// assert_eq!(plan.apply_checked(35.0)?, 0.035);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(
        from: &'static Unit,
        to: &'static Unit,
        terms: &Terms,
    ) -> Result<Self, ConversionRefused> {
        for unit in [from, to] {
            if !Dimension::Concentration.accepts(unit) {
                return Err(refused(
                    "unit-of-another-kind",
                    format!("`{unit}` is a unit of {}", unit.dimension()),
                    "convert between units of volume fraction (ppm, ppb, % by volume) and of mass concentration (mg/m³, µg/m³, g/m³)",
                ));
            }
        }
        let mut story = Conversion::default();
        story.catalog.clone_from(&terms.catalog);
        if let Some(Gas::Known { substance, .. }) = &terms.gas {
            story.substance = Some(substance.clone());
        }
        let step = if from.dimension() == to.dimension() {
            story.assumptions.push(same_kind(from.dimension()));
            ConversionStep::Same
        } else {
            crossing(from, terms, &mut story)?
        };
        let whole = match step {
            ConversionStep::ToVolume {
                molar_mass,
                molar_volume,
                dry_part,
            } => 1e6 * dry_part * molar_mass / molar_volume,
            ConversionStep::ToMass { .. } => 1e6,
            ConversionStep::Same if from.dimension() == Dimension::VolumeFraction => 1e6,
            ConversionStep::Same => f64::MAX,
        };
        Ok(Self {
            from,
            to,
            step,
            whole,
            story,
        })
    }

    /// The unit of what goes in.
    pub fn from(&self) -> &'static Unit {
        self.from
    }

    /// The unit of what comes out.
    pub fn to(&self) -> &'static Unit {
        self.to
    }

    /// Assumptions and choices.
    pub fn assumptions(&self) -> &[Assumption] {
        &self.story.assumptions
    }

    /// Conditions of the mass concentration.
    pub fn conditions(&self) -> Option<&ConditionsUsed> {
        self.story.conditions.as_ref()
    }

    /// The catalog that was looked into, in words.
    pub fn catalog(&self) -> &str {
        &self.story.catalog
    }

    /// A number in the first unit as a number in the second, refusing what cannot be.
    ///
    /// # Errors
    ///
    /// [`QuantityError`]: not a finite number, below zero, or more of the gas than the whole of the air.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook::conversion::{Gas, Plan, PressureGiven, Terms};
    /// use stainbook::core::unit;
    ///
    /// let mut terms = Terms::default();
    /// terms.gas = Some(Gas::OfMolarMass("28.010 g/mol".parse()?));
    /// terms.temperature = Some("25 °C".parse()?);
    /// terms.pressure = Some(PressureGiven::Station("101.325 kPa".parse()?));
    /// let plan = Plan::new(unit("ppm")?, unit("mg/m3")?, &terms)?;
    /// assert!((plan.apply_checked(25.0)? - 28.62).abs() < 0.01);
    /// assert!(plan.apply_checked(-25.0).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[inline]
    pub fn apply_checked(&self, value: f64) -> Result<f64, QuantityError> {
        let base = self.from.to_base(value);
        if 0.0 <= base && base <= self.whole {
            let base = base + 0.0;
            let converted = match self.step {
                ConversionStep::Same => base,
                ConversionStep::ToMass {
                    molar_mass,
                    molar_volume,
                    dry_part,
                } => base * molar_mass / molar_volume * dry_part,
                ConversionStep::ToVolume {
                    molar_mass,
                    molar_volume,
                    dry_part,
                } => base * molar_volume / molar_mass / dry_part,
            };
            Ok(self.to.from_base(converted))
        } else {
            Err(self.refusal(value))
        }
    }

    #[cold]
    fn refusal(&self, value: f64) -> QuantityError {
        match Concentration::from_unit(value, self.from) {
            Err(error) => error,
            // A mass of which so much does not fit into the air.
            Ok(_) => QuantityError::AboveWhole {
                quantity: "mass concentration of this gas",
                value,
                unit: self.from.canonical(),
                whole: self.from.from_base(self.whole),
            },
        }
    }

    /// One value with everything it rests on.
    ///
    /// # Errors
    ///
    /// [`ConversionRefused`]: there is no such value.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook::conversion::{Gas, Plan, PressureGiven, Terms};
    /// use stainbook::core::unit;
    ///
    /// let mut terms = Terms::default();
    /// terms.gas = Some(Gas::OfMolarMass("28.010 g/mol".parse()?));
    /// terms.temperature = Some("25 °C".parse()?);
    /// terms.pressure = Some(PressureGiven::Station("101.325 kPa".parse()?));
    /// let plan = Plan::new(unit("ppm")?, unit("mg/m3")?, &terms)?;
    /// assert_eq!(plan.convert(&"25 ppm".parse()?)?.result.text, "28.6 mg/m³");
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn convert(
        &self,
        amount: &Written<Concentration>,
    ) -> Result<Conversion, ConversionRefused> {
        let value = self.apply_checked(amount.number()).map_err(|error| {
            refused(
                "impossible-value",
                error.to_string(),
                "look at the number and its unit again",
            )
        })?;
        let value = print::without_noise(value);
        let unit = self.to.canonical();
        // At least three digits: two would throw away what the molar mass is known to.
        let digits = u32::try_from(amount.significant_digits())
            .unwrap_or(u32::MAX)
            .clamp(3, 15);
        let number = match self.step {
            ConversionStep::Same => print::number(value),
            ConversionStep::ToMass { .. } | ConversionStep::ToVolume { .. } => {
                print::to_significant(value, digits)
            }
        };
        let mut conversion = self.story.clone();
        conversion.result = Amount {
            value,
            unit,
            text: format!("{number} {unit}"),
        };
        conversion.from = Amount {
            value: amount.number(),
            unit: amount.unit().canonical(),
            text: amount.canonical(),
        };
        Ok(conversion)
    }
}

/// One value in another unit, with everything it rests on.
///
/// # Errors
///
/// [`ConversionRefused`], as [`Plan::new`] and [`Plan::convert`].
///
/// # Example
///
/// ```
/// use stainbook::conversion::{Gas, PressureGiven, Terms, convert};
/// use stainbook::core::unit;
///
/// let mut terms = Terms::default();
/// terms.gas = Some(Gas::OfMolarMass("28.010 g/mol".parse()?));
/// terms.temperature = Some("25 °C".parse()?);
/// terms.pressure = Some(PressureGiven::Station("101.325 kPa".parse()?));
/// let conversion = convert(&"25 ppm".parse()?, unit("mg/m3")?, &terms)?;
/// assert_eq!(conversion.result.text, "28.6 mg/m³");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn convert(
    amount: &Written<Concentration>,
    to: &'static Unit,
    terms: &Terms,
) -> Result<Conversion, ConversionRefused> {
    Plan::new(amount.unit(), to, terms)?.convert(amount)
}

fn refused(
    code: &'static str,
    message: impl Into<String>,
    help: impl Into<String>,
) -> ConversionRefused {
    ConversionRefused::new(code, message, help)
}

fn same_kind(dimension: Dimension) -> Assumption {
    let text = match dimension {
        Dimension::VolumeFraction => {
            "nothing: from volume fraction to volume fraction neither the gas nor its conditions matter"
        }
        _ => "temperature and pressure stay the same; from mass to mass the gas does not matter",
    };
    Assumption {
        code: "no-conditions-needed",
        text: text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use stainbook_core::{
        Basis, Conditions, MolarMass, VolumeFraction, convert as core_convert, unit,
    };

    use super::*;

    fn terms(temperature: &str, pressure: &str) -> Terms {
        Terms {
            gas: Some(Gas::OfMolarMass("28.010 g/mol".parse().unwrap())),
            temperature: Some(temperature.parse().unwrap()),
            pressure: Some(PressureGiven::Station(pressure.parse().unwrap())),
            ..Terms::default()
        }
    }

    fn code(result: Result<Conversion, ConversionRefused>) -> &'static str {
        result.unwrap_err().code
    }

    #[test]
    fn agrees_with_the_core_to_the_last_digit() {
        let terms = terms("8 °C", "83.5 kPa");
        let plan = Plan::new(unit("ppm").unwrap(), unit("mg/m3").unwrap(), &terms).unwrap();
        let back = Plan::new(unit("mg/m3").unwrap(), unit("ppm").unwrap(), &terms).unwrap();
        let conditions = Conditions::new(
            "8 °C".parse::<Written<_>>().unwrap().value(),
            "83.5 kPa".parse::<Written<_>>().unwrap().value(),
        );
        let molar_mass = MolarMass::from_g_per_mol(28.010).unwrap();
        for ppm in [0.1, 1.0, 25.0, 1234.5, 999_999.0] {
            let core = core_convert::mass_concentration(
                VolumeFraction::from_ppm(ppm).unwrap(),
                molar_mass,
                conditions,
            );
            let ours = plan.apply_checked(ppm).unwrap();
            assert!(
                (ours - core.mg_per_m3()).abs() <= 0.0,
                "{ppm}: {ours} {}",
                core.mg_per_m3()
            );
            assert!((back.apply_checked(ours).unwrap() / ppm - 1.0).abs() < 1e-15);
        }
    }

    #[test]
    fn what_is_missing_is_asked_for() {
        let amount = "25 ppm".parse().unwrap();
        let to = unit("mg/m3").unwrap();
        let full = terms("25 °C", "101.325 kPa");
        for (terms, expected) in [
            (
                Terms {
                    gas: None,
                    ..full.clone()
                },
                "missing-molar-mass",
            ),
            (
                Terms {
                    temperature: None,
                    pressure: None,
                    ..full.clone()
                },
                "missing-conditions",
            ),
            (
                Terms {
                    pressure: None,
                    ..full.clone()
                },
                "missing-pressure",
            ),
            (
                Terms {
                    temperature: None,
                    ..full.clone()
                },
                "missing-temperature",
            ),
            (
                Terms {
                    basis: Some(Basis::Dry),
                    ..full.clone()
                },
                "missing-humidity",
            ),
        ] {
            assert_eq!(code(convert(&amount, to, &terms)), expected);
        }
        assert_eq!(
            code(convert(&amount, unit("kPa").unwrap(), &full)),
            "unit-of-another-kind"
        );
        // 60 g/m³ of water do not stay vapour at 25 °C.
        let wet = Terms {
            basis: Some(Basis::Dry),
            humidity: Some("60 g/m³".parse().unwrap()),
            ..full
        };
        assert_eq!(code(convert(&amount, to, &wet)), "impossible-humidity");
    }

    #[test]
    fn conditions_in_which_nobody_works_are_refused_unless_accepted() {
        let amount = "25 ppm".parse().unwrap();
        let to = unit("mg/m3").unwrap();
        let usual = terms("25 °C", "1013 hPa");
        let altitude = |text: &str| PressureGiven::Altitude(text.parse().unwrap());
        let sea_level = |pressure: &str| PressureGiven::SeaLevel {
            pressure: pressure.parse().unwrap(),
            altitude: "1600 m".parse().unwrap(),
        };
        let with = |pressure| Terms {
            pressure: Some(pressure),
            ..usual.clone()
        };
        let of_catalog = Terms {
            temperature: None,
            pressure: None,
            reference: Some(ReferenceConditions {
                temperature: "20 °C".parse().unwrap(),
                pressure: "1013 kPa".parse().unwrap(),
            }),
            ..usual.clone()
        };
        for (terms, expected) in [
            (terms("25 °C", "1013 kPa"), "implausible-pressure"),
            (terms("77 °C", "1013 hPa"), "implausible-temperature"),
            (with(altitude("8000 m")), "implausible-altitude"),
            (with(sea_level("847 hPa")), "implausible-sea-level-pressure"),
            (of_catalog, "implausible-pressure"),
        ] {
            assert_eq!(code(convert(&amount, to, &terms)), expected);
            // Without a step that needs them they are nobody's business.
            assert!(convert(&amount, unit("ppb").unwrap(), &terms).is_ok());
            let accepting = Terms {
                implausible: ImplausibleConditions::Accept,
                ..terms
            };
            let conversion = convert(&amount, to, &accepting).unwrap();
            let named = |assumption: &&Assumption| assumption.code == "implausible-accepted";
            assert_eq!(conversion.assumptions.iter().filter(named).count(), 1);
        }
        for plausible in [
            usual.clone(),
            with(altitude("1600 m")),
            with(sea_level("1020 hPa")),
        ] {
            assert!(convert(&amount, to, &plausible).is_ok());
        }
    }

    #[test]
    fn dry_air_holds_less_per_cubic_metre_of_humid_air() {
        let humid = terms("35 °C", "101.325 kPa");
        let dry = Terms {
            basis: Some(Basis::Dry),
            humidity: Some("100 %RH".parse().unwrap()),
            ..humid.clone()
        };
        let amount = "100 ppm".parse().unwrap();
        let to = unit("mg/m3").unwrap();
        let of_humid = convert(&amount, to, &humid).unwrap().result.value;
        let of_dry = convert(&amount, to, &dry).unwrap();
        // 5.6 % water vapour in saturated air of 35 °C: the example of `humidity::water_volume_fraction`.
        assert!((of_dry.result.value / of_humid - (1.0 - 0.0556)).abs() < 1e-4);
        let back = convert(
            &Written::of(
                Concentration::from_unit(of_dry.result.value, to).unwrap(),
                to,
                12,
            )
            .unwrap(),
            unit("ppm").unwrap(),
            &dry,
        )
        .unwrap();
        assert!((back.result.value - 100.0).abs() < 1e-9);
    }

    #[test]
    fn more_than_the_whole_is_refused() {
        let terms = terms("25 °C", "101.325 kPa");
        let plan = Plan::new(unit("g/m3").unwrap(), unit("ppm").unwrap(), &terms).unwrap();
        assert!(plan.apply_checked(1144.0).unwrap() < 1e6);
        let error = plan.apply_checked(1146.0).unwrap_err().to_string();
        assert!(
            error.starts_with("`1146 g/m³` is more than the whole"),
            "{error}"
        );
        assert!(plan.apply_checked(f64::NAN).is_err() && plan.apply_checked(-1.0).is_err());
    }
}
