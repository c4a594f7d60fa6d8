//! Sums of printed numbers, digit by digit, as a person adds them up on paper.

/// A printed number as whole units of its last digit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct PrintedNumber {
    units: i128,
    decimals: u32,
}

fn read(text: &str) -> Option<PrintedNumber> {
    let (sign, digits) = text.strip_prefix('-').map_or((1, text), |rest| (-1, rest));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let units: i128 = format!("{whole}{part}").parse().ok()?;
    Some(PrintedNumber {
        units: sign * units,
        decimals: u32::try_from(part.len()).ok()?,
    })
}

/// Sum of the numbers, the nth counted `times(n)` times, with all decimals.
pub(super) fn sum(numbers: &[String], times: impl Fn(usize) -> usize) -> Option<String> {
    let read: Vec<PrintedNumber> = numbers
        .iter()
        .map(|text| read(text))
        .collect::<Option<_>>()?;
    let decimals = read.iter().map(|number| number.decimals).max()?;
    let mut total = 0_i128;
    for (index, number) in read.iter().enumerate() {
        let times = i128::try_from(times(index)).ok()?;
        total += times * number.units * 10_i128.pow(decimals - number.decimals);
    }
    let digits = total.abs().to_string();
    let width = usize::try_from(decimals).ok()? + 1;
    let padded = format!("{digits:0>width$}");
    let (whole, part) = padded.split_at(padded.len() + 1 - width);
    let sign = if total < 0 { "-" } else { "" };
    Some(if part.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{part}")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_exact() {
        for (numbers, once, in_order) in [
            (vec!["0.7", "1.5", "3"], "5.2", "12.7"),
            (vec!["1.25", "-0.4"], "0.85", "0.45"),
            (vec!["-5", "3"], "-2", "1"),
            (vec!["0.01", "0.02"], "0.03", "0.05"),
        ] {
            let numbers: Vec<String> = numbers.into_iter().map(str::to_owned).collect();
            assert_eq!(sum(&numbers, |_| 1).unwrap(), once);
            assert_eq!(sum(&numbers, |index| index + 1).unwrap(), in_order);
        }
    }
}
