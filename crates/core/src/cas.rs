//! CAS Registry Numbers and their check digit.

use std::fmt;
use std::str::FromStr;

/// A CAS Registry Number whose form and check digit are right.
///
/// Two to seven digits, a hyphen, two digits, a hyphen, a check digit; no leading zeros. The check digit is the sum of the
/// other digits, counted from the right and multiplied by 1, 2, 3 …, modulo 10. Source: CAS, "Check Digit Verification of
/// CAS Registry Numbers", cas.org.
///
/// A right check digit does not prove a right number: every swap of two neighbouring unlike digits is caught, but about one
/// in ten single wrong digits is not, because some of the factors share a divisor with 10.
///
/// # Example
///
/// ```
/// use stainbook_core::{CasError, CasNumber};
///
/// let co: CasNumber = "630-08-0".parse()?;
/// assert_eq!(co.to_string(), "630-08-0");
/// assert!(matches!("630-08-1".parse::<CasNumber>(), Err(CasError::CheckDigit { expected: 0, .. })));
/// # Ok::<(), CasError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CasNumber {
    /// All digits, the check digit last, as one number.
    digits: u64,
}

impl CasNumber {
    /// Reads a CAS number.
    ///
    /// # Errors
    ///
    /// [`CasError`], which tells a wrong form from a wrong check digit.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_core::CasNumber;
    ///
    /// assert_eq!(CasNumber::parse("7664-41-7")?.to_string(), "7664-41-7");
    /// assert!(CasNumber::parse("7664-41-8").is_err());
    /// # Ok::<(), stainbook_core::CasError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, CasError> {
        let given = || text.to_owned();
        if text.trim().is_empty() {
            return Err(CasError::Empty);
        }
        if text.trim() != text {
            return Err(CasError::Spaces { given: given() });
        }
        if let Some(dash) = text
            .chars()
            .find(|c| matches!(c, '‐' | '‑' | '‒' | '–' | '—' | '−'))
        {
            return Err(CasError::Dash {
                given: given(),
                dash,
            });
        }
        if let Some(other) = text.chars().find(|c| !c.is_ascii_digit() && *c != '-') {
            return Err(CasError::NotADigit {
                given: given(),
                letter: other,
            });
        }
        let mut groups = text.split('-');
        let (Some(first), Some(second), Some(check), None) =
            (groups.next(), groups.next(), groups.next(), groups.next())
        else {
            return Err(CasError::Groups { given: given() });
        };
        if !(2..=7).contains(&first.trim_start_matches('0').len())
            || second.len() != 2
            || check.len() != 1
        {
            // `0000050-00-0` has leading zeros and nothing else wrong with it.
            return Err(CasError::Lengths { given: given() });
        }
        if first.starts_with('0') {
            return Err(CasError::LeadingZero { given: given() });
        }
        let digits = first.bytes().chain(second.bytes()).chain(check.bytes());
        let digits = digits.fold(0, |number: u64, digit| {
            number * 10 + u64::from(digit - b'0')
        });
        let (expected, found) = (check_digit(digits / 10), last_digit(digits));
        if expected == found {
            Ok(Self { digits })
        } else {
            Err(CasError::CheckDigit {
                given: given(),
                found,
                expected,
            })
        }
    }

    /// The check digit.
    pub const fn check_digit(self) -> u8 {
        last_digit(self.digits)
    }
}

const fn last_digit(number: u64) -> u8 {
    (number % 10).to_le_bytes()[0]
}

/// The check digit of a number without its own.
const fn check_digit(mut body: u64) -> u8 {
    let mut sum = 0;
    let mut factor = 1;
    while 0 < body {
        sum += body % 10 * factor;
        body /= 10;
        factor += 1;
    }
    last_digit(sum)
}

impl FromStr for CasNumber {
    type Err = CasError;

    fn from_str(text: &str) -> Result<Self, CasError> {
        Self::parse(text)
    }
}

impl fmt::Display for CasNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}-{:02}-{}",
            self.digits / 1000,
            self.digits / 10 % 100,
            self.digits % 10
        )
    }
}

/// A text that is no CAS number.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum CasError {
    /// Nothing is written.
    Empty,
    /// Spaces before or behind.
    Spaces {
        /// The text as it was given.
        given: String,
    },
    /// Something else than digits and hyphens.
    NotADigit {
        /// The text as it was given.
        given: String,
        /// The first letter that is neither.
        letter: char,
    },
    /// A dash or a minus sign in the place of a hyphen.
    Dash {
        /// The text as it was given.
        given: String,
        /// The dash.
        dash: char,
    },
    /// Not three groups with hyphens between.
    Groups {
        /// The text as it was given.
        given: String,
    },
    /// A group with too few or too many digits.
    Lengths {
        /// The text as it was given.
        given: String,
    },
    /// Zeros before the first digit.
    LeadingZero {
        /// The text as it was given.
        given: String,
    },
    /// The check digit does not fit.
    CheckDigit {
        /// The text as it was given.
        given: String,
        /// The check digit as written.
        found: u8,
        /// The check digit that the other digits ask for.
        expected: u8,
    },
}

impl CasError {
    /// True if the form is right and only the check digit is not: a slip in one of the digits.
    pub const fn is_check_digit(&self) -> bool {
        matches!(self, Self::CheckDigit { .. })
    }

    /// The number as it should be written, where only the writing is wrong. A wrong check digit has no suggestion: any
    /// of the digits may be the wrong one.
    pub fn suggestion(&self) -> Option<String> {
        let better = match self {
            Self::Spaces { given } => given.trim().to_owned(),
            Self::Dash { given, .. } => given.replace(['‐', '‑', '‒', '–', '—', '−'], "-"),
            Self::LeadingZero { given } => given.trim_start_matches('0').to_owned(),
            // `7664417`: the digits alone, with the hyphens left out.
            Self::Groups { given }
                if given.bytes().all(|b| b.is_ascii_digit()) && 5 <= given.len() =>
            {
                let (first, rest) = given.split_at(given.len() - 3);
                let (second, check) = rest.split_at(2);
                format!("{first}-{second}-{check}")
            }
            _ => return None,
        };
        CasNumber::parse(&better).is_ok().then_some(better)
    }
}

impl fmt::Display for CasError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("a CAS number is missing"),
            Self::Spaces { given } => {
                write!(f, "`{given}` has spaces about it, write `{}`", given.trim())
            }
            Self::NotADigit { given, letter } => {
                write!(
                    f,
                    "`{letter}` in `{given}` has no place in a CAS number, which has digits and hyphens only"
                )
            }
            Self::Dash { given, dash } => {
                write!(f, "`{dash}` in `{given}` is a dash, write a hyphen `-`")
            }
            Self::Groups { given } => {
                write!(
                    f,
                    "`{given}` is no CAS number, which has three groups of digits such as `7664-41-7`"
                )
            }
            Self::Lengths { given } => {
                write!(
                    f,
                    "`{given}` is no CAS number, whose groups have two to seven digits, two digits and one digit"
                )
            }
            Self::LeadingZero { given } => write!(
                f,
                "`{given}` starts with a zero, which a CAS number does not"
            ),
            Self::CheckDigit {
                given,
                found,
                expected,
            } => write!(
                f,
                "`{given}` has the check digit `{found}` where its other digits ask for `{expected}`, so one of its \
                 digits is wrong"
            ),
        }
    }
}

impl std::error::Error for CasError {}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn good_ones() {
        for text in [
            "107-07-3",
            "71-23-8",
            "7732-18-5",
            "75-44-5",
            "7664-41-7",
            "630-08-0",
            "50-00-0",
        ] {
            assert_eq!(CasNumber::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn each_wrong_form_is_told_apart() {
        for (text, message, suggestion) in [
            ("", "is missing", None),
            ("   ", "is missing", None),
            (" 50-00-0", "spaces", Some("50-00-0")),
            (
                "50-00-1",
                "check digit `1` where its other digits ask for `0`",
                None,
            ),
            ("50-0-0", "two digits and one digit", None),
            ("0000050-00-0", "starts with a zero", Some("50-00-0")),
            ("7664417", "three groups", Some("7664-41-7")),
            ("7664-417", "three groups", None),
            ("7664-41-7-1", "three groups", None),
            ("7664–41–7", "is a dash", Some("7664-41-7")),
            ("7664-41-X", "`X`", None),
            ("12345678-00-0", "two to seven", None),
            ("1-00-0", "two to seven", None),
            ("--", "two to seven", None),
        ] {
            let error = CasNumber::parse(text).unwrap_err();
            assert!(error.to_string().contains(message), "{text}: {error}");
            assert_eq!(error.suggestion().as_deref(), suggestion, "{text}");
        }
    }

    proptest! {
        #[test]
        fn exactly_one_check_digit_fits(body in 1_000_u64..999_999_999) {
            let (first, second) = (body / 100, body % 100);
            let fitting = (0..10).filter(|d| CasNumber::parse(&format!("{first}-{second:02}-{d}")).is_ok()).count();
            prop_assert_eq!(fitting, 1);
        }

        #[test]
        fn neighbours_swapped_are_caught(body in proptest::collection::vec(0_u64..10, 4..10), at in 0_usize..9) {
            let at = at % (body.len() - 1);
            let number = |digits: &[u64]| digits.iter().fold(0, |number, digit| number * 10 + digit);
            let mut swapped = body.clone();
            swapped.swap(at, at + 1);
            let same = check_digit(number(&swapped)) == check_digit(number(&body));
            prop_assert_eq!(same, body[at] == body[at + 1]);
        }

        #[test]
        fn never_panics(text in "\\PC{0,16}") {
            if let Err(error) = CasNumber::parse(&text) {
                prop_assert!(!error.to_string().is_empty());
                let _ = error.suggestion();
            }
        }
    }
}
