//! Running the built command in a folder of its own.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;

/// A folder that is gone when the test is over.
pub(crate) struct Folder {
    path: PathBuf,
}

impl Folder {
    /// An empty folder; the name has to be used once.
    pub(crate) fn new(name: &str) -> Self {
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self { path }
    }

    /// Writes a file and the folders above it.
    pub(crate) fn with(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        let path = self.path.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, content).unwrap();
        self
    }

    pub(crate) fn root(&self) -> &Path {
        &self.path
    }

    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path.join(name)).unwrap()
    }

    pub(crate) fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path.join(name)).unwrap()
    }

    /// The absolute path of something in it.
    pub(crate) fn path(&self, name: &str) -> String {
        self.path.join(name).to_string_lossy().into_owned()
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> CommandOutcome {
        self.run_with(arguments, b"")
    }

    pub(crate) fn run_with(&self, arguments: &[&str], input: &[u8]) -> CommandOutcome {
        self.run_from(&self.path, arguments, input)
    }

    /// Runs it in a folder below.
    pub(crate) fn run_in(&self, below: &str, arguments: &[&str]) -> CommandOutcome {
        self.run_from(&self.path.join(below), arguments, b"")
    }

    #[allow(clippy::unused_self, reason = "the folder has to outlive the run")]
    fn run_from(&self, folder: &Path, arguments: &[&str], input: &[u8]) -> CommandOutcome {
        let mut child = Command::new(env!("CARGO_BIN_EXE_stainbook"))
            .args(arguments)
            .current_dir(folder)
            .env_remove("CLICOLOR_FORCE")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // A command that refuses before it reads closes its input, which is no failure of the test.
        let _ = child.stdin.take().unwrap().write_all(input);
        let output = child.wait_with_output().unwrap();
        CommandOutcome {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.path);
    }
}

/// Exit code of a run, and its output.
#[derive(Debug)]
pub(crate) struct CommandOutcome {
    pub(crate) code: Option<i32>,
    pub(crate) stdout: String,
    pub(crate) stderr: String,
}

impl CommandOutcome {
    /// Checks the exit code and gives the outcome back.
    #[track_caller]
    pub(crate) fn exits(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "{self:#?}");
        self
    }

    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("{error}: {self:#?}"))
    }

    /// Checks that standard error says this.
    #[track_caller]
    pub(crate) fn says(self, words: &str) -> Self {
        assert!(
            self.stderr.contains(words),
            "not said: {words}\n{}",
            self.stderr
        );
        self
    }
}

/// The keys of an object, in alphabetical order.
#[track_caller]
pub(crate) fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value
        .as_object()
        .expect("an object")
        .keys()
        .map(String::as_str)
        .collect();
    keys.sort_unstable();
    keys
}

/// The path of a file in the repository.
pub(crate) fn repository(path: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"))
        .ancestors()
        .nth(2)
        .unwrap();
    root.join(path).to_string_lossy().into_owned()
}
