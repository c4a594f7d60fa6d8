//! The scalars of the written form: a quantity with its unit, a bare number, a day, a range of lots.
//!
//! Each keeps the author's text: see [`stainbook_document::typed`] for how it gets here.

use jiff::civil::Date;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use smol_str::SmolStr;
use stainbook_core::{Decimal, Quantity, Written, WrittenRange, WrittenSpan};

use super::scalar_problem;
use stainbook_document::typed::{FromText, NUMBER, Problem, QUANTITY, from_text};

/// A scalar of the written form: read from its text, described by a schema in its place, and, as `text`, written as it was.
macro_rules! scalar {
    ($type:ident $(<$q:ident>)?, $name:expr, $schema:tt) => {
        impl<'de $(, $q: Quantity)?> Deserialize<'de> for $type $(<$q>)? {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                from_text(deserializer)
            }
        }

        impl$(<$q: Quantity>)? JsonSchema for $type $(<$q>)? {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> std::borrow::Cow<'static, str> {
                $name.into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!($schema)
            }
        }
    };
    (text $type:ident $(<$q:ident>)?, $name:expr, $schema:tt) => {
        impl$(<$q: Quantity>)? Serialize for $type $(<$q>)? {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.text())
            }
        }

        scalar!($type $(<$q>)?, $name, $schema);
    };
}

pub(super) use scalar;

/// A quantity as it was written, with its unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated<Q>(Written<Q>);

impl<Q: Quantity> Stated<Q> {
    /// Wraps a written quantity.
    pub fn new(written: Written<Q>) -> Self {
        Self(written)
    }
}

impl<Q> std::ops::Deref for Stated<Q> {
    type Target = Written<Q>;

    fn deref(&self) -> &Written<Q> {
        &self.0
    }
}

impl<Q: Quantity> FromText for Stated<Q> {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a number with its unit";

    fn read(text: &str) -> Result<Self, Problem> {
        Written::parse(text)
            .map(Self)
            .map_err(|error| scalar_problem::of_quantity(&error))
    }
}

scalar!(text Stated<Q>, Q::NAME, {"type": "string", "format": Q::NAME});

/// A range of a quantity as it was written: `0 to 40 °C`.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedRange<Q>(WrittenRange<Q>);

impl<Q> std::ops::Deref for StatedRange<Q> {
    type Target = WrittenRange<Q>;

    fn deref(&self) -> &WrittenRange<Q> {
        &self.0
    }
}

impl<Q: Quantity> FromText for StatedRange<Q> {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a range with its unit, such as `0 to 40 °C`";

    fn read(text: &str) -> Result<Self, Problem> {
        WrittenRange::parse(text)
            .map(Self)
            .map_err(|error| scalar_problem::of_quantity(&error))
    }
}

scalar!(text StatedRange<Q>, format!("range of {}", Q::NAME), {"type": "string", "format": format!("range of {}", Q::NAME)});

/// A span of a quantity as it was written, open at one end or not: `above 30 °C`, `30 to 60 %RH`; one quantity alone is
/// both of its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedSpan<Q> {
    low: Option<Written<Q>>,
    high: Option<Written<Q>>,
    text: SmolStr,
}

impl<Q: Quantity> StatedSpan<Q> {
    /// The lower end; nothing where the span has none.
    pub fn low(&self) -> Option<&Written<Q>> {
        self.low.as_ref()
    }

    /// The upper end; nothing where the span has none.
    pub fn high(&self) -> Option<&Written<Q>> {
        self.high.as_ref()
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<Q: Quantity> FromText for StatedSpan<Q> {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str =
        "a range with its unit, such as `0 to 40 °C`, or one open end, such as `above 30 °C`";

    fn read(text: &str) -> Result<Self, Problem> {
        if let Ok(one) = Written::<Q>::parse(text) {
            return Ok(Self {
                low: Some(one.clone()),
                high: Some(one),
                text: text.into(),
            });
        }
        WrittenSpan::<Q>::parse(text)
            .map(|span| Self {
                low: span.low().cloned(),
                high: span.high().cloned(),
                text: text.into(),
            })
            .map_err(|error| scalar_problem::of_quantity(&error))
    }
}

scalar!(text StatedSpan<Q>, format!("span of {}", Q::NAME), {"type": "string", "format": format!("span of {}", Q::NAME)});

/// The digits of a number in quotation marks, in which programs write a number whose last zeros count: see
/// [`Decimal`]'s way through serde.
const DIGITS: &str = r"^[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?$";

/// A bare number with the digits that were written.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Num(Decimal);

impl Num {
    /// Wraps a number.
    pub fn new(decimal: Decimal) -> Self {
        Self(decimal)
    }
}

impl std::ops::Deref for Num {
    type Target = Decimal;

    fn deref(&self) -> &Decimal {
        &self.0
    }
}

impl FromText for Num {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a number";

    fn read(text: &str) -> Result<Self, Problem> {
        Decimal::parse(text)
            .map(Self)
            .map_err(|error| scalar_problem::of_number(&error))
    }
}

scalar!(Num, "number", {"type": ["number", "string"], "pattern": DIGITS});

/// A whole number from 0 up.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Count(u32);

impl Count {
    /// The number.
    pub fn value(&self) -> u32 {
        self.0
    }
}

impl FromText for Count {
    const NEWTYPE: &'static str = NUMBER;
    const EXPECTED: &'static str = "a whole number";

    fn read(text: &str) -> Result<Self, Problem> {
        text.trim()
            .parse()
            .map(Self)
            .map_err(|_| scalar_problem::whole_number(text))
    }
}

scalar!(Count, "count", {"type": "integer", "minimum": 0});

/// A day, or a month or year that stands for its last day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    first: Date,
    last: Date,
    text: SmolStr,
}

impl Day {
    /// The day from which a date as written may count: the first of a month.
    pub fn first(&self) -> Date {
        self.first
    }

    /// The day that the written date means where it is a bound: the last of a month.
    pub fn last(&self) -> Date {
        self.last
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for Day {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str = "a date such as `2026-03-02`, or a month such as `2026-03`";

    fn read(text: &str) -> Result<Self, Problem> {
        let problem = || scalar_problem::date(text);
        let digits = |part: &str, long: usize| {
            (part.len() == long && part.bytes().all(|b| b.is_ascii_digit()))
                .then(|| part.parse::<i16>().ok())
                .flatten()
                .ok_or_else(problem)
        };
        let mut parts = text.split('-');
        let year = digits(parts.next().unwrap_or(""), 4)?;
        let month = parts.next().map(|part| digits(part, 2)).transpose()?;
        let day = parts.next().map(|part| digits(part, 2)).transpose()?;
        if parts.next().is_some() {
            return Err(problem());
        }
        let date = |month: i16, day: i16| {
            let month = i8::try_from(month).map_err(|_| problem())?;
            let day = i8::try_from(day).map_err(|_| problem())?;
            Date::new(year, month, day).map_err(|_| problem())
        };
        let (first, last) = match (month, day) {
            (Some(month), Some(day)) => (date(month, day)?, date(month, day)?),
            (Some(month), None) => (date(month, 1)?, date(month, 1)?.last_of_month()),
            (None, _) => (date(1, 1)?, date(12, 31)?),
        };
        Ok(Self {
            first,
            last,
            text: text.into(),
        })
    }
}

scalar!(text Day, "day", {"type": "string", "pattern": "^\\d{4}(-\\d{2}(-\\d{2})?)?$"});

/// A date and time with its zone: `2026-03-02T07:40+00:00`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    instant: jiff::Timestamp,
    date: Date,
    text: SmolStr,
}

impl Moment {
    /// The instant, for putting readings in order.
    pub fn instant(&self) -> jiff::Timestamp {
        self.instant
    }

    /// The calendar day at the place, for judging an expiry.
    pub fn date(&self) -> Date {
        self.date
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl FromText for Moment {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str =
        "a date and time with its zone, such as `2026-03-02T07:40+00:00`";

    fn read(text: &str) -> Result<Self, Problem> {
        let instant = text
            .parse::<jiff::Timestamp>()
            .map_err(|_| scalar_problem::moment(text))?;
        let date = text
            .get(..10)
            .and_then(|day| day.parse::<Date>().ok())
            .ok_or_else(|| scalar_problem::moment(text))?;
        Ok(Self {
            instant,
            date,
            text: text.into(),
        })
    }
}

scalar!(text Moment, "moment", {"type": "string"});

/// Which lots a leaflet belongs to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lots {
    spans: Vec<LotSpan>,
    text: SmolStr,
}

/// One run of lots; an open end has no bound.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LotSpan {
    /// The first lot.
    pub first: Option<String>,
    /// The last lot.
    pub last: Option<String>,
}

impl Lots {
    /// The runs of lots, in the order in which they were written.
    pub fn spans(&self) -> &[LotSpan] {
        &self.spans
    }

    /// True if the lot is one of these. Lots are compared piece by piece, numbers as numbers: `24-9` comes before `24-100`.
    pub fn contains(&self, lot: &str) -> bool {
        self.spans.iter().any(|span| span.contains(lot))
    }

    /// True if the lot is one of these, and spelt so that its place among them means something: letters, digits and marks
    /// come in the order in which they stand in the bounds, whatever follows. `24-131b` is spelt as in `from 24-100`; `A1`
    /// is not, and comes behind it only because letters come behind digits.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_catalog::written::scalars::Lots;
    /// use stainbook_document::typed::FromText;
    ///
    /// let lots = Lots::read("from 24-100").unwrap();
    /// assert!(lots.contains("24-131b") && lots.contains_as_spelt("24-131b"));
    /// assert!(lots.contains("A1") && !lots.contains_as_spelt("A1"));
    /// ```
    pub fn contains_as_spelt(&self, lot: &str) -> bool {
        let spelling = lot_spelling(lot);
        self.spans.iter().any(|span| {
            let mut bounds = span.first.iter().chain(&span.last);
            span.contains(lot) && bounds.all(|bound| spelling.starts_with(&lot_spelling(bound)))
        })
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl LotSpan {
    fn contains(&self, lot: &str) -> bool {
        let (first, last) = (self.first.as_deref(), self.last.as_deref());
        first.is_none_or(|first| lot_order(first, lot).is_le())
            && last.is_none_or(|last| lot_order(lot, last).is_le())
    }
}

/// A lot with `0` for every number and `a` for every letter; marks stay.
fn lot_spelling(lot: &str) -> String {
    let mut spelling = String::new();
    for piece in lot_pieces(lot) {
        match piece {
            LotPiece::Number(_) => spelling.push('0'),
            LotPiece::Text(text) => {
                let letter_or_mark = |c: char| if c.is_alphabetic() { 'a' } else { c };
                spelling.extend(text.chars().map(letter_or_mark));
            }
        }
    }
    spelling
}

/// Compares two lots piece by piece: digits as numbers, everything else as text without regard to case.
pub fn lot_order(a: &str, b: &str) -> std::cmp::Ordering {
    lot_pieces(a).cmp(&lot_pieces(b))
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum LotPiece {
    Number(u64),
    Text(String),
}

fn lot_pieces(lot: &str) -> Vec<LotPiece> {
    let mut pieces = Vec::new();
    let mut rest = lot.trim();
    while let Some(start) = rest.chars().next() {
        let numeric = start.is_ascii_digit();
        let end = rest
            .find(|c: char| c.is_ascii_digit() != numeric)
            .unwrap_or(rest.len());
        let (piece, tail) = rest.split_at(end);
        pieces.push(match piece.parse() {
            Ok(number) if numeric => LotPiece::Number(number),
            _ => LotPiece::Text(piece.to_lowercase()),
        });
        rest = tail;
    }
    pieces
}

impl FromText for Lots {
    const NEWTYPE: &'static str = QUANTITY;
    const EXPECTED: &'static str =
        "lots such as `from 24-100`, `24-100 to 24-220`, `up to 24-099` or `24-117, 24-119`";

    fn read(text: &str) -> Result<Self, Problem> {
        let lot = |part: &str| {
            let part = part.trim();
            let one_word = !part.is_empty() && !part.contains(char::is_whitespace);
            one_word
                .then(|| part.to_owned())
                .ok_or_else(|| scalar_problem::lots(text))
        };
        let spans = text
            .split(',')
            .map(|part| {
                let part = part.trim();
                let (first, last) = if let Some(first) = part.strip_prefix("from ") {
                    match first.split_once(" to ") {
                        Some((first, last)) => (Some(lot(first)?), Some(lot(last)?)),
                        None => (Some(lot(first)?), None),
                    }
                } else if let Some(last) = part.strip_prefix("up to ") {
                    (None, Some(lot(last)?))
                } else if let Some((first, last)) = part.split_once(" to ") {
                    (Some(lot(first)?), Some(lot(last)?))
                } else {
                    (Some(lot(part)?), Some(lot(part)?))
                };
                Ok(LotSpan { first, last })
            })
            .collect::<Result<_, Problem>>()?;
        Ok(Self {
            spans,
            text: text.into(),
        })
    }
}

scalar!(text Lots, "lots", {"type": "string"});
