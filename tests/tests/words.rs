//! The words of the code are those of the field: doc lines name things, and each name means one thing.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, Group, Ident, TokenStream, TokenTree};

/// Words with which a doc line poses a riddle ("How far the pressure may be off") in place of naming the thing ("Half-width of
/// the pressure").
const RIDDLES: [&str; 7] = ["What", "How", "Whether", "Which", "Where", "Who", "Why"];

/// Files whose docs are shown to the person who fills in a sheet or reads a result, in whose words they are: the schemas'
/// descriptions, and the meanings that `explain` prints.
const FOR_PEOPLE: [&str; 2] = ["catalog/src/written", "evaluation/src/outcome/registry.rs"];

/// Attributes that make a doc comment the help of a command.
const OF_THE_COMMAND_LINE: [&str; 3] = ["arg", "command", "group"];

/// Names that the field has another word for, and that word. No identifier has them; keys of files may.
const REPLACED: [(&str, &str); 26] = [
    ("OnItsOwn", "AloneEffect"),
    ("OtherGasFactor", "ResponseFactor"),
    ("also_as", "converted"),
    ("also_measures", "response_factors"),
    ("build_slowly", "parse_full"),
    ("held_at_table_end", "clamped_at_table_end"),
    ("held_at_zero", "clamped_at_zero"),
    ("insert_lacking", "mark_incomplete"),
    ("known_to", "relative_uncertainty"),
    ("let_go_of_tree", "release_tree"),
    ("on_the_bound", "uncertainty_at_bound"),
    ("other_gases", "interferents"),
    ("pressure_within", "pressure_half_width"),
    ("put_in_place", "substitute_solved"),
    ("read_generally", "parse_full"),
    ("read_off_within", "read_off_half_width"),
    ("volume_within", "volume_half_width"),
    ("AlsoAs", "ConvertedAmount"),
    ("AlsoMeasures", "ResponseFactor"),
    ("Blamed", "ReportedNodes"),
    ("Doubt", "Performance"),
    ("NotCarriedOut", "Usage"),
    ("OtherGas", "Interferent"),
    ("Others", "Interferents"),
    ("OurBug", "Internal"),
    ("Remark", "Flag, Statement or Refusal"),
];

/// Names that no type has any more, though a variant may: several types had them, each for a thing of its own.
const TOO_GENERAL: [&str; 14] = [
    "End", "Ends", "Facts", "Found", "Held", "Known", "Outcome", "Part", "Run", "Taken",
    "Together", "Water", "What", "Work",
];

/// Names of modules that others have taken the place of.
const MODULES: [&str; 6] = [
    "before_use",
    "doubt",
    "mend",
    "needed",
    "preparation",
    "prepared",
];

/// The file that pairs each key of a record with the field that holds it.
const KEYS_AS_NAMES: &str = "revision/src/results/fields.rs";

/// Every source file of the crates, by its path below `crates`.
fn sources() -> BTreeMap<String, TokenStream> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        let entries = std::fs::read_dir(folder).expect("a folder of sources");
        for path in entries.map(|entry| entry.expect("an entry").path()) {
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|name| name == "rs") {
                found.push(path);
            }
        }
    }
    let crates = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates");
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&crates).expect("the crates") {
        walk(&entry.expect("a crate").path().join("src"), &mut found);
    }
    found
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("a source file");
            let tokens = text
                .parse()
                .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            let below = path.strip_prefix(&crates).expect("below the crates");
            (below.to_string_lossy().replace('\\', "/"), tokens)
        })
        .collect()
}

/// Every identifier outside comments and texts, in order.
fn identifiers(tokens: TokenStream, found: &mut Vec<Ident>) {
    for token in tokens {
        match token {
            TokenTree::Ident(ident) => found.push(ident),
            TokenTree::Group(group) => identifiers(group.stream(), found),
            TokenTree::Punct(_) | TokenTree::Literal(_) => {}
        }
    }
}

/// An attribute's name, and its text if it is a line of a doc comment.
fn attribute(group: &Group) -> Option<(String, Option<String>)> {
    let mut tokens = group.stream().into_iter();
    let TokenTree::Ident(name) = tokens.next()? else {
        return None;
    };
    let text = match (tokens.next(), tokens.next()) {
        (Some(TokenTree::Punct(_)), Some(TokenTree::Literal(text))) if name == "doc" => {
            Some(text.to_string())
        }
        _ => None,
    };
    Some((name.to_string(), text))
}

/// True if brackets after these tokens are an attribute, and not those of an array or a macro.
fn is_attribute(before: &[TokenTree]) -> bool {
    let is =
        |token: &TokenTree, sign| matches!(token, TokenTree::Punct(mark) if mark.as_char() == sign);
    match before {
        [.., hash, mark] if is(mark, '!') => is(hash, '#'),
        [.., hash] => is(hash, '#'),
        [] => false,
    }
}

/// First lines of the paragraphs of doc comments that begin with one of [`RIDDLES`], help of the command left out.
fn riddles(tokens: TokenStream, found: &mut Vec<String>) {
    let tokens: Vec<TokenTree> = tokens.into_iter().collect();
    let mut lines: Vec<String> = Vec::new();
    let mut is_help = false;
    let mut end = |lines: &mut Vec<String>, is_help: &mut bool| {
        let begins = |index: usize| index == 0 || lines[index - 1].is_empty();
        let first = (0..lines.len()).filter(|index| begins(*index) && !*is_help);
        found.extend(
            first
                .map(|index| &lines[index])
                .filter(|line| RIDDLES.contains(&line.split(' ').next().unwrap_or_default()))
                .cloned(),
        );
        lines.clear();
        *is_help = false;
    };
    let mut inner = Vec::new();
    for (index, token) in tokens.iter().enumerate() {
        match token {
            TokenTree::Punct(mark) if matches!(mark.as_char(), '#' | '!') => {}
            TokenTree::Group(group)
                if group.delimiter() == Delimiter::Bracket && is_attribute(&tokens[..index]) =>
            {
                match attribute(group) {
                    Some((_, Some(text))) => {
                        lines.push(text.trim_matches('"').trim().to_owned());
                    }
                    Some((name, None)) => is_help |= OF_THE_COMMAND_LINE.contains(&name.as_str()),
                    None => {}
                }
            }
            other => {
                end(&mut lines, &mut is_help);
                if let TokenTree::Group(group) = other {
                    inner.push(group.stream());
                }
            }
        }
    }
    end(&mut lines, &mut is_help);
    for stream in inner {
        riddles(stream, found);
    }
}

#[test]
fn doc_lines_name_the_thing() {
    let mut all = Vec::new();
    for (path, tokens) in sources() {
        if FOR_PEOPLE.iter().any(|shown| path.starts_with(shown)) {
            continue;
        }
        let mut found = Vec::new();
        riddles(tokens, &mut found);
        all.extend(found.into_iter().map(|line| format!("{path}: {line}")));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn riddles_are_found() {
    let text = r#"
        //! What it holds.
        /// A length.
        ///
        /// How long it is. Which is
        /// What it goes by.
        struct Length {
            /// Whether it is known.
            pub(crate) known: bool,
            /// How to say it
            #[arg(long)]
            said: bool,
        }
        const NOT_A_DOC: &str = "/// What is in a text";
    "#;
    let mut found = Vec::new();
    riddles(text.parse().expect("Rust"), &mut found);
    assert_eq!(
        found,
        [
            "What it holds.",
            "How long it is. Which is",
            "Whether it is known."
        ]
    );
}

#[test]
fn names_are_those_of_the_field() {
    let mut all = Vec::new();
    for (path, tokens) in sources() {
        let mut found = Vec::new();
        identifiers(tokens, &mut found);
        for pair in found.windows(2) {
            let [before, ident] = pair else { continue };
            let name = ident.to_string();
            let replaced = REPLACED.iter().find(|(old, _)| *old == name);
            if let Some((_, instead)) = replaced.filter(|_| path != KEYS_AS_NAMES) {
                all.push(format!("{path}: {name}, say {instead}"));
            }
            let of_a_type = ["struct", "enum", "trait", "type"]
                .iter()
                .any(|word| before == word);
            if of_a_type && TOO_GENERAL.contains(&name.as_str()) {
                all.push(format!("{path}: type {name}"));
            }
            if before == "mod" && MODULES.contains(&name.as_str()) {
                all.push(format!("{path}: module {name}"));
            }
        }
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

/// Types of the written form and of the model may share a name: they are one thing before and after it was checked.
#[test]
fn a_type_name_means_one_thing() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (path, tokens) in sources() {
        let mut found = Vec::new();
        identifiers(tokens, &mut found);
        for pair in found.windows(2) {
            let [kind, name] = pair else { continue };
            let is_declared = ["struct", "enum", "trait"].iter().any(|word| kind == word);
            // A macro declares `$name`.
            if is_declared && name.to_string().starts_with(char::is_uppercase) {
                places
                    .entry(name.to_string())
                    .or_default()
                    .push(path.clone());
            }
        }
    }
    // The holder of a README's examples is the same thing in every crate.
    places.remove("Readme");
    let shared: Vec<String> = places
        .into_iter()
        .filter(|(_, places)| 2 < places.len())
        .map(|(name, places)| format!("{name}: {}", places.join(", ")))
        .collect();
    assert!(shared.is_empty(), "{}", shared.join("\n"));
}
