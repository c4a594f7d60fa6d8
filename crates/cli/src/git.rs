//! Reading files as they were at a revision, through the `git` command.

use std::borrow::Borrow;
use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use crate::catalog_choice::ROOT_FILES;
use crate::catalog_files::{Input, is_entry};
use crate::failure::Failure;

/// A repository as it was at one revision.
#[derive(Debug)]
pub(crate) struct GitRevision {
    /// As it was named: a commit, a branch, a tag.
    name: String,
    tree: String,
    /// Every entry in it.
    files: Vec<Listed>,
    /// The folders that hold a `catalog.yaml`, with `/` at their ends.
    catalogs: BTreeSet<String>,
    /// Links that lead to no file of the revision, with what they lead to instead.
    left_out: Vec<(String, &'static str)>,
}

/// One file of a tree.
#[derive(Debug)]
struct Listed {
    object: String,
    path: String,
    /// True if it is a symbolic link, whose object holds the path that it leads to.
    link: bool,
}

/// Mode under which git lists a symbolic link.
const LINK: &str = "120000";

impl GitRevision {
    /// Looks at a revision of the repository that the working directory is in.
    pub(crate) fn open(name: &str) -> Result<Self, Failure> {
        // A revision is never taken for an option of git.
        if name.starts_with('-') {
            return Err(unknown(name));
        }
        let tree = format!("{name}^{{tree}}");
        let tree = git(&["rev-parse", "--verify", "--quiet", &tree])?;
        let tree = tree.map_err(|said| not_read(name, &said))?;
        let tree = String::from_utf8_lossy(&tree).trim().to_owned();
        let listed = list(name, &tree, &["--full-tree"], &[])?;
        let (links, mut files): (Vec<_>, Vec<_>) = listed.into_iter().partition(|file| file.link);
        files.retain(|file| is_entry(&file.path));
        let left_out = follow(name, &tree, links, &mut files)?;
        let catalogs = files
            .iter()
            .filter_map(|file| {
                let root = ROOT_FILES
                    .iter()
                    .find_map(|root| file.path.strip_suffix(root))?;
                (root.is_empty() || root.ends_with('/')).then(|| root.to_owned())
            })
            .collect();
        Ok(Self {
            name: name.to_owned(),
            tree,
            files,
            catalogs,
            left_out,
        })
    }

    /// Name of a file as shown: the revision and the path in the repository.
    pub(crate) fn shown(&self, path: &str) -> String {
        format!("{}:{path}", self.name)
    }

    /// The path in the repository of a file of this revision that was shown.
    pub(crate) fn path_of<'a>(&self, shown: &'a str) -> Option<&'a str> {
        shown.strip_prefix(&self.name)?.strip_prefix(':')
    }

    /// The entries that are asked for. `paths` are as seen from the working directory; without any, all of it.
    pub(crate) fn wanted(&self, paths: &[PathBuf]) -> Result<Vec<String>, Failure> {
        let known: BTreeSet<&str> = self.files.iter().map(|file| file.path.as_str()).collect();
        let mut wanted = list(&self.name, &self.tree, &["--full-name"], paths)?;
        wanted.retain(|file| known.contains(file.path.as_str()));
        if wanted.is_empty() {
            return Err(Failure::new(
                "nothing-at-revision",
                format!("there is no entry at `{}` in what was asked for", self.name),
                "look at the paths after `--`; they are seen from the working directory",
            ));
        }
        Ok(wanted.into_iter().map(|file| file.path).collect())
    }

    /// The folder of the catalog that a file belongs to, with `/` at its end: that of the nearest `catalog.yaml` upward.
    pub(crate) fn catalog_of(&self, path: &str) -> Option<&str> {
        let mut folder = path;
        while let Some((above, _)) = folder.rsplit_once('/') {
            if let Some(found) = self.catalogs.get(&format!("{above}/")) {
                return Some(found);
            }
            folder = above;
        }
        self.catalogs.get("").map(String::as_str)
    }

    /// Links that are left out since they lead to no file of the revision, with what they lead to instead: those of which
    /// something holds.
    pub(crate) fn left_out(
        &self,
        holds: impl Fn(&str) -> bool,
    ) -> impl Iterator<Item = (String, &'static str)> {
        let left_out = self.left_out.iter().filter(move |(path, _)| holds(path));
        left_out.map(|(path, instead)| (self.shown(path), *instead))
    }

    /// The files for which something holds, in alphabetical order, with what they held.
    pub(crate) fn inputs(&self, holds: impl Fn(&str) -> bool) -> Result<Vec<Input>, Failure> {
        let mut files: Vec<&Listed> = self.files.iter().filter(|file| holds(&file.path)).collect();
        files.sort_by(|a, b| a.path.cmp(&b.path));
        let contents = contents(&self.name, &files)?;
        Ok(files
            .into_iter()
            .zip(contents)
            .map(|(file, bytes)| Input::Bytes(self.shown(&file.path), bytes))
            .collect())
    }
}

/// The folder that the working copy lies in, if there is one.
pub(crate) fn working_copy() -> Result<Option<PathBuf>, Failure> {
    let said = git(&["rev-parse", "--show-toplevel"])?.unwrap_or_default();
    let said = String::from_utf8_lossy(&said);
    let folder = said.trim_end_matches(['\n', '\r']);
    Ok((!folder.is_empty()).then(|| PathBuf::from(folder)))
}

/// Adds the files that links lead to, under the names of the links, as they are read on the disk; what leads elsewhere comes
/// back, with what it leads to.
fn follow(
    revision: &str,
    tree: &str,
    links: Vec<Listed>,
    files: &mut Vec<Listed>,
) -> Result<Vec<(String, &'static str)>, Failure> {
    let mut left_out = Vec::new();
    let (asked, unspeakable): (Vec<Listed>, Vec<Listed>) = links
        .into_iter()
        .partition(|link| !link.path.contains('\n'));
    left_out.extend(
        unspeakable
            .into_iter()
            .map(|link| (link.path, "it cannot be told what")),
    );
    if asked.is_empty() {
        return Ok(left_out);
    }
    let names: Vec<String> = asked
        .iter()
        .map(|link| format!("{tree}:{}", link.path))
        .collect();
    let said = cat_file(&["--batch-check", "--follow-symlinks"], &names)?;
    let mut lines = said
        .stdout
        .split(|byte| *byte == b'\n')
        .map(String::from_utf8_lossy);
    for link in asked {
        let Some(line) = lines.next().filter(|line| !line.is_empty()) else {
            return Err(not_read(revision, &String::from_utf8_lossy(&said.stderr)));
        };
        let is_entry = is_entry(&link.path);
        let words: Vec<&str> = line.split(' ').collect();
        match words.as_slice() {
            [object, "blob", _] => {
                if is_entry {
                    files.push(Listed {
                        object: (*object).to_owned(),
                        path: link.path,
                        link: false,
                    });
                }
            }
            [_, "tree", _] => left_out.push((link.path, "a folder")),
            _ => {
                // The path that it leads to is told on a line of its own.
                let instead = match words.as_slice() {
                    ["symlink", _] => "something outside the repository",
                    ["loop", _] => "itself",
                    _ => "nothing",
                };
                if matches!(
                    words.as_slice(),
                    ["symlink" | "loop" | "dangling" | "notdir", _]
                ) {
                    lines.next();
                }
                if is_entry {
                    left_out.push((link.path, instead));
                }
            }
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(left_out)
}

/// The files of a tree that are entries, and its links.
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
            let mut head = head.split(' ');
            let link = head.next() == Some(LINK);
            let read = link || is_entry(path);
            (head.next() == Some("blob") && read).then(|| Listed {
                object: head.next().unwrap_or_default().to_owned(),
                path: path.to_owned(),
                link,
            })
        })
        .collect())
}

/// The contents of files, in their order, read by one process.
fn contents(revision: &str, files: &[&Listed]) -> Result<Vec<Vec<u8>>, Failure> {
    let names: Vec<&str> = files.iter().map(|file| file.object.as_str()).collect();
    let output = cat_file(&["--batch"], &names)?;
    let mut rest = output.stdout.as_slice();
    let mut contents = Vec::with_capacity(files.len());
    for file in files {
        let missing = format!("{} missing\n", file.object);
        if rest.starts_with(missing.as_bytes()) {
            return Err(Failure::new(
                "git-failed",
                format!(
                    "the repository does not hold `{}` as it was at `{revision}`, and nothing is fetched",
                    file.path
                ),
                "check that revision out yourself, and compare two folders",
            ));
        }
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

/// Asks for objects by their names, a line each.
fn cat_file<S: Borrow<str>>(options: &[&str], names: &[S]) -> Result<Output, Failure> {
    let names = names.join("\n") + "\n";
    let mut child = command()
        .arg("cat-file")
        .args(options)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| no_git(&error))?;
    // Written from a thread of its own: git answers before it has read everything.
    let stdin = child.stdin.take();
    let writer =
        std::thread::spawn(move || stdin.map(|mut stdin| stdin.write_all(names.as_bytes())));
    let output = child.wait_with_output().map_err(|error| no_git(&error))?;
    let _ = writer.join();
    Ok(output)
}

/// The `git` command, which reads what is there and fetches nothing: a repository from elsewhere says itself by which program
/// an object that it lacks is fetched.
fn command() -> Command {
    let mut command = Command::new("git");
    command
        .env("GIT_NO_LAZY_FETCH", "1")
        // What a repository allows for one protocol counts more than what is said here of all; this counts most.
        .env("GIT_ALLOW_PROTOCOL", "none")
        .args(["-c", "protocol.allow=never"]);
    command
}

/// Runs git; what it says on failure comes back as the inner error.
fn git(arguments: &[&str]) -> Result<Result<Vec<u8>, String>, Failure> {
    let output = command()
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
