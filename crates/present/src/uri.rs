//! Paths as URI references (RFC 3986), for formats that name files so.

/// A file's path as a URI reference.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct UriReference {
    /// Percent-encoded, with `/` between folders.
    pub(crate) uri: String,
    /// True if it is seen from the folder in which the command was run; else it stands for itself.
    pub(crate) relative: bool,
}

/// The URI reference of a path, seen from a folder where it lies below that folder. `.` and `..` are resolved in the text
/// alone, as RFC 3986 has it.
pub(crate) fn reference(path: &str, folder: &str) -> UriReference {
    let whole = if is_absolute(path) {
        path.to_owned()
    } else {
        format!("{folder}/{path}")
    };
    let segments = resolved(&whole);
    let from = resolved(folder);
    match segments.strip_prefix(from.as_slice()) {
        Some(below) if is_absolute(folder) || !is_absolute(path) => UriReference {
            uri: joined(below),
            relative: true,
        },
        _ => UriReference {
            uri: format!("file:///{}", joined(&segments)),
            relative: false,
        },
    }
}

fn is_absolute(path: &str) -> bool {
    matches!(path.as_bytes(), [b'/', ..] | [b'A'..=b'Z' | b'a'..=b'z', b':', b'/', ..])
}

fn resolved(path: &str) -> Vec<&str> {
    let mut segments = Vec::new();
    for segment in path.split('/') {
        match segment {
            "" | "." => {}
            ".." => {
                segments.pop();
            }
            _ => segments.push(segment),
        }
    }
    segments
}

fn joined(segments: &[&str]) -> String {
    let segments: Vec<String> = segments.iter().map(|segment| encoded(segment)).collect();
    segments.join("/")
}

/// Unreserved characters stay, and of the others those that a path may hold; a colon does not, since a reference that
/// begins with `a:` would name a scheme.
fn encoded(segment: &str) -> String {
    let mut out = String::with_capacity(segment.len());
    for byte in segment.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~!$&'()*+,;=@".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_become_references() {
        for (path, folder, uri, relative) in [
            (
                "tubes/a.tube.yaml",
                "/home/kl/lab",
                "tubes/a.tube.yaml",
                true,
            ),
            (
                "./tubes//a.tube.yaml",
                "/home/kl/lab",
                "tubes/a.tube.yaml",
                true,
            ),
            (
                "/home/kl/lab/tubes/a.tube.yaml",
                "/home/kl/lab/",
                "tubes/a.tube.yaml",
                true,
            ),
            (
                "../old/a.tube.yaml",
                "/home/kl/lab",
                "file:///home/kl/old/a.tube.yaml",
                false,
            ),
            ("../lab/a.tube.yaml", "/home/kl/lab", "a.tube.yaml", true),
            (
                "/srv/a b.tube.yaml",
                "/home/kl/lab",
                "file:///srv/a%20b.tube.yaml",
                false,
            ),
            (
                "/home/kl/lab-2/a.yaml",
                "/home/kl/lab",
                "file:///home/kl/lab-2/a.yaml",
                false,
            ),
            (
                "höhe/50 %/a#1?:[b].yaml",
                "/lab",
                "h%C3%B6he/50%20%25/a%231%3F%3A%5Bb%5D.yaml",
                true,
            ),
            ("a:b.yaml", "/lab", "a%3Ab.yaml", true),
            ("C:/lab/a.yaml", "C:/lab", "a.yaml", true),
            ("a.yaml", "", "a.yaml", true),
            ("/a.yaml", "", "file:///a.yaml", false),
        ] {
            let expected = UriReference {
                uri: uri.to_owned(),
                relative,
            };
            assert_eq!(reference(path, folder), expected, "{path} from {folder}");
        }
    }
}
