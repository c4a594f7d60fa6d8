//! Text of a spreadsheet's cell, as a person would have typed it into a plain table.

use calamine::Data;
use jiff::Unit;
use jiff::civil::{Date, DateTime};
use stainbook_core::print;

use super::Zone;
use crate::table::as_typed::typed_again;
use crate::table::column::{Column, Holds};
use crate::table::header::HeaderCell;

/// Reason for not taking a cell, and the text to type instead.
pub(super) struct UnclearCell {
    pub(super) message: String,
    pub(super) help: String,
}

impl UnclearCell {
    fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
        }
    }
}

/// Up to this, a humidity in %RH is rather a part of 1 that is shown in percent: the driest air that people work in has a
/// few percent. Common practice, no source.
const HUMIDITY_AS_PART: f64 = 1.0;

/// The text of a cell; `format` is how the spreadsheet shows numbers in it, where the file says so.
pub(super) fn text(
    data: &Data,
    head: &HeaderCell,
    format: Option<&str>,
    zone: Option<Zone>,
) -> Result<String, UnclearCell> {
    let column = head.column;
    if matches!(column.holds, Holds::Moment(_))
        && let Some(time) = time_alone(data)
    {
        return Ok(time);
    }
    match data {
        Data::Empty => Ok(String::new()),
        Data::String(text) => Ok(text.trim().to_owned()),
        Data::Bool(yes) => Ok(yes.to_string()),
        Data::Int(number) => Ok(number.to_string()),
        Data::Float(number) => of_number(*number, head, format),
        Data::DateTime(serial) if serial.is_datetime() => {
            let (year, month, day, hour, minute, second, milli) = serial.to_ymd_hms_milli();
            let field = |value: u8| i8::try_from(value).unwrap_or(0);
            let when = DateTime::new(
                i16::try_from(year).unwrap_or(0),
                field(month),
                field(day),
                field(hour),
                field(minute),
                field(second),
                i32::from(milli) * 1_000_000,
            );
            let whole_days = (serial.as_f64() - serial.as_f64().floor()).abs() < 1e-9;
            match when {
                Ok(when) => of_moment(when, whole_days, column, format, zone),
                Err(_) => Err(no_date(column)),
            }
        }
        Data::DateTimeIso(text) => {
            let whole_days = !text.contains('T');
            let when = if whole_days {
                text.parse::<Date>().map(|day| day.at(0, 0, 0, 0))
            } else {
                text.parse::<DateTime>()
            };
            match when {
                Ok(when) => of_moment(when, whole_days, column, format, zone),
                Err(_) => Err(no_date(column)),
            }
        }
        Data::DateTime(_) | Data::DurationIso(_) => Err(no_date(column)),
        Data::Error(error) => Err(UnclearCell::new(
            format!("the cell shows an error, {error}"),
            "type the value itself, or mend the formula",
        )),
    }
}

/// The day that a cell keeps as one.
pub(super) fn day(data: &Data) -> Option<Date> {
    match data {
        Data::DateTime(serial) if serial.is_datetime() && 1.0 <= serial.as_f64() => {
            let (year, month, day, ..) = serial.to_ymd_hms_milli();
            let field = |value: u8| i8::try_from(value).ok();
            Date::new(i16::try_from(year).ok()?, field(month)?, field(day)?).ok()
        }
        Data::DateTimeIso(text) => text.get(..10)?.parse().ok(),
        _ => None,
    }
}

/// The time of a cell that keeps one without a day, as `08:05`.
fn time_alone(data: &Data) -> Option<String> {
    let seconds = match data {
        Data::DateTime(serial) if (0.0..1.0).contains(&serial.as_f64()) => {
            (serial.as_f64() * SECONDS_OF_A_DAY).round()
        }
        Data::DurationIso(text) => {
            let span: jiff::Span = text.parse().ok()?;
            span.total(Unit::Second).ok()?
        }
        _ => return None,
    };
    if !(0.0..SECONDS_OF_A_DAY).contains(&seconds) {
        return None;
    }
    let midnight = Date::constant(2000, 1, 1).at(0, 0, 0, 0);
    let since = jiff::SignedDuration::try_from_secs_f64(seconds).ok()?;
    let time = midnight.checked_add(since).ok()?.time();
    let format = if time.second() == 0 {
        "%H:%M"
    } else {
        "%H:%M:%S"
    };
    Some(time.strftime(format).to_string())
}

const SECONDS_OF_A_DAY: f64 = 86_400.0;

/// A cell that is not taken, as it is shown.
pub(super) fn shown(data: &Data) -> String {
    match data {
        Data::Float(number) => digits(*number),
        Data::DateTime(serial) if serial.is_datetime() => {
            let (year, month, day, hour, minute, ..) = serial.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02} {hour:02}:{minute:02}")
        }
        data => data.to_string().trim().to_owned(),
    }
}

fn of_number(number: f64, head: &HeaderCell, format: Option<&str>) -> Result<String, UnclearCell> {
    let column = head.column;
    if column.usual_unit().is_some() {
        let humidity = matches!(column.holds, Holds::Humidity(_));
        if format.is_some_and(shows_percent) {
            let percent = digits(number * 100.0);
            return Ok(if humidity {
                format!("{percent} %RH")
            } else {
                format!("{percent} %")
            });
        }
        let unit = head.unit.as_deref().unwrap_or_default();
        if humidity && unit.contains('%') && 0.0 < number && number <= HUMIDITY_AS_PART {
            return Err(UnclearCell::new(
                format!(
                    "{} %RH is drier than any air to work in: a cell that shows {} % may hold {}",
                    digits(number),
                    digits(number * 100.0),
                    digits(number)
                ),
                format!(
                    "type `{}` and show the cell as a plain number",
                    digits(number * 100.0)
                ),
            ));
        }
        return Ok(digits(number));
    }
    let whole = (number - number.round()).abs() < 1e-9;
    if !whole && matches!(column.holds, Holds::Printed(_)) {
        return Err(UnclearCell::new(
            format!(
                "the spreadsheet has made a number of this cell, {}, and may have dropped a zero",
                digits(number)
            ),
            "show the column as text and type it again as printed",
        ));
    }
    Ok(digits(number))
}

fn of_moment(
    when: DateTime,
    whole_days: bool,
    column: &Column,
    format: Option<&str>,
    zone: Option<Zone>,
) -> Result<String, UnclearCell> {
    match column.holds {
        Holds::Moment(_) => {
            // Stored as a part of a day, a time comes back a fraction of a millisecond off.
            let when = when.round(Unit::Second).unwrap_or(when);
            let shown = when.strftime("%Y-%m-%dT%H:%M:%S").to_string();
            let shown = shown.strip_suffix(":00").unwrap_or(&shown).to_owned();
            if whole_days {
                return Err(UnclearCell::new(
                    format!("the cell holds the day {} and no time", when.date()),
                    format!(
                        "type day, time and distance from UTC as text: `{}T07:40+00:00`",
                        when.date()
                    ),
                ));
            }
            match zone {
                Some(zone) => Ok(format!("{shown}{zone}")),
                None => Err(UnclearCell::new(
                    format!(
                        "the spreadsheet's own date and time, {shown}, does not say in which zone"
                    ),
                    format!(
                        "give --zone with its distance from UTC, as in `--zone +02:00`, or type the cell as text: `{shown}+02:00`"
                    ),
                )),
            }
        }
        Holds::Day(_) => {
            let day = when.date();
            let month = || day.strftime("%Y-%m").to_string();
            match format {
                Some(format) if !shows_day(format) => Ok(month()),
                // A month that was typed is kept as its first day, and means its last.
                None if day.day() == 1 => Err(UnclearCell::new(
                    format!(
                        "{day} is also what a spreadsheet makes of `{}`, which means its last day",
                        month()
                    ),
                    format!(
                        "show the column as text and type `{}`, or the day itself as printed on the box",
                        month()
                    ),
                )),
                Some(_) | None => Ok(day.to_string()),
            }
        }
        _ => Err(UnclearCell::new(
            format!(
                "the spreadsheet has made a date of this cell, {}{}",
                when.date(),
                perhaps_typed(when, column)
            ),
            typed_again(column),
        )),
    }
}

/// Texts that may have been typed where a number belongs and a day is kept: `1/2` in one country, `2/1` in another.
fn perhaps_typed(when: DateTime, column: &Column) -> String {
    let (day, month) = (when.day(), when.month());
    match column.holds {
        Holds::Number(_) => format!(": `{month}/{day}` or `{day}/{month}` may have been typed"),
        _ if column.usual_unit().is_some() => {
            format!(": `{month}-{day}` or `{day}-{month}` may have been typed")
        }
        _ => String::new(),
    }
}

fn no_date(column: &Column) -> UnclearCell {
    UnclearCell::new(
        "the cell holds a time or duration that cannot be read",
        if matches!(column.holds, Holds::Moment(_)) {
            "type it as text with its distance from UTC, as in `2026-03-02T07:40+00:00`"
        } else {
            "show the column as text and type it again"
        },
    )
}

/// The digits of a number that a spreadsheet keeps: 15. More of them are the dust of its arithmetic.
fn digits(number: f64) -> String {
    let rounded = format!("{number:.14e}").parse().unwrap_or(number);
    print::number(rounded)
}

/// True if a number format shows a hundredfold with a percent sign.
fn shows_percent(format: &str) -> bool {
    plain(format).contains('%')
}

/// True if a date format shows the day.
fn shows_day(format: &str) -> bool {
    plain(format).to_ascii_lowercase().contains('d')
}

/// A number format without the texts in quotation marks, the colours and languages in brackets.
fn plain(format: &str) -> String {
    let mut plain = String::new();
    let (mut quoted, mut bracketed) = (false, false);
    for character in format.chars() {
        match character {
            '"' => quoted = !quoted,
            '[' if !quoted => bracketed = true,
            ']' if !quoted => bracketed = false,
            other if !quoted && !bracketed => plain.push(other),
            _ => {}
        }
    }
    plain
}
