//! Reading the files of a catalog as they were at a revision, through the `git` command.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use stainbook::EntryKind;

use crate::catalog_files::Input;
use crate::failure::Failure;

/// The entries of a repository at one revision that belong to what was asked for.
#[derive(Debug)]
pub(crate) struct AtRevision {
    /// The files, with those of the same catalog that were not asked for themselves.
    pub(crate) inputs: Vec<Input>,
    /// The paths that were asked for.
    pub(crate) wanted: Vec<String>,
}

/// One file of a tree.
struct Listed {
    object: String,
    path: String,
}

/// Reads a revision. `paths` are as seen from the working directory; without any, all of it.
pub(crate) fn read(revision: &str, paths: &[PathBuf]) -> Result<AtRevision, Failure> {
    // A revision is never taken for an option of git.
    if revision.starts_with('-') {
        return Err(unknown(revision));
    }
    let tree = format!("{revision}^{{tree}}");
    let tree = git(&["rev-parse", "--verify", "--quiet", &tree])?;
    let tree = tree.map_err(|said| not_read(revision, &said))?;
    let tree = String::from_utf8_lossy(&tree).trim().to_owned();
    let all = list(revision, &tree, &["--full-tree"], &[])?;
    let wanted = list(revision, &tree, &["--full-name"], paths)?;
    if wanted.is_empty() {
        return Err(Failure::new(
            "nothing-at-revision",
            format!("there is no entry at `{revision}` in what was asked for"),
            "look at the paths after `--`; they are seen from the working directory",
        ));
    }
    let roots: Vec<String> = wanted
        .iter()
        .map(|file| root_of(&file.path, &all))
        .collect();
    let mut belonging: Vec<&Listed> = all
        .iter()
        .filter(|file| {
            roots
                .iter()
                .any(|root| file.path.starts_with(root.as_str()))
                || wanted.iter().any(|other| other.path == file.path)
        })
        .collect();
    belonging.sort_by(|a, b| a.path.cmp(&b.path));
    let contents = contents(revision, &belonging)?;
    Ok(AtRevision {
        inputs: belonging
            .iter()
            .zip(contents)
            .map(|(file, bytes)| Input::Bytes(format!("{revision}:{}", file.path), bytes))
            .collect(),
        wanted: wanted
            .into_iter()
            .map(|file| format!("{revision}:{}", file.path))
            .collect(),
    })
}

/// The folder of the nearest `catalog.yaml` upward, with `/` at its end; the file itself if there is none.
fn root_of(path: &str, all: &[Listed]) -> String {
    let mut folder = path;
    while let Some((above, _)) = folder.rsplit_once('/') {
        let root = format!("{above}/catalog.yaml");
        if all.iter().any(|file| file.path == root) {
            return format!("{above}/");
        }
        folder = above;
    }
    if all.iter().any(|file| file.path == "catalog.yaml") {
        return String::new();
    }
    path.to_owned()
}

/// The entries of a tree.
fn list(
    revision: &str,
    tree: &str,
    options: &[&str],
    paths: &[PathBuf],
) -> Result<Vec<Listed>, Failure> {
    let paths: Vec<String> = paths
        .iter()
        .map(|path| path.to_string_lossy().into_owned())
        .collect();
    let mut arguments = vec!["ls-tree", "-r", "-z"];
    arguments.extend(options);
    arguments.push(tree);
    if !paths.is_empty() {
        arguments.push("--");
        arguments.extend(paths.iter().map(String::as_str));
    }
    let listed = git(&arguments)?.map_err(|said| not_read(revision, &said))?;
    let listed = String::from_utf8_lossy(&listed).into_owned();
    Ok(listed
        .split('\0')
        .filter_map(|line| {
            let (head, path) = line.split_once('\t')?;
            let mut head = head.split(' ').skip(1);
            (head.next() == Some("blob") && EntryKind::of_file(path).is_some()).then(|| Listed {
                object: head.next().unwrap_or_default().to_owned(),
                path: path.to_owned(),
            })
        })
        .collect())
}

/// The contents of files, in their order, read by one process.
fn contents(revision: &str, files: &[&Listed]) -> Result<Vec<Vec<u8>>, Failure> {
    let mut child = Command::new("git")
        .args(["cat-file", "--batch"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| no_git(&error))?;
    let names: Vec<&str> = files.iter().map(|file| file.object.as_str()).collect();
    let names = names.join("\n") + "\n";
    // Written from a thread of its own: git answers before it has read everything.
    let stdin = child.stdin.take();
    let writer =
        std::thread::spawn(move || stdin.map(|mut stdin| stdin.write_all(names.as_bytes())));
    let output = child.wait_with_output().map_err(|error| no_git(&error))?;
    let _ = writer.join();
    let mut rest = output.stdout.as_slice();
    let mut contents = Vec::with_capacity(files.len());
    for _ in files {
        let next = (|| {
            let end = rest.iter().position(|byte| *byte == b'\n')?;
            let head = std::str::from_utf8(rest.get(..end)?).ok()?;
            let size: usize = head.rsplit(' ').next()?.parse().ok()?;
            let bytes = rest.get(end + 1..end + 1 + size)?;
            Some((bytes.to_vec(), rest.get(end + 2 + size..)?))
        })();
        let Some((bytes, after)) = next else {
            return Err(not_read(revision, &String::from_utf8_lossy(&output.stderr)));
        };
        contents.push(bytes);
        rest = after;
    }
    Ok(contents)
}

/// Runs git; what it says on failure comes back as the inner error.
fn git(arguments: &[&str]) -> Result<Result<Vec<u8>, String>, Failure> {
    let output = Command::new("git")
        .args(arguments)
        .output()
        .map_err(|error| no_git(&error))?;
    Ok(if output.status.success() {
        Ok(output.stdout)
    } else {
        Err(String::from_utf8_lossy(&output.stderr).trim().to_owned())
    })
}

fn no_git(error: &std::io::Error) -> Failure {
    Failure::new(
        "no-git",
        format!("the `git` command cannot be run: {error}"),
        "install git, or compare two folders instead",
    )
}

fn not_read(revision: &str, said: &str) -> Failure {
    if said.is_empty() {
        return unknown(revision);
    }
    Failure::new(
        "git-failed",
        format!("git cannot read `{revision}`: {said}"),
        "run the command inside the repository that holds the catalog",
    )
}

fn unknown(revision: &str) -> Failure {
    Failure::new(
        "unknown-revision",
        format!("git knows no revision `{revision}`"),
        "name a commit, a branch or a tag; `git log --oneline` lists commits",
    )
}
