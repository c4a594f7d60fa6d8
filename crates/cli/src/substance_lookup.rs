//! Finding one substance without reading the catalog around it.
//!
//! `convert` has to answer before a finger is off the key, so it compiles no schema and reads no file that it does not
//! need. Checking the catalog is the business of `check`; here only names, formula and reference conditions are looked at.

use std::path::{Path, PathBuf};

use stainbook::conversion::{Gas, ReferenceConditions, SubstanceUsed};
use stainbook_catalog::READ_OPTIONS;
use stainbook_catalog::embedded::{REFERENCE_NAME, reference_files};
use stainbook_catalog::search::{NamedBy, NoSuchSubstance, Understood};
use stainbook_catalog::written::SubstanceEntry;
use stainbook_catalog::{Book, Entry, EntryKind, SourceFile, read_trusted};
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
                Some(other) if other != REFERENCE_NAME => light.folders.push(folder.join(other)),
                _ => {}
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

    /// The substance that a person means by a CAS number, a short name, a name, a synonym or a formula, and words for what was
    /// understood.
    pub(crate) fn gas(&self, wanted: &str) -> Result<(Gas, Option<String>), Failure> {
        let wanted = wanted.trim();
        let book = self.book()?;
        match book.understand_substance(wanted) {
            Ok(understood) => {
                let words = understood_in_words(wanted, &understood);
                Ok((gas_of(understood.entry, &book)?, words))
            }
            Err(none) if none.could_be.is_empty() => Err(self.unknown(&none)),
            Err(several) => Err(Failure::new(
                "ambiguous-substance",
                format!("--substance: {several}"),
                "name one of them: their molar masses and limits may differ",
            )),
        }
    }

    /// The substances and groups of the catalog and of those it builds on, and nothing else of them.
    fn book(&self) -> Result<Book, Failure> {
        let mut entries: Vec<Entry> = Vec::new();
        for (index, folder) in self.folders.iter().enumerate() {
            let root = root_file(folder).into_iter().filter(|_| index == 0);
            for path in root.chain(entry_paths(folder)) {
                let name = path.to_string_lossy().into_owned();
                let kind = EntryKind::of_file(&name).map(|(kind, _)| kind);
                let is_root = kind == Some(EntryKind::Catalog) && index == 0;
                let wanted = matches!(kind, Some(EntryKind::Substance | EntryKind::Group));
                if !wanted && !is_root || entries.iter().any(|entry| entry.path == name) {
                    continue;
                }
                let source =
                    SourceFile::from_bytes(name, bounded_read::file(&path, bounded_read::ENTRY)?);
                let file = FileId(u32::try_from(entries.len()).unwrap_or(u32::MAX));
                let entry = read_trusted(file, &source);
                entries.extend(entry.map(|entry| Entry {
                    background: 0 < index,
                    ..entry
                }));
            }
        }
        Ok(Book::assemble(entries))
    }

    fn unknown(&self, none: &NoSuchSubstance) -> Failure {
        let wanted = none.wanted.as_str();
        if is_cas(wanted)
            && let Err(error) = CasNumber::parse(wanted)
        {
            let words = error.to_string();
            let (message, help) = words
                .split_once(", ")
                .unwrap_or((&words, "look at the number again"));
            return Failure::new("cas-number-wrong", format!("--substance: {message}"), help);
        }
        let help = if none.near.is_empty() {
            "state its molar mass with `--molar-mass \"28.010 g/mol\"`, or add it to your catalog with `stainbook new substance`"
                .to_owned()
        } else {
            format!(
                "did you mean `{}`? Else state its molar mass with `--molar-mass`",
                none.near.join("`, `")
            )
        };
        let mut message = format!(
            "--substance: no substance is called `{wanted}` in {}",
            self.words
        );
        if let Some(because) = none.because() {
            message.push_str(": ");
            message.push_str(because);
        }
        Failure::new("unknown-substance", message, help)
    }
}

/// Words for what was understood where something else than the name was typed.
pub(crate) fn understood_in_words(typed: &str, understood: &Understood<'_>) -> Option<String> {
    if matches!(understood.by, NamedBy::ShortName | NamedBy::Name) {
        return None;
    }
    let name = understood.entry.name.as_deref().unwrap_or_default();
    let by = &understood.by;
    Some(format!("`{typed}` is understood as {name}, by {by}"))
}

fn gas_of(entry: &SubstanceEntry, book: &Book) -> Result<Gas, Failure> {
    let id = entry.substance.clone().unwrap_or_default();
    let own = book.find(EntryKind::Substance, &id);
    let unusable = |why: String| match own {
        Some(own) => Failure::new(
            "substance-unusable",
            format!("`{}`: {why}", own.path),
            format!("`stainbook check {}` says more", own.path),
        ),
        None => Failure::new(
            "substance-unusable",
            format!("`{id}` of the reference catalog: {why}"),
            "state its molar mass with `--molar-mass`, and please report this",
        ),
    };
    let formula_text = entry.formula.clone().ok_or_else(|| {
        unusable("there is no formula to work the molar mass out from".to_owned())
    })?;
    let formula = Formula::parse(&formula_text).map_err(|error| unusable(error.to_string()))?;
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

fn is_cas(text: &str) -> bool {
    text.contains('-')
        && text
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'-')
}
