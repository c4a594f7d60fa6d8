//! JSON for people and scripts: numbers without what binary arithmetic leaves behind, `55.0` for `55.00000000000001`.

use std::io;

use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter, Serializer};
use stainbook_core::print;

use crate::lines::steers;

/// A value as JSON, indented, with an end of line at its end.
///
/// # Errors
///
/// If a value cannot be written as JSON.
pub fn written(value: &impl Serialize) -> Result<String, serde_json::Error> {
    with(value, PrettyFormatter::new())
}

/// The same on one line.
///
/// # Errors
///
/// As [`written`].
pub fn on_one_line(value: &impl Serialize) -> Result<String, serde_json::Error> {
    with(value, CompactFormatter)
}

fn with(value: &impl Serialize, layout: impl Formatter) -> Result<String, serde_json::Error> {
    let mut bytes = Vec::with_capacity(4096);
    value.serialize(&mut Serializer::with_formatter(
        &mut bytes,
        WithoutNoise(layout),
    ))?;
    bytes.push(b'\n');
    // What serde writes is UTF-8.
    let text = String::from_utf8(bytes).map_err(serde::ser::Error::custom)?;
    Ok(escaped(text))
}

/// JSON in which every character that steers a terminal is written by its number. It means the same, and can be looked at.
pub fn escaped(json: String) -> String {
    // Those of ASCII but DEL are written by number already, and what is left of them are the ends of lines between values.
    let raw = |c: char| '\u{7f}' <= c && steers(c);
    if !json.contains(raw) {
        return json;
    }
    let mut out = String::with_capacity(json.len() + 64);
    for c in json.chars() {
        if raw(c) {
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            out.push(c);
        }
    }
    out
}

/// A layout, with rounded numbers.
struct WithoutNoise<F>(F);

impl<F: Formatter> Formatter for WithoutNoise<F> {
    fn write_f64<W: ?Sized + io::Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        self.0.write_f64(writer, print::without_noise(value))
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_plain_in_either_layout() {
        let value =
            serde_json::json!({"a": [55.000_000_000_000_01, 0.1 + 0.2, 3.0, 7, null], "b": {}});
        assert_eq!(
            on_one_line(&value).unwrap(),
            "{\"a\":[55.0,0.3,3.0,7,null],\"b\":{}}\n"
        );
        assert_eq!(
            written(&value).unwrap(),
            "{\n  \"a\": [\n    55.0,\n    0.3,\n    3.0,\n    7,\n    null\n  ],\n  \"b\": {}\n}\n"
        );
    }

    #[test]
    fn what_is_written_by_number_means_the_same() {
        let text = "\u{1b}[2K\u{9b}1A\u{202e}\u{7f}\u{2028} µ \u{200f}é";
        let json = written(&[text]).unwrap();
        assert!(!json.contains(|c: char| c != '\n' && steers(c)), "{json:?}");
        assert_eq!(serde_json::from_str::<[String; 1]>(&json).unwrap(), [text]);
    }
}
