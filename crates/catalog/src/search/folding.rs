//! Names as they are compared.

/// A name as it is compared: small letters, British spelling as American, Greek letters spelt out, no spaces, hyphens,
/// commas and brackets.
///
/// # Example
///
/// ```
/// use stainbook_catalog::search::folded;
///
/// assert_eq!(folded("Hydrogen sulphide"), folded("hydrogen-sulfide"));
/// assert_eq!(folded("α-Pinene"), "alphapinene");
/// assert_eq!(folded("N,N-Dimethylformamide"), "nndimethylformamide");
/// ```
pub fn folded(name: &str) -> String {
    Folded::of(name).as_str().to_owned()
}

/// How many bytes of a folded name are kept without allocating; the longest name of the reference has fewer.
const SHORT: usize = 80;

/// A folded name. A name of usual length is folded without allocating.
pub(crate) struct Folded {
    short: [u8; SHORT],
    length: usize,
    /// Everything, if it did not fit.
    long: Vec<u8>,
}

impl Folded {
    /// Folds a name.
    pub(crate) fn of(name: &str) -> Self {
        let mut folded = Self {
            short: [0; SHORT],
            length: 0,
            long: Vec::new(),
        };
        for c in name.chars() {
            if c.is_ascii() {
                if !passed_over(c) {
                    folded.push(c.to_ascii_lowercase());
                }
                continue;
            }
            if let Some(digit) = subscript(c) {
                folded.push(digit);
                continue;
            }
            if c.is_whitespace() || passed_over(c) {
                continue;
            }
            for c in c.to_lowercase() {
                match greek(c) {
                    Some(name) => name.chars().for_each(|c| folded.push(c)),
                    None => folded.push(c),
                }
            }
        }
        folded
    }

    /// The folded name.
    pub(crate) fn as_str(&self) -> &str {
        // Whole characters only were put in, so that this is always text.
        std::str::from_utf8(self.bytes()).unwrap_or_default()
    }

    fn bytes(&self) -> &[u8] {
        if self.long.is_empty() {
            self.short.get(..self.length).unwrap_or_default()
        } else {
            &self.long
        }
    }

    fn push(&mut self, c: char) {
        // `sulphur` and `aluminium` are `sulfur` and `aluminum`.
        if c == 'h' && self.bytes().ends_with(b"sulp") {
            self.drop_last();
            return self.put('f');
        }
        if c == 'm' && self.bytes().ends_with(b"aluminiu") {
            self.drop_last();
            self.drop_last();
            self.put('u');
        }
        self.put(c);
    }

    fn put(&mut self, c: char) {
        let mut buffer = [0; 4];
        let bytes = c.encode_utf8(&mut buffer).as_bytes();
        let end = self.length + bytes.len();
        if self.long.is_empty()
            && let Some(room) = self.short.get_mut(self.length..end)
        {
            room.copy_from_slice(bytes);
            self.length = end;
            return;
        }
        if self.long.is_empty() {
            self.long = self.bytes().to_vec();
        }
        self.long.extend_from_slice(bytes);
    }

    /// Takes the last byte away, which has to be a letter of the alphabet.
    fn drop_last(&mut self) {
        if self.long.is_empty() {
            self.length = self.length.saturating_sub(1);
        } else {
            self.long.pop();
        }
    }
}

/// Signs that do not count.
fn passed_over(c: char) -> bool {
    c.is_ascii_whitespace()
        || matches!(
            c,
            '-' | '‐' | '‑' | '–' | '−' | '_' | '\'' | '’' | '′' | ',' | '(' | ')' | '[' | ']'
        )
}

fn subscript(c: char) -> Option<char> {
    ('₀'..='₉')
        .contains(&c)
        .then(|| char::from_digit(u32::from(c) - u32::from('₀'), 10))
        .flatten()
}

fn greek(c: char) -> Option<&'static str> {
    Some(match c {
        'α' => "alpha",
        'β' => "beta",
        'γ' => "gamma",
        'δ' => "delta",
        'ω' => "omega",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn names_are_compared_as_people_type_them() {
        for (a, b) in [
            ("Hydrogen sulphide", "hydrogen-sulfide"),
            ("n-Hexane", "n hexane"),
            ("α-pinene", "alpha-Pinene"),
            ("Β-naphthol", "beta naphthol"),
            ("SO₂", "so2"),
            ("trimethyl aluminium", "Trimethylaluminum"),
            ("1,1,1-Trichloroethane", "1 1 1 trichloroethane"),
            (
                "methylene bis(4-cyclohexylisocyanate)",
                "methylenebis 4 cyclohexyl isocyanate",
            ),
        ] {
            assert_eq!(folded(a), folded(b));
        }
        assert_ne!(folded("o-xylene"), folded("m-xylene"));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]

        /// Short and long names are folded alike, whatever is in them, and folding twice changes nothing.
        #[test]
        fn length_does_not_matter(part in "[a-zA-Z0-9 ,'α-ωéß-]{0,20}") {
            let long = format!("{part}|{}|{part}", "x".repeat(90));
            let expected = format!("{0}|{1}|{0}", folded(&part), "x".repeat(90));
            prop_assert_eq!(folded(&long), expected);
            prop_assert_eq!(folded(&folded(&part)), folded(&part));
        }
    }
}
