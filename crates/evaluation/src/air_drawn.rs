//! The air that a verdict is about: what the pump drew, from when to when, and whether that is the time that a limit is over.

use jiff::SignedDuration;
use jiff::civil::DateTime;
use stainbook_catalog::model::Limit;
use stainbook_core::print;

use crate::result::AirDrawn;
use crate::together::average::period_of;

/// Part of a limit's period by which a draw may be shorter or longer and still be over it. Our own bound.
const SAME_PERIOD: f64 = 0.05;

/// Air drawn until a tube was read, for so many seconds.
pub(crate) fn of(read: Option<&str>, seconds: f64) -> AirDrawn {
    // The day and the clock at the place, as they were typed.
    let to = read.and_then(|at| at.trim_end_matches('Z').parse::<DateTime>().ok());
    let from = to.and_then(|to| {
        to.checked_sub(SignedDuration::try_from_secs_f64(seconds.round()).ok()?)
            .ok()
    });
    let typed = |moment: DateTime| moment.to_string();
    AirDrawn {
        from: from.map(typed),
        to: to.map(typed),
        seconds,
    }
}

impl AirDrawn {
    /// `the air drawn from 10:05 to 10:07`, and without a clock `the air drawn for 80 s`.
    pub fn in_words(&self) -> String {
        let clock = |moment: &Option<String>| Some(moment.as_ref()?.get(11..16)?.to_owned());
        match (clock(&self.from), clock(&self.to)) {
            (Some(from), Some(to)) if from != to => format!("the air drawn from {from} to {to}"),
            _ => format!("the air drawn for {}", time(self.seconds)),
        }
    }
}

/// Difference of a draw from the time that a limit is over: `not a 15-minute average`.
pub(crate) fn other_period(limit: &Limit, seconds: f64) -> Option<String> {
    let Some(minutes) =
        period_of(limit).or_else(|| Some(limit.averaged_over.as_ref()?.value().minutes()))
    else {
        return Some(format!(
            "an average over {}, where the limit is for every moment",
            time(seconds)
        ));
    };
    let same = (seconds / 60.0 - minutes).abs() <= SAME_PERIOD * minutes;
    (!same).then(|| format!("not a {}-minute average", print::number(minutes)))
}

/// `80 s`, `4 min`.
fn time(seconds: f64) -> String {
    const SHORT: f64 = 120.0;
    if seconds < SHORT {
        format!("{} s", print::to_significant_at_most(seconds, 2))
    } else {
        format!("{} min", print::to_significant_at_most(seconds / 60.0, 2))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_and_its_time() {
        let air = |from: Option<&str>, to: Option<&str>, seconds| AirDrawn {
            from: from.map(str::to_owned),
            to: to.map(str::to_owned),
            seconds,
        };
        for (read, strokes, seconds, from, words) in [
            (
                Some("2026-06-16T10:07+01:00"),
                3.0,
                40.0,
                Some("2026-06-16T10:05:00"),
                "the air drawn from 10:05 to 10:07",
            ),
            // Over midnight, in Greenwich, and shorter than the clock tells.
            (
                Some("2026-06-16T00:01Z"),
                4.0,
                45.0,
                Some("2026-06-15T23:58:00"),
                "the air drawn from 23:58 to 00:01",
            ),
            (
                Some("2026-06-16T10:07:45+01:00"),
                1.0,
                30.0,
                Some("2026-06-16T10:07:15"),
                "the air drawn for 30 s",
            ),
            (None, 4.0, 45.0, None, "the air drawn for 3 min"),
        ] {
            let found = of(read, strokes * seconds);
            assert_eq!(
                (found.from.as_deref(), found.seconds),
                (from, strokes * seconds)
            );
            assert_eq!(found.in_words(), words);
        }
        assert_eq!(air(None, None, 80.0).in_words(), "the air drawn for 80 s");
    }

    #[test]
    fn a_draw_of_another_time_than_the_limit_says_so() {
        let (book, _) = stainbook_catalog::Book::demo();
        let chlorine = book.substance_model("chlorine").unwrap();
        let said = |authority: &str, kind: &str, seconds: f64| {
            let of = |limit: &&Limit| limit.authority == authority && limit.kind.name() == kind;
            other_period(chlorine.limits.iter().find(of).unwrap(), seconds)
        };
        for (authority, kind, seconds, words) in [
            (
                "France",
                "short-term",
                120.0,
                Some("not a 15-minute average"),
            ),
            ("France", "short-term", 900.0, None),
            (
                "France",
                "short-term",
                1200.0,
                Some("not a 15-minute average"),
            ),
            // A ceiling over fifteen minutes, and one for every moment.
            (
                "US NIOSH",
                "ceiling",
                120.0,
                Some("not a 15-minute average"),
            ),
            (
                "US OSHA",
                "ceiling",
                120.0,
                Some("an average over 2 min, where the limit is for every moment"),
            ),
        ] {
            assert_eq!(
                said(authority, kind, seconds).as_deref(),
                words,
                "{authority} {seconds}"
            );
        }
    }
}
