//! JSON for people and scripts: indented, with an end of line at its end.

use serde::Serialize;

use crate::lines::steers;

/// A value as JSON.
///
/// # Errors
///
/// If a value cannot be written as JSON.
pub fn written(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(value)?;
    text.push('\n');
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_by_number_means_the_same() {
        let text = "\u{1b}[2K\u{9b}1A\u{202e}\u{7f}\u{2028} µ \u{200f}é";
        let json = written(&[text]).unwrap();
        assert!(!json.contains(|c: char| c != '\n' && steers(c)), "{json:?}");
        assert_eq!(serde_json::from_str::<[String; 1]>(&json).unwrap(), [text]);
    }
}
