//! `asordered letter`: looks after the wording of letters. Sends nothing.

use crate::claim::letter::templates::EMBEDDED;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::shop::templates;
use crate::cli::world::World;
use crate::files;
use crate::report::json;
use serde_json::json;
use std::path::{Path, PathBuf};

/// Look after the wording of letters
#[derive(Debug, clap::Args)]
pub struct Letters {
    /// What to do.
    #[command(subcommand)]
    pub what: What,
}

/// What can be done with the wording.
#[derive(Debug, clap::Subcommand)]
pub enum What {
    /// Check the shop's own templates before they are used
    Check,
    /// Write the built-in templates into a folder, to start one's own from
    Templates {
        /// The folder to make
        #[arg(value_name = "DIR")]
        folder: PathBuf,
    },
}

/// Runs it.
///
/// # Errors
/// Every problem of every template, at its place; a folder that is there already.
pub fn run(args: &Letters, world: &mut World) -> Result<Status, Failure> {
    match &args.what {
        What::Check => check(world),
        What::Templates { folder } => write(folder, world),
    }
}

fn check(world: &mut World) -> Result<Status, Failure> {
    let templates = templates(world)?;
    let own: Vec<&str> = templates
        .sources()
        .iter()
        .filter(|(name, source)| {
            EMBEDDED
                .iter()
                .all(|(known, text)| known != name || *text != source.text)
        })
        .map(|(_, source)| source.file.as_str())
        .collect();
    if world.json {
        world.print(&json::printed(&json!({ "own": own })))?;
    } else if own.is_empty() {
        world.print("the shop has no templates of its own; the built-in ones are used\n")?;
    } else {
        world.print(&format!("{} can be used\n", own.join(", ")))?;
    }
    Ok(Status::Fine)
}

fn write(folder: &Path, world: &mut World) -> Result<Status, Failure> {
    if !files::is_free(folder)? {
        return Err(Failure::error(format!(
            "`{}` is there already and not empty",
            folder.display()
        ))
        .hint("name a new folder; nothing is written over"));
    }
    files::make_folder(folder)?;
    for (name, text) in EMBEDDED {
        files::write(&folder.join(format!("{name}.hbs")), text.as_bytes())?;
    }
    world.print(&format!(
        "wrote {} templates into {}; those that stay as they are can be deleted\n",
        EMBEDDED.len(),
        folder.display()
    ))?;
    Ok(Status::Fine)
}
