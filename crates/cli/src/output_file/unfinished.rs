//! Files that are being written, under names of their own until they are whole, and what is left of them where a run was
//! killed.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use fs4::FileExt;
use tempfile::NamedTempFile;

use super::IfThere;

/// Hidden, so that neither a catalog nor a watcher takes it for an entry, and such as nobody calls a file of his own.
const PREFIX: &str = ".stainbook-unfinished-";
const RANDOM: usize = 12;
const SUFFIX: &str = ".tmp";

/// A file that is not whole yet.
///
/// It is locked as long as it is written. The system takes the lock from whoever is gone, on this machine or on another that
/// shares the folder, which no number of a process would tell.
#[derive(Debug)]
pub(super) struct Unfinished(NamedTempFile);

impl Unfinished {
    /// A file for nobody else's eyes where it takes the place of another, whose mode it gets in the end; else with the mode
    /// that new files get here.
    pub(super) fn new(folder: &Path, takes_a_place: bool) -> io::Result<Self> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(PREFIX).rand_bytes(RANDOM).suffix(SUFFIX);
        #[cfg(unix)]
        if !takes_a_place {
            use std::os::unix::fs::PermissionsExt as _;
            builder.permissions(fs::Permissions::from_mode(0o666));
        }
        #[cfg(not(unix))]
        let _ = takes_a_place;
        loop {
            let file = builder.tempfile_in(folder)?;
            // Where nothing can be locked, nothing is swept either.
            let _ = FileExt::lock(file.as_file());
            // Between making and locking it another run may have swept it.
            if fs::symlink_metadata(file.path()).is_ok() {
                return Ok(Self(file));
            }
        }
    }

    pub(super) fn file(&self) -> &File {
        self.0.as_file()
    }

    /// Gives it its name.
    pub(super) fn rename(self, target: &Path, if_there: IfThere) -> io::Result<()> {
        let named = match if_there {
            IfThere::Replace => self.0.persist(target),
            IfThere::Refuse => self.0.persist_noclobber(target),
        };
        named.map(drop).map_err(|error| error.error)
    }
}

impl Write for Unfinished {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
    }
}

/// The folders that were swept by this run: `--fix` writes thousands of files into one.
static SWEPT: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// Removes from a folder what runs were killed at. What cannot be removed stays: it is in nobody's way.
pub(super) fn sweep(folder: &Path) {
    let is_new = SWEPT
        .lock()
        .is_ok_and(|mut swept| swept.insert(folder.to_path_buf()));
    if !is_new {
        return;
    }
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for entry in entries.filter_map(Result::ok) {
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if is_file && entry.file_name().to_str().is_some_and(is_unfinished) {
            remove_if_left(&entry.path());
        }
    }
}

fn is_unfinished(name: &str) -> bool {
    name.strip_prefix(PREFIX)
        .and_then(|rest| rest.strip_suffix(SUFFIX))
        .is_some_and(|random| {
            random.len() == RANDOM && random.bytes().all(|byte| byte.is_ascii_alphanumeric())
        })
}

/// Removes a file unless somebody is still writing it.
fn remove_if_left(path: &Path) {
    // Over a network, only who may write can lock.
    if let Ok(file) = File::options().read(true).write(true).open(path)
        && FileExt::try_lock(&file).is_ok()
    {
        let _ = fs::remove_file(path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_our_own_names_are_known() {
        for (name, expected) in [
            (".stainbook-unfinished-aB3dE6gH9kLm.tmp", true),
            (".stainbook-unfinished-aB3dE6gH9kL.tmp", false),
            (".stainbook-unfinished-aB3dE6gH9kLmn.tmp", false),
            (".stainbook-unfinished-aB3dE6g-9kLm.tmp", false),
            (".stainbook-unfinished-aB3dE6gH9kLm", false),
            (".stainbook-aB3dE6.tmp", false),
            ("stainbook-unfinished-aB3dE6gH9kLm.tmp", false),
            (".unfinished-aB3dE6gH9kLm.tmp", false),
        ] {
            assert_eq!(is_unfinished(name), expected, "{name}");
        }
        let folder = tempfile::tempdir().unwrap();
        let made = Unfinished::new(folder.path(), false).unwrap();
        let name = made.0.path().file_name().unwrap().to_str().unwrap();
        assert!(is_unfinished(name), "{name}");
    }

    #[test]
    fn what_was_left_is_swept_and_what_is_being_written_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let left = folder.path().join(".stainbook-unfinished-aB3dE6gH9kLm.tmp");
        let foreign = folder.path().join(".stainbook-aB3dE6.tmp");
        fs::write(&left, "half").unwrap();
        fs::write(&foreign, "somebody's").unwrap();
        // A folder of that name is not ours.
        let odd = folder.path().join(".stainbook-unfinished-aB3dE6gH9kLx.tmp");
        fs::create_dir(&odd).unwrap();
        let mut written = Unfinished::new(folder.path(), true).unwrap();
        written.write_all(b"half").unwrap();
        sweep(folder.path());
        assert!(!left.exists());
        assert!(foreign.exists() && odd.exists());
        assert!(written.0.path().exists());
        written
            .rename(&folder.path().join("a.yaml"), IfThere::Refuse)
            .unwrap();
        assert_eq!(fs::read(folder.path().join("a.yaml")).unwrap(), b"half");
    }
}
