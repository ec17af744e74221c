//! The only printer of errors. Knows three things that can go wrong and shows each the same way.

use crate::model::problem::Problem;
use crate::model::visible::visible;
use std::io::{self, Write};
use std::process::ExitCode;

/// How many problems are shown; a file with more has one cause, not hundreds.
const MOST_SHOWN: usize = 100;

/// Why a command could not be done. A finding is never a failure.
#[derive(Debug)]
pub enum Failure {
    /// Bad input, all of it.
    Problems(Vec<Problem>),
    /// We cannot go on: what, why, and what to do about it.
    Error {
        /// What could not be done and why, lower case, no full stop.
        text: String,
        /// What to do about it.
        hints: Vec<String>,
    },
}

impl Failure {
    /// Makes an error.
    pub fn error(text: impl Into<String>) -> Self {
        Failure::Error {
            text: text.into(),
            hints: Vec::new(),
        }
    }

    /// Adds what to do about it.
    pub fn hint(self, hint: impl Into<String>) -> Self {
        match self {
            Failure::Error { text, mut hints } => {
                hints.push(hint.into());
                Failure::Error { text, hints }
            }
            Failure::Problems(_) => self,
        }
    }

    /// Makes the failure of writing output.
    pub fn writing(error: &io::Error) -> Self {
        Failure::error(format!("cannot write the answer: {error}"))
    }
}

impl From<Vec<Problem>> for Failure {
    fn from(problems: Vec<Problem>) -> Self {
        Failure::Problems(problems)
    }
}

/// Prints what went wrong on the error stream; exit 2.
pub fn report(failure: &Failure) -> ExitCode {
    // There is nowhere to tell that the error stream itself cannot be written.
    let _ = io::stderr().lock().write_all(text(failure).as_bytes());
    ExitCode::from(2)
}

/// Prints a word for the user that is not the answer: a caution, a progress note.
pub fn notice(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", visible(text));
}

/// Returns the failure as it is shown.
pub fn text(failure: &Failure) -> String {
    let mut out = String::new();
    match failure {
        Failure::Problems(problems) => {
            for problem in problems.iter().take(MOST_SHOWN) {
                out.push_str(&format!("{}: {}\n", problem.spot, visible(&problem.text)));
                if let Some(hint) = &problem.hint {
                    out.push_str(&format!("  hint: {}\n", visible(hint)));
                }
            }
            let count = problems.len();
            if count > MOST_SHOWN {
                out.push_str(&format!("and {} more\n", count - MOST_SHOWN));
            }
            let word = if count == 1 { "problem" } else { "problems" };
            out.push_str(&format!(
                "{count} {word}; nothing was recorded or answered\n"
            ));
        }
        Failure::Error { text, hints } => {
            out.push_str(&format!("error: {}\n", visible(text)));
            for hint in hints {
                out.push_str(&format!("  hint: {}\n", visible(hint)));
            }
        }
    }
    out
}

/// Shows help and version on the output, wrong usage on the error stream; exit 0 and 2.
pub fn usage(error: &clap::Error) -> ExitCode {
    let _ = error.print();
    if error.use_stderr() {
        ExitCode::from(2)
    } else {
        ExitCode::SUCCESS
    }
}

impl From<crate::book::error::BookError> for Failure {
    fn from(error: crate::book::error::BookError) -> Self {
        match error {
            crate::book::error::BookError::Problems(problems) => Failure::Problems(problems),
            crate::book::error::BookError::Refused { text, hints } => {
                Failure::Error { text, hints }
            }
        }
    }
}

impl From<crate::files::FileError> for Failure {
    fn from(error: crate::files::FileError) -> Self {
        match error {
            crate::files::FileError::Problem(problem) => Failure::Problems(vec![problem]),
            crate::files::FileError::Refused { text, hint } => Failure::error(text).hint(hint),
            crate::files::FileError::System { what, error } => {
                Failure::error(format!("{what}: {}", plain(&error)))
            }
        }
    }
}

/// Returns what the system said, without its error number.
fn plain(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "not allowed".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder, expected a file".to_owned(),
        io::ErrorKind::StorageFull => "no space left".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        _ => error.to_string(),
    }
}
