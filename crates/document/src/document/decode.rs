//! From bytes to text: encoding, byte order mark, control characters.
//!
//! Whatever can be saved is: a file in a Windows code page is read as such, so that the rest of
//! its findings still stand at the right line and column. Byte offsets then count in the text as
//! it would be after saving it as UTF-8, which is what the finding asks for.

use crate::finding::{Fact, Finding};
use crate::place::{FileId, Place};
use crate::rules;

const MARK: &[u8] = &[0xef, 0xbb, 0xbf];

/// The text, and where it begins after a byte order mark.
pub(super) fn decode(file: FileId, bytes: &[u8], findings: &mut Vec<Finding>) -> (String, usize) {
    let base = if bytes.starts_with(MARK) {
        MARK.len()
    } else {
        0
    };
    if base > 0 {
        findings.push(
            Finding::new(&rules::BYTE_ORDER_MARK, Place::bytes(file, 0..base))
                .message("the file starts with an invisible byte order mark")
                .note("it is skipped here, but some programs take it for part of the first field's name")
                .help("save the file as UTF-8 without byte order mark (BOM)")
                .safe_fix(Place::bytes(file, 0..base), ""),
        );
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(error) => other_encoding(file, bytes, error.valid_up_to(), findings),
    };
    (without_controls(file, text, findings), base)
}

fn other_encoding(file: FileId, bytes: &[u8], first: usize, findings: &mut Vec<Finding>) -> String {
    let byte = bytes.get(first).copied().unwrap_or_default();
    let (text, guess) = match (bytes, utf_16(bytes)) {
        ([0xff, 0xfe, ..] | [0xfe, 0xff, ..], _) | (_, Some(_)) => {
            let (skip, little) = match bytes {
                [0xff, 0xfe, ..] => (2, true),
                [0xfe, 0xff, ..] => (2, false),
                _ => (0, utf_16(bytes) == Some(ByteOrder::Little)),
            };
            let units = bytes
                .get(skip..)
                .unwrap_or_default()
                .chunks_exact(2)
                .map(|pair| {
                    let pair = [
                        pair.first().copied().unwrap_or(0),
                        pair.get(1).copied().unwrap_or(0),
                    ];
                    if little {
                        u16::from_le_bytes(pair)
                    } else {
                        u16::from_be_bytes(pair)
                    }
                });
            let text = char::decode_utf16(units)
                .map(|unit| unit.unwrap_or(char::REPLACEMENT_CHARACTER))
                .collect::<String>();
            (
                text,
                "UTF-16, as some editors save it under the name Unicode",
            )
        }
        _ => (
            windows_1252(bytes),
            "Windows-1252 or Latin-1, as older programs save it",
        ),
    };
    let place = if guess.starts_with("UTF-16") {
        0..0
    } else {
        first..first + char_at(&text, first)
    };
    findings.push(
        Finding::new(&rules::NOT_UTF_8, Place::bytes(file, place))
            .message("the file is not saved as UTF-8")
            .label(format!("byte {byte:#04x} is the first that does not fit"))
            .note(format!("it looks like {guess}; signs like µ, ° and ³ may come out as others"))
            .note("byte offsets count as in the same text saved as UTF-8")
            .help("save the file with the encoding UTF-8 and look at the signs beyond plain letters again")
            .fact("byte", Fact::text(format!("{byte:#04x}")))
            .fact("offset", Fact::text(first.to_string())),
    );
    text
}

fn char_at(text: &str, at: usize) -> usize {
    text.get(at..)
        .and_then(|rest| rest.chars().next())
        .map_or(0, char::len_utf8)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum ByteOrder {
    Little,
    Big,
}

/// Plain letters in UTF-16 have a zero in every other byte.
fn utf_16(bytes: &[u8]) -> Option<ByteOrder> {
    let sample = bytes.get(..bytes.len().min(64))?;
    let zeros = |odd: usize| {
        sample
            .iter()
            .skip(odd)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let half = sample.len() / 2;
    if half < 2 {
        None
    } else if zeros(1) * 4 >= half * 3 {
        Some(ByteOrder::Little)
    } else if zeros(0) * 4 >= half * 3 {
        Some(ByteOrder::Big)
    } else {
        None
    }
}

/// The upper half of Windows-1252 from 0x80 to 0x9f; the rest is Latin-1 (from memory, after the
/// mapping that Unicode publishes; the five bytes without a character stay control characters).
const WINDOWS_1252: [char; 32] = [
    '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž', '\u{8f}',
    '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
];

/// Bytes that are UTF-8 stay what they are; the others are taken as Windows-1252.
fn windows_1252(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() + bytes.len() / 8);
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        for byte in chunk.invalid() {
            let upper = usize::from(*byte).checked_sub(0x80);
            match upper.and_then(|at| WINDOWS_1252.get(at)) {
                Some(character) => text.push(*character),
                None => text.push(char::from(*byte)),
            }
        }
    }
    text
}

fn is_control(byte: u8) -> bool {
    matches!(byte, 0..=8 | 11 | 12 | 14..=31 | 127)
}

/// Reports control characters and puts a space in the place of each, so that the rest is read.
fn without_controls(file: FileId, text: String, findings: &mut Vec<Finding>) -> String {
    // Written without a branch in the loop: every byte of every file passes here.
    let any = text.as_bytes().chunks(64).any(|chunk| {
        chunk
            .iter()
            .fold(false, |any, byte| any | is_control(*byte))
    });
    if !any {
        return text;
    }
    let mut clean = String::with_capacity(text.len());
    let mut first = None;
    let mut count = 0_usize;
    for (at, character) in text.char_indices() {
        match u8::try_from(character) {
            Ok(byte) if byte < 128 && is_control(byte) => {
                first = first.or(Some((at, byte)));
                count += 1;
                clean.push(' ');
            }
            _ => clean.push(character),
        }
    }
    if let Some((at, byte)) = first {
        let more = match count {
            1 => String::new(),
            _ => format!("; the file has {count} of them"),
        };
        findings.push(
            Finding::new(&rules::CONTROL_CHARACTER, Place::bytes(file, at..at + 1))
                .message(format!("an invisible control character stands here{more}"))
                .label(format!("character {byte:#04x}"))
                .note("it usually comes along when text is copied from a scan or another program")
                .help("delete it and type the text again"),
        );
    }
    clean
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decoded(bytes: &[u8]) -> (String, Vec<&'static str>) {
        let mut findings = Vec::new();
        let (text, _) = decode(FileId(0), bytes, &mut findings);
        (text, findings.iter().map(Finding::rule).collect())
    }

    #[test]
    fn encodings() {
        assert_eq!(
            decoded("a: 5 µg/m³".as_bytes()),
            ("a: 5 µg/m³".into(), vec![])
        );
        assert_eq!(
            decoded(b"a: 20 \xb0C \x80"),
            ("a: 20 °C €".into(), vec!["not-utf-8"])
        );
        let little: Vec<u8> = "\u{feff}a: °C"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        assert_eq!(decoded(&little), ("a: °C".into(), vec!["not-utf-8"]));
        let big: Vec<u8> = "\u{feff}a: °C"
            .encode_utf16()
            .flat_map(u16::to_be_bytes)
            .collect();
        assert_eq!(decoded(&big), ("a: °C".into(), vec!["not-utf-8"]));
        assert_eq!(decoded(b"\xef\xbb\xbfa: 1").1, ["byte-order-mark"]);
        assert_eq!(
            decoded(b"a: b\0c"),
            ("a: b c".into(), vec!["control-character"])
        );
        assert_eq!(decoded(b"a: 1\r\n\tb"), ("a: 1\r\n\tb".into(), vec![]));
    }
}
