//! `cargo xtask new-rule NAME`: a rule's file, its page, two fixtures, and its lines in `crates/check/src/rules.rs`.
//!
//! The result compiles. Its tests fail for one reason, which they name: the rule has never fired.

use std::fs;
use std::path::Path;

use clap::{Args, ValueEnum};

/// File in which rules are registered.
const REGISTRY: &str = "crates/check/src/rules.rs";

/// A rule to begin.
#[derive(Args)]
pub(crate) struct NewRule {
    /// Its name, kebab-case, after the defect (`marks-not-rising`)
    name: String,
    /// The part of a catalog that it is about
    #[arg(long, value_enum, default_value_t = Family::Scale)]
    family: Family,
    /// The kind of entry that it looks at
    #[arg(long, value_enum, default_value_t = LooksAt::Tube)]
    looks_at: LooksAt,
}

/// The part of a catalog that a rule is about.
#[derive(Clone, Copy, ValueEnum)]
enum Family {
    Identity,
    Substance,
    Scale,
    Correction,
    Performance,
    Interferent,
    Provenance,
    Field,
}

impl Family {
    /// Its variant, and the heading under which the registry lists its rules.
    fn names(self) -> (&'static str, &'static str) {
        match self {
            Self::Identity => ("Identity", "Identity"),
            Self::Substance => ("Substance", "Substances"),
            Self::Scale => ("Scale", "Scale and ranges"),
            Self::Correction => ("Correction", "Corrections"),
            Self::Performance => ("Performance", "Repeatability and conditions"),
            Self::Interferent => ("Interferent", "Other gases"),
            Self::Provenance => ("Provenance", "Provenance"),
            Self::Field => ("Field", "What is measured, pumps and surveys"),
        }
    }
}

/// The entry that a rule looks at.
#[derive(Clone, Copy, ValueEnum)]
enum LooksAt {
    Tube,
    Substance,
    Group,
    Source,
    PumpKind,
    Pump,
    Survey,
    Catalog,
}

impl LooksAt {
    /// The variant of `Check`, the type that the check is given, and where that type is found.
    fn names(self) -> (&'static str, &'static str, Option<&'static str>) {
        let written = Some("stainbook_catalog::written");
        match self {
            Self::Tube => ("Tube", "SheetView<'_>", None),
            Self::Substance => ("Substance", "SubstanceEntry", written),
            Self::Group => ("Group", "GroupEntry", written),
            Self::Source => ("Source", "SourceEntry", written),
            Self::PumpKind => ("PumpKind", "PumpKindEntry", written),
            Self::Pump => ("Pump", "PumpEntry", written),
            Self::Survey => ("Survey", "SurveyEntry", written),
            Self::Catalog => ("Catalog", "CatalogEntry", written),
        }
    }

    /// File that an example is put into, and a field of the sound catalog that it says again.
    fn example(self) -> &'static str {
        match self {
            Self::Tube => "# in: tube\nname: Quay chlorine tube",
            Self::Substance => "# in: substance bromine\ncas: 7726-95-6",
            Self::Group => "# in: group\nname: halogens",
            Self::Source => "# in: source\ntitle: An invented pocket guide",
            Self::PumpKind => "# in: pump-kind quay-piston\nname: Quay piston pump",
            Self::Pump => "# in: pump\nkind: quay-piston",
            Self::Survey => "# in: survey\nby: RS",
            Self::Catalog => "# in: catalog\ntitle: A catalog to slip in",
        }
    }
}

/// Writes the files of a rule below a root, and its lines into the registry.
///
/// # Errors
///
/// A name that is not kebab-case or is taken, a registry without the family's heading, or a file that cannot be written.
pub(crate) fn write(root: &Path, rule: &NewRule) -> Result<String, String> {
    let name = rule.name.as_str();
    if !is_kebab_case(name) {
        return Err(format!(
            "`{name}` is not a rule's name: lower-case words with hyphens between them"
        ));
    }
    let module = name.replace('-', "_");
    let registry = read(root, REGISTRY)?;
    // The rules of the reader have a document and no module.
    let documented = registry.contains(&format!("\"{name}\""));
    if documented || registry.lines().any(|line| declared(line) == Some(&module)) {
        return Err(format!("there is a rule `{name}`"));
    }
    let registered = registered(&registry, &module, rule.family.names().1)?;
    let rules = "crates/check/src/rules";
    let fixtures = format!("tests/rules/{name}");
    let example = format!("{}\n", rule.looks_at.example());
    let files = [
        (format!("{rules}/{module}.rs"), code(rule)),
        (format!("{rules}/{name}.md"), page(rule)),
        (format!("{fixtures}/flagged.yaml"), example.clone()),
        (format!("{fixtures}/clean.yaml"), example),
        (REGISTRY.to_owned(), registered),
    ];
    let mut said = String::new();
    for (path, text) in files {
        let to = root.join(&path);
        let folder = to.parent().unwrap_or(root);
        fs::create_dir_all(folder)
            .and_then(|()| fs::write(&to, text))
            .map_err(|error| format!("{path}: {error}"))?;
        said.push_str(&path);
        said.push('\n');
    }
    said.push_str(
        "now: the check, what the page says, and examples that fire; then `cargo test -p stainbook-check`",
    );
    Ok(said)
}

fn read(root: &Path, path: &str) -> Result<String, String> {
    fs::read_to_string(root.join(path)).map_err(|error| format!("{path}: {error}"))
}

fn is_kebab_case(name: &str) -> bool {
    let is_word = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_lowercase())
            && word
                .chars()
                .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
    };
    name.split('-').all(is_word)
}

/// The module that a line declares.
fn declared(line: &str) -> Option<&str> {
    let line = line.trim_start_matches("pub(crate) ");
    line.strip_prefix("mod ")?.strip_suffix(';')
}

/// The registry with the module in its place among the modules, and the rule as the last one under its heading.
fn registered(registry: &str, module: &str, heading: &str) -> Result<String, String> {
    let mut lines: Vec<String> = registry.lines().map(str::to_owned).collect();
    let list = lines.iter().position(|line| line.contains("const RULES"));
    let under = lines
        .iter()
        .position(|line| line.trim() == format!("// {heading}"));
    let (Some(list), Some(under)) = (list, under) else {
        return Err(format!(
            "{REGISTRY}: there is no list of rules with `// {heading}` in it"
        ));
    };
    let ends = |line: &String| {
        !line
            .trim_start()
            .starts_with(|c: char| c.is_ascii_lowercase())
    };
    let last = lines
        .iter()
        .skip(under + 1)
        .position(ends)
        .map_or(lines.len(), |rules| under + 1 + rules);
    lines.insert(last, format!("    {module}::RULE,"));
    let mut at = list;
    for (number, line) in lines.iter().enumerate().take(list) {
        match declared(line) {
            Some(other) if module < other => {
                at = number;
                break;
            }
            Some(_) => at = number + 1,
            None => {}
        }
    }
    lines.insert(at, format!("mod {module};"));
    Ok(lines.join("\n") + "\n")
}

fn code(rule: &NewRule) -> String {
    let name = &rule.name;
    let family = rule.family.names().0;
    let (kind, looked_at, found_in) = rule.looks_at.names();
    let (import, ours) = match found_in {
        Some(place) => (format!("use {place}::{looked_at};\n\n"), ""),
        None => (String::new(), "SheetView, "),
    };
    format!(
        "//! The defect, as a noun.

{import}use crate::{{Check, Context, Family, Level, Rule, {ours}Sink}};

pub(crate) const RULE: Rule = Rule {{
    name: \"{name}\",
    level: Level::Warning,
    since: \"{version}\",
    summary: \"The defect in one sentence.\",
    family: Family::{family},
    docs: include_str!(\"{name}.md\"),
    check: Check::{kind}(check),
}};

/// Looks at what could be understood, and is silent about the rest, which the reader has blamed.
fn check(_: &{looked_at}, _: &Context<'_>, _: &mut Sink<'_>) {{}}
",
        version = env!("CARGO_PKG_VERSION"),
    )
}

fn page(rule: &NewRule) -> String {
    let name = &rule.name;
    let example = rule.looks_at.example();
    format!(
        "# {name}

What is compared with what.

Why it matters for a measurement.

## Flagged

```yaml
{example}
```

## Not flagged

```yaml
{example}
```

## Where the tolerance comes from

There is none.
"
    )
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;

    fn rule(name: &str, family: Family, looks_at: LooksAt) -> NewRule {
        NewRule {
            name: name.to_owned(),
            family,
            looks_at,
        }
    }

    /// A root with nothing but the committed registry.
    fn scratch() -> tempfile::TempDir {
        let root = tempfile::tempdir().unwrap();
        let to = root.path().join(REGISTRY);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(crate::output::root().join(REGISTRY), to).unwrap();
        root
    }

    #[test]
    fn a_rule_of_each_family_and_kind_is_registered_in_its_place() {
        let root = scratch();
        let before = read(root.path(), REGISTRY).unwrap();
        for family in Family::value_variants() {
            for kind in LooksAt::value_variants() {
                let (variant, heading) = family.names();
                let kind_name = kind.names().0.to_lowercase();
                let name = format!("of-{}-in-{kind_name}", variant.to_lowercase());
                write(root.path(), &rule(&name, *family, *kind)).unwrap();
                let module = name.replace('-', "_");
                let code =
                    read(root.path(), &format!("crates/check/src/rules/{module}.rs")).unwrap();
                assert!(code.parse::<proc_macro2::TokenStream>().is_ok(), "{code}");
                let after = read(root.path(), REGISTRY).unwrap();
                let (_, section) = after.split_once(&format!("// {heading}\n")).unwrap();
                let section = section.split("//").next().unwrap();
                assert!(
                    section.contains(&format!("    {module}::RULE,\n")),
                    "{after}"
                );
            }
        }
        let after = read(root.path(), REGISTRY).unwrap();
        let added = Family::value_variants().len() * LooksAt::value_variants().len();
        assert_eq!(after.lines().count(), before.lines().count() + 2 * added);
        let modules: Vec<&str> = after.lines().filter_map(declared).collect();
        assert!(modules.is_sorted(), "{modules:?}");
    }

    #[test]
    fn a_name_that_is_taken_or_is_none_is_refused() {
        let root = scratch();
        for name in [
            "range-gap",
            "Range-gap",
            "range_gap",
            "range--gap",
            "-gap",
            "",
            "baseline-unused",
            "yaml-tag",
        ] {
            let rule = rule(name, Family::Scale, LooksAt::Tube);
            assert!(write(root.path(), &rule).is_err(), "{name}");
        }
    }

    /// Examples leave the sound catalog as it is, so that nothing but the new rule is missing.
    #[test]
    fn examples_say_what_the_sound_catalog_says() {
        let base = crate::output::root().join("tests/rules/base");
        for kind in LooksAt::value_variants() {
            let (into, field) = kind.example().split_once('\n').unwrap();
            let into = into.trim_start_matches("# in: ");
            let (suffix, id) = into.split_once(' ').unwrap_or((into, ""));
            let files = fs::read_dir(&base)
                .unwrap()
                .map(|file| file.unwrap().path());
            let named = |path: &PathBuf| {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                name == format!("{suffix}.yaml")
                    || name.ends_with(&format!(".{suffix}.yaml")) && name.starts_with(id)
            };
            let texts: Vec<String> = files
                .filter(named)
                .map(|path| fs::read_to_string(path).unwrap())
                .collect();
            assert!(
                texts
                    .iter()
                    .any(|text| text.lines().any(|line| line == field)),
                "{field}: {texts:?}"
            );
        }
    }
}
