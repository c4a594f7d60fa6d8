//! Reading a file as a whole, up to a size: a device has no end, and memory has.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use crate::failure::Failure;

/// Bytes of the largest entry, baseline or template that is read; what an entry may have is said of it as a finding before.
pub(crate) const ENTRY: u64 = 64 << 20;
/// Bytes of the largest table or spreadsheet that is read as a whole: a million readings have some 150 MB.
pub(crate) const TABLE: u64 = 512 << 20;
/// Bytes of the largest file of records: a thousand readings have some 30 MB.
pub(crate) const RECORDS: u64 = 4 << 30;

/// The whole of a file.
pub(crate) fn file(path: &Path, most: u64) -> Result<Vec<u8>, Failure> {
    let opened = File::open(path).map_err(|error| Failure::unreadable(path, &error))?;
    let length = opened.metadata().map_or(0, |known| known.len());
    if most < length {
        return Err(too_large(&path.display().to_string(), most));
    }
    // Room for what it is said to have, and for seeing that it has no more.
    let bytes = Vec::with_capacity(usize::try_from(length).unwrap_or_default() + 1);
    whole(opened, &path.display().to_string(), most, bytes)
        .map_err(|error| Failure::unreadable(path, &error))?
}

/// The whole of standard input.
pub(crate) fn standard_input(most: u64) -> Result<Vec<u8>, Failure> {
    let read = whole(io::stdin().lock(), "standard input", most, Vec::new());
    read.map_err(|error| {
        Failure::new(
            "unreadable",
            format!("cannot read standard input: {error}"),
            "",
        )
    })?
}

fn whole(
    source: impl Read,
    name: &str,
    most: u64,
    mut bytes: Vec<u8>,
) -> io::Result<Result<Vec<u8>, Failure>> {
    source.take(most + 1).read_to_end(&mut bytes)?;
    Ok(if most < bytes.len() as u64 {
        Err(too_large(name, most))
    } else {
        Ok(bytes)
    })
}

fn too_large(name: &str, most: u64) -> Failure {
    Failure::new(
        "too-large",
        format!(
            "`{name}` has more than {} MiB, and no more is read",
            most >> 20
        ),
        "look whether it is the file that is meant; split it if it is",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_no_end_is_read_to_the_bound() {
        let read = |most| whole(io::repeat(0), "x", most, Vec::new()).unwrap();
        assert_eq!(read(3 << 20).unwrap_err().code, "too-large");
        let read = whole(&[1, 2, 3][..], "x", 3, Vec::new()).unwrap();
        assert_eq!(read, Ok(vec![1, 2, 3]));
    }
}
