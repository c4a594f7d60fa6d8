//! Slips in a number on its way from paper to keyboard.

/// A class of slips in one number, with the numbers that it makes of another.
pub(super) fn slips(text: &str) -> Vec<(super::SlipClass, String)> {
    use super::SlipClass;
    let mut found: Vec<(SlipClass, String)> = Vec::new();
    let all = [
        (SlipClass::DecimalPoint, point_moved(text)),
        (SlipClass::DigitsSwapped, swapped(text)),
        (SlipClass::DigitWrong, wrong(text)),
        (SlipClass::DigitDropped, dropped(text)),
        (SlipClass::DigitDoubled, doubled(text)),
        (
            SlipClass::SignLost,
            text.strip_prefix('-')
                .map(str::to_owned)
                .into_iter()
                .collect(),
        ),
    ];
    for (class, texts) in all {
        for slipped in texts {
            // A zero more or less at the end changes no value: `compare` tells it, and it is no slip here.
            let differs = slipped.parse::<f64>().ok() != text.parse::<f64>().ok();
            if differs && !found.iter().any(|(_, other)| *other == slipped) {
                found.push((class, slipped));
            }
        }
    }
    found
}

/// The same for a number of the paperwork, whose digits are a name rather than a size.
pub(super) fn paperwork(text: &str) -> Vec<(super::SlipClass, String)> {
    slips(text)
        .into_iter()
        .filter(|(class, _)| *class != super::SlipClass::DecimalPoint)
        .collect()
}

fn point_moved(text: &str) -> Vec<String> {
    let (sign, digits) = text
        .strip_prefix('-')
        .map_or(("", text), |rest| ("-", rest));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let all = format!("{whole}{part}");
    let place = |point: isize| {
        let padded = format!("000{all}000");
        let at = usize::try_from(point + 3).unwrap_or(0);
        let (whole, part) = padded.split_at(at.min(padded.len()));
        let whole = whole.trim_start_matches('0');
        let whole = if whole.is_empty() { "0" } else { whole };
        let part = part.trim_end_matches('0');
        if part.is_empty() {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{part}")
        }
    };
    let point = isize::try_from(whole.len()).unwrap_or(0);
    vec![place(point - 1), place(point + 1)]
}

/// The digits with their places in the text.
fn digits(text: &str) -> Vec<(usize, char)> {
    text.char_indices()
        .filter(|(_, letter)| letter.is_ascii_digit())
        .collect()
}

fn with(text: &str, at: usize, to: &str) -> String {
    let mut slipped = text.to_owned();
    slipped.replace_range(at..=at, to);
    slipped
}

fn swapped(text: &str) -> Vec<String> {
    let digits = digits(text);
    let pairs = digits.iter().zip(digits.iter().skip(1));
    pairs
        .filter(|(a, b)| a.1 != b.1)
        .map(|(a, b)| with(&with(text, a.0, &b.1.to_string()), b.0, &a.1.to_string()))
        .collect()
}

/// Each digit by two others: the next one, and the one that looks or lies nearest on a keypad.
fn wrong(text: &str) -> Vec<String> {
    let neighbour = |digit: char| match digit {
        '1' => '7',
        '2' => '5',
        '4' => '9',
        '5' => '6',
        '6' => '0',
        '7' => '1',
        '8' => '3',
        '9' => '4',
        _ => '8',
    };
    let next = |digit: char| {
        char::from_digit((digit.to_digit(10).unwrap_or(0) + 1) % 10, 10).unwrap_or('0')
    };
    digits(text)
        .into_iter()
        .flat_map(|(at, digit)| {
            [
                with(text, at, &next(digit).to_string()),
                with(text, at, &neighbour(digit).to_string()),
            ]
        })
        .collect()
}

fn dropped(text: &str) -> Vec<String> {
    let digits = digits(text);
    if digits.len() < 2 {
        return Vec::new();
    }
    digits
        .iter()
        .map(|(at, _)| with(text, *at, ""))
        .map(tidy)
        .collect()
}

fn doubled(text: &str) -> Vec<String> {
    digits(text)
        .into_iter()
        .map(|(at, digit)| with(text, at, &format!("{digit}{digit}")))
        .collect()
}

/// Nobody leaves a point alone at an end.
#[allow(
    clippy::needless_pass_by_value,
    reason = "it is made for this and used for nothing else"
)]
fn tidy(text: String) -> String {
    let text = text.strip_suffix('.').map_or(text.clone(), str::to_owned);
    match text.strip_prefix('.') {
        Some(rest) => format!("0.{rest}"),
        None => text.replacen("-.", "-0.", 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_numbers() {
        for (text, point, swap) in [
            ("1.25", vec!["0.125", "12.5"], vec!["2.15", "1.52"]),
            ("40", vec!["4", "400"], vec!["04"]),
            ("0.05", vec!["0.005", "0.5"], vec!["0.50"]),
            ("-0.4", vec!["-0.04", "-4"], vec!["-4.0"]),
            ("7", vec!["0.7", "70"], vec![]),
        ] {
            assert_eq!(point_moved(text), point, "{text}");
            assert_eq!(swapped(text), swap, "{text}");
        }
        assert_eq!(dropped("0.7"), ["0.7", "0"]);
        assert_eq!(doubled("1.2"), ["11.2", "1.22"]);
    }
}
