//! Options for reading the files of a catalog.

use stainbook_document::ReadOptions;

/// Every file of a catalog is read with these.
pub const READ_OPTIONS: ReadOptions = ReadOptions {
    units: AFTER_A_NUMBER,
    nothing: Some("none"),
    ..ReadOptions::DEFAULT
};

/// The units that a number may stand before, as they begin. A substance (`1,3-butadiene`, `1,2 epoxypropane`) goes on
/// differently after its comma.
const AFTER_A_NUMBER: &[&str] = &[
    "ppm", "ppb", "ppt", "%", "mg", "g/", "µg", "μg", "ug", "µ", "μ", "°", "º", "K", "Pa", "kPa",
    "hPa", "mbar", "bar", "atm", "mm", "inHg", "psi", "mL", "ml", "L", "l/", "s", "min", "h", "m",
    "C", "F", "degC", "g",
];
