//! Printing numbers: to given digits, or to the digits that an uncertainty supports.

/// A number with so many digits after the point; a negative count rounds before the point.
///
/// Halves go to the even digit of the exact binary value's neighbour, as the standard library rounds. Never prints a
/// negative zero.
///
/// # Example
///
/// ```
/// use stainbook_core::print::to_decimals;
/// assert_eq!(to_decimals(28.628, 1), "28.6");
/// assert_eq!(to_decimals(1234.0, -2), "1200");
/// assert_eq!(to_decimals(-0.04, 1), "0.0");
/// ```
pub fn to_decimals(value: f64, decimals: i32) -> String {
    let text = match usize::try_from(decimals) {
        Ok(decimals) => format!("{value:.decimals$}"),
        Err(_) => {
            let step = crate::decimal::power_of_ten(-decimals);
            format!("{:.0}", (value / step).round_ties_even() * step)
        }
    };
    without_negative_zero(text)
}

fn without_negative_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(unsigned) if unsigned.bytes().all(|b| matches!(b, b'0' | b'.')) => unsigned.to_owned(),
        _ => text,
    }
}
