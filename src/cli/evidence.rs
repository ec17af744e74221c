//! Photographs of a receipt as evidence: which files may be, and how they come into the shop's folder `photos/`. Records
//! nothing and sends nothing.

use crate::book::document::sha256;
use crate::book::record::Evidence;
use crate::claim::photo;
use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::files::{self, FileError};
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::spot::Spot;
use std::path::{Path, PathBuf};

/// The folder of photographs in the shop's; nothing outside it is evidence.
const FOLDER: &str = "photos/";

/// Where photographs are that are not in the shop's folder yet.
#[derive(Debug, Clone, Copy)]
pub enum Source<'a> {
    /// At the same path beside the receipt's file; one that the shop has already stands.
    Beside(Option<&'a Path>),
    /// Where the clerk said: file and path in the shop.
    Given(&'a [(PathBuf, String)]),
}

/// The photographs of a receipt, looked at and hashed; none is copied yet.
#[derive(Debug)]
pub struct Gathered {
    /// All of them.
    pub evidence: Vec<Evidence>,
    /// Those to copy: file, path in the shop, hash.
    copies: Vec<(PathBuf, String, String)>,
}

/// Looks at the photographs of a receipt. Writes nothing.
///
/// # Errors
/// Every one that is nowhere, no picture, too large, or reached through a link; the disk refuses.
pub fn gather(world: &World, receipt: &Receipt, source: Source<'_>) -> Result<Gathered, Failure> {
    let mut problems = Vec::new();
    let mut gathered = Gathered {
        evidence: Vec::new(),
        copies: Vec::new(),
    };
    for (path, spot) in photos(receipt) {
        if gathered.evidence.iter().any(|one| one.path == *path) {
            continue;
        }
        match one(world, path, source, &mut gathered) {
            Ok(()) => {}
            Err(Why::Problem { text, hint }) => {
                problems.push(Problem::new(spot, text).hint(hint));
            }
            Err(Why::System(failure)) => return Err(failure),
        }
    }
    if problems.is_empty() {
        Ok(gathered)
    } else {
        Err(Failure::Problems(problems))
    }
}

/// Why a photograph cannot be evidence.
enum Why {
    /// It is the file's fault.
    Problem { text: String, hint: String },
    /// The disk refused.
    System(Failure),
}

impl Why {
    fn problem(text: impl Into<String>, hint: &str) -> Self {
        Why::Problem {
            text: text.into(),
            hint: hint.to_owned(),
        }
    }
}

impl From<FileError> for Why {
    fn from(error: FileError) -> Self {
        match error {
            FileError::Refused { text, hint } => Why::Problem { text, hint },
            error @ (FileError::Problem(_) | FileError::System { .. }) => Why::System(error.into()),
        }
    }
}

fn one(world: &World, path: &str, source: Source<'_>, gathered: &mut Gathered) -> Result<(), Why> {
    let place = files::own(world.shop_folder(), path)?;
    let kept = place.is_file();
    let elsewhere = match source {
        Source::Beside(Some(folder)) if !kept => {
            Some(files::own(folder, path)?).filter(|file| file.is_file())
        }
        Source::Beside(_) => None,
        Source::Given(given) => given
            .iter()
            .find(|(_, to)| to == path)
            .map(|(from, _)| from.clone()),
    };
    let file = match (&elsewhere, kept) {
        (Some(file), _) => file,
        (None, true) => &place,
        (None, false) => {
            return Err(Why::problem(
                format!("no photograph `{path}` in the shop's folder"),
                "copy it there, or leave it out of the receipt",
            ));
        }
    };
    let bytes = files::read_bytes(file, photo::MOST_BYTES)?;
    photo::look(path, &bytes).map_err(|why| {
        Why::problem(
            format!("`{path}` cannot be evidence: {why}"),
            "a photograph is JPEG or PNG, of at most 25 MB and 60 million pixels",
        )
    })?;
    let hash = sha256(&bytes);
    if let Some(file) = elsewhere {
        if kept && files::sha256(&place)? != hash {
            return Err(Why::problem(
                format!("another photograph is at `{path}` already"),
                "move it away first; evidence is never written over",
            ));
        }
        if !kept {
            gathered.copies.push((file, path.to_owned(), hash.clone()));
        }
    }
    gathered.evidence.push(Evidence {
        path: path.to_owned(),
        sha256: hash,
        size: u64::try_from(bytes.len()).unwrap_or(u64::MAX),
    });
    Ok(())
}

/// Copies into the shop's folder what is not there yet. To be called once the receipt is recorded, so that one that is
/// refused leaves nothing behind.
///
/// # Errors
/// The disk refuses, or a photograph was changed meanwhile; the same command again copies the rest.
pub fn copy(world: &World, gathered: &Gathered) -> Result<(), Failure> {
    gathered
        .copies
        .iter()
        .try_for_each(|(from, path, hash)| copy_one(world, from, path, hash))
        .map_err(|failure| {
            failure.hint("the receipt is recorded; the same command again copies the photographs")
        })
}

fn copy_one(world: &World, from: &Path, path: &str, hash: &str) -> Result<(), Failure> {
    let bytes = files::read_bytes(from, photo::MOST_BYTES)?;
    if sha256(&bytes) != *hash {
        return Err(Failure::error(format!(
            "`{}` was changed while it was recorded",
            from.display()
        )));
    }
    let place = files::own(world.shop_folder(), path)?;
    if let Some(folder) = place.parent() {
        files::make_folder(folder)?;
    }
    Ok(files::write(&place, &bytes)?)
}

/// Looks whether a file anywhere can be a photograph of the shop.
///
/// # Errors
/// It cannot, in words.
pub fn fits(file: &Path) -> Result<(), String> {
    let bytes = files::read_bytes(file, photo::MOST_BYTES).map_err(|error| match error {
        FileError::Refused { text, hint } => format!("{text}; {hint}"),
        FileError::Problem(problem) => problem.text,
        FileError::System { what, error } => format!("{what}: {error}"),
    })?;
    photo::look(&file.to_string_lossy(), &bytes)
        .map_err(|why| format!("`{}` cannot be evidence: {why}", file.display()))
}

/// Returns the content of a photograph that the book names, for a letter.
///
/// # Errors
/// It is not in the folder of photographs, reached through a link, too large, no longer there.
pub fn read(world: &World, path: &str) -> Result<Vec<u8>, Failure> {
    if !path.starts_with(FOLDER) {
        return Err(Failure::error(format!(
            "`{path}` is not in `{FOLDER}`, so it does not leave the shop"
        ))
        .hint("record the receipt again without it, with `asordered receive PO FILE --replace`"));
    }
    let place = files::own(world.shop_folder(), path)?;
    Ok(files::read_bytes(&place, photo::MOST_BYTES)?)
}

fn photos(receipt: &Receipt) -> impl Iterator<Item = (&String, &Spot)> {
    receipt.lines.iter().flat_map(|line| {
        line.photos.iter().map(|path| (path, &line.spot)).chain(
            line.leaves
                .iter()
                .filter_map(|leaf| leaf.photo.as_ref().map(|path| (path, &leaf.spot))),
        )
    })
}
