//! `*.survey.yaml`: readings as they were taken.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use stainbook_core::{Altitude, Concentration, Duration, Humidity, Pressure, Temperature};

mod amendment;
mod assured;

pub use amendment::Amendment;
pub use assured::{Assurable, Assured};

use super::pump::LeakTest;
use super::scalars::{Day, Moment, Num, Stated};

pub mod judge;
pub mod together;

pub use judge::{Judge, LimitChoice};
pub use together::{GroupRow, Rest, TogetherMethod};

/// A round of measurements: conditions once, then reading by reading.
#[apply(written_form)]
pub struct SurveyEntry {
    /// The survey's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"quay-2026-03-02")]
    pub survey: Option<String>,
    /// What was surveyed and why.
    #[schemars(extend("x-required" = true), example = &"Brine wash after the pump was changed")]
    pub title: Option<String>,
    /// Who drew the air and read the tubes, by initials.
    #[schemars(extend("x-required" = true), example = &"KL")]
    pub by: Option<String>,
    /// How finely whoever read divides the space between two marks by eye. It decides how much of the scale a reading stands for, and with it what may be called below a limit. Without it: to half a space, and every result names that as assumed.
    #[schemars(example = &"quarter")]
    pub reads_to: Option<ReadsTo>,
    /// The conditions that hold for every reading that does not state its own.
    #[schemars(example = serde_json::json!({"air_temperature": "6 °C", "humidity": "88 %RH", "pressure": "1009 hPa"}))]
    pub conditions: Conditions,
    /// Which limits the results are compared with, and how sure a verdict has to be. Without it: every limit of the gas, and 95 %.
    #[schemars(example = serde_json::json!({"limits": [{"authority": "US OSHA", "kind": "ceiling"}], "certainty": "95 %"}))]
    pub judge: Judge,
    /// What a lab keeps elsewhere, said in writing: leak tests in a log, expiries on a list. It is printed wherever a verdict rests on it.
    #[schemars(example = serde_json::json!([{"what": "leak tests", "for": ["pump-02"], "day": "2026-06-16", "where": "pump log 3", "by": "KL"}]))]
    pub assured: Vec<Assured>,
    /// What to mind.
    #[schemars(example = &"doors open, light wind from the quay")]
    pub remark: Option<String>,
    /// The readings, in the order in which they were taken.
    #[schemars(extend("x-required" = true), example = serde_json::json!([{"id": "r01", "at": "2026-03-02T07:40+00:00", "tube": "brinewash-chlorine-a", "strokes": 3, "reading": {"at": "5 ppm"}}]))]
    pub readings: Vec<Reading>,
    /// Readings that are judged together: averaged over a shift, added up because they act alike, tested for an exposure group, or freed of what two gases do to each other's tubes.
    #[schemars(example = serde_json::json!([{"id": "fitter", "method": "average", "over": "8 h", "rest": "without exposure", "readings": ["r01", "r02", "r05"]}]))]
    pub together: Vec<GroupRow>,
}

/// The air at the place of the reading.
#[apply(written_form)]
pub struct Conditions {
    /// The temperature of the air that is drawn.
    #[schemars(example = &"6 °C")]
    pub air_temperature: Option<Stated<Temperature>>,
    /// The temperature of the tube, if it is not that of the air (a tube from a warm pocket, or straight from the refrigerator).
    #[schemars(example = &"15 °C")]
    pub tube_temperature: Option<Stated<Temperature>>,
    /// The humidity at the air temperature: relative (`88 %RH`) or absolute (`6.4 g/m³`).
    #[schemars(example = &"88 %RH")]
    pub humidity: Option<Stated<Humidity>>,
    /// The station pressure: what a barometer reads at the place itself. The pressure of a weather report is not this.
    #[schemars(example = &"1009 hPa")]
    pub pressure: Option<Stated<Pressure>>,
    /// The altitude of the place; it stands in for the pressure, or goes with `sea_level_pressure`.
    #[schemars(example = &"1600 m")]
    pub altitude: Option<Stated<Altitude>>,
    /// The pressure of a weather report, which is reduced to sea level; needs `altitude` with it.
    #[schemars(example = &"1021 hPa")]
    pub sea_level_pressure: Option<Stated<Pressure>>,
    /// What the gas around the tube is, if not ordinary air.
    #[schemars(example = &"inert gas")]
    pub atmosphere: Option<Atmosphere>,
}

impl Conditions {
    /// These conditions with more general ones where they state nothing: a reading's with its survey's, a row's with its plan's.
    ///
    /// Who states an own altitude or sea-level pressure is at another place, where the general station pressure does not hold.
    #[must_use]
    pub fn or_general(&self, general: &Self) -> Self {
        let elsewhere = self.altitude.is_some() || self.sea_level_pressure.is_some();
        let pressure = if elsewhere {
            None
        } else {
            general.pressure.clone()
        };
        Self {
            air_temperature: self
                .air_temperature
                .clone()
                .or_else(|| general.air_temperature.clone()),
            tube_temperature: self
                .tube_temperature
                .clone()
                .or_else(|| general.tube_temperature.clone()),
            humidity: self.humidity.clone().or_else(|| general.humidity.clone()),
            pressure: self.pressure.clone().or(pressure),
            altitude: self.altitude.clone().or_else(|| general.altitude.clone()),
            sea_level_pressure: self
                .sea_level_pressure
                .clone()
                .or_else(|| general.sea_level_pressure.clone()),
            atmosphere: self.atmosphere.or(general.atmosphere),
        }
    }
}

/// The gas that other gases are measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Atmosphere {
    /// Ordinary air.
    #[serde(rename = "air")]
    Air,
    /// Air with less oxygen than usual.
    #[serde(rename = "oxygen deficient")]
    OxygenDeficient,
    /// Nitrogen, argon or another gas without oxygen.
    #[serde(rename = "inert gas")]
    InertGas,
}

impl Atmosphere {
    /// As written in a survey.
    pub fn name(self) -> &'static str {
        match self {
            Self::Air => "air",
            Self::OxygenDeficient => "oxygen deficient",
            Self::InertGas => "inert gas",
        }
    }
}

/// A preparation that a leaflet asks for before or after the strokes that count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Preparation {
    /// The strokes that do not count were drawn first.
    #[serde(rename = "flushed")]
    Flushed,
    /// The tubes were joined in the leaflet's order.
    #[serde(rename = "tubes joined")]
    TubesJoined,
    /// The ampoule was broken when the leaflet says.
    #[serde(rename = "ampoule broken")]
    AmpouleBroken,
}

impl Preparation {
    /// As written in a survey.
    pub fn name(self) -> &'static str {
        match self {
            Self::Flushed => "flushed",
            Self::TubesJoined => "tubes joined",
            Self::AmpouleBroken => "ampoule broken",
        }
    }
}

/// One tube, drawn and read.
#[apply(written_form)]
pub struct Reading {
    /// A name for this reading that is used once in the survey.
    #[schemars(extend("x-required" = true), example = &"r07")]
    pub id: Option<String>,
    /// When the tube was read: date, time and zone, in quotation marks.
    #[schemars(extend("x-required" = true), example = &"2026-03-02T07:40+00:00")]
    pub at: Option<Moment>,
    /// Where in the plant, so that somebody else finds the place again.
    #[schemars(example = &"brine wash, at the valve")]
    pub place: Option<String>,
    /// The tube: the name of a sheet, or the name without its revision, when `leaflet` or `lot` says which.
    #[schemars(extend("x-required" = true), example = &"brinewash-chlorine-a")]
    pub tube: Option<String>,
    /// The revision of the leaflet in the box.
    #[schemars(example = &"2")]
    pub leaflet: Option<String>,
    /// The lot printed on the box. Where the leaflet names its lots, nothing is called below a limit without it.
    #[schemars(example = &"24-117")]
    pub lot: Option<String>,
    /// The expiry printed on the box; a month means its last day. Without it nothing is called below a limit.
    #[schemars(example = &"2027-01")]
    pub expires: Option<Day>,
    /// The lot and expiry of the pre-tube, if the sheet needs one.
    #[schemars(example = serde_json::json!({"lot": "P-31", "expires": "2026-12"}))]
    pub pre_tube: Option<PreTubeUsed>,
    /// The pump that was used, by its short name. Without it nothing is called below a limit.
    #[schemars(example = &"pump-03")]
    pub pump: Option<String>,
    /// The leak test with an unbroken tube before this series. Without it, or one of that day in the pump's own record, nothing is called below a limit.
    #[schemars(example = &"held")]
    pub leak_test: Option<LeakTest>,
    /// True once a tube that was stored cold had come to the temperature of the place.
    #[schemars(example = true)]
    pub brought_to_ambient: Option<bool>,
    /// When the box or tin was opened, if the leaflet says how long an opened one keeps.
    #[schemars(example = &"2026-02-20")]
    pub opened: Option<Day>,
    /// The day or month of manufacture printed on the box, if the leaflet goes by it.
    #[schemars(example = &"2024-05")]
    pub manufactured: Option<Day>,
    /// True if this tube had been drawn through before without a stain.
    #[schemars(example = true)]
    pub used_before: Option<bool>,
    /// What of the leaflet's preparations was done: strokes to flush, tubes joined, an ampoule broken.
    #[schemars(example = serde_json::json!(["flushed"]))]
    pub done: Vec<Preparation>,
    /// How many strokes were drawn; 0.5 is half a stroke.
    #[schemars(extend("x-required" = true), example = 3)]
    pub strokes: Option<Num>,
    /// What of the leaflet's instructions for drawing and reading was not kept, as far as it is known. Nothing is then called below a limit.
    #[schemars(example = serde_json::json!(["full draw"]))]
    pub not_kept: Vec<Instruction>,
    /// How long after the last stroke it was read, if somebody looked at the clock.
    #[schemars(example = &"3 min")]
    pub read_after: Option<Stated<Duration>>,
    /// Which of the tube's scales was read, if it has two.
    #[schemars(example = &"fine")]
    pub scale: Option<String>,
    /// The gas measured, if it is not the one the scale is printed for.
    #[schemars(example = &"bromine")]
    pub substance: Option<String>,
    /// What was read.
    #[schemars(extend("x-required" = true), example = serde_json::json!({"at": "5 ppm"}))]
    pub reading: Option<Seen>,
    /// How finely this reading was read between two marks, if not as the survey says.
    #[schemars(example = &"tenth")]
    pub reads_to: Option<ReadsTo>,
    /// How long this reading stands for when it is averaged with others. A tube draws for a minute or two; that the air was the same for longer is your judgement, and the average says that it rests on it.
    #[schemars(example = &"90 min")]
    pub stands_for: Option<Stated<Duration>>,
    /// True if this tube was treated like the others but drawn in clean air. A blank that stains makes the readings of its lot doubtful.
    #[schemars(example = true)]
    pub blank: Option<bool>,
    /// The reading that this one repeats, by its `id`: same place, same air, another tube.
    #[schemars(example = &"r06")]
    pub repeat_of: Option<String>,
    /// `none known`, if no other gas is known or suspected in this air beside those under `present`. Without either nobody has said anything about other gases, and a verdict says so.
    #[serde(rename = "other_gases")]
    #[schemars(example = &"none known")]
    pub interferents: Option<OtherGases>,
    /// Other gases known or suspected to be in this air.
    #[schemars(example = serde_json::json!([{"substance": "chlorine-dioxide", "level": "0.5 ppm"}]))]
    pub present: Vec<Present>,
    /// What was changed in this reading after it was first written down: by whom, when, why, and what it was. Nothing is
    /// rubbed out; the oldest change comes first.
    #[schemars(example = serde_json::json!([{"by": "MT", "at": "2026-03-03T09:10+00:00", "because": "strokes miscounted, see the pump's counter", "was": {"strokes": 2}}]))]
    pub amended: Vec<Amendment>,
    /// Conditions that differ from the survey's.
    #[schemars(example = serde_json::json!({"air_temperature": "-4 °C"}))]
    pub conditions: Conditions,
    /// What to mind.
    #[schemars(example = &"front hard to see")]
    pub remark: Option<String>,
}

/// The pre-tube that was used.
#[apply(written_form)]
pub struct PreTubeUsed {
    /// The lot printed on the pre-tube's box.
    #[schemars(example = &"P-31")]
    pub lot: Option<String>,
    /// Its expiry; a month means its last day.
    #[schemars(example = &"2026-12")]
    pub expires: Option<Day>,
    /// How many strokes were drawn through it before these; 0 for a new one.
    #[schemars(example = 0)]
    pub strokes_before: Option<Num>,
}

/// What was read: a value, the two sides of an uneven front, what was seen instead of a value, or a bound at an end of the scale.
#[apply(written_form)]
#[schemars(extend("minProperties" = 1))]
pub struct Seen {
    /// Where the stain ends, in the unit of the scale.
    #[schemars(example = &"5 ppm")]
    pub at: Option<Stated<Concentration>>,
    /// An uneven front: where its short side ends.
    #[schemars(example = &"4 ppm")]
    pub short: Option<Stated<Concentration>>,
    /// An uneven front: where its long side ends.
    #[schemars(example = &"5 ppm")]
    pub long: Option<Stated<Concentration>>,
    /// On a glass that is marked in millimetres: the mark where the stain ends.
    #[schemars(example = 17)]
    pub at_mm: Option<Num>,
    /// There, of an uneven front: the mark where its short side ends.
    #[schemars(example = 16)]
    pub short_mm: Option<Num>,
    /// There, of an uneven front: the mark where its long side ends.
    #[schemars(example = 18)]
    pub long_mm: Option<Num>,
    /// The standard uncertainty of the reading, if the reader can state one; else it follows from the marks.
    #[schemars(example = &"0.3 ppm")]
    pub uncertainty: Option<Stated<Concentration>>,
    /// What was seen where there is no value to read.
    #[schemars(example = &"no stain")]
    pub seen: Option<Observation>,
    /// A bound as people write it, `<5 ppm`. It is taken only where it is what the first mark stands for at this stroke count, as a stain that may have ended just before it; a bound that somebody worked out is no reading.
    #[schemars(example = &"5 ppm")]
    pub less_than: Option<Stated<Concentration>>,
    /// The same beyond the scale, `>300 ppm`: taken only where it is what the last mark stands for at this stroke count.
    #[schemars(example = &"300 ppm")]
    pub more_than: Option<Stated<Concentration>>,
}

/// The part of the space between two marks to which a stain is read by eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum ReadsTo {
    /// The nearest mark.
    #[serde(rename = "nearest mark")]
    NearestMark,
    /// Half a space.
    #[serde(rename = "half")]
    Half,
    /// A quarter of a space.
    #[serde(rename = "quarter")]
    Quarter,
    /// A tenth of a space.
    #[serde(rename = "tenth")]
    Tenth,
}

impl ReadsTo {
    /// The words, each with what it means.
    pub const ALL: [(&'static str, Self); 4] = [
        ("nearest mark", Self::NearestMark),
        ("half", Self::Half),
        ("quarter", Self::Quarter),
        ("tenth", Self::Tenth),
    ];

    /// The part of a space.
    pub fn part(self) -> f64 {
        match self {
            Self::NearestMark => 1.0,
            Self::Half => 0.5,
            Self::Quarter => 0.25,
            Self::Tenth => 0.1,
        }
    }

    /// In words: `the nearest mark`, `a quarter of the space between two marks`.
    pub fn words(self) -> &'static str {
        match self {
            Self::NearestMark => "the nearest mark",
            Self::Half => "half the space between two marks",
            Self::Quarter => "a quarter of the space between two marks",
            Self::Tenth => "a tenth of the space between two marks",
        }
    }
}

/// What was seen where there is no value to read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Observation {
    /// The filling kept its colour.
    #[serde(rename = "no stain")]
    NoStain,
    /// There is a stain, but it ends before the first mark.
    #[serde(rename = "below first mark")]
    BelowFirstMark,
    /// The stain ends behind the last mark, or the whole filling is stained.
    #[serde(rename = "beyond last mark")]
    BeyondLastMark,
    /// Of a tube without a scale: there is a colour, or what the strokes were counted to is reached with the last of them.
    #[serde(rename = "colour")]
    Colour,
}

/// What is known of other gases in the air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum OtherGases {
    /// None is known or suspected, beside those that are listed.
    #[serde(rename = "none known")]
    NoneKnown,
}

/// An instruction of a leaflet for drawing and reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Instruction {
    /// Each stroke drawn to its end, in its time.
    #[serde(rename = "full draw")]
    FullDraw,
    /// The pause between strokes.
    #[serde(rename = "pause")]
    Pause,
    /// The time from the last stroke to the reading.
    #[serde(rename = "time to read")]
    TimeToRead,
}

impl Instruction {
    /// As written in a survey.
    pub fn name(self) -> &'static str {
        match self {
            Self::FullDraw => "full draw",
            Self::Pause => "pause",
            Self::TimeToRead => "time to read",
        }
    }
}

/// Another gas in the air, or a group of gases.
#[apply(written_form)]
#[schemars(extend("minProperties" = 1))]
pub struct Present {
    /// The other gas, by its short name.
    #[schemars(example = &"chlorine-dioxide")]
    pub substance: Option<String>,
    /// Or a group of gases, by its short name.
    #[schemars(example = &"amines")]
    pub group: Option<String>,
    /// How much of it, if that is known.
    #[schemars(example = &"0.5 ppm")]
    pub level: Option<Stated<Concentration>>,
    /// The standard uncertainty of that level, if it is known.
    #[schemars(example = &"0.1 ppm")]
    pub uncertainty: Option<Stated<Concentration>>,
}
