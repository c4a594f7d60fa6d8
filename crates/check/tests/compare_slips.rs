//! A slip in any number, unit or row of a tube of the demo is a difference: each class of slip in each field, and every so
//! many of the same class in the same field again. `cargo xtask slips` tries all of them, and generated sheets besides.
#![cfg(test)]
#![allow(
    clippy::string_slice,
    dead_code,
    unreachable_pub,
    reason = "each test uses a part of what the trees offer"
)]

mod sheet_tree;

use std::collections::{BTreeMap, BTreeSet};

use stainbook_catalog::{Book, EntryKind};
use stainbook_check::compare::{Scope, compare};
use stainbook_tests::honest::Chance;

use sheet_tree::{SheetValue, plain, quantity, read, reformatted, siblings};

/// Fields that are not part of the leaflet.
const NOT_COMPARED: [&str; 3] = ["tube", "entered", "verified"];

/// The runs of digits, with a point if there is one, in a text: byte ranges.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let inside = c.is_ascii_digit() || (c == '.' && start.is_some());
        match (inside, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push(from..from + text[from..at].trim_end_matches('.').len());
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Every slip of one number, by its class.
fn slipped(number: &str) -> Vec<(&'static str, String)> {
    let mut found = Vec::new();
    let digits: String = number.chars().filter(|c| *c != '.').collect();
    let point = number.find('.').unwrap_or(number.len());
    if digits.bytes().any(|b| b != b'0') {
        let left = match point {
            1 => format!("0.{digits}"),
            _ => format!("{}.{}", &digits[..point - 1], &digits[point - 1..]),
        };
        found.push(("decimal point to the left", left));
        let padded = format!("{digits}0");
        let right = match padded[point + 1..].trim_end_matches('0') {
            "" => padded[..=point].to_owned(),
            _ => format!(
                "{}.{}",
                &padded[..=point],
                digits.get(point + 1..).unwrap_or("")
            ),
        };
        let right = right.trim_start_matches('0');
        let right = if right.starts_with('.') || right.is_empty() {
            format!("0{right}")
        } else {
            right.to_owned()
        };
        found.push(("decimal point to the right", right));
    }
    let places: Vec<usize> = number
        .match_indices(|c: char| c.is_ascii_digit())
        .map(|(at, _)| at)
        .collect();
    let at = |place: usize| &number[place..=place];
    for place in &places {
        let other = (at(*place).parse::<u8>().unwrap() + 1) % 10;
        found.push((
            "one digit wrong",
            format!("{}{other}{}", &number[..*place], &number[place + 1..]),
        ));
        if 1 < places.len() {
            let rest = format!("{}{}", &number[..*place], &number[place + 1..]);
            found.push(("a digit dropped", rest.trim_matches('.').to_owned()));
        }
        found.push((
            "a digit doubled",
            format!("{}{}{}", &number[..*place], at(*place), &number[*place..]),
        ));
    }
    for pair in places.windows(2) {
        if at(pair[0]) != at(pair[1]) {
            let mut letters: Vec<char> = number.chars().collect();
            letters.swap(pair[0], pair[1]);
            found.push(("two digits swapped", letters.into_iter().collect()));
        }
    }
    found
}

struct Trial {
    class: &'static str,
    tree: SheetValue,
}

/// Of slips of one class in one field, wherever it stands in lists, the first is tried and then one in so many.
const ONE_IN: usize = 16;

/// Number of slips by class and field.
type Seen = BTreeMap<(&'static str, String), usize>;

fn trials(tree: &SheetValue, seen: &mut Seen) -> Vec<Trial> {
    let mut trials = Vec::new();
    let SheetValue::Fields(top) = tree else {
        panic!("a sheet has fields");
    };
    for (route, value) in tree.routes() {
        let Some(first) = route.first() else {
            continue;
        };
        if NOT_COMPARED.contains(&top[*first].0.as_str()) {
            continue;
        }
        let field = field(tree, &route);
        let mut changed = |class, change: &dyn Fn(&mut SheetValue)| {
            let count = seen.entry((class, field.clone())).or_default();
            *count += 1;
            if *count % ONE_IN != 1 {
                return;
            }
            let mut tree = tree.clone();
            let at = tree.at_mut(&route);
            let before = at.clone();
            change(at);
            if *at == before {
                // No slip after all; the next one stands in for it.
                *count -= 1;
            } else {
                trials.push(Trial { class, tree });
            }
        };
        match value {
            SheetValue::Single(text, is_text) => {
                for range in numbers(text) {
                    for (class, number) in slipped(&text[range.clone()]) {
                        let new = format!("{}{number}{}", &text[..range.start], &text[range.end..]);
                        changed(class, &|at| *at = SheetValue::Single(new.clone(), *is_text));
                    }
                    if text[..range.start].ends_with('-')
                        && (range.start == 1 || text[..range.start - 1].ends_with(' '))
                    {
                        let new = format!("{}{}", &text[..range.start - 1], &text[range.start..]);
                        changed("sign lost", &|at| {
                            *at = SheetValue::Single(new.clone(), *is_text);
                        });
                    }
                }
                if let Some((number, unit)) = quantity(text) {
                    for other in siblings(unit) {
                        let gap = if number.is_empty() { "" } else { " " };
                        let new = format!("{}{gap}{other}", number.trim_end());
                        changed("unit replaced by a sibling", &|at| {
                            *at = SheetValue::Single(new.clone(), true);
                        });
                    }
                }
            }
            SheetValue::List(items) => {
                for row in 0..items.len() {
                    changed("a row left out", &|at| {
                        if let SheetValue::List(items) = at {
                            items.remove(row);
                        }
                    });
                    changed("a row doubled", &|at| {
                        if let SheetValue::List(items) = at {
                            let copy = items[row].clone();
                            items.insert(row, copy);
                        }
                    });
                }
                if items
                    .iter()
                    .all(|row| matches!(row, SheetValue::List(cells) if cells.len() == 2))
                {
                    changed("two columns swapped", &|at| {
                        if let SheetValue::List(rows) = at {
                            for row in rows {
                                if let SheetValue::List(cells) = row {
                                    cells.swap(0, 1);
                                }
                            }
                        }
                    });
                    for column in 0..2 {
                        changed("a table shifted by one cell", &|at| {
                            if let SheetValue::List(rows) = at {
                                for row in (1..rows.len()).rev() {
                                    let above = cell(&rows[row - 1], column);
                                    *cell_mut(&mut rows[row], column) = above;
                                }
                            }
                        });
                        changed("two cells of a column swapped", &|at| {
                            if let SheetValue::List(rows) = at
                                && 1 < rows.len()
                            {
                                let (upper, lower) =
                                    (cell(&rows[0], column), cell(&rows[1], column));
                                *cell_mut(&mut rows[0], column) = lower;
                                *cell_mut(&mut rows[1], column) = upper;
                            }
                        });
                    }
                }
                if 1 < items.len()
                    && items
                        .iter()
                        .all(|item| matches!(item, SheetValue::Single(_, false)))
                {
                    changed("two columns swapped", &|at| {
                        if let SheetValue::List(cells) = at {
                            cells.swap(0, 1);
                        }
                    });
                }
            }
            SheetValue::Fields(fields) => {
                for field in 0..fields.len() {
                    changed("a field left out", &|at| {
                        if let SheetValue::Fields(fields) = at {
                            fields.remove(field);
                        }
                    });
                }
                for pair in [
                    ("from", "to"),
                    ("lower", "upper"),
                    ("up_to", "rsd"),
                    ("reading", "gives"),
                ] {
                    changed("two columns swapped", &|at| {
                        if let SheetValue::Fields(fields) = at {
                            let place = |name: &str| fields.iter().position(|(key, _)| key == name);
                            if let (Some(a), Some(b)) = (place(pair.0), place(pair.1)) {
                                let (left, right) = (fields[a].1.clone(), fields[b].1.clone());
                                fields[a].1 = right;
                                fields[b].1 = left;
                            }
                        }
                    });
                }
            }
        }
    }
    trials
}

/// The names of the fields on a route, without the places in lists.
fn field(tree: &SheetValue, route: &[usize]) -> String {
    let mut names = Vec::new();
    let mut at = tree;
    for step in route {
        at = match at {
            SheetValue::Fields(fields) => {
                names.push(fields[*step].0.as_str());
                &fields[*step].1
            }
            SheetValue::List(items) => &items[*step],
            SheetValue::Single(..) => break,
        };
    }
    names.join("/")
}

fn cell(row: &SheetValue, column: usize) -> SheetValue {
    match row {
        SheetValue::List(cells) => cells[column].clone(),
        _ => panic!("a row is a list"),
    }
}

fn cell_mut(row: &mut SheetValue, column: usize) -> &mut SheetValue {
    match row {
        SheetValue::List(cells) => &mut cells[column],
        _ => panic!("a row is a list"),
    }
}

#[test]
fn a_slip_in_any_field_is_a_difference() {
    let (demo, _) = Book::demo();
    let mut chance = Chance::new(20_261_125);
    let mut counts: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    let mut missed = Vec::new();
    let mut seen = Seen::new();
    for (entry, _) in demo.tubes() {
        let tree = SheetValue::of(entry.document.root().unwrap());
        for (number, trial) in trials(&tree, &mut seen).into_iter().enumerate() {
            // Two people lay a sheet out in two ways; writing each slip so would take long.
            let text = if number % 5 == 0 {
                reformatted(&trial.tree, &mut chance)
            } else {
                plain(&trial.tree)
            };
            let slipped = read(EntryKind::Tube, 7, &text);
            let found = compare(EntryKind::Tube, &entry.document, &slipped, Scope::Leaflet);
            let count = counts.entry(trial.class).or_default();
            count.0 += 1;
            if found.is_empty() {
                missed.push(format!("{} {}\n{text}", entry.id(), trial.class));
            } else {
                count.1 += 1;
            }
        }
    }
    let mut total = (0, 0);
    for (class, (tried, caught)) in &counts {
        println!("{class:<32} {caught:>6} of {tried:>6}");
        total = (total.0 + tried, total.1 + caught);
    }
    println!("{:<32} {:>6} of {:>6}", "all", total.1, total.0);
    assert!(
        missed.is_empty(),
        "{} missed, the first:\n{}",
        missed.len(),
        missed[0]
    );
    assert_eq!(counts.len(), 14, "a class of slip came up nowhere");
    let fields: BTreeSet<&String> = seen.keys().map(|(_, field)| field).collect();
    assert!(
        1_500 < total.0 && 90 < fields.len(),
        "{} in {} fields",
        total.0,
        fields.len()
    );
}
