//! Bare words and numbers that mean one thing here and another to the next reader.
//!
//! Resolution is the core schema of YAML 1.2 (section 10.3.2 of its specification). What a
//! YAML 1.1 reader makes of the same text follows the type repository of YAML 1.1 (`bool`, `int`,
//! `float`); where the two differ the text is a trap: `NO` is a name to the author and `false` to the script that a colleague
//! runs over the same file.

use std::ops::Range;

use super::tree::Class;

/// Oddities of a scalar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Trap {
    /// `yes`, `NO`, `on`, `y` …: a truth value to YAML 1.1.
    Word,
    /// `0755`: octal to YAML 1.1.
    LeadingZero,
    /// `0o17`: octal here, text to YAML 1.1.
    Octal,
    /// `0b11`: binary to YAML 1.1, text here.
    Binary,
    /// `1_000`: a number to YAML 1.1, text here.
    Underscore,
    /// `10:40`: base 60 to YAML 1.1, text here.
    Sexagesimal,
    /// `1e3`: a number here, text to YAML 1.1.
    Exponent,
    /// `0,5 kg`.
    Comma,
    /// A letter, digit or sign that looks like another.
    LookAlike,
    /// A character that cannot be seen.
    Invisible,
}

/// Class of a bare scalar, with its oddity. Before any of the units a number is a number, see
/// [`ReadOptions::units`](super::ReadOptions::units).
pub(crate) fn plain(text: &str, units: &[&str]) -> (Class, Option<Trap>) {
    let bytes = text.as_bytes();
    let (class, trap) = match bytes.first() {
        None => (Class::Null, None),
        Some(b'0'..=b'9' | b'+' | b'-' | b'.') => number(bytes, units),
        Some(b'~' | b'n' | b'N' | b't' | b'T' | b'f' | b'F' | b'y' | b'Y' | b'o' | b'O')
            if bytes.len() <= 5 =>
        {
            word(bytes)
        }
        Some(_) => (Class::Text, None),
    };
    (class, trap.or_else(|| quoted(text)))
}

/// Oddity of a scalar in quotes or in a block.
pub(crate) fn quoted(text: &str) -> Option<Trap> {
    if text.is_ascii() {
        return None;
    }
    strange(text).map(|strange| strange.trap)
}

fn word(bytes: &[u8]) -> (Class, Option<Trap>) {
    match bytes {
        b"~" | b"null" | b"Null" | b"NULL" => (Class::Null, None),
        b"true" | b"True" | b"TRUE" | b"false" | b"False" | b"FALSE" => (Class::Bool, None),
        b"y" | b"Y" | b"yes" | b"Yes" | b"YES" | b"n" | b"N" | b"no" | b"No" | b"NO" | b"on"
        | b"On" | b"ON" | b"off" | b"Off" | b"OFF" => (Class::Text, Some(Trap::Word)),
        _ => (Class::Text, None),
    }
}

fn digits(bytes: &[u8]) -> (&[u8], &[u8]) {
    let count = bytes
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    bytes.split_at_checked(count).unwrap_or((bytes, &[]))
}

fn number(bytes: &[u8], units: &[&str]) -> (Class, Option<Trap>) {
    let unsigned = match bytes {
        [b'+' | b'-', rest @ ..] => rest,
        _ => bytes,
    };
    let signed = unsigned.len() < bytes.len();
    match unsigned {
        b".inf" | b".Inf" | b".INF" => return (Class::Float, None),
        b".nan" | b".NaN" | b".NAN" if !signed => return (Class::Float, None),
        [b'0', b'x', rest @ ..]
            if !signed && !rest.is_empty() && rest.iter().all(u8::is_ascii_hexdigit) =>
        {
            return (Class::Integer, None);
        }
        [b'0', b'o', rest @ ..]
            if !signed
                && !rest.is_empty()
                && rest.iter().all(|byte| (b'0'..=b'7').contains(byte)) =>
        {
            return (Class::Integer, Some(Trap::Octal));
        }
        [b'0', b'b', rest @ ..]
            if !rest.is_empty() && rest.iter().all(|byte| matches!(byte, b'0' | b'1' | b'_')) =>
        {
            return (Class::Text, Some(Trap::Binary));
        }
        _ => {}
    }
    let (whole, rest) = digits(unsigned);
    match rest {
        [] if whole.is_empty() => (Class::Text, None),
        [] => {
            let zero = whole.len() > 1 && whole.first() == Some(&b'0');
            (Class::Integer, zero.then_some(Trap::LeadingZero))
        }
        [b'.', rest @ ..] => {
            let (part, rest) = digits(rest);
            if whole.is_empty() && part.is_empty() {
                return (Class::Text, None);
            }
            match rest {
                [] => (Class::Float, None),
                [b'e' | b'E', power @ ..] => exponent(power, true),
                [b'_', ..] if underscored(unsigned) => (Class::Text, Some(Trap::Underscore)),
                _ => (Class::Text, None),
            }
        }
        _ if whole.is_empty() => (Class::Text, None),
        [b'e' | b'E', power @ ..] => exponent(power, false),
        [b',', rest @ ..] => (Class::Text, comma(rest, units).then_some(Trap::Comma)),
        [b'_', ..] if underscored(unsigned) => (Class::Text, Some(Trap::Underscore)),
        [b':', ..] if sexagesimal(rest) => (Class::Text, Some(Trap::Sexagesimal)),
        _ => (Class::Text, None),
    }
}

fn exponent(power: &[u8], point: bool) -> (Class, Option<Trap>) {
    let (signed, unsigned) = match power {
        [b'+' | b'-', rest @ ..] => (true, rest),
        _ => (false, power),
    };
    let (figures, rest) = digits(unsigned);
    if figures.is_empty() || !rest.is_empty() {
        return (Class::Text, None);
    }
    // YAML 1.1 asks for a point before and a sign after the `e`.
    (Class::Float, (!(point && signed)).then_some(Trap::Exponent))
}

fn underscored(unsigned: &[u8]) -> bool {
    unsigned
        .iter()
        .all(|byte| byte.is_ascii_digit() || matches!(byte, b'_' | b'.'))
        && unsigned.split(|byte| *byte == b'.').count() <= 2
}

/// `:40` or `:40:30`, each part below 60, with a decimal part at the end at most.
fn sexagesimal(mut rest: &[u8]) -> bool {
    while let [b':', after @ ..] = rest {
        let (part, next) = digits(after);
        let below_60 = match part {
            [_] => true,
            [tens, _] => *tens <= b'5',
            _ => false,
        };
        if !below_60 {
            return false;
        }
        rest = next;
    }
    match rest {
        [] => true,
        [b'.', part @ ..] => part
            .iter()
            .all(|byte| byte.is_ascii_digit() || *byte == b'_'),
        _ => false,
    }
}

/// Beginnings of the rest of a text that is a number, besides a unit: the second half of a range.
const GOING_ON: &[&str] = &["to ", "or ", "±"];

/// True if what follows the comma goes on like a decimal number.
fn comma(rest: &[u8], units: &[&str]) -> bool {
    let (part, rest) = digits(rest);
    let Ok(rest) = std::str::from_utf8(rest) else {
        return false;
    };
    if part.is_empty() || rest.starts_with(['-', ',', ':', '\'', '.']) {
        return false;
    }
    let unit = rest.trim_start();
    unit.is_empty()
        || GOING_ON.iter().chain(units).any(|start| {
            unit.strip_prefix(start).is_some_and(|after| {
                start.ends_with([' ', '/', '°', 'º', 'µ', 'μ'])
                    || !after.starts_with(|c: char| c.is_alphabetic())
            })
        })
}

/// A character that is not what it seems to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Strange {
    pub(crate) trap: Trap,
    /// Its bytes in the scalar's text.
    pub(crate) range: Range<usize>,
    pub(crate) character: char,
    /// Character to be written instead, where that is known.
    pub(crate) instead: Option<&'static str>,
    pub(crate) name: &'static str,
}

/// The first character of `text` that is not what it seems to be.
pub(crate) fn strange(text: &str) -> Option<Strange> {
    let mut before: Option<char> = None;
    let mut characters = text.char_indices().peekable();
    while let Some((at, character)) = characters.next() {
        let after = characters.peek().map(|(_, after)| *after);
        if !character.is_ascii()
            && let Some((trap, instead, name)) = found_trap(before, character, after)
        {
            let range = at..at + character.len_utf8();
            return Some(Strange {
                trap,
                range,
                character,
                instead,
                name,
            });
        }
        before = Some(character);
    }
    None
}

type FoundTrap = (Trap, Option<&'static str>, &'static str);

fn found_trap(before: Option<char>, character: char, after: Option<char>) -> Option<FoundTrap> {
    let beside_latin = [before, after]
        .into_iter()
        .flatten()
        .any(|beside| beside.is_ascii_alphanumeric());
    let edge = before.is_none() || after.is_none();
    Some(match character {
        '\u{80}'..='\u{9f}' => (Trap::Invisible, None, "a control character"),
        '\u{ad}' => (Trap::Invisible, Some(""), "a soft hyphen"),
        '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' => {
            (Trap::Invisible, Some(""), "a character without width")
        }
        '\u{2028}' | '\u{2029}' => (Trap::Invisible, Some(" "), "a line separator"),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => (
            Trap::Invisible,
            Some(""),
            "a mark for the direction of writing",
        ),
        // Between a number and its unit a space that does not break is good typography.
        '\u{a0}' | '\u{2007}' | '\u{202f}' if edge => {
            (Trap::Invisible, Some(""), "a space that does not break")
        }
        '\u{2212}' | '\u{2013}' | '\u{2012}' | '\u{fe63}' | '\u{ff0d}'
            if before.is_none_or(|c| c == ' ') && after.is_some_and(|c| c.is_ascii_digit()) =>
        {
            (
                Trap::LookAlike,
                Some("-"),
                "not the minus sign of the keyboard",
            )
        }
        'º' | '˚' if after.is_some_and(|c| matches!(c, 'C' | 'F')) => {
            (Trap::LookAlike, Some("°"), "not the degree sign")
        }
        '\u{ff01}'..='\u{ff5e}' => (
            Trap::LookAlike,
            full_width(character),
            "a full-width character",
        ),
        '\u{660}'..='\u{669}' => (Trap::LookAlike, None, "an Arabic digit"),
        _ if beside_latin => {
            let latin = look_alike(character)?;
            let name = if ('\u{370}'..='\u{3ff}').contains(&character) {
                "a Greek letter"
            } else {
                "a Cyrillic letter"
            };
            (Trap::LookAlike, Some(latin), name)
        }
        _ => return None,
    })
}

fn full_width(character: char) -> Option<&'static str> {
    const ASCII: &str = "!\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`\
                         abcdefghijklmnopqrstuvwxyz{|}~";
    let at = usize::try_from(u32::from(character).checked_sub(0xff01)?).ok()?;
    ASCII.get(at..=at)
}

/// Letters of other alphabets that print like a Latin one (after the confusables of Unicode
/// Technical Standard 39, from memory: only those that look the same in common fonts).
const LOOK_ALIKES: &[(char, &str)] = &[
    // Cyrillic.
    ('а', "a"),
    ('А', "A"),
    ('В', "B"),
    ('с', "c"),
    ('С', "C"),
    ('е', "e"),
    ('Е', "E"),
    ('Н', "H"),
    ('і', "i"),
    ('І', "I"),
    ('ј', "j"),
    ('Ј', "J"),
    ('К', "K"),
    ('М', "M"),
    ('о', "o"),
    ('О', "O"),
    ('р', "p"),
    ('Р', "P"),
    ('ѕ', "s"),
    ('Ѕ', "S"),
    ('Т', "T"),
    ('х', "x"),
    ('Х', "X"),
    ('у', "y"),
    ('У', "Y"),
    // Greek; alpha, beta and the like head the names of isomers and stand before a hyphen.
    ('Α', "A"),
    ('Β', "B"),
    ('Ε', "E"),
    ('Ζ', "Z"),
    ('Η', "H"),
    ('Ι', "I"),
    ('Κ', "K"),
    ('Μ', "M"),
    ('Ν', "N"),
    ('Ο', "O"),
    ('ο', "o"),
    ('Ρ', "P"),
    ('Τ', "T"),
    ('Υ', "Y"),
    ('Χ', "X"),
    ('ν', "v"),
    ('ι', "i"),
];

fn look_alike(character: char) -> Option<&'static str> {
    LOOK_ALIKES
        .iter()
        .find(|(other, _)| *other == character)
        .map(|(_, latin)| *latin)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_words() {
        use Class::{Bool, Float, Integer, Null, Text};
        let cases: &[(&str, Class, Option<Trap>)] = &[
            ("", Null, None),
            ("~", Null, None),
            ("null", Null, None),
            ("nulls", Text, None),
            ("true", Bool, None),
            ("FALSE", Bool, None),
            ("tRue", Text, None),
            ("NO", Text, Some(Trap::Word)),
            ("n", Text, Some(Trap::Word)),
            ("On", Text, Some(Trap::Word)),
            ("oN", Text, None),
            ("none", Text, None),
            ("NO2", Text, None),
            ("yes, it does", Text, None),
            ("0", Integer, None),
            ("5", Integer, None),
            ("-5", Integer, None),
            ("+5", Integer, None),
            ("05", Integer, Some(Trap::LeadingZero)),
            ("0755", Integer, Some(Trap::LeadingZero)),
            ("00", Integer, Some(Trap::LeadingZero)),
            ("0x1F", Integer, None),
            ("0xZ", Text, None),
            ("-0x1", Text, None),
            ("0o17", Integer, Some(Trap::Octal)),
            ("0o8", Text, None),
            ("0b101", Text, Some(Trap::Binary)),
            ("0bz", Text, None),
            (".5", Float, None),
            ("5.", Float, None),
            ("-.5", Float, None),
            (".", Text, None),
            ("+", Text, None),
            ("-", Text, None),
            ("0.5", Float, None),
            ("05.5", Float, None),
            ("1e3", Float, Some(Trap::Exponent)),
            ("1.5e3", Float, Some(Trap::Exponent)),
            ("1.5e+3", Float, None),
            ("1.E-3", Float, None),
            ("1e", Text, None),
            ("1e3x", Text, None),
            (".inf", Float, None),
            ("-.Inf", Float, None),
            (".nan", Float, None),
            ("-.nan", Text, None),
            ("1.2.3", Text, None),
            ("1_000", Text, Some(Trap::Underscore)),
            ("1_0.5_0", Text, Some(Trap::Underscore)),
            ("1_000 kg", Text, None),
            ("1:30", Text, Some(Trap::Sexagesimal)),
            ("07:40", Text, Some(Trap::Sexagesimal)),
            ("190:20:30.15", Text, Some(Trap::Sexagesimal)),
            ("1:75", Text, None),
            ("1:5:", Text, None),
            ("24:117", Text, None),
            ("0,5", Text, Some(Trap::Comma)),
            ("0,5 kg", Text, Some(Trap::Comma)),
            ("-0,5 °C", Text, Some(Trap::Comma)),
            ("1,5%", Text, Some(Trap::Comma)),
            ("0,5 to 3 kg", Text, Some(Trap::Comma)),
            ("1,3-butadiene", Text, None),
            ("1,2 epoxypropane", Text, None),
            ("1,1,1-trichloroethane", Text, None),
            ("1,4-dioxane", Text, None),
            ("1,2 menthol", Text, None),
            ("2026-02-11", Text, None),
            ("2024-03", Text, None),
            ("20 °C", Text, None),
            ("25kg", Text, None),
            ("24-117", Text, None),
        ];
        for (text, class, trap) in cases {
            assert_eq!(plain(text, &["kg", "°", "%"]), (*class, *trap), "{text:?}");
        }
    }

    #[test]
    fn characters_that_are_not_what_they_seem() {
        let cases: &[(&str, Option<&str>)] = &[
            ("20 °C", None),
            ("5 µg/m³", None),
            ("5 μg/m³", None),
            ("α-pinene", None),
            ("Σ of all", None),
            ("Öl", None),
            ("5\u{a0}kg", None),
            ("10–30 kg", None),
            ("хлор", None),
            ("Ω", None),
            ("cоpper", Some("o")),
            ("СO", Some("C")),
            ("CΟ2", Some("O")),
            ("−5 °C", Some("-")),
            ("–5 °C", Some("-")),
            ("20 ºC", Some("°")),
            ("５ kg", Some("5")),
            ("cop\u{200b}per", Some("")),
            ("kg\u{a0}", Some("")),
        ];
        for (text, instead) in cases {
            assert_eq!(
                strange(text).and_then(|found| found.instead),
                *instead,
                "{text:?}"
            );
        }
    }
}
