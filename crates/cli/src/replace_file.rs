//! Putting new content in the place of a file, at one stroke.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use crate::failure::Failure;

/// Writes content to a file so that whoever reads it meanwhile sees the old content or the new one, never a part: it is
/// written beside the file and then renamed. Permissions stay; of a symbolic link the file that it leads to is replaced.
///
/// A file that is marked as not to be written is refused, although a rename would get round that.
pub(crate) fn replace(path: &Path, content: &[u8]) -> Result<(), Failure> {
    let target = match fs::canonicalize(path) {
        Ok(target) => target,
        Err(error) if error.kind() == io::ErrorKind::NotFound => path.to_path_buf(),
        Err(error) => return Err(Failure::unwritable(path, &error)),
    };
    put(&target, content).map_err(|error| Failure::unwritable(path, &error))
}

fn put(target: &Path, content: &[u8]) -> io::Result<()> {
    let known = match fs::metadata(target) {
        Ok(known) if known.permissions().readonly() => {
            return Err(io::ErrorKind::PermissionDenied.into());
        }
        Ok(known) if !known.is_file() => return Err(io::ErrorKind::IsADirectory.into()),
        Ok(known) => Some(known.permissions()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(error),
    };
    let folder = target
        .parent()
        .filter(|parent| !parent.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    // Hidden, so that neither a catalog nor a watcher takes it for an entry.
    let mut builder = tempfile::Builder::new();
    builder.prefix(".stainbook-").suffix(".tmp");
    let mut beside = match known {
        Some(permissions) => {
            let beside = builder.tempfile_in(folder)?;
            beside.as_file().set_permissions(permissions)?;
            beside
        }
        None => return create(target, content),
    };
    beside.write_all(content)?;
    beside.as_file().sync_all()?;
    beside.persist(target).map_err(|error| error.error)?;
    Ok(())
}

/// A file that was not there gets the permissions that new files get here, which a temporary one does not have.
fn create(target: &Path, content: &[u8]) -> io::Result<()> {
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(target)?;
    file.write_all(content)?;
    file.sync_all()
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

    #[cfg(unix)]
    #[test]
    fn permissions_stay_and_links_stay_links() {
        use std::os::unix::fs::{PermissionsExt as _, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("a.yaml"), folder.path().join("b.yaml"));
        fs::write(&path, b"one").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&path, &link).unwrap();
        replace(&link, b"two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(
            fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o640
        );
    }
}
