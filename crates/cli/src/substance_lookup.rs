//! Finding one substance without reading the catalog around it.
//!
//! `convert` has to answer before a finger is off the key, so it compiles no schema and reads no file that it does not
//! need. Checking the catalog is the business of `check`; here only names, formula and reference conditions are looked at.

use std::path::{Path, PathBuf};

use stainbook::conversion::{Gas, ReferenceConditions, SubstanceUsed};
use stainbook_catalog::READ_OPTIONS;
use stainbook_catalog::embedded::{REFERENCE_NAME, reference_files};
use stainbook_catalog::search::{folded, nearest};
use stainbook_catalog::written::SubstanceEntry;
use stainbook_catalog::{Book, EntryKind};
use stainbook_core::{CasNumber, Formula, Written};
use stainbook_document::place::FileId;
use stainbook_document::{Document, Node};

use crate::bounded_read;
use crate::catalog_choice::{Choice, root_file};
use crate::catalog_files::entry_paths;
use crate::failure::Failure;

/// The part of a catalog that `convert` needs.
#[derive(Debug)]
pub(crate) struct LightCatalog {
    folders: Vec<PathBuf>,
    uses_reference: bool,
    /// Reference conditions, for whoever states none.
    pub(crate) reference: Option<ReferenceConditions>,
    /// The catalog, in words.
    pub(crate) words: String,
}

impl LightCatalog {
    /// Reads the root file only.
    pub(crate) fn open(choice: &Choice) -> Result<Self, Failure> {
        match choice {
            Choice::Embedded => {
                let revision = reference_revision()
                    .map(|r| format!(" of {r}"))
                    .unwrap_or_default();
                Ok(Self {
                    folders: Vec::new(),
                    uses_reference: true,
                    reference: None,
                    words: format!("{REFERENCE_NAME}{revision}, which is part of the program"),
                })
            }
            Choice::Folder(folder) => Self::open_folder(folder),
        }
    }

    fn open_folder(folder: &Path) -> Result<Self, Failure> {
        let file = root_file(folder).unwrap_or_else(|| folder.join("catalog.yaml"));
        let document = read(&file)?;
        let root = document.root();
        let text = |key: &str| root.and_then(|root| root.get(key)?.text());
        let mut light = Self {
            folders: vec![folder.to_path_buf()],
            uses_reference: false,
            reference: None,
            words: String::new(),
        };
        let name = text("catalog").unwrap_or("a catalog without a name");
        let revision = text("revision")
            .map(|revision| format!(" of {revision}"))
            .unwrap_or_default();
        light.words = format!("{name}{revision}, {}", file.display());
        for on in root
            .and_then(|root| root.get("builds_on"))
            .into_iter()
            .flat_map(Node::items)
        {
            match on.text() {
                Some(REFERENCE_NAME) => light.uses_reference = true,
                Some(other) => light.folders.push(folder.join(other)),
                None => {}
            }
        }
        if let Some(stated) = root.and_then(|root| root.get("reference_conditions")) {
            let temperature = stated
                .get("temperature")
                .and_then(|node| Written::parse(node.text()?).ok());
            let pressure = stated
                .get("pressure")
                .and_then(|node| Written::parse(node.text()?).ok());
            match (temperature, pressure) {
                (Some(temperature), Some(pressure)) => {
                    light.reference = Some(ReferenceConditions {
                        temperature,
                        pressure,
                    });
                }
                _ => {
                    return Err(Failure::new(
                        "reference-conditions-unreadable",
                        format!(
                            "the reference conditions in `{}` cannot be read",
                            file.display()
                        ),
                        format!("`stainbook check {}` says why", file.display()),
                    ));
                }
            }
        }
        Ok(light)
    }

    /// The substance that a person means by a CAS number, a short name, a name or a synonym.
    pub(crate) fn gas(&self, wanted: &str) -> Result<Gas, Failure> {
        let wanted = wanted.trim();
        let mut names = Vec::new();
        for folder in &self.folders {
            if let Some(gas) = in_folder(folder, wanted, &mut names)? {
                return Ok(gas);
            }
        }
        let near = nearest(&folded(wanted), &names);
        if !self.uses_reference {
            return Err(self.unknown(wanted, near));
        }
        match reference_book().find_substance(wanted) {
            Ok(entry) => gas_of_entry(entry),
            Err(none) if none.could_be.is_empty() => {
                Err(self.unknown(wanted, near.into_iter().chain(none.near).collect()))
            }
            Err(several) => Err(Failure::new(
                "ambiguous-substance",
                format!("--substance: {several}"),
                "name one of them: their molar masses and limits may differ",
            )),
        }
    }

    fn unknown(&self, wanted: &str, mut near: Vec<String>) -> Failure {
        if looks_like_cas(wanted)
            && let Err(error) = CasNumber::parse(wanted)
        {
            let words = error.to_string();
            let (message, help) = words
                .split_once(", ")
                .unwrap_or((&words, "look at the number again"));
            return Failure::new("cas-number-wrong", format!("--substance: {message}"), help);
        }
        // `quay gas` and `quay-gas` are one name to whoever types it.
        let mut seen = Vec::new();
        near.retain(|name| {
            let key = folded(name);
            let new = !seen.contains(&key);
            seen.push(key);
            new
        });
        let help = if near.is_empty() {
            "state its molar mass with `--molar-mass \"28.010 g/mol\"`, or add it to your catalog with `stainbook new substance`"
                .to_owned()
        } else {
            format!(
                "did you mean `{}`? Else state its molar mass with `--molar-mass`",
                near.join("`, `")
            )
        };
        let message = format!(
            "--substance: no substance is called `{wanted}` in {}",
            self.words
        );
        Failure::new("unknown-substance", message, help)
    }
}

fn in_folder(folder: &Path, wanted: &str, names: &mut Vec<String>) -> Result<Option<Gas>, Failure> {
    let key = folded(wanted);
    let mut found = None;
    for path in entry_paths(folder) {
        let name = path.to_string_lossy();
        let Some((EntryKind::Substance, stem)) = EntryKind::of_file(&name) else {
            continue;
        };
        if stem == wanted {
            return gas_of(&read(&path)?, &name).map(Some);
        }
        if found.is_some() {
            continue;
        }
        let document = read(&path)?;
        let called = called(&document);
        if called
            .iter()
            .any(|name| name == wanted || (folded(name) == key && !looks_like_cas(wanted)))
        {
            found = Some(gas_of(&document, &name)?);
        }
        names.extend(called.into_iter().filter(|name| !looks_like_cas(name)));
    }
    Ok(found)
}

/// A book of nothing but the embedded reference.
fn reference_book() -> Book {
    Book::assemble(Vec::new())
}

fn gas_of_entry(entry: &SubstanceEntry) -> Result<Gas, Failure> {
    let id = entry.substance.clone().unwrap_or_default();
    let formula_text = entry.formula.clone().unwrap_or_default();
    let formula = Formula::parse(&formula_text).map_err(|error| {
        Failure::new(
            "substance-unusable",
            format!("`{id}` of the reference catalog: {error}"),
            "state its molar mass with `--molar-mass`, and please report this",
        )
    })?;
    Ok(Gas::Known {
        molar_mass: formula.molar_mass(),
        substance: SubstanceUsed {
            name: entry.name.clone().unwrap_or_else(|| id.clone()),
            cas: entry.cas.clone(),
            formula: formula_text,
            id,
        },
    })
}

fn read(path: &Path) -> Result<Document, Failure> {
    let bytes = bounded_read::file(path, bounded_read::ENTRY)?;
    Ok(Document::read(FileId(0), &path.to_string_lossy(), &bytes, &READ_OPTIONS).0)
}

/// Every name of a substance, its CAS number included.
fn called(document: &Document) -> Vec<String> {
    let Some(root) = document.root() else {
        return Vec::new();
    };
    let single = ["substance", "name", "cas"]
        .into_iter()
        .filter_map(|key| root.get(key)?.text());
    let synonyms = root
        .get("also_called")
        .into_iter()
        .flat_map(Node::items)
        .filter_map(Node::text);
    single.chain(synonyms).map(ToOwned::to_owned).collect()
}

fn gas_of(document: &Document, path: &str) -> Result<Gas, Failure> {
    let text = |key: &str| {
        document
            .root()
            .and_then(|root| root.get(key)?.text())
            .map(ToOwned::to_owned)
    };
    let stem = EntryKind::of_file(path).map_or(path, |(_, stem)| stem);
    let unusable = |why: String| {
        Failure::new(
            "substance-unusable",
            format!("`{path}`: {why}"),
            format!("`stainbook check {path}` says more"),
        )
    };
    // An entry that only adds limits to the reference's leaves formula and names to it.
    if text("formula").is_none()
        && text("adds_to").as_deref() == Some(REFERENCE_NAME)
        && let Some(entry) = reference_book().substance(stem)
    {
        return gas_of_entry(entry);
    }
    let formula_text = text("formula").ok_or_else(|| {
        unusable("there is no formula to work the molar mass out from".to_owned())
    })?;
    let formula = Formula::parse(&formula_text).map_err(|error| unusable(error.to_string()))?;
    let id = text("substance").unwrap_or_else(|| stem.to_owned());
    Ok(Gas::Known {
        molar_mass: formula.molar_mass(),
        substance: SubstanceUsed {
            name: text("name").unwrap_or_else(|| id.clone()),
            id,
            cas: text("cas"),
            formula: formula_text,
        },
    })
}

/// The revision of the embedded reference catalog, without compiling the schema that the embedded files have passed.
fn reference_revision() -> Option<String> {
    let file = reference_files().find(|file| {
        EntryKind::of_file(&file.path).is_some_and(|(kind, _)| kind == EntryKind::Catalog)
    })?;
    let (document, _) = Document::read(FileId(0), &file.path, &file.bytes, &READ_OPTIONS);
    document
        .root()?
        .get("revision")?
        .text()
        .map(ToOwned::to_owned)
}

fn looks_like_cas(text: &str) -> bool {
    text.contains('-')
        && text
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'-')
}
