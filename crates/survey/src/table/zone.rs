//! Zone of dates that say none.

use std::str::FromStr;

use jiff::tz::Offset;

/// Offset from UTC of the clock that a table's dates without a zone were read from, the same for all of them.
///
/// ```
/// use stainbook_survey::table::Zone;
///
/// assert_eq!("+02:00".parse::<Zone>().unwrap().to_string(), "+02:00");
/// assert_eq!("Z".parse::<Zone>().unwrap().to_string(), "+00:00");
/// // A name would need the rules of every country, summer time included.
/// assert!("Europe/Oslo".parse::<Zone>().is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Zone(Offset);

/// A text that is no distance from UTC.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "`{text}` is not a distance from UTC: write it as in `+02:00`, `-05:30` or `Z`; readings from before and after the clocks were changed need a survey each"
)]
#[non_exhaustive]
pub struct NoZone {
    /// The text as it was given.
    pub text: String,
}

impl FromStr for Zone {
    type Err = NoZone;

    fn from_str(text: &str) -> Result<Self, NoZone> {
        let wrong = || NoZone {
            text: text.to_owned(),
        };
        if text.eq_ignore_ascii_case("z") || text.eq_ignore_ascii_case("utc") {
            return Ok(Self(Offset::UTC));
        }
        let (sign, rest) = match (text.strip_prefix('+'), text.strip_prefix(['-', '−'])) {
            (Some(rest), _) => (1, rest),
            (_, Some(rest)) => (-1, rest),
            _ => return Err(wrong()),
        };
        let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "0"));
        let (hours, minutes): (i32, i32) = (
            hours.parse().map_err(|_| wrong())?,
            minutes.parse().map_err(|_| wrong())?,
        );
        // The farthest that any clock is: UTC−12 to UTC+14.
        if !(0..=14).contains(&hours) || !(0..60).contains(&minutes) {
            return Err(wrong());
        }
        Offset::from_seconds(sign * (hours * 3600 + minutes * 60))
            .map(Self)
            .map_err(|_| wrong())
    }
}

impl std::fmt::Display for Zone {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let seconds = self.0.seconds();
        let sign = if seconds < 0 { '-' } else { '+' };
        let minutes = seconds.abs() / 60;
        write!(f, "{sign}{:02}:{:02}", minutes / 60, minutes % 60)
    }
}
