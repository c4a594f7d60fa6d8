//! JSON for people and scripts: numbers without what binary arithmetic leaves behind, `55.0` for `55.00000000000001`.

use std::io;

use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter, Serializer};
use stainbook_core::print;

/// A value as JSON, indented, with an end of line at its end.
pub(crate) fn written(value: &impl Serialize) -> Result<String, serde_json::Error> {
    with(value, PrettyFormatter::new())
}

/// The same on one line.
pub(crate) fn on_one_line(value: &impl Serialize) -> Result<String, serde_json::Error> {
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
    String::from_utf8(bytes).map_err(serde::ser::Error::custom)
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
}
