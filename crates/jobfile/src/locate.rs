//! From a place in the record to the place in the file.

use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};
use trace::RecordPath;

/// Bytes of the value at `path`; of the nearest value above it that the file has, when it has no such value.
pub(crate) fn span(root: &DeTable<'_>, path: &RecordPath) -> Range<usize> {
    let mut rest = path.0.as_str();
    let Some(mut here) = entry(root, &mut rest) else {
        return 0..0;
    };
    while !rest.is_empty() {
        let below = match here.get_ref() {
            DeValue::Table(table) => entry(table, &mut rest),
            DeValue::Array(items) => item(&mut rest).and_then(|index| items.get(index)),
            _ => None,
        };
        match below {
            Some(below) => here = below,
            None => break,
        }
    }
    here.span()
}

/// The entry of `table` that `rest` begins with, and `rest` after it. A key may itself hold points and brackets.
fn entry<'t, 'i>(table: &'t DeTable<'i>, rest: &mut &str) -> Option<&'t Spanned<DeValue<'i>>> {
    let from = rest.strip_prefix('.').unwrap_or(rest);
    let ends = from
        .match_indices(['.', '['])
        .map(|(end, _)| end)
        .chain([from.len()]);
    let (end, value) = ends.rev().find_map(|end| Some((end, table.get(&from[..end])?)))?;
    *rest = &from[end..];
    Some(value)
}

/// The number of the item that `rest` begins with, and `rest` after it.
fn item(rest: &mut &str) -> Option<usize> {
    let (index, after) = rest.strip_prefix('[')?.split_once(']')?;
    *rest = after;
    index.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_place_that_exists_is_found() {
        let text = "schema = 1\n[piping]\npipes = [{ id = \"a\" }, { id = \"b\" }]\n";
        let root = DeTable::parse(text).expect("sound");
        let at = |path: &str| &text[span(root.get_ref(), &RecordPath::from(path))];
        assert_eq!(at("piping.pipes[1].id"), "\"b\"");
        assert_eq!(at("piping.pipes[1].length"), "{ id = \"b\" }");
        assert_eq!(at("piping.pipes[7].length"), "[{ id = \"a\" }, { id = \"b\" }]");
        assert_eq!(at("piping.valves[0]"), "[piping]");
        let observed = "[observed]\n\"circuit.sealed[2]\" = { W1 = \"yes\" }\n";
        let root_of_observed = DeTable::parse(observed).expect("sound");
        let place = RecordPath::from("observed.circuit.sealed[2].W1");
        assert_eq!(&observed[span(root_of_observed.get_ref(), &place)], "\"yes\"");
        assert_eq!(at("water"), "");
        assert_eq!(at(""), "");
    }
}
