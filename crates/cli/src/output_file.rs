//! Files that commands write: one way for all of them, so that nothing is lost and nothing half written is taken for whole.

mod over_input;
mod unfinished;

use std::fs::{self, File, FileType, Metadata};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use crate::failure::Failure;
pub(crate) use over_input::{refuse_name_of_entry, refuse_over_input, refuse_over_standard_input};
use unfinished::Unfinished;

/// Fate of a file that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum IfThere {
    /// The new content takes its place.
    Replace,
    /// It stays, and nothing is written.
    Refuse,
}

/// A file that is being written.
///
/// It is written beside its name, synced and then renamed, so that whoever reads meanwhile, or after the power failed, sees
/// the old content or the new one and never a part. Links are followed and stay; mode and, where the system allows, owner of
/// what was there stay; a new file has the mode that new files get here. What is no file but a way out (a device, a FIFO,
/// `/dev/stdout`) is written to directly.
#[derive(Debug)]
pub(crate) struct OutputFile {
    path: PathBuf,
    way: WritingWay,
}

#[derive(Debug)]
enum WritingWay {
    Direct(BufWriter<File>),
    Beside(Box<Replacement>),
}

/// Content that is to stand under a name.
#[derive(Debug)]
struct Replacement {
    content: BufWriter<Unfinished>,
    target: PathBuf,
    /// The file whose place is taken.
    before: Option<Metadata>,
    if_there: IfThere,
}

impl OutputFile {
    /// Begins to write a file. What earlier runs were stopped at is swept out of its folder.
    ///
    /// A file that is marked as not to be written is refused, although a rename would get round that.
    pub(crate) fn open(path: &Path, if_there: IfThere) -> io::Result<Self> {
        if if_there == IfThere::Refuse {
            unfinished::sweep(folder_of(path));
            if fs::symlink_metadata(path).is_ok() {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
        }
        let target = followed(path)?;
        let way = if is_descriptor(&target) {
            WritingWay::direct(&target)?
        } else {
            match fs::metadata(&target) {
                Ok(before) if before.is_file() => {
                    if before.permissions().readonly() {
                        return Err(io::ErrorKind::PermissionDenied.into());
                    }
                    // Whether this user may is for the system to say; nothing is written by asking.
                    drop(fs::OpenOptions::new().append(true).open(&target)?);
                    WritingWay::beside(target, Some(before), if_there)?
                }
                Ok(known) if known.is_dir() => return Err(io::ErrorKind::IsADirectory.into()),
                Ok(known) if is_disk(known.file_type()) => {
                    return Err(io::Error::other("it is a whole disk"));
                }
                Ok(_) => WritingWay::direct(&target)?,
                Err(error) if error.kind() == io::ErrorKind::NotFound => {
                    WritingWay::beside(target, None, if_there)?
                }
                Err(error) => return Err(error),
            }
        };
        Ok(Self {
            path: path.to_path_buf(),
            way,
        })
    }

    /// The name by which the file was asked for.
    pub(crate) fn path(&self) -> &Path {
        &self.path
    }

    /// Puts what was written in its place.
    pub(crate) fn finish(self) -> io::Result<()> {
        match self.way {
            WritingWay::Direct(mut out) => out.flush(),
            WritingWay::Beside(replacement) => replacement.finish(),
        }
    }
}

impl Write for OutputFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match &mut self.way {
            WritingWay::Direct(out) => out.write(bytes),
            WritingWay::Beside(beside) => beside.content.write(bytes),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match &mut self.way {
            WritingWay::Direct(out) => out.flush(),
            WritingWay::Beside(beside) => beside.content.flush(),
        }
    }
}

impl WritingWay {
    /// At the end of what is there: standard output may lead to a file that holds something.
    fn direct(path: &Path) -> io::Result<Self> {
        let out = fs::OpenOptions::new().append(true).open(path)?;
        Ok(Self::Direct(BufWriter::new(out)))
    }

    fn beside(target: PathBuf, before: Option<Metadata>, if_there: IfThere) -> io::Result<Self> {
        let folder = folder_of(&target);
        unfinished::sweep(folder);
        let content = Unfinished::new(folder, before.is_some())?;
        Ok(Self::Beside(Box::new(Replacement {
            content: BufWriter::new(content),
            target,
            before,
            if_there,
        })))
    }
}

impl Replacement {
    fn finish(self) -> io::Result<()> {
        let content = self
            .content
            .into_inner()
            .map_err(io::IntoInnerError::into_error)?;
        if let Some(before) = &self.before {
            keep_owner_and_mode(content.file(), before)?;
        }
        content.file().sync_all()?;
        content.rename(&self.target, self.if_there)?;
        // After a power failure there is the old file or the new one; where there was none, there is to be the new one.
        if self.before.is_none() {
            sync_folder(folder_of(&self.target));
        }
        Ok(())
    }
}

/// Writes a whole file.
pub(crate) fn put(path: &Path, if_there: IfThere, content: &[u8]) -> io::Result<()> {
    let mut file = OutputFile::open(path, if_there)?;
    file.write_all(content)?;
    file.finish()
}

/// Writes a whole file in the place of what was there.
pub(crate) fn replace(path: &Path, content: &[u8]) -> Result<(), Failure> {
    put(path, IfThere::Replace, content).map_err(|error| Failure::unwritable(path, &error))
}

/// True if writing to a name takes away what is there.
pub(crate) fn takes_a_place(path: &Path) -> bool {
    followed(path).is_ok_and(|target| !is_descriptor(&target) && target.is_file())
}

/// So many links one after the other are followed, as the system does.
const MOST_LINKS: usize = 40;

/// Path that a name leads to, whether or not there is something yet.
fn followed(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_path_buf();
    for _ in 0..=MOST_LINKS {
        let is_link = match fs::symlink_metadata(&at) {
            Ok(known) => known.is_symlink(),
            Err(error) if error.kind() == io::ErrorKind::NotFound => false,
            Err(error) => return Err(error),
        };
        // What stands in such a link (`pipe:[4711]`) is no path.
        if !is_link || is_descriptor(&at) {
            return Ok(at);
        }
        at = folder_of(&at).join(fs::read_link(&at)?);
    }
    Err(io::Error::other("its links lead in a circle"))
}

/// True for a name of what a process has open: `/dev/fd/1`, `/proc/self/fd/1`, where `/dev/stdout` leads to.
fn is_descriptor(path: &Path) -> bool {
    path.parent().is_some_and(|folder| {
        folder == Path::new("/dev/fd") || (folder.starts_with("/proc") && folder.ends_with("fd"))
    })
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|parent| !parent.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

#[cfg(unix)]
fn is_disk(kind: FileType) -> bool {
    use std::os::unix::fs::FileTypeExt as _;
    kind.is_block_device()
}

#[cfg(not(unix))]
fn is_disk(_: FileType) -> bool {
    false
}

#[cfg(unix)]
fn keep_owner_and_mode(file: &File, before: &Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt as _, fchown};
    let now = file.metadata()?;
    if (now.uid(), now.gid()) != (before.uid(), before.gid())
        && fchown(file, Some(before.uid()), Some(before.gid())).is_err()
    {
        // Who may not give a file to somebody may still give it to a group of his own; and who may not do that either has
        // been allowed to write all the same.
        let _ = fchown(file, None, Some(before.gid()));
    }
    // After the owner, as a change of that takes bits away.
    file.set_permissions(before.permissions())
}

#[cfg(not(unix))]
fn keep_owner_and_mode(file: &File, before: &Metadata) -> io::Result<()> {
    file.set_permissions(before.permissions())
}

/// A new name outlives a power failure when its folder is synced. Where a folder cannot be synced, the system sees to it by itself.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn content_is_replaced_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.yaml");
        replace(&path, b"one").unwrap();
        replace(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn until_it_is_finished_nothing_is_there_or_the_old_content() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.yaml");
        let begun = |content: &[u8]| {
            let mut file = OutputFile::open(&path, IfThere::Replace).unwrap();
            file.write_all(content).unwrap();
            file.flush().unwrap();
            file
        };
        let first = begun(b"one");
        assert!(!path.exists());
        first.finish().unwrap();
        let second = begun(b"two");
        assert_eq!(fs::read(&path).unwrap(), b"one");
        drop(second);
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_comes_meanwhile_is_not_overwritten_where_that_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.yaml");
        let mut file = OutputFile::open(&path, IfThere::Refuse).unwrap();
        file.write_all(b"mine").unwrap();
        fs::write(&path, "somebody else's").unwrap();
        let refused = file.finish().unwrap_err();
        assert_eq!(refused.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"somebody else's");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn what_is_not_to_be_written_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.yaml");
        replace(&path, b"one").unwrap();
        let mut permissions = fs::metadata(&path).unwrap().permissions();
        permissions.set_readonly(true);
        fs::set_permissions(&path, permissions).unwrap();
        assert!(
            replace(&path, b"two")
                .unwrap_err()
                .message
                .contains("permission is denied")
        );
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert!(replace(folder.path(), b"two").is_err());
        assert!(replace(&folder.path().join("no/such/a.yaml"), b"two").is_err());
    }
}
