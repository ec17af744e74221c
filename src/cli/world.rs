//! What a command may know of the world: where to print, how wide, in colour or not, which day it is. The only
//! reader of the clock, the environment and the terminal.
#![allow(clippy::disallowed_methods, reason = "an edge")]

use crate::cli::Common;
use crate::cli::failure::Failure;
use crate::model::shop::Mail;
use crate::post::Password;
use crate::report::ink::Ink;
use crate::report::terminal::wrap::fitted;
use chrono::{DateTime, Local, NaiveDate, Utc};
use std::io::{self, BufRead, BufWriter, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The world outside.
#[derive(Debug)]
pub struct World {
    out: BufWriter<io::Stdout>,
    /// Whether whoever reads our output went away: then there is nothing more to print, and nothing wrong.
    gone: bool,
    /// Columns of the terminal; 80 where output is no terminal.
    pub width: usize,
    /// Colour or none.
    pub ink: Ink,
    /// The local date, or the one the user named.
    pub today: NaiveDate,
    /// Whether the user named it.
    pub today_given: bool,
    /// The shop's folder, where the user named one.
    pub shop: Option<PathBuf>,
    /// The book's file, where the user named one.
    pub book: Option<PathBuf>,
    /// Whether the answer is wanted as JSON.
    pub json: bool,
}

impl World {
    /// Looks at the world once.
    pub fn of(common: &Common) -> Self {
        let stdout = io::stdout();
        let terminal = stdout.is_terminal();
        let width = terminal
            .then(terminal_size::terminal_size)
            .flatten()
            .map_or(80, |(width, _)| usize::from(width.0));
        World {
            out: BufWriter::new(stdout),
            gone: false,
            width: width.clamp(40, 120),
            ink: if terminal && !no_colour() {
                Ink::Colour
            } else {
                Ink::Plain
            },
            today: common.today.unwrap_or_else(local_date),
            today_given: common.today.is_some(),
            shop: common.shop.clone(),
            book: common
                .book
                .clone()
                .or_else(|| std::env::var_os("ASORDERED_BOOK").map(PathBuf::from)),
            json: common.json,
        }
    }

    /// Prints text of the answer. Where nobody reads it any more it is dropped.
    ///
    /// # Errors
    /// The output cannot be written.
    pub fn print(&mut self, text: &str) -> Result<(), Failure> {
        if self.gone {
            return Ok(());
        }
        let written = self.out.write_all(text.as_bytes());
        self.unless_gone(written)
    }

    /// Prints text of the answer, its lines broken where they are wider than the terminal.
    ///
    /// # Errors
    /// The output cannot be written, or nobody reads it.
    pub fn print_fitted(&mut self, text: &str) -> Result<(), Failure> {
        let text = fitted(text, self.width);
        self.print(&text)
    }

    /// Hands over what was printed.
    ///
    /// # Errors
    /// The output cannot be written.
    pub fn finish(&mut self) -> Result<(), Failure> {
        if self.gone {
            return Ok(());
        }
        let written = self.out.flush();
        self.unless_gone(written)
    }

    fn unless_gone(&mut self, written: io::Result<()>) -> Result<(), Failure> {
        match written {
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => {
                self.gone = true;
                Ok(())
            }
            written => written.map_err(|error| Failure::writing(&error)),
        }
    }

    /// Returns the shop's folder: the one named, else the folder we stand in.
    pub fn shop_folder(&self) -> &Path {
        self.shop.as_deref().unwrap_or(Path::new("."))
    }

    /// Returns the book's file: the one named, else `asordered.db` in the shop's folder.
    pub fn book_file(&self) -> PathBuf {
        self.book
            .clone()
            .unwrap_or_else(|| self.shop_folder().join("asordered.db"))
    }
}

/// Returns the moment in UTC, for stamps.
pub fn now() -> DateTime<Utc> {
    Utc::now()
}

/// Returns the editor that the user named, with its options.
pub fn editor() -> Option<String> {
    ["VISUAL", "EDITOR"]
        .into_iter()
        .filter_map(|name| std::env::var(name).ok())
        .find(|editor| !editor.trim().is_empty())
}

/// Asks on the error stream and reads the answer; `true` for `y` and `yes` alone.
///
/// # Errors
/// Nothing can be read.
pub fn ask(question: &str) -> Result<bool, Failure> {
    let mut err = io::stderr().lock();
    // Where the error stream is gone nobody can be asked, and reading says no.
    let _ = err.write_all(question.as_bytes());
    let _ = err.flush();
    let mut line = String::new();
    io::stdin()
        .lock()
        .take(1_000)
        .read_line(&mut line)
        .map_err(|error| Failure::error(format!("cannot read the answer: {error}")))?;
    Ok(matches!(
        line.trim().to_ascii_lowercase().as_str(),
        "y" | "yes"
    ))
}

/// Returns the password for the mail server: that of `ASORDERED_MAIL_PASSWORD`, else what the shop's
/// `password_command` prints, else none.
///
/// # Errors
/// The command failed; what it printed is never shown.
pub fn mail_password(server: &Mail) -> Result<Option<Password>, Failure> {
    if let Ok(password) = std::env::var("ASORDERED_MAIL_PASSWORD") {
        return Ok(Some(Password::new(&password)));
    }
    let Some(command) = &server.password_command else {
        return Ok(None);
    };
    let failed = |why: String| {
        Failure::error(format!("`mail.password_command` of the shop failed: {why}"))
            .hint("or set ASORDERED_MAIL_PASSWORD")
    };
    let output = Command::new("sh")
        .args(["-c", command])
        .stdin(Stdio::null())
        .stderr(Stdio::inherit())
        .output()
        .map_err(|error| failed(error.to_string()))?;
    if !output.status.success() {
        return Err(failed(output.status.to_string()));
    }
    String::from_utf8(output.stdout)
        .map(|text| Some(Password::new(text.lines().next().unwrap_or_default())))
        .map_err(|_| failed("it printed no text".to_owned()))
}

/// The largest file of a root certificate, in bytes.
const MOST_ROOT: u64 = 1_000_000;

/// Returns the root certificate to trust beside the system's, from the file that `ASORDERED_MAIL_CA` names.
///
/// # Errors
/// The file cannot be read.
pub fn mail_root() -> Result<Option<Vec<u8>>, Failure> {
    match std::env::var_os("ASORDERED_MAIL_CA") {
        Some(file) => Ok(Some(crate::files::read_bytes(Path::new(&file), MOST_ROOT)?)),
        None => Ok(None),
    }
}

fn local_date() -> NaiveDate {
    Local::now().date_naive()
}

fn no_colour() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || std::env::var_os("TERM").is_some_and(|value| value == "dumb")
}
