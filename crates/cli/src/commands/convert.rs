//! `stainbook convert`: one value, or a column of a table.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook::conversion::{Gas, ImplausibleConditions, Plan, PressureGiven, Terms};
use stainbook_core::{Basis, Concentration, MolarMass, Unit};
use stainbook_present::{conversion_json, conversion_text};

use crate::catalog_choice::choose;
use crate::commands::convert_table;
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::quantities::{concentration_unit, is_bare_number, joined, optional, quantity};
use crate::substance_lookup::LightCatalog;

/// Convert between ppm and mg/m³, at stated conditions and never without them
///
/// A mass concentration holds at one temperature and pressure. State them, or let your catalog state its reference
/// conditions; without either nothing is converted.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook convert 25 ppm --substance CO --to mg/m3 --temperature 25C --pressure \"101.325 kPa\"
  stainbook convert 27mg/m3 --substance 7664-41-7 --to ppm --temperature=-5C --altitude \"1600 m\"
  stainbook convert 25 ppm -s CO --to mg/m3 --temperature 15C --altitude 1600m --sea-level-pressure 1020hPa
  stainbook convert 40 ppb --to ppm
  stainbook convert --csv log.csv --column \"co [ppm]\" --to mg/m3 -s CO --temperature 20C --altitude 90m")]
pub(crate) struct Convert {
    /// The value with its unit: `25 ppm`, `25ppm` or `"25 ppm"`
    #[arg(value_name = "VALUE", num_args = 1.., allow_negative_numbers = true, required_unless_present = "csv", conflicts_with = "csv")]
    value: Vec<String>,
    /// The unit that is wanted: ppm, ppb, %, mg/m3, µg/m3, g/m3
    #[arg(long, value_name = "UNIT")]
    to: String,
    /// The gas, by CAS number, short name, name or synonym
    #[arg(long, short, value_name = "NAME", conflicts_with = "molar_mass")]
    substance: Option<String>,
    /// The molar mass of a gas that no catalog knows
    #[arg(long, value_name = "QUANTITY")]
    molar_mass: Option<String>,
    /// The temperature at which the mass concentration holds
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// The pressure at the place itself
    #[arg(
        long,
        value_name = "QUANTITY",
        allow_hyphen_values = true,
        conflicts_with = "altitude"
    )]
    pressure: Option<String>,
    /// The altitude, where there is no barometer
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    altitude: Option<String>,
    /// The pressure of a weather report, with `--altitude`
    #[arg(
        long,
        value_name = "QUANTITY",
        allow_hyphen_values = true,
        requires = "altitude"
    )]
    sea_level_pressure: Option<String>,
    /// Convert at conditions in which nobody works, such as 1013 kPa, and say so
    #[arg(long)]
    implausible: bool,
    /// Which air the volume fraction is a part of; without it, the air as it is
    #[arg(long, value_enum)]
    basis: Option<BasisName>,
    /// The humidity of the air, for a volume fraction of dry air
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    humidity: Option<String>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded one
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// How to say the answer
    #[arg(long, value_enum, default_value_t = ConversionFormat::Text)]
    format: ConversionFormat,
    /// A table whose column is converted; `-` for standard input. The table with one more column goes to standard output or --output
    #[arg(long, value_name = "FILE", requires = "column")]
    csv: Option<PathBuf>,
    /// The column, with its unit in brackets: `co [ppm]`
    #[arg(long, value_name = "NAME", requires = "csv")]
    column: Option<String>,
    /// The table has decimal commas: `0,5`
    #[arg(long, requires = "csv")]
    decimal_comma: bool,
    /// What stands between two cells: found out from the first line without it
    #[arg(long, value_name = "CHARACTER", requires = "csv")]
    delimiter: Option<char>,
    /// Write the table to this file, which is replaced when everything is written
    #[arg(long, short, value_name = "FILE", requires = "csv")]
    output: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ConversionFormat {
    /// For people
    Text,
    /// For scripts
    Json,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum BasisName {
    /// The air without its water vapour
    Dry,
    /// The air as it is
    Humid,
}

impl Convert {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == ConversionFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let to = concentration_unit("--to", &self.to)?;
        let (terms, understood) = self.terms()?;
        let done = self.converted(to, &terms)?;
        // What failed is said alone, for whoever reads it as JSON.
        if let Some(understood) = understood {
            output::message(&understood);
        }
        Ok(done)
    }

    fn converted(&self, to: &'static Unit, terms: &Terms) -> Result<ExitStatus, Failure> {
        if let (Some(file), Some(column)) = (&self.csv, &self.column) {
            let table = convert_table::ConversionTable {
                file,
                column,
                decimal_comma: self.decimal_comma,
                delimiter: self.delimiter,
                output: self.output.as_deref(),
            };
            return convert_table::run(&table, to, terms);
        }
        let text = joined(&self.value);
        if is_bare_number(&text) {
            return Err(Failure::new(
                "unit-missing",
                format!("`{text}` has no unit"),
                format!("write `{text} ppm` or `{text} mg/m3`"),
            ));
        }
        let amount = quantity::<Concentration>("the value", &text)?;
        let conversion = Plan::new(amount.unit(), to, terms)
            .and_then(|plan| plan.convert(&amount))
            .map_err(|refused| convert_refused(&refused))?;
        let text = match self.format {
            ConversionFormat::Text => conversion_text::render(&conversion, output::colour()),
            ConversionFormat::Json => {
                conversion_json::render(&conversion).map_err(Failure::ours)?
            }
        };
        output::data(&text);
        Ok(ExitStatus::Success)
    }

    /// The terms, and words for what was understood as the gas.
    fn terms(&self) -> Result<(Terms, Option<String>), Failure> {
        let mut understood = None;
        let choice = choose(self.catalog.as_deref(), Path::new(""))?;
        let light = LightCatalog::open(&choice)?;
        let molar_mass = optional::<MolarMass>("--molar-mass", self.molar_mass.as_deref())?;
        let gas = match (&self.substance, molar_mass) {
            (Some(name), _) => {
                let (gas, words) = light.gas(name)?;
                understood = words;
                Some(gas)
            }
            (None, Some(molar_mass)) => Some(Gas::OfMolarMass(molar_mass)),
            (None, None) => None,
        };
        let mut terms = Terms::default();
        terms.gas = gas;
        terms.temperature = optional("--temperature", self.temperature.as_deref())?;
        terms.pressure = self.pressure()?;
        if self.implausible {
            terms.implausible = ImplausibleConditions::Accept;
        }
        terms.humidity = optional("--humidity", self.humidity.as_deref())?;
        terms.basis = self.basis.map(|basis| match basis {
            BasisName::Dry => Basis::Dry,
            BasisName::Humid => Basis::Humid,
        });
        terms.reference = light.reference;
        terms.catalog = light.words;
        Ok((terms, understood))
    }

    fn pressure(&self) -> Result<Option<PressureGiven>, Failure> {
        let station = optional("--pressure", self.pressure.as_deref())?;
        let altitude = optional("--altitude", self.altitude.as_deref())?;
        let sea_level = optional("--sea-level-pressure", self.sea_level_pressure.as_deref())?;
        Ok(match (station, altitude, sea_level) {
            (Some(pressure), _, _) => Some(PressureGiven::Station(pressure)),
            (None, Some(altitude), Some(pressure)) => {
                Some(PressureGiven::SeaLevel { pressure, altitude })
            }
            (None, Some(altitude), None) => Some(PressureGiven::Altitude(altitude)),
            (None, None, _) => None,
        })
    }
}

/// The library says what is missing; here it is said by which option it is given.
pub(crate) fn convert_refused(refused: &stainbook::conversion::ConversionRefused) -> Failure {
    let option = match refused.code {
        "missing-conditions" => {
            "--temperature \"25 °C\" --pressure \"101.325 kPa\"` or `--temperature \"20 °C\" --pressure \"101.325 kPa\""
        }
        "missing-pressure" => "--pressure \"101.325 kPa\"` or `--altitude \"1600 m\"",
        "missing-temperature" => "--temperature \"20 °C\"",
        "missing-molar-mass" => "--substance CO` or `--molar-mass \"28.010 g/mol\"",
        "missing-humidity" => "--humidity \"60 %RH\"",
        implausible if implausible.starts_with("implausible-") => {
            return Failure::new(
                refused.code,
                &refused.message,
                format!("{}; if it is right, add `--implausible`", refused.help),
            );
        }
        _ => return Failure::new(refused.code, &refused.message, &refused.help),
    };
    Failure::new(
        refused.code,
        &refused.message,
        format!("add `{option}`: {}", refused.help),
    )
}
