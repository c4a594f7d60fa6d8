//! Likely slips of the hand that make one number of the other.

/// A slip of the hand or the eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LikelySlip {
    /// The decimal point stands elsewhere, or is missing.
    DecimalPoint,
    /// Two neighbouring digits have changed places.
    DigitsSwapped,
    /// One side has a digit more, which stands twice or was left out.
    DigitMore,
    /// One digit is another.
    OneDigit,
    /// The sign.
    Sign,
}

impl LikelySlip {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::DecimalPoint => "decimal point elsewhere",
            Self::DigitsSwapped => "two digits changed places",
            Self::DigitMore => "one digit more or less",
            Self::OneDigit => "one digit differs",
            Self::Sign => "another sign",
        }
    }
}

/// The slip between two written numbers, if it is a single one.
pub(super) fn slip(a: &str, b: &str) -> Option<LikelySlip> {
    let (sign_a, a) = signed(a);
    let (sign_b, b) = signed(b);
    if sign_a != sign_b {
        return (a == b).then_some(LikelySlip::Sign);
    }
    let digits = |text: &str| text.chars().filter(|c| *c != '.').collect::<Vec<_>>();
    let significant = |text: &str| {
        let digits: String = digits(text).into_iter().collect();
        digits.trim_matches('0').to_owned()
    };
    if significant(a) == significant(b) {
        return Some(LikelySlip::DecimalPoint);
    }
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a.len() == b.len() {
        let differing: Vec<usize> = (0..a.len()).filter(|i| a.get(*i) != b.get(*i)).collect();
        return match differing.as_slice() {
            // Of a number of one digit it would say nothing.
            [_] if 1 < digits_of(&a) => Some(LikelySlip::OneDigit),
            [i, j]
                if a.get(*i) == b.get(*j)
                    && a.get(*j) == b.get(*i)
                    && a.iter().take(*j).skip(i + 1).all(|c| *c == '.') =>
            {
                Some(LikelySlip::DigitsSwapped)
            }
            _ => None,
        };
    }
    let (short, long) = if a.len() < b.len() {
        (&a, &b)
    } else {
        (&b, &a)
    };
    let without = |at: usize| {
        let rest = long
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != at)
            .map(|(_, c)| c);
        rest.eq(short.iter())
    };
    (long.len() == short.len() + 1 && (0..long.len()).any(without)).then_some(LikelySlip::DigitMore)
}

fn digits_of(text: &[char]) -> usize {
    text.iter().filter(|c| c.is_ascii_digit()).count()
}

fn signed(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn named() {
        let cases = [
            ("0.35", "3.5", Some(LikelySlip::DecimalPoint)),
            ("13", "1.3", Some(LikelySlip::DecimalPoint)),
            ("120", "12", Some(LikelySlip::DecimalPoint)),
            ("1.23", "1.32", Some(LikelySlip::DigitsSwapped)),
            ("1.2", "2.1", Some(LikelySlip::DigitsSwapped)),
            ("1.23", "1.3", Some(LikelySlip::DigitMore)),
            ("13", "133", Some(LikelySlip::DigitMore)),
            ("1.25", "1.26", Some(LikelySlip::OneDigit)),
            ("-4", "4", Some(LikelySlip::Sign)),
            ("1.25", "2.36", None),
            ("2", "3", None),
        ];
        for (a, b, expected) in cases {
            assert_eq!(slip(a, b), expected, "{a} {b}");
            assert_eq!(slip(b, a), expected, "{b} {a}");
        }
    }
}
