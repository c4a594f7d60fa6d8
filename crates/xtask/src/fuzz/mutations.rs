//! Mutations of a file: of its bytes, its words and numbers, its lines and the structure that they make.

use stainbook_tests::honest::Chance;

/// Bytes that mean something to YAML, to a number, or to nobody.
const BYTES: &[u8] = b"0179.,-+eE:;[]{}()#&*!|>'\"%@`~?\\/ \t\n\r\0\x7f\x80\xc2\xc3\xef\xff";

/// Words in place of others: what is read as a number, a truth value, a date, a quantity or a range, or looks like one.
const WORDS: &[&str] = &[
    "",
    "~",
    "null",
    "true",
    "NO",
    "yes",
    "0",
    "-0",
    "00",
    "1e999",
    "-1e999",
    "1e-999",
    ".nan",
    ".inf",
    "0x1F",
    "0o17",
    "1_000",
    "0,5",
    "1.000,5",
    "99999999999999999999999",
    "0.1e-320",
    "½",
    "−5",
    "5 ppm",
    "5ppm",
    "5 ppt",
    "5 mg/m³",
    "5 µg/m3",
    "5 % by volume",
    "20 °C",
    "-300 °C",
    "68 F",
    "101.3 kPa",
    "0 kPa",
    "1e300 kPa",
    "100 ml",
    "0 to 40 °C",
    "40 to 0 °C",
    "10 to 85 %RH",
    "150 %RH",
    "2024-03",
    "2024-02-30",
    "2026-03-02T07:40+00:00",
    "9999-12-31T23:59-23:59",
    "-9999-01-01",
    "from 24-100",
    "to",
    "{}",
    "[]",
    "[[]]",
    "{a: {b: [c]}}",
    "&a x",
    "*a",
    "!t x",
    "|",
    ">-",
    "'",
    "\"",
    "\"\\u0000\"",
    "\"\\ud800\"",
    "\u{feff}",
    "\u{202e}x",
    "х",
    "r07",
    "whole scale",
    "factor table",
    "US OSHA",
];

/// One more damage to a file; `other` lends lines.
pub(super) fn one(bytes: Vec<u8>, other: &[u8], chance: &mut Chance) -> Vec<u8> {
    match chance.below(0, 10) {
        0 => of_bytes(bytes, chance),
        1 => copied(bytes, chance),
        2..=4 => of_words(&bytes, chance),
        _ => of_lines(&bytes, other, chance),
    }
}

fn of_bytes(mut bytes: Vec<u8>, chance: &mut Chance) -> Vec<u8> {
    for _ in 0..chance.below(1, 4) {
        let at = chance.below(0, bytes.len() + 1);
        let byte = *chance.one_of(BYTES);
        match chance.below(0, 3) {
            0 => bytes.insert(at, byte),
            1 if at < bytes.len() => {
                bytes.remove(at);
            }
            _ => {
                if let Some(place) = bytes.get_mut(at) {
                    *place = byte;
                }
            }
        }
    }
    bytes
}

/// A stretch of the file again, somewhere else, or cut out.
fn copied(mut bytes: Vec<u8>, chance: &mut Chance) -> Vec<u8> {
    if bytes.is_empty() {
        return bytes;
    }
    let start = chance.below(0, bytes.len());
    let end = start + chance.below(0, (bytes.len() - start).min(200) + 1);
    if chance.in_percent(50) {
        bytes.drain(start..end);
        return bytes;
    }
    let stretch: Vec<u8> = bytes.get(start..end).unwrap_or_default().to_vec();
    let at = chance.below(0, bytes.len() + 1);
    bytes.splice(at..at, stretch);
    bytes
}

/// A value in place of another, from the list or from the file itself.
fn of_words(bytes: &[u8], chance: &mut Chance) -> Vec<u8> {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return bytes.to_vec();
    };
    let words = words(text);
    if words.is_empty() {
        return bytes.to_vec();
    }
    let (start, end) = *chance.one_of(&words);
    let new = if chance.in_percent(70) {
        *chance.one_of(WORDS)
    } else {
        let (from, to) = *chance.one_of(&words);
        text.get(from..to).unwrap_or_default()
    };
    let mut out = bytes.to_vec();
    out.splice(start..end, new.bytes());
    out
}

/// Places of values and keys: between the signs that divide them.
fn words(text: &str) -> Vec<(usize, usize)> {
    let mut words = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices() {
        let divides = matches!(c, '\n' | ',' | '[' | ']' | '{' | '}' | '#')
            || (c == ':'
                && text
                    .get(at + 1..)
                    .is_some_and(|rest| rest.starts_with([' ', '\n'])));
        match (divides, start) {
            (true, Some(from)) => {
                words.push((from, at));
                start = None;
            }
            (false, None) if !c.is_whitespace() => start = Some(at),
            _ => {}
        }
    }
    words
}

fn of_lines(bytes: &[u8], other: &[u8], chance: &mut Chance) -> Vec<u8> {
    let split = |bytes: &[u8]| -> Vec<Vec<u8>> {
        bytes
            .split_inclusive(|byte| *byte == b'\n')
            .map(<[u8]>::to_vec)
            .collect()
    };
    let mut lines = split(bytes);
    if lines.is_empty() {
        return other.to_vec();
    }
    let at = chance.below(0, lines.len());
    let further = chance.below(0, lines.len());
    match chance.below(0, 9) {
        0 => {
            lines.remove(at);
        }
        1 => {
            let line = lines.get(at).cloned().unwrap_or_default();
            lines.insert(further, line);
        }
        2 => lines.swap(at, further),
        3 => lines.truncate(at),
        // Another indentation makes another structure.
        4 => {
            if let Some(line) = lines.get_mut(at) {
                let spaces = chance.below(1, 5);
                if chance.in_percent(50) {
                    line.splice(0..0, std::iter::repeat_n(b' ', spaces));
                } else {
                    let blank = line.iter().take_while(|byte| **byte == b' ').count();
                    line.drain(0..blank.min(spaces));
                }
            }
        }
        // A block goes elsewhere.
        5 => {
            let end = (at + chance.below(1, 12)).min(lines.len());
            let block: Vec<Vec<u8>> = lines.drain(at..end).collect();
            let to = further.min(lines.len());
            lines.splice(to..to, block);
        }
        // Lines of another file.
        6 => {
            let lent = split(other);
            if !lent.is_empty() {
                let from = chance.below(0, lent.len());
                let to = (from + chance.below(1, 12)).min(lent.len());
                let lent = lent.get(from..to).unwrap_or_default().to_vec();
                lines.splice(at..at, lent);
            }
        }
        // Brackets around a value, or lists within lists.
        7 => {
            if let Some(line) = lines.get_mut(at)
                && let Some(colon) = line.iter().position(|byte| *byte == b':')
            {
                let end = line
                    .iter()
                    .position(|byte| *byte == b'\n')
                    .unwrap_or(line.len());
                let depth = *chance.one_of(&[1, 1, 2, 40]);
                let (open, close) = *chance.one_of(&[(b'[', b']'), (b'{', b'}')]);
                line.splice(end..end, std::iter::repeat_n(close, depth));
                let colon = colon + 1;
                line.splice(
                    colon..colon,
                    std::iter::once(b' ').chain(std::iter::repeat_n(open, depth)),
                );
            }
        }
        // The ends of the lines of another system.
        _ => {
            for line in &mut lines {
                if line.ends_with(b"\n") && !line.ends_with(b"\r\n") {
                    line.insert(line.len() - 1, b'\r');
                }
            }
        }
    }
    lines.concat()
}
