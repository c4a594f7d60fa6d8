//! Defaults where neither sheet nor survey says anything. Every result names each of these that it used.

use stainbook_catalog::written::ReadsTo;

/// The part of a space between two marks to which a stain is read where nobody says. Common practice, no source.
pub const READS_TO: ReadsTo = ReadsTo::Half;

/// Accuracy of a reading where the leaflet is silent, as a part of the true value, with [`CONFIDENCE`].
///
/// Source: the former 42 CFR Part 84 on gas detector tube units asked for ±25 % at 1, 2 and 5 times the test level; the
/// confidence of 95 % is from memory.
pub const ACCURACY_WITHIN: f64 = 0.25;

/// Fraction of readings that keep to a stated accuracy where the leaflet does not say: 95 %, from memory, as above.
pub const CONFIDENCE: f64 = 0.95;

/// The relative standard deviation where the leaflet states none. Common practice, no source.
pub const REPEATABILITY: f64 = 0.10;

/// Tolerance of a stroke about its nominal volume where no pump is named. Common practice, no source.
pub const VOLUME_TOLERANCE: f64 = 0.05;

/// Half the width within which a temperature is known, in K. Common practice, no source.
pub const TEMPERATURE_WITHIN: f64 = 1.0;

/// Half the width within which a relative humidity is known, in %RH. Common practice, no source.
pub const RELATIVE_HUMIDITY_WITHIN: f64 = 5.0;

/// Half the width within which an absolute humidity is known, as a part of it. Common practice, no source.
pub const ABSOLUTE_HUMIDITY_WITHIN: f64 = 0.10;

/// Half the width within which a station pressure is known, as a part of it. Common practice, no source.
pub const STATION_PRESSURE_WITHIN: f64 = 0.005;

/// Half the width within which the weather keeps the pressure about the standard atmosphere's, as a part of it: the
/// upper end of the 2 to 3 % that are common practice, no source.
pub const STANDARD_ATMOSPHERE_WITHIN: f64 = 0.03;

/// Half the width of a station pressure that was worked out from a weather report's: the temperature of the column of
/// air below the place is not known, which makes up to 1 % at 1,600 m.
pub const REDUCED_PRESSURE_WITHIN: f64 = 0.01;

/// The relative standard uncertainty of a factor for another gas where the leaflet states none. Common practice, no source.
pub const OTHER_GAS_FACTOR: f64 = 0.20;

/// The relative standard uncertainty of the response to a disturbing gas where the leaflet states none. Common practice,
/// no source.
pub const RESPONSE: f64 = 0.30;

/// The relative standard uncertainty of the level of a disturbing gas where the survey states none. Common practice, no
/// source.
pub const LEVEL: f64 = 0.20;

/// A multiplier is taken to be printed to a tenth at least: `3` on a leaflet is not meant as anything from 2.5 to 3.5.
pub const MULTIPLIER_HALF_STEP: f64 = 0.05;

/// Coverage probability of intervals and of the expanded uncertainty. Source: JCGM 100:2008, 6.3.3.
pub const COVERAGE: f64 = 0.95;

/// A relative standard uncertainty above this is flagged: first-order propagation and a normal distribution are then
/// rough, the lower end of the interval most of all. Our own bound: at 40 % the interval begins at a fifth of the value.
pub const LARGE_RELATIVE_UNCERTAINTY: f64 = 0.40;

/// Below this probability of being above a limit the verdict is `below`, above its complement `above`.
/// Source: JCGM 106:2012, 8.2, leaves the level to the user; 5 % is common practice.
pub const GUARD: f64 = 0.05;

/// A station pressure that is so far from the standard atmosphere's at the stated altitude, as a part of it, is no
/// station pressure: weather does not move it by more than 3 %, and a sea-level pressure shows from about 450 m up.
pub const PRESSURE_CONTRADICTS_ALTITUDE: f64 = 0.05;

/// Tolerance at the ends of the printed measuring range of a stroke count: the printed ends are
/// rounded.
pub const PRINTED_RANGE_ROUNDING: f64 = 0.05;

/// Two stroke volumes that differ by more, as a part, are different strokes.
pub const SAME_STROKE: f64 = 0.01;

/// A tube whose temperature differs from the air's by more, in K, is worth a word.
pub const TUBE_AND_AIR: f64 = 5.0;
