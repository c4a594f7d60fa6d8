//! Two files or two folders that are held against each other.

use std::path::Path;

use crate::failure::Failure;

/// Makes sure that a path is there.
pub(crate) fn exists(path: &Path) -> Result<(), Failure> {
    if path.exists() {
        return Ok(());
    }
    let error = std::io::Error::from(std::io::ErrorKind::NotFound);
    Err(Failure::unreadable(path, &error))
}

/// Makes sure that two paths are two files or two folders.
pub(crate) fn alike(a: &Path, b: &Path) -> Result<(), Failure> {
    if a.is_dir() == b.is_dir() {
        return Ok(());
    }
    Err(Failure::usage(
        "a file cannot be compared with a folder",
        "name two files or two folders",
    ))
}

/// Failure where a folder holds no entry.
pub(crate) fn nothing_in(folder: &Path) -> Failure {
    Failure::new(
        "nothing-to-compare",
        format!("there is nothing to compare in `{}`", folder.display()),
        "files of a catalog end in `.tube.yaml`, `.substance.yaml`, `.pump.yaml` and so on",
    )
}
