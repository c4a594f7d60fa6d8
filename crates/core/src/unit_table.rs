//! The unit table: one row for each unit of each dimension.
//!
//! The canonical spelling comes first in each row. Base units: ppm, mg/kg, mg/m³, g/mol, L/mol, °C, K, kPa, %RH, g/m³,
//! m, mL, s, and 1 for a ratio. A new unit is one row here.

use crate::dimension::Dimension;
use crate::unit::Unit;

const SI: &str =
    "SI Brochure, 9th edition (2019): SI units, prefixes and non-SI units accepted with them";
const UNITY: &str = "a pure number (SI Brochure, 9th edition, 5.4.7)";
const MOLE_RATIO: &str =
    "NMAM 4th edition, Appendix A: 1 % by volume = 10,000 ppm; for an ideal gas the mole ratio";
const ISO_2533: &str = "ISO 2533:1975: 1 atm = 101.325 kPa";
const SP_811: &str =
    "NIST Special Publication 811 (2008), Appendix B, from memory, the arithmetic recomputed";
const FAHRENHEIT: &str =
    "NIST Special Publication 811 (2008), Appendix B: t/°C = (t/°F − 32)/1.8, from memory";
const MERCURY: &str = "NIST Special Publication 811 (2008), Appendix B, from memory: conventional mercury, 13,595.1 kg/m³ under 9.80665 m/s²";
const WATER: &str = "NIST Special Publication 811 (2008), Appendix B, from memory: conventional water, 1000 kg/m³ (4 °C) under 9.80665 m/s²";
const JULIAN: &str =
    "UCUM essence 2.2: a Julian year is 365.25 d, a Julian month one twelfth of it";

const fn row(
    dimension: Dimension,
    spellings: &'static [&'static str],
    ucum: &'static str,
    (factor, divisor): (f64, f64),
    source: &'static str,
) -> Unit {
    let canonical = match spellings {
        [first, ..] => *first,
        [] => "",
    };
    Unit {
        dimension,
        canonical,
        spellings,
        ucum,
        factor,
        divisor,
        offset: 0.0,
        source,
    }
}

const fn scale(
    spellings: &'static [&'static str],
    ucum: &'static str,
    offset: f64,
    (factor, divisor): (f64, f64),
    source: &'static str,
) -> Unit {
    let mut unit = row(
        Dimension::Temperature,
        spellings,
        ucum,
        (factor, divisor),
        source,
    );
    unit.offset = offset;
    unit
}

use Dimension as D;

/// Every unit that can be written.
#[rustfmt::skip]
pub(crate) static UNITS: [Unit; 80] = [
    // Volume fraction, base ppm.
    row(D::VolumeFraction, &["ppm", "PPM", "Ppm", "ppmv", "ppm(v)", "ppm (v)", "ppmV", "ppm v/v", "ppm (v/v)", "vppm", "ppm by volume", "ppm vol", "vol ppm", "vol. ppm", "p.p.m.", "parts per million", "parts per million by volume", "[ppm]", "[ppm]{v/v}"], "[ppm]", (1.0, 1.0), MOLE_RATIO),
    row(D::VolumeFraction, &["ppb", "PPB", "Ppb", "ppbv", "ppbV", "ppb(v)", "ppb (v)", "ppb v/v", "ppb by volume", "p.p.b.", "parts per billion", "[ppb]"], "[ppb]", (1.0, 1e3), MOLE_RATIO),
    row(D::VolumeFraction, &["pphm", "PPHM", "pphmv"], "10*-8", (1.0, 1e2), MOLE_RATIO),
    row(D::VolumeFraction, &["% by volume", "%", "vol%", "vol %", "vol.%", "vol.-%", "vol-%", "Vol%", "Vol.-%", "Vol.%", "Vol %", "Vol-%", "%vol", "% vol", "% vol.", "%Vol", "% Vol", "% Vol.", "%v/v", "% v/v", "% (v/v)", "%(v/v)", "%v", "% V/V", "percent", "percent by volume", "volume percent", "volume %", "per cent", "per cent by volume", "%{vol}"], "%", (1e4, 1.0), MOLE_RATIO),
    row(D::VolumeFraction, &["µmol/mol", "umol/mol", "µmol mol-1", "umol mol-1", "µmol.mol-1", "umol.mol-1"], "umol/mol", (1.0, 1.0), SI),
    row(D::VolumeFraction, &["nmol/mol", "nmol mol-1", "nmol.mol-1"], "nmol/mol", (1.0, 1e3), SI),
    row(D::VolumeFraction, &["pmol/mol", "pmol mol-1", "pmol.mol-1", "pptv", "[pptr]"], "pmol/mol", (1.0, 1e6), SI),
    row(D::VolumeFraction, &["mmol/mol", "mmol mol-1", "mmol.mol-1", "‰", "[ppth]"], "mmol/mol", (1e3, 1.0), SI),
    row(D::VolumeFraction, &["mol/mol", "mol mol-1", "mol.mol-1"], "mol/mol", (1e6, 1.0), SI),
    row(D::VolumeFraction, &["mL/m³", "mL/m3", "ml/m³", "ml/m3", "mL m-3", "ml m-3", "mL.m-3", "ml.m-3", "mL/m^3", "ml/m^3", "cm³/m³", "cm3/m3"], "mL/m3", (1.0, 1.0), SI),
    row(D::VolumeFraction, &["µL/L", "uL/L", "µl/l", "ul/l", "µL/l", "uL/l"], "uL/L", (1.0, 1.0), SI),
    row(D::VolumeFraction, &["mL/L", "ml/l", "mL/l", "ml/L", "L/m³", "L/m3", "l/m³", "l/m3"], "mL/L", (1e3, 1.0), SI),
    row(D::VolumeFraction, &["L/L", "l/l", "m³/m³", "m3/m3"], "L/L", (1e6, 1.0), SI),
    // Mass fraction, base mg/kg.
    row(D::MassFraction, &["mg/kg", "ppm by mass", "ppm by weight", "ppmw", "ppm(w)", "ppm (w)", "ppm w/w", "ppm (w/w)", "ppm(m)", "ppm m/m", "wt ppm", "wppm", "µg/g", "ug/g", "mg kg-1", "mg.kg-1", "[ppm]{m/m}"], "mg/kg", (1.0, 1.0), SI),
    row(D::MassFraction, &["µg/kg", "ug/kg", "ppb by mass", "ppb by weight", "ppbw", "µg kg-1", "ug kg-1", "µg.kg-1", "ug.kg-1"], "ug/kg", (1.0, 1e3), SI),
    row(D::MassFraction, &["g/kg", "g kg-1", "g.kg-1", "mg/g"], "g/kg", (1e3, 1.0), SI),
    row(D::MassFraction, &["% by mass", "% by weight", "wt%", "wt %", "wt.%", "%wt", "% wt", "% w/w", "%w/w", "% (w/w)", "%(w/w)", "% m/m", "%m/m", "mass%", "mass %", "mass-%", "%", "%{mass}"], "%", (1e4, 1.0), SI),
    row(D::MassFraction, &["kg/kg", "g/g"], "kg/kg", (1e6, 1.0), SI),
    // Mass concentration, base mg/m³.
    row(D::MassConcentration, &["mg/m³", "mg/m3", "mg/m^3", "mg m-3", "mg.m-3", "mg m^-3", "mg·m⁻³", "mg m⁻³", "mg per m3", "mg per m³", "mg/cbm"], "mg/m3", (1.0, 1.0), SI),
    row(D::MassConcentration, &["µg/m³", "µg/m3", "µg/m^3", "µg m-3", "µg.m-3", "µg m^-3", "µg·m⁻³", "µg m⁻³", "µg per m3", "µg per m³", "ug/m³", "ug/m3", "ug/m^3", "ug m-3", "ug.m-3", "ug m^-3", "ug·m⁻³", "ug m⁻³", "ug per m3", "ug per m³", "mcg/m³", "mcg/m3", "mcg/m^3", "mcg m-3", "mcg.m-3", "mcg m^-3", "mcg·m⁻³", "mcg m⁻³", "mcg per m3", "mcg per m³"], "ug/m3", (1.0, 1e3), SI),
    row(D::MassConcentration, &["g/m³", "g/m3", "g/m^3", "g m-3", "g.m-3", "g m^-3", "g·m⁻³", "g m⁻³", "g per m3", "g per m³"], "g/m3", (1e3, 1.0), SI),
    row(D::MassConcentration, &["ng/m³", "ng/m3", "ng/m^3", "ng m-3", "ng.m-3", "ng m^-3", "ng·m⁻³", "ng m⁻³", "ng per m3", "ng per m³"], "ng/m3", (1.0, 1e6), SI),
    row(D::MassConcentration, &["kg/m³", "kg/m3", "kg/m^3", "kg m-3", "kg.m-3", "kg m^-3", "kg·m⁻³", "kg m⁻³", "kg per m3", "kg per m³"], "kg/m3", (1e6, 1.0), SI),
    row(D::MassConcentration, &["mg/L", "mg L-1", "mg.L-1", "mg/l", "mg l-1", "mg.l-1", "mg/dm³", "mg/dm3"], "mg/L", (1e3, 1.0), SI),
    row(D::MassConcentration, &["µg/L", "µg L-1", "µg.L-1", "µg/l", "µg l-1", "µg.l-1", "ug/L", "ug L-1", "ug.L-1", "ug/l", "ug l-1", "ug.l-1", "µg/dm³", "µg/dm3", "ug/dm³", "ug/dm3"], "ug/L", (1.0, 1.0), SI),
    row(D::MassConcentration, &["g/L", "g L-1", "g.L-1", "g/l", "g l-1", "g.l-1", "g/dm³", "g/dm3"], "g/L", (1e6, 1.0), SI),
    row(D::MassConcentration, &["ng/L", "ng L-1", "ng.L-1", "ng/l", "ng l-1", "ng.l-1", "ng/dm³", "ng/dm3"], "ng/L", (1.0, 1e3), SI),
    row(D::MassConcentration, &["µg/mL", "ug/mL", "µg/ml", "ug/ml", "µg/cm³", "ug/cm3"], "ug/mL", (1e3, 1.0), SI),
    // Molar mass, base g/mol; molar volume, base L/mol.
    row(D::MolarMass, &["g/mol", "g mol-1", "g.mol-1", "g·mol⁻¹", "g mol⁻¹", "g/mole", "mg/mmol", "kg/kmol"], "g/mol", (1.0, 1.0), SI),
    row(D::MolarMass, &["kg/mol", "kg mol-1", "kg.mol-1"], "kg/mol", (1e3, 1.0), SI),
    row(D::MolarVolume, &["L/mol", "l/mol", "L mol-1", "L.mol-1", "L·mol⁻¹", "dm³/mol", "dm3/mol", "m³/kmol", "m3/kmol"], "L/mol", (1.0, 1.0), SI),
    row(D::MolarVolume, &["m³/mol", "m3/mol", "m3 mol-1", "m3.mol-1"], "m3/mol", (1e3, 1.0), SI),
    row(D::MolarVolume, &["mL/mol", "ml/mol", "cm³/mol", "cm3/mol"], "mL/mol", (1.0, 1e3), SI),
    // Temperature, base °C: both 20 °C and 293.15 K then come back exactly as they were.
    // A bare `C` is the coulomb to UCUM; people type `-5C`, and no field here could hold a charge.
    scale(&["°C", "Cel", "degC", "deg C", "C", "℃", "°c", "Celsius", "celsius", "degrees C", "degrees Celsius"], "Cel", 0.0, (1.0, 1.0), SI),
    scale(&["K", "kelvin", "Kelvin", "°K", "degK"], "K", 273.15, (1.0, 1.0), SI),
    scale(&["°F", "[degF]", "degF", "deg F", "F", "℉", "Fahrenheit", "fahrenheit", "degrees F", "degrees Fahrenheit"], "[degF]", 32.0, (5.0, 9.0), FAHRENHEIT),
    // Temperature difference, base K: no offset, so 1 °C is 1 K.
    row(D::TemperatureDifference, &["K", "kelvin", "Kelvin"], "K", (1.0, 1.0), SI),
    row(D::TemperatureDifference, &["°C", "Cel", "degC", "deg C", "C", "℃"], "Cel", (1.0, 1.0), SI),
    row(D::TemperatureDifference, &["°F", "[degF]", "degF", "deg F", "F", "℉"], "[degF]", (5.0, 9.0), FAHRENHEIT),
    // Pressure, base kPa.
    row(D::Pressure, &["kPa", "kpa", "KPa", "kilopascal", "kilopascals"], "kPa", (1.0, 1.0), SI),
    row(D::Pressure, &["hPa", "hectopascal", "hectopascals"], "hPa", (1.0, 10.0), SI),
    row(D::Pressure, &["Pa", "pascal", "pascals"], "Pa", (1.0, 1e3), SI),
    row(D::Pressure, &["MPa"], "MPa", (1e3, 1.0), SI),
    row(D::Pressure, &["bar"], "bar", (100.0, 1.0), SP_811),
    row(D::Pressure, &["mbar", "mb", "millibar", "millibars"], "mbar", (1.0, 10.0), SP_811),
    row(D::Pressure, &["atm", "atmosphere", "atmospheres"], "atm", (101.325, 1.0), ISO_2533),
    row(D::Pressure, &["mmHg", "mm[Hg]", "mm Hg", "mm-Hg", "mmhg"], "mm[Hg]", (0.133_322_387_415, 1.0), MERCURY),
    row(D::Pressure, &["cmHg", "cm[Hg]", "cm Hg"], "cm[Hg]", (1.333_223_874_15, 1.0), MERCURY),
    row(D::Pressure, &["Torr", "torr", "TORR"], "atm/760", (101.325, 760.0), SP_811),
    row(D::Pressure, &["inHg", "[in_i'Hg]", "in Hg", "in. Hg", "inhg", "in-Hg", "inches Hg"], "[in_i'Hg]", (3.386_388_640_341, 1.0), MERCURY),
    row(D::Pressure, &["inH2O", "[in_i'H2O]", "in H2O", "in. H2O", "inH₂O", "inches H2O", "inWC", "in WC"], "[in_i'H2O]", (0.249_088_91, 1.0), WATER),
    row(D::Pressure, &["mmH2O", "mm[H2O]", "mm H2O", "mmH₂O"], "mm[H2O]", (0.009_806_65, 1.0), WATER),
    row(D::Pressure, &["psi", "[psi]", "lbf/in2", "lbf/in²", "psia", "PSI"], "[psi]", (6.894_757_293_168_361, 1.0), SP_811),
    row(D::Pressure, &["kgf/cm²", "kgf/cm2", "kp/cm²", "kp/cm2"], "kgf/cm2", (98.0665, 1.0), SP_811),
    // Humidity: relative, base %RH; absolute, base g/m³.
    row(D::RelativeHumidity, &["%RH", "% RH", "%", "%rh", "% rh", "%r.h.", "% r.h.", "% R.H.", "%R.H.", "RH%", "RH %", "% rF", "%rF", "%HR", "% HR", "% relative humidity", "percent RH", "% r.H.", "% r. H.", "%r.H.", "percent", "%{RH}"], "%", (1.0, 1.0), UNITY),
    row(D::AbsoluteHumidity, &["g/m³", "g/m3", "g/m^3", "g m-3", "g.m-3", "g m^-3", "g·m⁻³", "g m⁻³", "g per m3", "g per m³"], "g/m3", (1.0, 1.0), SI),
    row(D::AbsoluteHumidity, &["mg/L", "mg L-1", "mg.L-1", "mg/l", "mg l-1", "mg.l-1", "mg/dm³", "mg/dm3"], "mg/L", (1.0, 1.0), SI),
    row(D::AbsoluteHumidity, &["mg/m³", "mg/m3", "mg/m^3", "mg m-3", "mg.m-3", "mg m^-3", "mg·m⁻³", "mg m⁻³", "mg per m3", "mg per m³"], "mg/m3", (1.0, 1e3), SI),
    // Altitude, base m; volume, base mL.
    row(D::Altitude, &["m", "metre", "metres", "meter", "meters", "m asl", "m a.s.l.", "masl", "m above sea level"], "m", (1.0, 1.0), SI),
    row(D::Altitude, &["km", "kilometre", "kilometres", "kilometer", "kilometers"], "km", (1e3, 1.0), SI),
    row(D::Altitude, &["ft", "[ft_i]", "foot", "feet", "ft asl"], "[ft_i]", (0.3048, 1.0), SP_811),
    row(D::Volume, &["mL", "ml", "millilitre", "millilitres", "milliliter", "milliliters"], "mL", (1.0, 1.0), SI),
    row(D::Volume, &["cm³", "cm3", "cc", "ccm", "cm^3"], "cm3", (1.0, 1.0), SI),
    row(D::Volume, &["L", "l", "litre", "litres", "liter", "liters"], "L", (1e3, 1.0), SI),
    row(D::Volume, &["dm³", "dm3"], "dm3", (1e3, 1.0), SI),
    row(D::Volume, &["m³", "m3", "m^3", "cbm"], "m3", (1e6, 1.0), SI),
    row(D::Volume, &["µL", "uL", "µl", "ul"], "uL", (1.0, 1e3), SI),
    row(D::Volume, &["in³", "in3", "[cin_i]", "cu in", "cu. in."], "[cin_i]", (16.387_064, 1.0), SP_811),
    row(D::Volume, &["ft³", "ft3", "[cft_i]", "cu ft", "cu. ft."], "[cft_i]", (28_316.846_592, 1.0), SP_811),
    row(D::Volume, &["US fl oz", "[foz_us]", "fl oz"], "[foz_us]", (29.573_529_562_5, 1.0), SP_811),
    // Duration, base s.
    row(D::Duration, &["s", "sec", "secs", "sec.", "second", "seconds"], "s", (1.0, 1.0), SI),
    row(D::Duration, &["min", "mins", "min.", "minute", "minutes"], "min", (60.0, 1.0), SI),
    row(D::Duration, &["h", "hr", "hrs", "hour", "hours"], "h", (3600.0, 1.0), SI),
    row(D::Duration, &["days", "d", "day"], "d", (86_400.0, 1.0), SI),
    row(D::Duration, &["weeks", "wk", "week"], "wk", (604_800.0, 1.0), SI),
    row(D::Duration, &["months", "mo", "month", "mo_j"], "mo_j", (2_629_800.0, 1.0), JULIAN),
    row(D::Duration, &["years", "a", "year", "yr", "yrs", "a_j"], "a_j", (31_557_600.0, 1.0), JULIAN),
    // Ratio, base 1. The row without a spelling is the plain number.
    row(D::Ratio, &["%", "percent", "per cent"], "%", (1.0, 100.0), UNITY),
    row(D::Ratio, &["‰", "per mille", "permille", "per mill"], "[ppth]", (1.0, 1e3), UNITY),
    row(D::Ratio, &[""], "1", (1.0, 1.0), UNITY),
];

/// A row of the table, found while compiling.
#[derive(Clone, Copy)]
pub(crate) struct UnitRow(usize);

impl UnitRow {
    #[expect(
        clippy::indexing_slicing,
        reason = "a `Row` is only made by `row_of`, which stops the build if out of range"
    )]
    #[inline]
    pub(crate) const fn unit(self) -> &'static Unit {
        &UNITS[self.0]
    }
}

/// The row of a canonical spelling. Only for constants: a spelling that is not there stops the build.
#[expect(
    clippy::indexing_slicing,
    clippy::panic,
    reason = "runs at compile time only, where it stops the build"
)]
pub(crate) const fn row_of(dimension: Dimension, canonical: &str) -> UnitRow {
    let mut row = 0;
    while row < UNITS.len() {
        if UNITS[row].dimension as u8 == dimension as u8
            && same(UNITS[row].canonical.as_bytes(), canonical.as_bytes())
        {
            return UnitRow(row);
        }
        row += 1;
    }
    panic!("no such unit")
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    match (a, b) {
        ([], []) => true,
        ([x, a @ ..], [y, b @ ..]) => *x == *y && same(a, b),
        _ => false,
    }
}
