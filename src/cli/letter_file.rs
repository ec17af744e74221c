//! Writes the draft of a claim letter from lone files, for `check --letter`. Records nothing and sends nothing.

use crate::check::case::Case;
use crate::claim::draft::ClaimDraft;
use crate::claim::letter::{self, Beside, LetterKind};
use crate::claim::remedy::Against;
use crate::cli::check::wrote;
use crate::cli::failure::{Failure, notice};
use crate::cli::shop::templates_in;
use crate::files;
use crate::model::answer::Answer;
use crate::report::todo;
use chrono::NaiveDate;
use std::path::{Path, PathBuf};

/// What every draft is shown with, and no letter holds.
pub const CAUTION: &str =
    "this is a draft: the contract and local law govern; get advice where much is at stake";

/// One letter to write: where, and its text.
#[derive(Debug)]
pub struct Draft {
    path: PathBuf,
    text: String,
}

impl Draft {
    /// Returns where it is to be written.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

/// Makes the letters: the supplier's, then the carrier's where the freight terms ask for one. Empty where nothing is
/// claimable.
///
/// # Errors
/// The shop's or the supplier's file is not there; a template of the shop does not render.
pub fn drafts(
    path: &Path,
    case: &Case<'_>,
    answer: &Answer,
    claims: &[ClaimDraft],
    folder: Option<&Path>,
    today: NaiveDate,
) -> Result<Vec<Draft>, Failure> {
    if claims.is_empty() {
        return Ok(Vec::new());
    }
    let templates = templates_in(folder)?;
    let html = path
        .extension()
        .is_some_and(|extension| extension == "html");
    claims
        .iter()
        .map(|claim| {
            let kind = match claim.against {
                Against::Supplier => LetterKind::Notice,
                Against::Carrier => LetterKind::CarrierClaim,
            };
            let data = letter::data(case, answer, claim, kind, &Beside::default(), today)
                .map_err(cannot)?;
            let written = letter::render(kind, &data, &templates)?;
            Ok(Draft {
                path: place(path, claim.against, claims.len()),
                text: if html { written.html } else { written.text },
            })
        })
        .collect()
}

/// Writes them, and tells the user what is not in them.
///
/// # Errors
/// A file cannot be written.
pub fn write(drafts: &[Draft], answer: &Answer) -> Result<(), Failure> {
    if drafts.is_empty() {
        notice("nothing can be claimed: no letter was written");
    }
    for draft in drafts {
        files::write(&draft.path, draft.text.as_bytes())?;
        wrote(&draft.path);
    }
    for again in todo::look_again(answer) {
        notice(&format!(
            "look again, before anything is said about it: {again}"
        ));
    }
    if !drafts.is_empty() {
        notice(CAUTION);
    }
    Ok(())
}

/// Two letters need two files: the carrier's gets `-carrier` in its name.
fn place(path: &Path, against: Against, letters: usize) -> PathBuf {
    if against == Against::Supplier || letters == 1 {
        return path.to_path_buf();
    }
    let mut name = path.file_stem().unwrap_or_default().to_os_string();
    name.push("-carrier");
    if let Some(extension) = path.extension() {
        name.push(".");
        name.push(extension);
    }
    path.with_file_name(name)
}

fn cannot(missing: Vec<String>) -> Failure {
    let failure = Failure::error("the letter cannot be written");
    missing
        .into_iter()
        .fold(failure, Failure::hint)
        .hint("name the shop's folder with `--shop DIR`")
}
