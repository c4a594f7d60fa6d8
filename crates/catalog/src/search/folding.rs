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

/// Number of bytes of a folded name that are kept without allocating; the longest name of the reference has fewer.
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
        Self::of_short(name).unwrap_or_else(|| Self::of_any(name))
    }

    /// The quick way for what is typed most: a name of usual length in plain letters.
    fn of_short(name: &str) -> Option<Self> {
        let mut short = [0; SHORT];
        let mut length: usize = 0;
        for byte in name.bytes() {
            let letter = PLAIN.get(usize::from(byte)).copied()?;
            if letter == PASSED_OVER {
                continue;
            }
            // `sulphur` and `aluminium` are left to the other way, which knows them.
            let before = match letter {
                b'h' => Some(b'p'),
                b'm' => Some(b'u'),
                _ => None,
            };
            if before.is_some()
                && length.checked_sub(1).and_then(|at| short.get(at)).copied() == before
            {
                return None;
            }
            *short.get_mut(length)? = letter;
            length += 1;
        }
        Some(Self {
            short,
            length,
            long: Vec::new(),
        })
    }

    fn of_any(name: &str) -> Self {
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
                match greek(c).or_else(|| without_accent(c)) {
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

/// Stands in the table below for a sign that does not count.
const PASSED_OVER: u8 = 0;

/// Each sign of plain text as it is compared.
const PLAIN: [u8; 128] = plain();

const fn plain() -> [u8; 128] {
    let mut table = [PASSED_OVER; 128];
    let mut byte: u8 = 0;
    let mut rest: &mut [u8] = &mut table;
    while let [first, others @ ..] = rest {
        *first = match byte {
            b' ' | b'\t' | b'\n' | b'\r' | 0x0c | b'-' | b'_' | b'\'' | b',' | b'(' | b')'
            | b'[' | b']' => PASSED_OVER,
            _ => byte.to_ascii_lowercase(),
        };
        byte += 1;
        rest = others;
    }
    table
}

/// A number for a name, by which it is found in a table. The table is made with the same function, so that changing it
/// means to make the table again.
pub fn name_number(name: &str) -> u64 {
    const SPREAD: u64 = 0x9e37_79b9_7f4a_7c15;
    let mix = |number: u64, word: [u8; 8]| {
        let mixed = (number ^ u64::from_le_bytes(word)).wrapping_mul(SPREAD);
        mixed ^ (mixed >> 32)
    };
    let (words, rest) = name.as_bytes().as_chunks::<8>();
    let number = words.iter().fold(SPREAD, |number, word| mix(number, *word));
    let mut last = [0; 8];
    for (to, from) in last.iter_mut().zip(rest) {
        *to = *from;
    }
    mix(number, last)
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

/// Letters with accents as they are written where a keyboard has none: `é` as `e`, `ß` as `ss`.
fn without_accent(c: char) -> Option<&'static str> {
    Some(match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ă' | 'ą' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'č' => "c",
        'ď' => "d",
        'è' | 'é' | 'ê' | 'ë' | 'ě' | 'ę' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ł' => "l",
        'ñ' | 'ń' | 'ň' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ő' => "o",
        'œ' => "oe",
        'ř' => "r",
        'ś' | 'š' | 'ș' | 'ş' => "s",
        'ß' => "ss",
        'ť' | 'ț' | 'ţ' => "t",
        'ù' | 'ú' | 'û' | 'ü' | 'ů' | 'ű' => "u",
        'ý' => "y",
        'ź' | 'ż' | 'ž' => "z",
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
            ("Méthacrylate d’éthyle", "methacrylate d'ethyle"),
            ("SALZSÄURE", "salzsaure"),
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

    #[test]
    fn the_quick_way_gives_the_same() {
        for name in [
            "Hydrogen sulfide",
            "a\u{1}b",
            "sulphur",
            "phosgene [CG]",
            "N,N'-x_y",
            "aluminium",
            "~{}|",
            "",
        ] {
            let other = Folded::of_any(name);
            assert_eq!(Folded::of(name).as_str(), other.as_str(), "{name}");
        }
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
