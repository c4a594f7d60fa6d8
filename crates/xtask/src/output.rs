//! Generated files: written, or compared with what is committed.

use std::fs;
use std::path::{Path, PathBuf};

/// A file as it has to be.
pub(crate) struct Generated {
    /// Its path below the root of the workspace.
    pub(crate) path: String,
    /// Its text.
    pub(crate) text: String,
}

/// The root of the workspace.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// The README with a block between its two comments of this name.
pub(crate) fn readme_with(name: &str, block: &str) -> Result<Generated, String> {
    const README: &str = "README.md";
    let mut text =
        fs::read_to_string(root().join(README)).map_err(|error| format!("{README}: {error}"))?;
    let (opens, closes) = (format!("<!-- {name} -->\n"), format!("<!-- /{name} -->"));
    let start = text
        .find(&opens)
        .map(|at| at + opens.len())
        .ok_or_else(|| format!("{README} has no `{}`", opens.trim()))?;
    let end = text
        .find(&closes)
        .filter(|end| start <= *end)
        .ok_or_else(|| format!("{README} has no `{closes}`"))?;
    text.replace_range(start..end, block);
    Ok(Generated {
        path: README.to_owned(),
        text,
    })
}

/// Writes the files that differ.
pub(crate) fn write(files: &[Generated]) -> Result<String, String> {
    let mut written = 0;
    for file in files {
        let path = root().join(&file.path);
        if fs::read_to_string(&path).ok().as_deref() == Some(file.text.as_str()) {
            continue;
        }
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(|error| format!("{}: {error}", file.path))?;
        }
        fs::write(&path, &file.text).map_err(|error| format!("{}: {error}", file.path))?;
        written += 1;
    }
    Ok(format!("{} files, {written} of them changed", files.len()))
}

/// Says which committed files differ from what would be written.
pub(crate) fn compare(files: &[Generated]) -> Result<String, String> {
    let stale: Vec<&str> = files
        .iter()
        .filter(|file| {
            fs::read_to_string(root().join(&file.path)).ok().as_deref() != Some(file.text.as_str())
        })
        .map(|file| file.path.as_str())
        .collect();
    if stale.is_empty() {
        Ok(format!("{} files, all as generated", files.len()))
    } else {
        Err(format!(
            "these files are not as generated; run the same command without `--check`:\n  {}",
            stale.join("\n  ")
        ))
    }
}
