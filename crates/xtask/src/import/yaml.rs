//! Writing YAML that a person reads: keys in a given order, one fact per line, quotes only where they are needed.

/// A value to be written.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum YamlNode {
    /// Text; quoted if any YAML reader, of version 1.1 or 1.2, would take it for something else.
    Text(String),
    /// Text that is written as it is: a whole number, `true`.
    Bare(&'static str),
    /// A list, one item per line.
    List(Vec<YamlNode>),
    /// A mapping, one key per line.
    Map(Vec<(&'static str, YamlNode)>),
    /// A mapping on one line.
    Row(Vec<(&'static str, YamlNode)>),
}

impl YamlNode {
    /// Text.
    pub(crate) fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }
}

/// Writes a mapping as a document body.
pub(crate) fn document(entries: &[(&'static str, YamlNode)]) -> String {
    let mut out = String::new();
    map(&mut out, entries, 0);
    out
}

fn map(out: &mut String, entries: &[(&'static str, YamlNode)], indent: usize) {
    for (position, (key, node)) in entries.iter().enumerate() {
        // The first key of a list item stands behind the dash.
        if position > 0 || indent == 0 {
            out.push_str(&" ".repeat(indent));
        }
        out.push_str(key);
        out.push(':');
        match node {
            YamlNode::Text(text) => line(out, &scalar(text, ScalarPlace::Block)),
            YamlNode::Bare(text) => line(out, text),
            YamlNode::Row(row) => line(out, &flow(row)),
            YamlNode::List(items) => {
                out.push('\n');
                list(out, items, indent + 2);
            }
            YamlNode::Map(entries) => {
                out.push('\n');
                out.push_str(&" ".repeat(indent + 2));
                map(out, entries, indent + 2);
            }
        }
    }
}

fn list(out: &mut String, items: &[YamlNode], indent: usize) {
    for item in items {
        out.push_str(&" ".repeat(indent));
        out.push('-');
        match item {
            YamlNode::Text(text) => line(out, &scalar(text, ScalarPlace::Block)),
            YamlNode::Bare(text) => line(out, text),
            YamlNode::Row(row) => line(out, &flow(row)),
            YamlNode::List(_) => line(out, "[]"),
            YamlNode::Map(entries) => {
                out.push(' ');
                map(out, entries, indent + 2);
            }
        }
    }
}

fn line(out: &mut String, text: &str) {
    out.push(' ');
    out.push_str(text);
    out.push('\n');
}

fn flow(entries: &[(&'static str, YamlNode)]) -> String {
    let fields: Vec<String> = entries
        .iter()
        .map(|(key, node)| match node {
            YamlNode::Text(text) => format!("{key}: {}", scalar(text, ScalarPlace::Flow)),
            YamlNode::Bare(text) => format!("{key}: {text}"),
            YamlNode::Row(row) | YamlNode::Map(row) => format!("{key}: {}", flow(row)),
            YamlNode::List(_) => format!("{key}: []"),
        })
        .collect();
    format!("{{{}}}", fields.join(", "))
}

#[derive(Clone, Copy, PartialEq)]
enum ScalarPlace {
    Block,
    Flow,
}

fn scalar(text: &str, place: ScalarPlace) -> String {
    if plain(text, place) {
        text.to_owned()
    } else {
        format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
    }
}

/// True if the text needs no quotes.
fn plain(text: &str, place: ScalarPlace) -> bool {
    let Some(first) = text.chars().next() else {
        return false;
    };
    let signed_number = first == '-' && text[1..].starts_with(|c: char| c.is_ascii_digit());
    let trimmed = text.trim() == text && !text.contains('\n');
    let opens = !"-?:,[]{}#&*!|>'\"%@`".contains(first) || signed_number;
    let inside = !text.contains(": ") && !text.contains(" #") && !text.ends_with(':');
    let between = place == ScalarPlace::Block || !text.contains([',', '[', ']', '{', '}']);
    trimmed && opens && inside && between && !taken_for_something_else(text)
}

/// True if some YAML reader makes a truth value, nothing, a number, a time or a date of it: nitric oxide is `NO`.
fn taken_for_something_else(text: &str) -> bool {
    const WORDS: [&str; 11] = [
        "y", "n", "yes", "no", "on", "off", "true", "false", "null", "~", "=",
    ];
    let lower = text.to_lowercase();
    let numeric = text.contains(|c: char| c.is_ascii_digit())
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || "+-_.:eExXoabcdfABCDFtTzZ ".contains(c))
        && text.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    let named_number = [".nan", ".inf", "+.inf", "-.inf"].contains(&lower.as_str());
    WORDS.contains(&lower.as_str()) || numeric || named_number
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_quoted_where_a_reader_would_take_it_for_something_else() {
        for (text, written) in [
            ("NO", "\"NO\""),
            ("CO", "CO"),
            ("n", "\"n\""),
            ("630-08-0", "\"630-08-0\""),
            ("2026-11-25", "\"2026-11-25\""),
            ("1", "\"1\""),
            ("-191.5 °C", "-191.5 °C"),
            ("2-butanone", "2-butanone"),
            ("1,1-dichloroethane", "1,1-dichloroethane"),
            ("a: b", "\"a: b\""),
            ("(CN)2", "(CN)2"),
            ("[x]", "\"[x]\""),
            ("", "\"\""),
            ("say \"no\"", "say \"no\""),
        ] {
            assert_eq!(scalar(text, ScalarPlace::Block), written, "{text}");
            let back: String = serde_yaml::from_str(&scalar(text, ScalarPlace::Block)).unwrap();
            assert_eq!(back, text);
        }
        assert_eq!(
            scalar("N,N-dimethyl", ScalarPlace::Flow),
            "\"N,N-dimethyl\""
        );
    }

    #[test]
    fn a_document_reads_back_as_it_was_meant() {
        let text = document(&[
            ("name", YamlNode::text("nitric oxide")),
            (
                "also",
                YamlNode::List(vec![YamlNode::text("NO"), YamlNode::text("a, b")]),
            ),
            (
                "rows",
                YamlNode::List(vec![YamlNode::Row(vec![
                    ("a", YamlNode::text("x, y")),
                    ("b", YamlNode::Bare("true")),
                ])]),
            ),
            (
                "deep",
                YamlNode::List(vec![YamlNode::Map(vec![
                    ("k", YamlNode::text("v")),
                    ("l", YamlNode::text("w")),
                ])]),
            ),
            (
                "inner",
                YamlNode::Map(vec![("p", YamlNode::text("1")), ("q", YamlNode::text("2"))]),
            ),
        ]);
        let back: serde_json::Value = serde_yaml::from_str(&text).unwrap();
        let meant = serde_json::json!({
            "name": "nitric oxide", "also": ["NO", "a, b"], "rows": [{"a": "x, y", "b": true}],
            "deep": [{"k": "v", "l": "w"}], "inner": {"p": "1", "q": "2"},
        });
        assert_eq!(back, meant, "{text}");
    }
}
