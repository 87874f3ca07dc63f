//! Items that say the same, under their names joined: one row or line instead of many equal ones.

/// Groups of items that agree with the first of their group, in the order in which they first come up.
pub(super) fn alike<'a, T>(
    items: impl IntoIterator<Item = &'a T>,
    name: impl Fn(&'a T) -> &'a str,
    agree: impl Fn(&T, &T) -> bool,
) -> Vec<(String, &'a T)> {
    let mut groups: Vec<(String, &T)> = Vec::new();
    for item in items {
        match groups.iter_mut().find(|(_, first)| agree(first, item)) {
            Some((names, _)) => {
                names.push_str(", ");
                names.push_str(name(item));
            }
            None => groups.push((name(item).to_owned(), item)),
        }
    }
    groups
}
