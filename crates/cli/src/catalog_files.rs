//! Finding a catalog's files, and reading them in parallel into a book.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use ignore::WalkBuilder;
use rayon::prelude::*;
use stainbook_catalog::embedded::{REFERENCE_NAME, demo_files};
use stainbook_catalog::{Book, EntryKind, SourceFile};
use stainbook_catalog::{Entry, WrittenEntry, read_entry};
use stainbook_document::finding::Finding;
use stainbook_document::place::FileId;
use stainbook_survey::boxes::{is_table_of_boxes, read_boxes};
use stainbook_survey::document::{
    is_spreadsheet, is_survey, is_table, read_table, read_worksheet, worksheets_of_readings,
};
use stainbook_survey::spreadsheet::{Workbook, WorkbookProblem};
use stainbook_survey::table::TableSettings;

use crate::bounded_read;
use crate::catalog_choice::{Choice, root_file};
use crate::failure::Failure;

/// A catalog that has been read.
#[derive(Debug)]
pub(crate) struct Loaded {
    pub(crate) book: Book,
    /// Findings of reading the files; nothing about background entries.
    pub(crate) findings: Vec<Finding>,
    /// Every file, by number, whether or not it could be read.
    pub(crate) paths: Vec<String>,
    /// The numbers of those that could be read.
    pub(crate) read: BTreeSet<FileId>,
    /// Files that could not be read.
    pub(crate) unreadable: Vec<Failure>,
    /// The catalog, in words.
    pub(crate) words: String,
}

/// A file to be read.
#[derive(Clone, Debug)]
pub(crate) enum Input {
    /// From the disk.
    File(PathBuf),
    /// Already in memory: standard input.
    Bytes(String, Vec<u8>),
    /// A survey that is kept as a table, with what is said of how its cells are written.
    Table(Box<Self>, TableSettings),
    /// A worksheet of a spreadsheet.
    Worksheet(Arc<InputWorksheet>),
}

/// A worksheet of a spreadsheet that holds readings.
#[derive(Debug)]
pub(crate) struct InputWorksheet {
    path: String,
    /// The spreadsheet.
    bytes: Arc<Vec<u8>>,
    name: String,
    settings: TableSettings,
}

impl Input {
    pub(crate) fn path(&self) -> String {
        match self {
            Self::File(path) => shown(path),
            Self::Bytes(path, _) => path.clone(),
            Self::Table(input, _) => input.path(),
            Self::Worksheet(worksheet) => worksheet.path.clone(),
        }
    }

    /// Identity of an input.
    pub(crate) fn identity(&self) -> String {
        let file = identity(Path::new(&self.path()));
        match self {
            Self::Worksheet(worksheet) => format!("{file}\0{}", worksheet.name),
            _ => file,
        }
    }

    /// A spreadsheet as its worksheets with readings, a table with what is said of it; anything else as it is.
    pub(crate) fn by_worksheets(self, settings: TableSettings) -> Result<Vec<Self>, Failure> {
        let path = self.path();
        if is_table(&path) {
            return Ok(vec![Self::Table(Box::new(self), settings)]);
        }
        if !is_spreadsheet(&path) {
            return Ok(vec![self]);
        }
        let bytes = match self {
            Self::File(file) => bounded_read::file(&file, bounded_read::TABLE)?,
            Self::Bytes(_, bytes) => bytes,
            Self::Table(..) | Self::Worksheet(_) => return Ok(vec![self]),
        };
        let bytes = Arc::new(bytes);
        let names = Failure::of_file(&path, || {
            Workbook::open(bytes.to_vec())
                .and_then(|mut workbook| worksheets_of_readings(&mut workbook))
                .map_err(|problem| unreadable_spreadsheet(&path, problem))
        })?;
        Ok(names
            .into_iter()
            .map(|name| {
                Self::Worksheet(Arc::new(InputWorksheet {
                    path: path.clone(),
                    bytes: Arc::clone(&bytes),
                    name,
                    settings,
                }))
            })
            .collect())
    }
}

/// A path as it is shown: with `/` between folders on every system, so that outputs can be compared.
pub(crate) fn shown(path: &Path) -> String {
    let text = path.to_string_lossy();
    let text = if std::path::MAIN_SEPARATOR == '\\' {
        text.replace('\\', "/")
    } else {
        text.into_owned()
    };
    text.strip_prefix("./")
        .map_or(text.clone(), ToOwned::to_owned)
}

/// The files of a catalog below its folder, in alphabetical order. Catalogs in folders of their own below it are not part
/// of it, nor are hidden folders.
pub(crate) fn entry_paths(folder: &Path) -> Vec<PathBuf> {
    walk(folder, true).entries
}

/// True if a file is one of a catalog's own by its name: an entry, or the boxes in stock as a table.
pub(crate) fn is_entry(name: &str) -> bool {
    EntryKind::of_file(name).is_some() || is_table_of_boxes(name)
}

/// Contents below a folder, each in alphabetical order.
#[derive(Default)]
pub(crate) struct Below {
    /// Entries of catalogs.
    pub(crate) entries: Vec<PathBuf>,
    /// Surveys that are kept as tables or in spreadsheets. They are no part of a catalog, as they can be of any size; who
    /// checks a folder checks them too.
    pub(crate) tables: Vec<PathBuf>,
    /// Files whose names would tell a kind but for their capital letters. They are no part of a catalog either.
    pub(crate) capitals: Vec<PathBuf>,
    /// YAML files whose names tell no kind.
    pub(crate) others: Vec<PathBuf>,
}

/// Looks through a folder.
pub(crate) fn walk(folder: &Path, stay_in_catalog: bool) -> Below {
    let mut below = Below::default();
    for path in files_below(folder, stay_in_catalog) {
        let name = shown(&path);
        if is_entry(&name) {
            below.entries.push(path);
        } else if is_survey(&name) {
            below.tables.push(path);
        } else if EntryKind::name_in_small_letters(&name).is_some() {
            below.capitals.push(path);
        } else if path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("yaml") || e.eq_ignore_ascii_case("yml"))
        {
            below.others.push(path);
        }
    }
    below
}

/// The files below a folder, in alphabetical order.
fn files_below(folder: &Path, stay_in_catalog: bool) -> impl Iterator<Item = PathBuf> + use<> {
    // A folder that several links lead to is gone through once: 24 folders with two links to the next are 2^24 ways.
    let visited: Mutex<HashSet<PathBuf>> = Mutex::default();
    // What git ignores is read all the same: a sheet that is silently left out would be missed.
    let walker = WalkBuilder::new(folder)
        .standard_filters(false)
        .hidden(true)
        .follow_links(true)
        .sort_by_file_name(Ord::cmp)
        .filter_entry(move |entry| {
            // What the walk knows of an entry is asked for, not the disk again: this is done for every file of a catalog.
            let folder = entry.file_type().is_some_and(|kind| kind.is_dir());
            let wanted = !stay_in_catalog
                || entry.depth() == 0
                || !folder
                || root_file(entry.path()).is_none();
            wanted && (!folder || is_new(&visited, entry.path()))
        })
        .build();
    walker
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_some_and(|kind| kind.is_file()))
        .map(|entry| {
            if !entry.path_is_symlink() {
                no_link(entry.path());
            }
            entry.into_path()
        })
}

/// True the first time that a folder is come to, by whatever way.
fn is_new(visited: &Mutex<HashSet<PathBuf>>, folder: &Path) -> bool {
    let Ok(really) = std::fs::canonicalize(folder) else {
        return true;
    };
    let mut visited = visited.lock().unwrap_or_else(PoisonError::into_inner);
    visited.insert(really)
}

/// Reads a catalog, with files that need not lie in it, and the catalogs that it builds on.
pub(crate) fn load(choice: &Choice, extra: Vec<Input>) -> Loaded {
    let found = match choice {
        Choice::Folder(root) => entry_paths(root),
        Choice::Embedded => Vec::new(),
    };
    load_found(choice, found, extra)
}

/// The same where the catalog's own files have been found already.
pub(crate) fn load_found(choice: &Choice, found: Vec<PathBuf>, extra: Vec<Input>) -> Loaded {
    let Choice::Folder(root) = choice else {
        return load_embedded(extra);
    };
    let mut inputs: BTreeMap<String, Input> = found
        .into_iter()
        .map(|path| (identity(&path), Input::File(path)))
        .collect();
    for input in extra {
        // A file that is in the catalog anyway is shown under the name by which it was asked for; what comes from
        // standard input stands in for the file of that name.
        inputs.insert(input.identity(), input);
    }
    let inputs: Vec<Input> = inputs.into_values().collect();
    let mut read = read_all(&inputs, 0);
    add_background(&mut read, root);
    read.assemble(|book| words_for(book, root))
}

/// The demo, which builds on the reference data; files of the caller's own have the reference data only.
fn load_embedded(extra: Vec<Input>) -> Loaded {
    if extra.is_empty() {
        return load_demo_with(extra);
    }
    read_all(&extra, 0).assemble(|_| format!("no catalog but the embedded {REFERENCE_NAME}"))
}

/// The demo with files of the caller's own: a survey that names the demo's tubes.
pub(crate) fn load_demo_with(extra: Vec<Input>) -> Loaded {
    let demo = demo_files().map(|file| Input::Bytes(file.path, file.bytes.into_owned()));
    let inputs: Vec<Input> = demo.chain(extra).collect();
    read_all(&inputs, 0).assemble(|book| {
        format!(
            "the embedded demo catalog{}, all of it invented",
            revision_of(book)
        )
    })
}

fn words_for(book: &Book, root: &Path) -> String {
    let name = book
        .catalog()
        .and_then(|(_, catalog)| catalog.catalog.as_deref())
        .unwrap_or("a catalog without a name");
    format!("{name}{}, {}", revision_of(book), shown(root))
}

fn revision_of(book: &Book) -> String {
    book.catalog()
        .and_then(|(_, catalog)| catalog.revision.as_ref())
        .map(|revision| format!(" of {}", revision.text()))
        .unwrap_or_default()
}

/// Identity of the file at a path.
pub(crate) fn identity(path: &Path) -> String {
    let absolute = real(path)
        .or_else(|| std::fs::canonicalize(path).ok())
        .or_else(|| std::path::absolute(path).ok());
    absolute.map_or_else(|| shown(path), |path| path.to_string_lossy().into_owned())
}

thread_local! {
    static REALLY_AT: RefCell<HashMap<PathBuf, PathBuf>> = RefCell::default();
}

/// Real path of a file that is no link. The way to its folder is followed once for each folder, and each file looked at
/// once, as a catalog has thousands of files in a few folders and each is asked for several times.
fn real(path: &Path) -> Option<PathBuf> {
    if let Some(real) = known(path) {
        return Some(real);
    }
    if !std::fs::symlink_metadata(path).ok()?.is_file() {
        return None;
    }
    no_link(path)
}

/// Notes where a file lies that is known to be no link.
fn no_link(path: &Path) -> Option<PathBuf> {
    let (folder, name) = (path.parent()?, path.file_name()?);
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let keep = |path: &Path, real: &PathBuf| {
        REALLY_AT.with_borrow_mut(|known| known.insert(path.to_path_buf(), real.clone()));
    };
    let really = if let Some(real) = known(folder) {
        real
    } else {
        let real = std::fs::canonicalize(folder).ok()?;
        keep(folder, &real);
        real
    };
    let file = really.join(name);
    keep(path, &file);
    Some(file)
}

fn known(path: &Path) -> Option<PathBuf> {
    REALLY_AT.with_borrow(|known| known.get(path).cloned())
}

/// Forgets where files really lie, before a run that may find them moved.
pub(crate) fn forget_where_files_lie() {
    REALLY_AT.with_borrow_mut(HashMap::clear);
}

/// Contents of files, before they become one book.
#[derive(Default)]
pub(crate) struct Content {
    pub(crate) entries: Vec<Entry>,
    findings: Vec<Finding>,
    pub(crate) paths: Vec<String>,
    read: BTreeSet<FileId>,
    pub(crate) unreadable: Vec<Failure>,
}

impl Content {
    /// Adds a catalog that another one builds on: its entries are used, and nothing is said about them.
    pub(crate) fn add_base(&mut self, mut base: Self) {
        for entry in &mut base.entries {
            entry.background = true;
        }
        self.entries.append(&mut base.entries);
        self.paths.append(&mut base.paths);
        self.unreadable.append(&mut base.unreadable);
    }

    /// The catalog that the files make.
    pub(crate) fn assemble(self, words: impl FnOnce(&Book) -> String) -> Loaded {
        let book = Book::assemble(self.entries);
        let words = words(&book);
        Loaded {
            book,
            findings: self.findings,
            paths: self.paths,
            read: self.read,
            unreadable: self.unreadable,
            words,
        }
    }
}

type EntryRead = Result<(Option<Entry>, Vec<Finding>), Failure>;

impl Input {
    /// Reads it: an entry, or a survey that is kept in another form.
    fn read(&self, file: FileId) -> EntryRead {
        let settings = match self {
            Self::Worksheet(worksheet) => return worksheet.read(file),
            Self::Table(_, settings) => *settings,
            Self::File(_) | Self::Bytes(..) => TableSettings::default(),
        };
        let source = self.source()?;
        if is_table_of_boxes(&source.path) {
            let (entry, findings) = read_boxes(file, &source);
            return Ok((Some(entry), findings));
        }
        if is_table(&source.path) {
            let (entry, findings) = read_table(file, &source, settings);
            return Ok((Some(entry), findings));
        }
        Ok(read_entry(file, &source))
    }

    /// Its bytes under the name by which it is shown.
    fn source(&self) -> Result<SourceFile<'_>, Failure> {
        match self {
            Self::File(path) => {
                let name = shown(path);
                let most = if is_table(&name) && !is_table_of_boxes(&name) {
                    bounded_read::TABLE
                } else {
                    bounded_read::ENTRY
                };
                Ok(SourceFile::from_bytes(
                    name,
                    bounded_read::file(path, most)?,
                ))
            }
            Self::Bytes(path, bytes) => Ok(SourceFile {
                path: path.clone(),
                bytes: bytes.into(),
            }),
            Self::Table(input, _) => input.source(),
            Self::Worksheet(worksheet) => Ok(SourceFile {
                path: worksheet.path.clone(),
                bytes: worksheet.bytes.as_slice().into(),
            }),
        }
    }
}

impl InputWorksheet {
    fn read(&self, file: FileId) -> EntryRead {
        Workbook::open(self.bytes.to_vec())
            .and_then(|mut workbook| {
                read_worksheet(file, &self.path, &mut workbook, &self.name, self.settings)
            })
            .map(|(entry, findings)| (Some(entry), findings))
            .map_err(|problem| unreadable_spreadsheet(&self.path, problem))
    }
}

fn unreadable_spreadsheet(path: &str, problem: WorkbookProblem) -> Failure {
    Failure::new(
        "unreadable-spreadsheet",
        format!("`{path}`: {}", problem.message),
        problem.help,
    )
}

/// Reads files in parallel; what comes out is in the order of the files.
pub(crate) fn read_all(inputs: &[Input], first: usize) -> Content {
    let outcomes: Vec<_> = inputs
        .par_iter()
        .enumerate()
        .map(|(index, input)| {
            let file = FileId(u32::try_from(first + index).unwrap_or(u32::MAX));
            Failure::of_file(&input.path(), || input.read(file))
        })
        .collect();
    let mut read = Content {
        paths: inputs.iter().map(Input::path).collect(),
        entries: Vec::with_capacity(inputs.len()),
        ..Content::default()
    };
    for (index, outcome) in outcomes.into_iter().enumerate() {
        match outcome {
            Ok((entry, findings)) => {
                read.read
                    .insert(FileId(u32::try_from(first + index).unwrap_or(u32::MAX)));
                read.entries.extend(entry);
                read.findings.extend(findings);
            }
            Err(failure) => read.unreadable.push(failure),
        }
    }
    read
}

/// The catalogs that this one builds on, by folders relative to it, and those that they build on.
fn add_background(read: &mut Content, root: &Path) {
    let mut seen: BTreeSet<String> = [identity(root)].into();
    let mut waiting: Vec<PathBuf> = bases(&read.entries, root);
    while let Some(folder) = waiting.pop() {
        if !seen.insert(identity(&folder)) {
            continue;
        }
        if root_file(&folder).is_none() {
            read.unreadable.push(no_base(&shown(&folder)));
            continue;
        }
        let inputs: Vec<Input> = entry_paths(&folder).into_iter().map(Input::File).collect();
        let base = read_all(&inputs, read.paths.len());
        waiting.extend(bases(&base.entries, &folder));
        read.add_base(base);
    }
}

/// Failure where a catalog builds on a folder that holds none.
pub(crate) fn no_base(folder: &str) -> Failure {
    Failure::new(
        "no-catalog",
        format!("the catalog builds on `{folder}`, and there is no `catalog.yaml` in it"),
        "look at `builds_on` in `catalog.yaml`: it holds `stainbook-reference`, or folders as seen from that file",
    )
}

/// The folders that a catalog builds on, as its file names them.
pub(crate) fn builds_on(entry: &Entry) -> impl Iterator<Item = &str> {
    let names = match &entry.written {
        WrittenEntry::Catalog(catalog) => catalog.builds_on.as_slice(),
        _ => &[],
    };
    names
        .iter()
        .map(String::as_str)
        .filter(|name| *name != REFERENCE_NAME)
}

fn bases(entries: &[Entry], root: &Path) -> Vec<PathBuf> {
    entries
        .iter()
        .flat_map(builds_on)
        .map(|name| root.join(name))
        .collect()
}
