//! `stainbook find`: which tubes can speak to a gas at a level, and why the others cannot.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use stainbook_catalog::written::{Conditions, OtherGases, Present, Stated};
use stainbook_core::{Concentration, Duration};
use stainbook_evaluation::outcome::Refusal;
use stainbook_evaluation::{FaultySheets, Options};
use stainbook_present::{find_csv, find_json, find_text};
use stainbook_tube_search::{Wanted, find};

use super::evaluate::Checked;
use crate::catalog_choice::{Choice, choose};
use crate::catalog_files::{load, load_demo_with};
use crate::exit_status::ExitStatus;
use crate::failure::Failure;
use crate::output;
use crate::quantities::{is_bare_number, optional, quantity};
use crate::substance_lookup::understood_in_words;

/// Find the tubes that can read a level of a gas, ranked, with the reasons for and against each
///
/// Every sheet of the catalog is looked at in the air of the place: strokes, time, what it measures there, the
/// uncertainty at the level, and what it could say against a limit. What cannot serve is listed with what would have to
/// change. Conditions that are not stated are taken as at each sheet's calibration, and said to be. The exit code is 1 if
/// no sheet can serve.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  stainbook find --substance chlorine --limit \"NIOSH ceiling\" --temperature 6C --humidity 80%RH
  stainbook find -s 7664-41-7 --level \"25 ppm\" --within \"2 min\" --pump pump-03 --altitude 1600m
  stainbook find -s chlorine --level 1ppm --present \"chlorine dioxide=0.5 ppm\" --format csv")]
pub(crate) struct Find {
    /// The gas: CAS number, short name, name or synonym; or the name of a group
    #[arg(short, long, value_name = "NAME")]
    substance: String,
    /// The level that is expected: `5 ppm`, or `15 mg/m3` with temperature and pressure
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    level: Option<String>,
    /// A limit of the gas, by as many words as tell it apart: `"NIOSH ceiling"`, `STEL`, `IDLH`; `all` for all. It is
    /// judged against, and without `--level` it is the level. May be given several times
    #[arg(long, value_name = "WORDS")]
    limit: Vec<String>,
    /// The temperature of the air
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    temperature: Option<String>,
    /// The temperature of tube and pump, where it is not that of the air
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    tube_temperature: Option<String>,
    /// The humidity of the air: `60 %RH` or `8 g/m3`
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    humidity: Option<String>,
    /// The pressure at the place itself
    #[arg(long, value_name = "QUANTITY", allow_hyphen_values = true)]
    pressure: Option<String>,
    /// The altitude, which stands in for the pressure
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
    /// Another gas in the air, with its level if that is known: `"chlorine dioxide=0.5 ppm"`. May be given several times; `"none
    /// known"` if somebody has asked and there is no other
    #[arg(long, value_name = "GAS[=LEVEL]")]
    present: Vec<String>,
    /// The time there is for drawing: `5 min`
    #[arg(long, value_name = "TIME")]
    within: Option<String>,
    /// The pump at hand, or its kind, by its short name
    #[arg(long, value_name = "NAME")]
    pump: Option<String>,
    /// A folder with a `catalog.yaml`; without it the nearest one upward, else the embedded demo
    #[arg(long, value_name = "FOLDER")]
    catalog: Option<PathBuf>,
    /// Look at sheets in which the check finds errors as well
    #[arg(long)]
    despite_findings: bool,
    /// How to say it
    #[arg(long, value_enum, default_value_t = TubesFormat::Text)]
    format: TubesFormat,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum TubesFormat {
    /// For people
    Text,
    /// For scripts
    Json,
    /// For a spreadsheet
    Csv,
}

impl Find {
    pub(crate) fn speaks_json(&self) -> bool {
        self.format == TubesFormat::Json
    }

    pub(crate) fn run(&self) -> Result<ExitStatus, Failure> {
        let wanted = self.wanted()?;
        let choice = choose(self.catalog.as_deref(), Path::new(""))?;
        let loaded = match &choice {
            Choice::Folder(_) => load(&choice, Vec::new()),
            Choice::Embedded => load_demo_with(Vec::new()),
        };
        for failure in &loaded.unreadable {
            failure.report(false);
        }
        output::message(&format!("catalog: {}", loaded.words));
        let checked = Checked::new(loaded);
        let errors = |id: &str| checked.errors_of(id);
        let options = Options::default()
            .with_sheet_errors(&errors)
            .with_faulty_sheets(if self.despite_findings {
                FaultySheets::FlagOnly
            } else {
                FaultySheets::Refuse
            });
        let search =
            find(&checked.loaded.book, &wanted, &options).map_err(|refusal| refused(&refusal))?;
        let asked = [&self.substance].into_iter().chain(
            wanted
                .present
                .iter()
                .filter_map(|gas| gas.substance.as_ref()),
        );
        for typed in asked {
            let understood = checked.loaded.book.understand_substance(typed);
            let words = understood
                .ok()
                .and_then(|found| understood_in_words(typed, &found));
            if let Some(words) = words {
                output::message(&words);
            }
        }
        let text = match self.format {
            TubesFormat::Text => find_text::render(&search, output::colour()),
            TubesFormat::Json => find_json::render(&search).map_err(Failure::ours)?,
            TubesFormat::Csv => find_csv::render(&search).map_err(Failure::ours)?,
        };
        output::data(&text);
        Ok(if !checked.loaded.unreadable.is_empty() {
            ExitStatus::Usage
        } else if search.serve.is_empty() {
            ExitStatus::Findings
        } else {
            ExitStatus::Success
        })
    }

    fn wanted(&self) -> Result<Wanted, Failure> {
        if let Some(level) = self.level.as_deref().filter(|level| is_bare_number(level)) {
            return Err(Failure::new(
                "unit-missing",
                format!("--level: `{level}` has no unit"),
                format!("write `{level} ppm` or `{level} mg/m3`"),
            ));
        }
        let mut wanted = Wanted::default();
        wanted.substance.clone_from(&self.substance);
        wanted.level = optional("--level", self.level.as_deref())?;
        wanted.limits.clone_from(&self.limit);
        wanted.conditions = Conditions {
            atmosphere: None,
            air_temperature: optional("--temperature", self.temperature.as_deref())?
                .map(Stated::new),
            tube_temperature: optional("--tube-temperature", self.tube_temperature.as_deref())?
                .map(Stated::new),
            humidity: optional("--humidity", self.humidity.as_deref())?.map(Stated::new),
            pressure: optional("--pressure", self.pressure.as_deref())?.map(Stated::new),
            altitude: optional("--altitude", self.altitude.as_deref())?.map(Stated::new),
            sea_level_pressure: optional(
                "--sea-level-pressure",
                self.sea_level_pressure.as_deref(),
            )?
            .map(Stated::new),
        };
        let none = |text: &&String| text.trim() == NONE_KNOWN;
        wanted.interferents = self
            .present
            .iter()
            .any(|text| none(&text))
            .then_some(OtherGases::NoneKnown);
        wanted.present = self
            .present
            .iter()
            .filter(|text| !none(text))
            .map(|text| present(text))
            .collect::<Result<_, _>>()?;
        wanted.within =
            optional::<Duration>("--within", self.within.as_deref())?.map(|time| time.value());
        wanted.pump.clone_from(&self.pump);
        Ok(wanted)
    }
}

/// Word of `--present` where there is no other gas.
const NONE_KNOWN: &str = "none known";

/// `chlorine dioxide=0.5 ppm`, or the gas alone.
fn present(text: &str) -> Result<Present, Failure> {
    let (gas, level) = match text.split_once('=') {
        Some((gas, level)) => (gas, Some(level.trim())),
        None => (text, None),
    };
    if gas.trim().is_empty() {
        return Err(Failure::usage(
            format!("--present: `{text}` names no gas"),
            "write the gas, and its level behind `=` if it is known: `chlorine dioxide=0.5 ppm`",
        ));
    }
    Ok(Present {
        group: None,
        substance: Some(gas.trim().to_owned()),
        level: level
            .map(|level| quantity::<Concentration>("--present", level))
            .transpose()?
            .map(Stated::new),
        uncertainty: None,
    })
}

/// A refusal of the library, under its own word.
fn refused(refusal: &Refusal) -> Failure {
    let code = refusal.code.definition().map_or("refused", |row| row.name);
    Failure::new(code, &refusal.text, &refusal.remedy)
}
