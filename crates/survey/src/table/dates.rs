//! Dates and times as countries write them.
//!
//! `30.11.2026` and `11/30/2026` are one day each, and `5/11/2026` may be two. What can only be meant in one way is understood;
//! of what is left nothing is guessed. A point between the numbers stands for the day first wherever it is used; common practice,
//! no source.

use jiff::civil::{Date, Time};
use stainbook_catalog::written::{Day, Moment};
use stainbook_document::typed::FromText as _;

use super::row::UnreadableCell;
use super::settings::TableSettings;

/// Order of day, month and year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// `5/11/2026` is the fifth of November.
    DayFirst,
    /// `5/11/2026` is the eleventh of May.
    MonthFirst,
    /// `26/11/05` is the fifth of November 2026.
    YearFirst,
}

impl DateOrder {
    const ALL: [Self; 3] = [Self::DayFirst, Self::MonthFirst, Self::YearFirst];

    /// In words.
    fn words(self) -> &'static str {
        match self {
            Self::DayFirst => "the day first",
            Self::MonthFirst => "the month first",
            Self::YearFirst => "the year first",
        }
    }

    /// The option of the command that says so.
    fn option(self) -> &'static str {
        match self {
            Self::DayFirst => "--dates day-first",
            Self::MonthFirst => "--dates month-first",
            Self::YearFirst => "--dates year-first",
        }
    }
}

/// A date that was understood, as it was typed and as it was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct NationalDate {
    /// The text of the cell.
    pub(crate) typed: String,
    /// The date, or the date and time, as a survey file has it.
    pub(crate) read: String,
}

/// Conventions of a table's dates, with the day that stands above the header.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct DateWays {
    pub(crate) order: Option<DateOrder>,
    pub(crate) zone: Option<super::zone::Zone>,
    pub(crate) day: Option<Date>,
}

impl From<TableSettings> for DateWays {
    fn from(settings: TableSettings) -> Self {
        Self {
            order: settings.dates,
            zone: settings.zone,
            day: None,
        }
    }
}

/// A date and time, with what was understood of it where it is not written as in a survey file.
pub(super) fn moment(
    text: &str,
    ways: &DateWays,
) -> Result<(Moment, Option<NationalDate>), UnreadableCell> {
    let usual = match Moment::read(text) {
        Ok(moment) => return Ok((moment, None)),
        Err(problem) => UnreadableCell {
            message: problem.message().to_owned(),
            help: "write date, time and distance from UTC, as in `2026-03-02T07:40+00:00`"
                .to_owned(),
        },
    };
    let parts = parts(text);
    let day = match (parts.date, ways.day) {
        (Some(date), _) => date_of(date, ways.order)?,
        (None, Some(day)) if parts.time.is_some() => Some(day),
        (None, None) if parts.time.is_some() => {
            return Err(UnreadableCell {
                message: format!("`{text}` is a time and no date"),
                help: "write the date with it, as in `2026-03-02T07:40+00:00`, or once above the header: `date`, and beside it the day".to_owned(),
            });
        }
        (None, _) => None,
    };
    let Some(day) = day else { return Err(usual) };
    let Some(time) = parts.time else {
        return Err(UnreadableCell {
            message: format!("`{text}` is the day {day} and no time"),
            help: format!("write the time with it, and its distance from UTC: `{day}T07:40+00:00`"),
        });
    };
    let zone = match (parts.zone, ways.zone) {
        (Some(zone), _) => zone.to_owned(),
        (None, Some(zone)) => zone.to_string(),
        (None, None) => {
            return Err(UnreadableCell {
                message: format!("`{text}` does not say in which zone"),
                help: format!(
                    "give --zone with its distance from UTC, as in `--zone +02:00`, or write it in the cell: `{}+02:00`",
                    shown(day, time)
                ),
            });
        }
    };
    let read = format!("{}{zone}", shown(day, time));
    let moment = Moment::read(&read).map_err(|_| usual)?;
    let typed = text.to_owned();
    Ok((moment, Some(NationalDate { typed, read })))
}

/// A day, or a month that means its last day, with what was understood of it.
pub(super) fn day(
    text: &str,
    ways: &DateWays,
) -> Result<(Day, Option<NationalDate>), UnreadableCell> {
    let usual = match Day::read(text) {
        Ok(day) => return Ok((day, None)),
        Err(problem) => UnreadableCell::from(&problem),
    };
    let read = if let Some(month) = month_and_year(text)? {
        month
    } else {
        let parts = parts(text);
        match (parts.date, parts.time) {
            (Some(date), None) => date_of(date, ways.order)?
                .ok_or(usual)?
                .strftime("%Y-%m-%d")
                .to_string(),
            _ => return Err(usual),
        }
    };
    let day = Day::read(&read).map_err(|problem| UnreadableCell::from(&problem))?;
    let typed = text.to_owned();
    Ok((day, Some(NationalDate { typed, read })))
}

fn shown(day: Date, time: Time) -> String {
    if time.second() == 0 {
        format!("{day}T{}", time.strftime("%H:%M"))
    } else {
        format!("{day}T{}", time.strftime("%H:%M:%S"))
    }
}

/// The parts of a text that may be a date and a time.
struct DateText<'t> {
    date: Option<NumberedDate<'t>>,
    time: Option<Time>,
    zone: Option<&'t str>,
}

/// Three numbers with one mark between them.
#[derive(Clone, Copy)]
struct NumberedDate<'t> {
    text: &'t str,
    numbers: [&'t str; 3],
    mark: char,
}

fn parts(text: &str) -> DateText<'_> {
    let text = text.trim();
    let nothing = DateText {
        date: None,
        time: None,
        zone: None,
    };
    let (date, rest) = match numbered(text) {
        Some((date, rest)) => (Some(date), rest),
        None => (None, text),
    };
    let begun = rest.trim_start_matches([' ', ',']);
    let begun = match (&date, rest.strip_prefix(['T', 't'])) {
        (Some(_), Some(time)) => time,
        _ => begun,
    };
    if begun.is_empty() {
        return DateText { date, ..nothing };
    }
    let Some((time, zone)) = time_of(begun) else {
        return nothing;
    };
    DateText {
        date,
        time: Some(time),
        zone,
    }
}

/// A date in numbers at the beginning of a text, and what stands behind it.
fn numbered(text: &str) -> Option<(NumberedDate<'_>, &str)> {
    let number = |text: &str| {
        text.find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len())
    };
    let (first, rest) = text.split_at_checked(number(text))?;
    let mark = rest
        .chars()
        .next()
        .filter(|mark| ['.', '/', '-'].contains(mark))?;
    let after = rest.strip_prefix(mark)?.trim_start_matches(' ');
    let (second, rest) = after.split_at_checked(number(after))?;
    let after = rest.strip_prefix(mark)?.trim_start_matches(' ');
    let (third, rest) = after.split_at_checked(number(after))?;
    let numbers = [first, second, third];
    let lengths = numbers.map(str::len);
    let day_or_month = |length: usize| (1..=2).contains(&length);
    let fits = match lengths {
        [4, middle, last] => day_or_month(middle) && day_or_month(last),
        [first, middle, 2 | 4] => day_or_month(first) && day_or_month(middle),
        _ => false,
    };
    let text = text.get(..text.len() - rest.len())?;
    let date = NumberedDate {
        text,
        numbers,
        mark,
    };
    (fits && !rest.starts_with([mark, '+'])).then_some((date, rest))
}

/// The day that a date means, if it means one.
///
/// # Errors
///
/// It means two, or none in the order that was said.
fn date_of(
    written: NumberedDate<'_>,
    order: Option<DateOrder>,
) -> Result<Option<Date>, UnreadableCell> {
    let candidates: Vec<(DateOrder, Date)> = DateOrder::ALL
        .into_iter()
        .filter_map(|order| Some((order, in_order(written, order)?)))
        .collect();
    let text = written.text;
    let Some((first, date)) = candidates.first().copied() else {
        return Ok(None);
    };
    let begins_with_year = written.numbers.first().is_some_and(|year| year.len() == 4);
    if let Some(order) = order.filter(|_| !begins_with_year) {
        return match candidates.iter().find(|(of, _)| *of == order) {
            Some((_, date)) => Ok(Some(*date)),
            None => Err(UnreadableCell {
                message: format!(
                    "`{text}` is no date with {}, and {date} with {}",
                    order.words(),
                    first.words()
                ),
                help: format!(
                    "write it as `{date}`, if that is meant; all dates of a table that can be read in two ways are read by `{}`",
                    order.option()
                ),
            }),
        };
    }
    match candidates.iter().find(|(_, other)| *other != date) {
        None => Ok(Some(date)),
        Some((second, other)) => Err(UnreadableCell {
            message: format!(
                "`{text}` may be {date}, with {}, or {other}, with {}",
                first.words(),
                second.words()
            ),
            help: format!(
                "say `{}` or `{}` for all dates of the table, or write the one that is meant as `{date}` or `{other}`",
                first.option(),
                second.option()
            ),
        }),
    }
}

/// The day of a date that is written in this order.
fn in_order(written: NumberedDate<'_>, order: DateOrder) -> Option<Date> {
    let [first, second, third] = written.numbers;
    let (year, month, day) = match order {
        DateOrder::DayFirst => (third, second, first),
        DateOrder::MonthFirst => (third, first, second),
        DateOrder::YearFirst => (first, second, third),
    };
    let year_is_last = order != DateOrder::YearFirst;
    // A year in four digits says where it stands; with points between them two digits are a year only at the end.
    let long = [first, third].map(|part| part.len() == 4);
    let stands_elsewhere = if year_is_last { long[0] } else { long[1] };
    let with_points = written.mark == '.'
        && match order {
            DateOrder::DayFirst => false,
            DateOrder::MonthFirst => true,
            DateOrder::YearFirst => !long[0],
        };
    if stands_elsewhere || with_points {
        return None;
    }
    let year: i16 = year.parse().ok()?;
    // Boxes, readings and leaflets of this century.
    let year = if year < 100 { 2000 + year } else { year };
    Date::new(year, month.parse().ok()?, day.parse().ok()?).ok()
}

/// `11/2027` as `2027-11`.
///
/// # Errors
///
/// Two numbers of which each may be the year: `11/27`.
fn month_and_year(text: &str) -> Result<Option<String>, UnreadableCell> {
    let text = text.trim();
    let Some((first, second)) = text.split_once(['/', '.', '-']) else {
        return Ok(None);
    };
    let number = |part: &str| {
        let digits = (1..=4).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
        digits.then(|| part.parse::<u16>().ok()).flatten()
    };
    let (Some(one), Some(other)) = (number(first), number(second)) else {
        return Ok(None);
    };
    let is_month = |number: u16| (1..=12).contains(&number);
    match (first.len(), second.len()) {
        (1 | 2, 4) if is_month(one) => Ok(Some(format!("{other:04}-{one:02}"))),
        (4, 1 | 2) if is_month(other) => Ok(Some(format!("{one:04}-{other:02}"))),
        (1 | 2, 2) if is_month(one) => Err(UnreadableCell {
            message: format!(
                "`{text}` may be the month 20{second}-{one:02}, or a day without its year"
            ),
            help: format!("write the month with all of its year: `20{second}-{one:02}`"),
        }),
        _ => Ok(None),
    }
}

/// A time of day with its zone, if that stands behind it: `08:00`, `8:00 AM`, `8.30 Uhr`, `08:00:30+01:00`.
fn time_of(text: &str) -> Option<(Time, Option<&str>)> {
    let clock = |c: char| c.is_ascii_digit() || matches!(c, ':' | '.');
    let end = text.find(|c| !clock(c)).unwrap_or(text.len());
    let (digits, rest) = text.split_at_checked(end)?;
    let mark = if digits.contains(':') { ':' } else { '.' };
    let mut parts = digits.split(mark);
    let number = |part: &str| {
        let short = (1..=2).contains(&part.len());
        short.then(|| part.parse::<i8>().ok()).flatten()
    };
    let hour = number(parts.next()?)?;
    let minute = parts.next().filter(|minute| minute.len() == 2)?;
    let minute = number(minute)?;
    let second = match parts.next() {
        Some(second) => number(second)?,
        None => 0,
    };
    if parts.next().is_some() {
        return None;
    }
    let rest = rest.trim();
    let lower = rest.to_ascii_lowercase();
    let half = [("a.m.", 0), ("p.m.", 12), ("am", 0), ("pm", 12)]
        .into_iter()
        .find_map(|(word, hours)| Some((lower.strip_prefix(word)?.len(), hours)));
    let (hour, rest) = match half {
        Some((left, later)) => {
            // Twelve comes before one: 12 AM is midnight, 12 PM noon.
            if !(1..=12).contains(&hour) {
                return None;
            }
            (hour % 12 + later, rest.get(rest.len() - left..)?)
        }
        None => (
            hour,
            lower.strip_prefix("uhr").map_or(rest, |left| {
                rest.get(rest.len() - left.len()..).unwrap_or_default()
            }),
        ),
    };
    let rest = rest.trim();
    let zone = rest.strip_prefix("UTC").unwrap_or(rest);
    let zone = match (rest, zone) {
        ("", _) => None,
        ("UTC" | "Z" | "z", _) => Some("Z"),
        (_, zone) if zone.starts_with(['+', '-']) => Some(zone),
        _ => return None,
    };
    let time = Time::new(hour, minute, second, 0).ok()?;
    Some((time, zone))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(text: &str, order: Option<DateOrder>) -> String {
        let ways = DateWays {
            order,
            zone: "+01:00".parse().ok(),
            day: None,
        };
        match moment(text, &ways) {
            Ok((moment, _)) => moment.text().to_owned(),
            Err(problem) => format!("! {}", problem.message),
        }
    }

    #[test]
    fn dates_that_are_meant_in_one_way() {
        for (text, wanted) in [
            ("30.11.2026 08:00", "2026-11-30T08:00+01:00"),
            ("5.11.2026 8:05", "2026-11-05T08:05+01:00"),
            ("05. 11. 2026, 08:00 Uhr", "2026-11-05T08:00+01:00"),
            ("05.11.26 8.30", "2026-11-05T08:30+01:00"),
            ("30/11/2026 08:00", "2026-11-30T08:00+01:00"),
            ("11/30/2026 8:00 AM", "2026-11-30T08:00+01:00"),
            ("11/30/2026 12:05 a.m.", "2026-11-30T00:05+01:00"),
            ("11/30/2026 12:05 PM", "2026-11-30T12:05+01:00"),
            ("11/30/26 1:05 pm", "2026-11-30T13:05+01:00"),
            ("30-11-2026 08:00:30", "2026-11-30T08:00:30+01:00"),
            ("2026/11/05 08:00", "2026-11-05T08:00+01:00"),
            ("2026-11-05 08:00", "2026-11-05T08:00+01:00"),
            ("2026-11-05T08:00", "2026-11-05T08:00+01:00"),
            ("2026.11.05 08:00", "2026-11-05T08:00+01:00"),
            // One day in either order.
            ("5/5/2026 08:00", "2026-05-05T08:00+01:00"),
            // Its own zone counts.
            ("30.11.2026 08:00 +02:00", "2026-11-30T08:00+02:00"),
            ("30.11.2026 08:00 UTC", "2026-11-30T08:00Z"),
        ] {
            assert_eq!(said(text, None), wanted, "{text}");
        }
    }

    #[test]
    fn dates_that_may_be_two_are_named_as_both() {
        for (text, first, second) in [
            ("5/11/2026 08:00", "2026-11-05", "2026-05-11"),
            ("5-11-2026 08:00", "2026-11-05", "2026-05-11"),
            ("30/11/26 08:00", "2026-11-30", "2030-11-26"),
            ("5/11/12 08:00", "2012-11-05", "2012-05-11"),
        ] {
            let said = said(text, None);
            let date = text.split(' ').next().unwrap();
            assert!(
                said.starts_with(&format!("! `{date}` may be {first}, with "))
                    && said.contains(&format!("or {second}, with ")),
                "{said}"
            );
        }
        let order = [
            DateOrder::DayFirst,
            DateOrder::MonthFirst,
            DateOrder::YearFirst,
        ];
        let read = order.map(|order| said("5/11/12 08:00", Some(order)));
        assert_eq!(
            read,
            [
                "2012-11-05T08:00+01:00",
                "2012-05-11T08:00+01:00",
                "2005-11-12T08:00+01:00"
            ]
        );
    }

    #[test]
    fn an_order_that_does_not_fit_is_no_other() {
        for (text, order) in [
            ("11/30/2026 08:00", DateOrder::DayFirst),
            ("30/11/2026 08:00", DateOrder::MonthFirst),
            ("30.11.2026 08:00", DateOrder::MonthFirst),
            ("30.11.2026 08:00", DateOrder::YearFirst),
        ] {
            let said = said(text, Some(order));
            assert!(
                said.starts_with("! ") && said.contains("is no date with"),
                "{said}"
            );
        }
        assert_eq!(
            said("2026-11-30 08:00", Some(DateOrder::DayFirst)),
            "2026-11-30T08:00+01:00"
        );
    }

    #[test]
    fn what_is_no_date() {
        for text in [
            "30.13.2026 08:00",
            "31.02.2026 08:00",
            "30.11.2026 25:00",
            "11/30/2026 13:00 PM",
            "1.2.3.4 08:00",
            "yesterday",
            "08",
            "",
        ] {
            assert!(said(text, None).starts_with("! "), "{text}");
        }
        assert!(said("30.11.2026", None).contains("no time"));
        assert!(said("08:00", None).contains("no date"));
    }

    #[test]
    fn days_and_months_on_a_box() {
        let said = |text: &str| match day(text, &DateWays::default()) {
            Ok((day, _)) => day.text().to_owned(),
            Err(problem) => format!("! {}", problem.message),
        };
        for (text, wanted) in [
            ("30.11.2027", "2027-11-30"),
            ("11/2027", "2027-11"),
            ("9.2027", "2027-09"),
            ("2027/11", "2027-11"),
            ("2027-11", "2027-11"),
        ] {
            assert_eq!(said(text), wanted, "{text}");
        }
        for (text, wanted) in [
            (
                "11/27",
                "! `11/27` may be the month 2027-11, or a day without its year",
            ),
            (
                "5/11/2027",
                "! `5/11/2027` may be 2027-11-05, with the day first",
            ),
        ] {
            assert!(said(text).starts_with(wanted), "{}", said(text));
        }
        assert!(said("13/2027").starts_with("! "));
    }
}
