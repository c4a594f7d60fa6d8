//! Conventions of a table's cells, as whoever reads it says them.

use super::dates::DateOrder;
use super::zone::Zone;

/// Decimal mark of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DecimalMark {
    /// `2.5`. A comma is refused, as `1,250` could be meant either way.
    #[default]
    Point,
    /// `2,5`, as a spreadsheet set to many European languages writes it. A point is understood as well.
    Comma,
}

/// Conventions of the cells of a table, as far as they are said; none of them is guessed.
///
/// # Example
///
/// ```
/// use stainbook_survey::table::{DateOrder, DecimalMark, TableSettings};
///
/// let settings = TableSettings::from(DecimalMark::Comma).with_dates(DateOrder::DayFirst);
/// assert_eq!(settings.dates, Some(DateOrder::DayFirst));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct TableSettings {
    /// The mark of its decimals.
    pub mark: DecimalMark,
    /// The order of day, month and year in dates that can be read in more than one way, which are refused without it.
    pub dates: Option<DateOrder>,
    /// The zone of dates and times that say none, which are refused without it.
    pub zone: Option<Zone>,
}

impl TableSettings {
    /// The same, with an order of day, month and year.
    #[must_use]
    pub fn with_dates(mut self, order: impl Into<Option<DateOrder>>) -> Self {
        self.dates = order.into();
        self
    }

    /// The same, with a zone.
    #[must_use]
    pub fn with_zone(mut self, zone: impl Into<Option<Zone>>) -> Self {
        self.zone = zone.into();
        self
    }
}

impl From<DecimalMark> for TableSettings {
    fn from(mark: DecimalMark) -> Self {
        Self {
            mark,
            ..Self::default()
        }
    }
}
