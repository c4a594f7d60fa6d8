//! `*.substance.yaml` and `*.group.yaml`: what is measured, with its limits.

use crate::written::absent::written_form;
use macro_rules_attribute::apply;
use stainbook_core::{Concentration, Duration, MolarMass, Pressure, Temperature, VolumeFraction};

use super::limit_kind::LimitKind;
use super::scalars::{Day, Stated};
use super::tube::Accept;

/// A gas or vapour: identity, physical facts and limit values, each with its source.
#[apply(written_form)]
pub struct SubstanceEntry {
    /// The substance's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"carbon-monoxide")]
    pub substance: Option<String>,
    /// The catalog whose substance of the same short name this entry adds to. Then only what differs is written:
    /// a field that is written here counts, limits are added, and a limit replaces those of the same kind and source.
    /// Where a catalog below has the substance, either this or `replaces_entry` is written.
    #[schemars(example = &"stainbook-reference")]
    pub adds_to: Option<String>,
    /// The catalog whose substance of the same short name this entry replaces. Then this entry stands alone: nothing of
    /// the other one counts, and its limits are not compared with.
    #[schemars(example = &"stainbook-reference")]
    pub replaces_entry: Option<String>,
    /// The name as it is printed.
    #[schemars(extend("x-required-unless" = "adds_to"), example = &"carbon monoxide")]
    pub name: Option<String>,
    /// Other names under which people look for it.
    #[schemars(example = serde_json::json!(["CO", "flue gas"]))]
    pub also_called: Vec<String>,
    /// Names in other languages, each with its source. They are looked for like any other name.
    #[schemars(example = serde_json::json!([{"language": "de", "name": "Kohlenmonoxid", "source": "home-assistant-translations"}]))]
    pub names: Vec<NameInLanguage>,
    /// The CAS registry number. Its last digit is a check digit.
    #[schemars(example = &"630-08-0")]
    pub cas: Option<String>,
    /// The InChIKey, the short code of the structure, where a source gives it.
    #[schemars(example = &"UGFAIRIUMAVXCW-UHFFFAOYSA-N")]
    pub inchikey: Option<String>,
    /// The source of the InChIKey.
    #[schemars(example = &"open-property-tables")]
    pub inchikey_source: Option<String>,
    /// The molecular formula. The molar mass is computed from it.
    #[schemars(extend("x-required-unless" = "adds_to"), example = &"CO")]
    pub formula: Option<String>,
    /// The molar mass as a source prints it, in g/mol; it is compared with the formula and never used by itself.
    #[schemars(example = &"28.01 g/mol")]
    pub molar_mass: Option<Stated<MolarMass>>,
    /// The source that prints the molar mass.
    #[schemars(example = &"niosh-pocket-guide")]
    pub molar_mass_source: Option<String>,
    /// The source of name, CAS number and formula.
    #[schemars(extend("x-required-unless" = "adds_to"), example = &"niosh-pocket-guide")]
    pub identified_by: Option<String>,
    /// The family it is listed under.
    #[schemars(example = &"inorganic gases")]
    pub family: Option<String>,
    /// The normal boiling point, at 101.325 kPa.
    #[schemars(example = serde_json::json!({"temperature": "-191.5 °C", "source": "open-property-tables"}))]
    pub boils_at: Option<BoilingPoint>,
    /// Saturation pressures, each at its temperature.
    #[schemars(example = serde_json::json!([{"temperature": "20 °C", "pressure": "1.558 kPa", "source": "open-property-tables"}]))]
    pub vapour_pressure: Vec<VapourPressure>,
    /// Lower and upper explosive limit in air.
    #[schemars(example = serde_json::json!([{"lower": "12.5 %", "upper": "74 %", "source": "niosh-pocket-guide"}]))]
    pub explosive_limits: Vec<ExplosiveLimits>,
    /// Limit values. Only limits of one authority are compared with each other.
    #[schemars(example = serde_json::json!([{"kind": "8-hour average", "at_most": "50 ppm", "also_printed": "55 mg/m³", "source": "us-osha-z1"}]))]
    pub limits: Vec<Limit>,
    /// What to mind with this substance.
    #[schemars(example = &"dimerises at high partial pressure; of no matter at ppm level")]
    pub remark: Option<String>,
    /// Findings that are right to be there, each with the reason.
    #[schemars(example = serde_json::json!([{"rule": "limit-pair-disagrees", "because": "printed so in the source"}]))]
    pub accept: Vec<Accept>,
}

/// A name in another language.
#[apply(written_form)]
pub struct NameInLanguage {
    /// The language by its code: `de`, `fr`, `pt-BR`.
    #[schemars(extend("x-required" = true, "pattern" = "^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$"), example = &"de")]
    pub language: Option<String>,
    /// The name as the source prints it.
    #[schemars(extend("x-required" = true), example = &"Kohlenmonoxid")]
    pub name: Option<String>,
    /// Where the name comes from.
    #[schemars(extend("x-required" = true), example = &"home-assistant-translations")]
    pub source: Option<String>,
    /// A substance, by its short name, that the word is easily taken for by those who speak another language: `Benzin` is petrol,
    /// and looks like benzene. Whoever writes the word is asked which of the two is meant.
    #[schemars(example = &"benzene")]
    pub taken_for: Option<String>,
}

/// The temperature at which the vapour pressure reaches one atmosphere.
#[apply(written_form)]
pub struct BoilingPoint {
    /// The boiling point, in °C, °F or K.
    #[schemars(extend("x-required" = true), example = &"78.2 °C")]
    pub temperature: Option<Stated<Temperature>>,
    /// Where the value comes from.
    #[schemars(extend("x-required" = true), example = &"open-property-tables")]
    pub source: Option<String>,
}

/// A saturation pressure at a temperature.
#[apply(written_form)]
pub struct VapourPressure {
    /// The temperature it holds for.
    #[schemars(extend("x-required" = true), example = &"20 °C")]
    pub temperature: Option<Stated<Temperature>>,
    /// The saturation pressure, in kPa, hPa, mbar or mmHg.
    #[schemars(extend("x-required" = true), example = &"5.8 kPa")]
    pub pressure: Option<Stated<Pressure>>,
    /// What speaks against the value, where the source prints one that cannot be right. It is kept as printed, and nothing is
    /// computed with it.
    #[schemars(example = &"0.83 kPa at 20 °C by the open property tables")]
    pub disputed: Option<String>,
    /// Where the value comes from.
    #[schemars(extend("x-required" = true), example = &"open-property-tables")]
    pub source: Option<String>,
}

/// Between these two a mixture with air can explode.
#[apply(written_form)]
pub struct ExplosiveLimits {
    /// The lower explosive limit, in % by volume.
    #[schemars(example = &"12.5 %")]
    pub lower: Option<Stated<VolumeFraction>>,
    /// The upper explosive limit, in % by volume.
    #[schemars(example = &"74 %")]
    pub upper: Option<Stated<VolumeFraction>>,
    /// The temperature they hold for, where it is not room temperature.
    #[schemars(example = &"200 °F")]
    pub at: Option<Stated<Temperature>>,
    /// What else they hold for.
    #[schemars(example = &"of a 90 % solution")]
    pub remark: Option<String>,
    /// Where the values come from.
    #[schemars(extend("x-required" = true), example = &"niosh-pocket-guide")]
    pub source: Option<String>,
}

/// A limit value of one authority.
#[apply(written_form)]
pub struct Limit {
    /// What the limit limits.
    #[schemars(extend("x-required" = true), example = &"8-hour average")]
    pub kind: Option<LimitKind>,
    /// The period it is averaged over, where it is not the usual one (8 h for an average, 15 min for a short-term limit).
    #[schemars(example = &"10 h")]
    pub averaged_over: Option<Stated<Duration>>,
    /// The value, in the unit that the source treats as binding (ppm or mg/m³).
    #[schemars(extend("x-required" = true), example = &"50 ppm")]
    pub at_most: Option<Stated<Concentration>>,
    /// The same value in the other unit, if the source prints both.
    #[schemars(example = &"55 mg/m³")]
    pub also_printed: Option<Stated<Concentration>>,
    /// The source, which names authority, edition and reference conditions.
    #[schemars(extend("x-required" = true), example = &"us-osha-z1")]
    pub source: Option<String>,
    /// What may be reached above a ceiling, for a short time, if the source allows it.
    #[schemars(example = serde_json::json!({"at_most": "50 ppm", "lasts": "10 min once, only if nothing else is measured"}))]
    pub peak: Option<Peak>,
    /// True if the source adds that the substance is taken up through the skin.
    #[schemars(example = true)]
    pub skin: Option<bool>,
    /// From when it is in force.
    #[schemars(example = &"2021-08-21")]
    pub since: Option<Day>,
    /// What the source adds.
    #[schemars(example = &"as the sum of all isomers")]
    pub remark: Option<String>,
}

/// What may be reached above a ceiling, for a short time.
#[apply(written_form)]
pub struct Peak {
    /// The highest level of the peak.
    #[schemars(extend("x-required" = true), example = &"50 ppm")]
    pub at_most: Option<Stated<Concentration>>,
    /// For how long and how often, as the source prints it.
    #[schemars(example = &"5 min in any 3 h")]
    pub lasts: Option<String>,
}

/// A group of substances to which a tube answers together.
#[apply(written_form)]
pub struct GroupEntry {
    /// The group's own short name, the same as the file's: small letters, digits and hyphens.
    #[schemars(extend("x-required" = true), example = &"amines")]
    pub group: Option<String>,
    /// The name as it is printed.
    #[schemars(extend("x-required" = true), example = &"amines")]
    pub name: Option<String>,
    /// Other names under which people look for it.
    #[schemars(example = serde_json::json!(["aliphatic amines", "amine vapour"]))]
    pub also_called: Vec<String>,
    /// Names in other languages, each with its source. They are looked for like any other name.
    #[schemars(example = serde_json::json!([{"language": "de", "name": "Amine", "source": "common-practice"}]))]
    pub names: Vec<NameInLanguage>,
    /// Substances that belong to it, as far as the catalog knows them.
    #[schemars(extend("uniqueItems" = true), example = serde_json::json!(["methylamine", "dimethylamine"]))]
    pub members: Vec<String>,
    /// The substances as which a total may be expressed.
    #[schemars(extend("x-required" = true, "uniqueItems" = true), example = serde_json::json!(["methylamine"]))]
    pub expressed_as: Vec<String>,
    /// Where members and expression come from.
    #[schemars(example = &"common-practice")]
    pub source: Option<String>,
    /// What to mind.
    #[schemars(example = &"a total says nothing of the single amines' limits")]
    pub remark: Option<String>,
}
