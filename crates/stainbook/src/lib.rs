//! A lab's own book of short-term detector-tube data, checked, and the arithmetic that turns a stain into a concentration
//! that can be defended.
//!
//! ```
//! use stainbook::conversion::{Gas, PressureGiven, Terms, convert};
//! use stainbook::core::unit;
//!
//! // 25 ppm of carbon monoxide, in the smokehouse at 1,600 m and 8 °C.
//! let terms = Terms {
//!     gas: Some(Gas::OfMolarMass("28.010 g/mol".parse()?)),
//!     temperature: Some("8 °C".parse()?),
//!     pressure: Some(PressureGiven::Altitude("1600 m".parse()?)),
//!     ..Terms::default()
//! };
//! let conversion = convert(&"25 ppm".parse()?, unit("mg/m3")?, &terms).map_err(|refused| refused.message)?;
//! assert_eq!(conversion.result.text, "25.0 mg/m³");
//! // The altitude only stands in for the pressure, and the answer says so.
//! assert_eq!(conversion.assumptions[0].code, "standard-atmosphere");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # What is where
//!
//! | for | look at |
//! | --- | --- |
//! | quantities, units, conversion, humidity, the standard atmosphere | [`core`] |
//! | reading a catalog's files, finding its entries | [`catalog`], [`Book`] |
//! | what is wrong with a catalog | [`check`], [`check_book`] |
//! | from readings to results | [`reading`] |
//! | findings, sheets and results as text, JSON or CSV | [`present`] |
//! | one conversion with everything it rests on | [`conversion`] |
//!
//! Nothing here reads a file, knows the time or prints: the caller hands over texts and dates, and gets data back. The
//! command of the same name is one such caller.
//!
//! # What it does not do
//!
//! It does not decide whether people may enter. Detector tubes alone never clear a confined space, nor an
//! oxygen-deficient or explosive atmosphere; a competent person decides, by the local code.

#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::indexing_slicing,
        clippy::panic,
        clippy::float_cmp,
        reason = "a test may stop at the first thing that is not as it says"
    )
)]

pub mod conversion;
pub mod template;

pub use stainbook_catalog as catalog;
pub use stainbook_check as check;
pub use stainbook_core as core;
pub use stainbook_present as present;
pub use stainbook_reading as reading;

pub use stainbook_catalog::finding::{Finding, Level};
pub use stainbook_catalog::{Book, EntryKind, SourceFile};
