//! Lists and articles in running text.

/// `` `ppm`, `ppb` or `% by volume` ``
pub(crate) fn or(items: &[&str]) -> String {
    let mut text = String::new();
    for (index, item) in items.iter().enumerate() {
        if index > 0 {
            text.push_str(if index + 1 == items.len() {
                " or "
            } else {
                ", "
            });
        }
        text.push('`');
        text.push_str(item);
        text.push('`');
    }
    text
}

/// `a pressure`, `an altitude`: the names of quantities here all sound as they are spelled.
pub(crate) fn a(noun: &str) -> String {
    let article = if noun.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {noun}")
}
