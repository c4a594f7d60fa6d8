//! The trait of all quantities: made from a number and a unit, refusing values that cannot be.

use std::fmt::{self, Debug};

use crate::constants::ZERO_CELSIUS_IN_KELVIN;
use crate::dimension::Dimension;
use crate::unit::Unit;
use crate::words::a;

/// A quantity that can be written as a number and a unit.
///
/// Each is read from text ([`FromStr`](std::str::FromStr)) and, through serde, kept as text with its unit. The constructors
/// that name a unit are `const`, for limits and set points that are checked while compiling:
///
/// ```
/// use stainbook_core::VolumeFraction;
///
/// const LIMIT: VolumeFraction = match VolumeFraction::from_ppm(25.0) {
///     Ok(limit) => limit,
///     Err(_) => panic!("no such volume fraction"),
/// };
/// let read: VolumeFraction = "0.0025 %".parse()?;
/// assert_eq!(read, LIMIT);
/// # Ok::<(), stainbook_core::WrittenError>(())
/// ```
///
/// # Example
///
/// ```
/// use stainbook_core::{Pressure, Quantity, unit_of};
///
/// let mmhg = unit_of(Pressure::DIMENSION, "mmHg")?;
/// let p = Pressure::from_unit(760.0, mmhg)?;
/// assert!((p.kilopascals() - 101.325).abs() < 1e-4);
/// assert!(Pressure::from_unit(-1.0, mmhg).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub trait Quantity: Copy + Debug + PartialEq + PartialOrd + Send + Sync + 'static {
    /// Dimension of the units that it may be written in.
    const DIMENSION: Dimension;

    /// The quantity's name in messages: `temperature`, `volume fraction`.
    const NAME: &'static str;

    /// The quantity of `value` times `unit`.
    ///
    /// # Errors
    ///
    /// [`QuantityError`]: the unit is not one of this dimension, or there is no such quantity (not a number, below
    /// absolute zero, a negative concentration, more than the whole).
    fn from_unit(value: f64, unit: &'static Unit) -> Result<Self, QuantityError>;

    /// The number that this quantity is in `unit`; not a number if the unit is of another dimension.
    fn in_unit(self, unit: &'static Unit) -> f64;
}

/// A quantity that cannot be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum QuantityError {
    /// Not a number, or too large to be one.
    NotFinite {
        /// The quantity's name.
        quantity: &'static str,
    },
    /// At or below absolute zero.
    BelowAbsoluteZero {
        /// The number given.
        value: f64,
        /// The unit it was given in.
        unit: &'static str,
    },
    /// Below zero, where the quantity has no negative values.
    Negative {
        /// The quantity's name.
        quantity: &'static str,
        /// The number given.
        value: f64,
        /// The unit it was given in.
        unit: &'static str,
    },
    /// Zero, where the quantity must be above it.
    Zero {
        /// The quantity's name.
        quantity: &'static str,
        /// The unit it was given in.
        unit: &'static str,
    },
    /// More than the whole.
    AboveWhole {
        /// The quantity's name.
        quantity: &'static str,
        /// The number given.
        value: f64,
        /// The unit it was given in.
        unit: &'static str,
        /// The whole, in that unit.
        whole: f64,
    },
    /// The unit belongs to another dimension.
    WrongUnit {
        /// The quantity's name.
        quantity: &'static str,
        /// The unit given.
        unit: &'static Unit,
    },
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { quantity } => write!(f, "{} must be a finite number", a(quantity)),
            Self::BelowAbsoluteZero { value, unit } => {
                write!(
                    f,
                    "`{value} {unit}` is not above absolute zero (-273.15 °C)"
                )
            }
            Self::Negative {
                quantity,
                value,
                unit,
            } => {
                write!(
                    f,
                    "`{value} {unit}` is below zero, which {} cannot be",
                    a(quantity)
                )
            }
            Self::Zero { quantity, unit } => write!(
                f,
                "`0 {unit}` is given, but {} must be above zero",
                a(quantity)
            ),
            Self::AboveWhole {
                quantity,
                value,
                unit,
                whole,
            } => {
                write!(
                    f,
                    "`{value} {unit}` is more than the whole, {} is at most `{whole} {unit}`",
                    a(quantity)
                )
            }
            Self::WrongUnit { quantity, unit } => {
                write!(
                    f,
                    "`{unit}` is a unit of {}, not of {quantity}",
                    unit.dimension()
                )
            }
        }
    }
}

impl std::error::Error for QuantityError {}

/// Values that a quantity may take, in its base unit.
#[derive(Clone, Copy)]
pub(crate) enum Allowed {
    AnyFinite,
    ZeroOrMore,
    AboveZero,
    AboveAbsoluteZero,
    UpTo(f64),
}

/// A value in `unit` as one in the base unit, checked.
#[inline]
pub(crate) const fn checked(
    value: f64,
    unit: &'static Unit,
    allowed: Allowed,
    quantity: &'static str,
) -> Result<f64, QuantityError> {
    let base = unit.to_base(value);
    if !base.is_finite() {
        return Err(QuantityError::NotFinite { quantity });
    }
    let below = match allowed {
        Allowed::AnyFinite => false,
        Allowed::AboveAbsoluteZero => {
            if base <= -ZERO_CELSIUS_IN_KELVIN {
                let unit = unit.canonical();
                return Err(QuantityError::BelowAbsoluteZero { value, unit });
            }
            false
        }
        Allowed::ZeroOrMore | Allowed::AboveZero | Allowed::UpTo(_) => base < 0.0,
    };
    if below {
        return Err(QuantityError::Negative {
            quantity,
            value,
            unit: unit.canonical(),
        });
    }
    match allowed {
        Allowed::UpTo(whole) if whole < base => Err(QuantityError::AboveWhole {
            quantity,
            value,
            unit: unit.canonical(),
            whole: unit.from_base(whole),
        }),
        Allowed::AboveZero if base <= 0.0 => Err(QuantityError::Zero {
            quantity,
            unit: unit.canonical(),
        }),
        // Adding positive zero turns a negative zero into a positive one, so that `-0` is never stored or printed.
        _ => Ok(base + 0.0),
    }
}

/// The part that every quantity of one dimension shares: the field, the trait, printing, a constructor and a getter for
/// each unit that is used in code.
macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $name:ident, $dimension:ident, $words:literal, $allowed:expr, $of:ident in $base:literal;
        $( $from:ident / $get:ident in $unit:literal ; )*
    ) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name {
            base: f64,
        }

        impl $name {
            /// A value that is known to be one: a constant, or worked out from checked quantities.
            #[inline]
            #[allow(dead_code, reason = "not every quantity is worked out from others")]
            pub(crate) const fn $of(base: f64) -> Self {
                Self { base }
            }

            /// A value that has been worked out in the base unit, checked.
            #[allow(dead_code, reason = "not every quantity is worked out from others")]
            fn from_base(base: f64) -> Result<Self, crate::QuantityError> {
                let base = crate::quantity::checked(base, Self::base_unit(), $allowed, $words)?;
                Ok(Self { base })
            }

            #[doc = concat!("The unit that a ", $words, " is kept and printed in: ", $base, ".")]
            #[inline]
            pub const fn base_unit() -> &'static crate::Unit {
                const UNIT: crate::unit_table::UnitRow = crate::unit_table::row_of(crate::Dimension::$dimension, $base);
                UNIT.unit()
            }

            $(
                #[doc = concat!("The ", $words, " of so many ", $unit, ".")]
                ///
                /// # Errors
                ///
                #[doc = concat!("[`QuantityError`](crate::QuantityError): there is no such ", $words, ".")]
                #[inline]
                pub const fn $from(value: f64) -> Result<Self, crate::QuantityError> {
                    const UNIT: crate::unit_table::UnitRow =
                        crate::unit_table::row_of(crate::Dimension::$dimension, $unit);
                    match crate::quantity::checked(value, UNIT.unit(), $allowed, $words) {
                        Ok(base) => Ok(Self { base }),
                        Err(error) => Err(error),
                    }
                }

                #[doc = concat!("The number of ", $unit, ".")]
                #[inline]
                pub const fn $get(self) -> f64 {
                    const UNIT: crate::unit_table::UnitRow =
                        crate::unit_table::row_of(crate::Dimension::$dimension, $unit);
                    UNIT.unit().from_base(self.base)
                }
            )*
        }

        impl crate::Quantity for $name {
            const DIMENSION: crate::Dimension = crate::Dimension::$dimension;
            const NAME: &'static str = $words;

            #[inline]
            fn from_unit(value: f64, unit: &'static crate::Unit) -> Result<Self, crate::QuantityError> {
                if unit.dimension() != Self::DIMENSION {
                    return Err(crate::QuantityError::WrongUnit { quantity: $words, unit });
                }
                let base = crate::quantity::checked(value, unit, $allowed, $words)?;
                Ok(Self { base })
            }

            #[inline]
            fn in_unit(self, unit: &'static crate::Unit) -> f64 {
                if unit.dimension() == Self::DIMENSION { unit.from_base(self.base) } else { f64::NAN }
            }
        }

        #[doc = concat!("In ", $base, ", to ten significant digits.")]
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&crate::print::tidy(Self::base_unit().from_base(self.base)))?;
                if !$base.is_empty() {
                    f.write_str(concat!(" ", $base))?;
                }
                Ok(())
            }
        }

        crate::quantity::text!($name, quantity => $name::base_unit());
    };
}
pub(crate) use quantity;

/// To and from text: a number with its unit, as [`Written`](crate::Written) reads it.
macro_rules! text {
    ($name:ident, $quantity:ident => $unit:expr) => {
        /// A number with its unit, in any spelling that [`Written`](crate::Written) accepts; the text itself is not kept.
        impl std::str::FromStr for $name {
            type Err = crate::WrittenError;

            fn from_str(text: &str) -> Result<Self, crate::WrittenError> {
                crate::Written::parse(text).map(|written| written.value())
            }
        }

        impl From<crate::Written<$name>> for $name {
            fn from(written: crate::Written<$name>) -> Self {
                written.value()
            }
        }

        /// As text with the base unit, in the fewest digits that give the same number back.
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let $quantity = *self;
                crate::serde_text::serialize($quantity, $unit, serializer)
            }
        }

        /// From text with a unit, in any spelling; a bare number is refused.
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                <crate::Written<Self> as serde::Deserialize>::deserialize(deserializer)
                    .map(|written| written.value())
            }
        }
    };
}
pub(crate) use text;

/// Sums, multiples and shares of a quantity whose zero means nothing of it.
macro_rules! additive {
    ($name:ident, $words:literal) => {
        impl $name {
            #[doc = concat!("The sum of two of this ", $words, ".")]
            ///
            /// # Errors
            ///
            /// [`QuantityError`](crate::QuantityError): the sum is more than can be.
            ///
            /// # Example
            ///
            /// ```
            /// use stainbook_core::Volume;
            /// let two_strokes = Volume::from_millilitres(100.0)?.plus(Volume::from_millilitres(100.0)?)?;
            /// assert_eq!(two_strokes.millilitres(), 200.0);
            /// # Ok::<(), stainbook_core::QuantityError>(())
            /// ```
            #[inline]
            pub fn plus(self, other: Self) -> Result<Self, crate::QuantityError> {
                Self::from_base(self.base + other.base)
            }

            #[doc = concat!("So many times this ", $words, ".")]
            ///
            /// # Errors
            ///
            /// [`QuantityError`](crate::QuantityError): the factor is negative or not a number, or the result is more than
            /// can be.
            ///
            /// # Example
            ///
            /// ```
            /// use stainbook_core::Volume;
            /// assert_eq!(Volume::from_millilitres(100.0)?.times(2.5)?.millilitres(), 250.0);
            /// # Ok::<(), stainbook_core::QuantityError>(())
            /// ```
            #[inline]
            pub fn times(self, factor: f64) -> Result<Self, crate::QuantityError> {
                Self::from_base(self.base * factor)
            }

            #[doc = concat!("How many times another ", $words, " this one is; not finite if the other is zero.")]
            #[inline]
            pub fn ratio_to(self, other: Self) -> f64 {
                self.base / other.base
            }
        }
    };
}
pub(crate) use additive;

/// A quantity that is one of two, which nothing makes comparable but a condition that it does not hold.
macro_rules! either {
    (
        $name:ident, $dimension:ident, $words:literal;
        $( $kind:ident($of:ident) in $unit:ident, $get:ident $get_words:literal );* $(;)?
    ) => {
        impl $name {
            $(
                #[doc = concat!("The ", $get_words, ", if it is one.")]
                pub const fn $get(self) -> Option<$of> {
                    match self {
                        Self::$kind(quantity) => Some(quantity),
                        _ => None,
                    }
                }
            )*

            /// Dimension of its kind.
            pub const fn dimension(self) -> crate::Dimension {
                match self {
                    $( Self::$kind(_) => crate::Dimension::$unit, )*
                }
            }

            /// The unit that its kind is kept and printed in.
            pub const fn base_unit(self) -> &'static crate::Unit {
                match self {
                    $( Self::$kind(_) => $of::base_unit(), )*
                }
            }
        }

        impl crate::Quantity for $name {
            const DIMENSION: crate::Dimension = crate::Dimension::$dimension;
            const NAME: &'static str = $words;

            fn from_unit(value: f64, unit: &'static crate::Unit) -> Result<Self, crate::QuantityError> {
                match unit.dimension() {
                    $( crate::Dimension::$unit => $of::from_unit(value, unit).map(Self::$kind), )*
                    _ => Err(crate::QuantityError::WrongUnit { quantity: $words, unit }),
                }
            }

            fn in_unit(self, unit: &'static crate::Unit) -> f64 {
                match self {
                    $( Self::$kind(quantity) => quantity.in_unit(unit), )*
                }
            }
        }

        /// In the unit that its kind is kept in.
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                match self {
                    $( Self::$kind(quantity) => quantity.fmt(f), )*
                }
            }
        }

        crate::quantity::text!($name, quantity => quantity.base_unit());

        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
                match (self, other) {
                    $( (Self::$kind(a), Self::$kind(b)) => a.partial_cmp(b), )*
                    _ => None,
                }
            }
        }

        $(
            impl From<$of> for $name {
                fn from(quantity: $of) -> Self {
                    Self::$kind(quantity)
                }
            }
        )*
    };
}
pub(crate) use either;
