//! Pairing of the entries of two lists.

/// Each entry of the old list with the first of the new one that is the same and not taken yet; then those of the new list that
/// are left.
pub(crate) fn paired<T>(
    old: impl IntoIterator<Item = T>,
    new: impl IntoIterator<Item = T>,
    same: impl Fn(&T, &T) -> bool,
) -> (Vec<(T, Option<T>)>, Vec<T>) {
    let mut left: Vec<T> = new.into_iter().collect();
    let pairs = old.into_iter().map(|entry| {
        let at = left.iter().position(|other| same(&entry, other));
        let other = at.map(|at| left.remove(at));
        (entry, other)
    });
    (pairs.collect(), left)
}
