//! Fields in which a slip can pass all checks of one sheet, and why.

/// Each with the beginning of its field.
pub(super) const WHY: &[(&str, &str)] = &[];
