//! `tests/fuzz-corpus`: every file that ever broke a law, each in a folder named for what was wrong, below it by the path
//! under which it was read.

use std::fs;
use std::path::{Path, PathBuf};

const FOLDER: &str = "tests/fuzz-corpus";

/// Keeps what broke a law.
///
/// # Errors
///
/// The system's error if the file cannot be written.
pub(super) fn keep(root: &Path, name: &str, path: &str, bytes: &[u8]) -> Result<PathBuf, String> {
    let file = root.join(FOLDER).join(name).join(path);
    let folder = file.parent().unwrap_or(root);
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(&file, bytes))
        .map_err(|error| format!("{}: {error}", file.display()))?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::super::laws::Laws;
    use super::*;

    /// The files below a folder, each with its path from there.
    fn below(folder: &Path) -> Vec<PathBuf> {
        let mut files = Vec::new();
        for entry in fs::read_dir(folder).unwrap() {
            let entry = entry.unwrap();
            let name = PathBuf::from(entry.file_name());
            if entry.file_type().unwrap().is_dir() {
                files.extend(below(&entry.path()).iter().map(|file| name.join(file)));
            } else {
                files.push(name);
            }
        }
        files.sort();
        files
    }

    fn folders(root: &Path) -> Vec<PathBuf> {
        let entries = fs::read_dir(root.join(FOLDER)).unwrap();
        let paths = entries.map(|entry| entry.unwrap().path());
        let mut folders: Vec<PathBuf> = paths.filter(|path| path.is_dir()).collect();
        folders.sort();
        folders
    }

    #[test]
    fn everything_that_ever_broke_a_law_keeps_them_now() {
        let mut laws = Laws::thorough();
        let mut tried = 0;
        for folder in folders(&crate::output::root()) {
            for path in below(&folder) {
                let bytes = fs::read(folder.join(&path)).unwrap();
                let path = path.to_str().unwrap().replace('\\', "/");
                let held = laws.hold(&path, &bytes);
                assert_eq!(held, Ok(()), "{} of {}", path, folder.display());
                tried += 1;
            }
        }
        assert!(2 <= tried, "{tried} files");
    }

    #[test]
    fn what_is_kept_is_found_again() {
        let root = tempfile::tempdir().unwrap();
        let kept = keep(
            root.path(),
            "seed-7-case-3",
            "tubes/a.tube.yaml",
            b"tube: a",
        )
        .unwrap();
        let folders = folders(root.path());
        assert_eq!(folders.len(), 1);
        let below = below(&folders[0]);
        assert_eq!(below, [PathBuf::from("tubes/a.tube.yaml")]);
        assert_eq!(folders[0].join(&below[0]), kept);
    }
}
