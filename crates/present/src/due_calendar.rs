//! The list of what is due as a calendar (iCalendar, RFC 5545): an event of one day for each item that has a day.
//!
//! The names of the events do not change from one list to the next, so that a calendar into which the next list is read moves an
//! event and does not double it. No clock is asked: an event is stamped with the day by which dates were judged.

use stainbook_check::due::{DueItem, DueKind, DueList, DueState};
use stainbook_document::digest;

use crate::lines::printable;

/// The most octets of a line, its end not counted (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;
/// Letters of a digest that tell apart items whose names are alike.
const OF_DIGEST: usize = 12;

/// The calendar. Items without a day stand on the day by which dates were judged: they are wanted now.
pub fn render(list: &DueList) -> String {
    let mut out = String::new();
    let mut line = |text: &str| fold(text, &mut out);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//stainbook//due//EN");
    line("CALSCALE:GREGORIAN");
    for item in &list.items {
        event(item, list, &mut line);
    }
    line("END:VCALENDAR");
    out
}

fn event(item: &DueItem, list: &DueList, line: &mut impl FnMut(&str)) {
    let day = item.day.as_deref().unwrap_or(&list.as_of);
    line("BEGIN:VEVENT");
    line(&format!("UID:{}", uid(item)));
    line(&format!("DTSTAMP:{}T000000Z", digits(&list.as_of)));
    line(&format!("DTSTART;VALUE=DATE:{}", digits(day)));
    line(&format!("SUMMARY:{}", escaped(&summary(item))));
    let text = format!("{}\n{}\n{}", item.text, item.remedy, item.file);
    line(&format!("DESCRIPTION:{}", escaped(&text)));
    line(&format!("CATEGORIES:{}", escaped(item.what.name())));
    // A day on which something ends takes nobody's time.
    line("TRANSP:TRANSPARENT");
    line("END:VEVENT");
}

/// Heading of an event, which is true whenever it is read: `box-01 expires`.
fn summary(item: &DueItem) -> String {
    let (about, what) = (&item.about, item.what.name());
    match (item.state, item.what) {
        (DueState::Failed, _) => format!("{about}: {what} failed"),
        (_, DueKind::Plan) => format!("{about}: the plan lacks something"),
        (DueState::Missing, _) => format!("{about}: {what} missing"),
        (_, DueKind::Box) => format!("{about} expires"),
        (_, DueKind::PreTubes) => format!("{about} (pre-tubes) expires"),
        (_, DueKind::Exception) => format!("{about}: exception ends"),
        (_, _) => format!("{about}: {what} due"),
    }
}

/// Name of the event: the item's own with a digest of it, since its letters may have been changed for plain ones.
fn uid(item: &DueItem) -> String {
    let digest = digest::sha256(&(&item.id, &item.about)).unwrap_or_default();
    let digest: String = digest
        .chars()
        .filter(char::is_ascii_hexdigit)
        .rev()
        .take(OF_DIGEST)
        .collect();
    let id: String = item
        .id
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '.'))
        .collect();
    format!("{id}.{digest}@stainbook")
}

/// `20261130` of `2026-11-30`.
fn digits(day: &str) -> String {
    day.chars().filter(char::is_ascii_digit).collect()
}

/// A text as RFC 5545, section 3.3.11 writes it, without anything that would steer.
fn escaped(text: &str) -> String {
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            let mut out = String::new();
            for c in printable(line).chars() {
                if matches!(c, '\\' | ';' | ',') {
                    out.push('\\');
                }
                out.push(c);
            }
            out
        })
        .collect();
    lines.join("\\n")
}

/// Writes a line in pieces of at most 75 octets, each but the first behind a blank, none cut within a letter.
fn fold(text: &str, out: &mut String) {
    let mut octets = 0;
    for c in text.chars() {
        if LONGEST_LINE < octets + c.len_utf8() {
            out.push_str("\r\n ");
            octets = 1;
        }
        out.push(c);
        octets += c.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_cut_at_75_octets_and_not_within_a_letter() {
        for letter in ["a", "é", "€", "𝄞"] {
            let text = letter.repeat(200);
            let mut folded = String::new();
            fold(&text, &mut folded);
            for line in folded.split("\r\n") {
                assert!(line.len() <= LONGEST_LINE, "{} octets: {line}", line.len());
            }
            assert_eq!(folded.replace("\r\n ", "").trim_end(), text);
        }
        let mut short = String::new();
        fold(&"a".repeat(75), &mut short);
        assert_eq!(short, format!("{}\r\n", "a".repeat(75)));
    }

    #[test]
    fn texts_cannot_end_their_line() {
        assert_eq!(
            escaped("a;b,c\\d\nEND:VEVENT\r\nx\u{1b}"),
            "a\\;b\\,c\\\\d\\nEND:VEVENT\\nx\u{fffd}"
        );
    }
}
