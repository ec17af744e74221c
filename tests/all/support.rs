//! Runs the program in a folder of its own and compares whole output. Judges nothing.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// One run of the program. Streams that are not set must be empty.
pub struct Run {
    folder: TempDir,
    args: Vec<String>,
    stdout: String,
    stderr: String,
    status: i32,
}

/// What a run gave, for tests that look at a part of it.
pub struct Output {
    pub stdout: String,
    pub stderr: String,
    pub status: i32,
}

impl Run {
    /// A run in an empty folder.
    pub fn new(args: &[&str]) -> Self {
        Run {
            folder: TempDir::new().unwrap(),
            args: args.iter().map(ToString::to_string).collect(),
            stdout: String::new(),
            stderr: String::new(),
            status: 0,
        }
    }

    /// A run in a copy of the demo shop.
    pub fn demo(args: &[&str]) -> Self {
        let run = Run::new(args);
        copy(&root().join("demo-orders"), run.folder.path());
        run
    }

    /// Puts a file into the folder.
    pub fn file(self, name: &str, text: impl AsRef<[u8]>) -> Self {
        let path = self.folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
        self
    }

    pub fn stdout(mut self, text: &str) -> Self {
        self.stdout = text.to_owned();
        self
    }

    pub fn stderr(mut self, text: &str) -> Self {
        self.stderr = text.to_owned();
        self
    }

    pub fn status(mut self, status: i32) -> Self {
        self.status = status;
        self
    }

    /// Runs, and compares all of stdout, stderr and the exit status.
    #[track_caller]
    pub fn check(self) {
        let output = self.output();
        assert_eq!(output.stderr, self.stderr, "stderr");
        assert_eq!(output.stdout, self.stdout, "stdout");
        assert_eq!(output.status, self.status, "status");
    }

    /// Runs, and returns what it gave.
    pub fn output(&self) -> Output {
        let output = program()
            .current_dir(self.folder.path())
            .args(&self.args)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        Output {
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
            status: output.status.code().expect("the program ended by itself"),
        }
    }

    /// Runs, and returns the answer as JSON.
    pub fn json(&self) -> serde_json::Value {
        let output = self.output();
        serde_json::from_str(&output.stdout)
            .unwrap_or_else(|error| panic!("{error}: {}", output.stderr))
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }
}

/// The program, in an environment of its own.
pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_asordered"));
    command.env_remove("ASORDERED_BOOK").env("NO_COLOR", "1");
    command
}

/// The crate's folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Copies a folder.
pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}
