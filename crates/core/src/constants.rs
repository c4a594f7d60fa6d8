//! Constants of nature and of convention, each with its source.

/// The molar gas constant in J/(mol·K), exact since 2019.
///
/// Source: SI Brochure, 9th edition (2019): R = k·N_A with k = 1.380 649e-23 J/K and N_A = 6.022 140 76e23 /mol.
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// 0 °C in kelvin, exact. Source: SI Brochure, 9th edition (2019), 2.3.1.
pub const ZERO_CELSIUS_IN_KELVIN: f64 = 273.15;

/// The standard atmosphere in kPa, exact. Source: 10th General Conference on Weights and Measures (1954), resolution 4.
pub const STANDARD_ATMOSPHERE_KPA: f64 = 101.325;

/// The molar mass of water in g/mol, ocean-water isotopes. Source: IAPWS R6-95(2018), from memory.
///
/// The abridged atomic weights give 18.015; the finer value matters only where humidity is compared with tables.
pub const WATER_MOLAR_MASS: f64 = 18.015_268;

/// Standard acceleration of free fall in m/s², exact. Source: ISO 2533:1975.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// The gas constant that the standard atmosphere is defined with, in J/(kmol·K). Source: ISO 2533:1975.
pub const ATMOSPHERE_GAS_CONSTANT: f64 = 8314.32;

/// The molar mass of dry air that the standard atmosphere is defined with, in kg/kmol.
///
/// Source: US Standard Atmosphere 1976 and ICAO Doc 7488/3. ISO 2533:1975 prints 28.964 420, which changes the pressure at
/// 6,000 m by less than 0.03 Pa.
pub const ATMOSPHERE_MOLAR_MASS: f64 = 28.9644;

/// Temperature of the standard atmosphere at sea level in K. Source: ISO 2533:1975.
pub const ATMOSPHERE_SEA_LEVEL_KELVIN: f64 = 288.15;

/// Temperature lapse of the lowest layer of the standard atmosphere in K/m of geopotential. Source: ISO 2533:1975.
pub const ATMOSPHERE_LAPSE: f64 = 0.0065;

/// Nominal radius of the Earth in m, for geopotential altitude. Source: ISO 2533:1975.
pub const EARTH_RADIUS: f64 = 6_356_766.0;
