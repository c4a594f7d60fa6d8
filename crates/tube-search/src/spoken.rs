//! Stroke counts and times as people say them.

use stainbook_core::print;

/// A stroke count in words: `half a stroke`, `1 stroke`, `3 strokes`.
pub fn strokes_in_words(strokes: f64) -> String {
    if (strokes - 0.5).abs() < 1e-6 {
        "half a stroke".to_owned()
    } else if (strokes - 1.0).abs() < 1e-6 {
        "1 stroke".to_owned()
    } else {
        format!("{} strokes", print::number(strokes))
    }
}

/// A time as it is said: `40 s`, `2 min`, `6 min 30 s`.
pub fn minutes(seconds: f64) -> String {
    let seconds = seconds.round();
    let whole = (seconds / 60.0).floor();
    let rest = seconds - whole * 60.0;
    let number = print::number;
    if whole < 1.0 {
        format!("{} s", number(seconds))
    } else if rest < 1.0 {
        format!("{} min", number(whole))
    } else {
        format!("{} min {} s", number(whole), number(rest))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes() {
        for (count, words) in [
            (0.5, "half a stroke"),
            (1.0, "1 stroke"),
            (1.5, "1.5 strokes"),
            (3.0, "3 strokes"),
        ] {
            assert_eq!(strokes_in_words(count), words);
        }
    }

    #[test]
    fn times() {
        for (seconds, said) in [
            (40.0, "40 s"),
            (59.7, "1 min"),
            (120.0, "2 min"),
            (390.0, "6 min 30 s"),
        ] {
            assert_eq!(minutes(seconds), said);
        }
    }
}
