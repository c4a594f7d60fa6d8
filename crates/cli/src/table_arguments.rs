//! Options that say how the cells of a table are written.

use clap::{Args, ValueEnum};
use stainbook_survey::table::{DateOrder, DecimalMark, TableSettings, Zone};

/// Conventions of a table's cells.
#[derive(Clone, Copy, Debug, Default, Args)]
pub(crate) struct TableArgs {
    /// A table, and the text in a spreadsheet, has decimal commas: `0,5`
    #[arg(long)]
    decimal_comma: bool,
    /// How typed dates are meant that can be read in two ways, as `5/11/2026`; without it such dates are refused
    #[arg(long, value_enum, value_name = "ORDER")]
    dates: Option<DatesName>,
    /// How far the clock is from UTC by which dates without a zone were written, a spreadsheet's own among them, as in `+02:00`; without it such dates are refused
    #[arg(long, value_name = "OFFSET", allow_hyphen_values = true)]
    zone: Option<Zone>,
}

/// Orders of day, month and year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum DatesName {
    /// `5/11/2026` is the fifth of November
    #[value(name = "day-first")]
    Day,
    /// `5/11/2026` is the eleventh of May
    #[value(name = "month-first")]
    Month,
    /// `26/11/05` is the fifth of November 2026
    #[value(name = "year-first")]
    Year,
}

impl TableArgs {
    /// The same for whoever reads tables.
    pub(crate) fn settings(self) -> TableSettings {
        let mark = if self.decimal_comma {
            DecimalMark::Comma
        } else {
            DecimalMark::Point
        };
        let order = self.dates.map(|dates| match dates {
            DatesName::Day => DateOrder::DayFirst,
            DatesName::Month => DateOrder::MonthFirst,
            DatesName::Year => DateOrder::YearFirst,
        });
        TableSettings::from(mark)
            .with_dates(order)
            .with_zone(self.zone)
    }
}
