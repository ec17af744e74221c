//! `asordered schema`: prints what an editor needs to help with a file.

use crate::claim::letter;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::intake::schema;
use crate::report::json::printed;

/// Print the JSON Schema of a file, for editors
#[derive(Debug, clap::Args)]
pub struct Schema {
    /// Which file
    #[arg(value_parser = ["order", "receipt", "supplier", "shop", "invoice", "letter"])]
    pub file: String,
}

/// Runs it.
///
/// # Errors
/// There is no such file, or the output cannot be written.
pub fn run(args: &Schema, world: &mut World) -> Result<Status, Failure> {
    if args.file == "letter" {
        world.print(&printed(&letter::shape::schema()))?;
        return Ok(Status::Fine);
    }
    let schema = schema::schema(&args.file)
        .ok_or_else(|| Failure::error(format!("no schema for `{}`", args.file)))?;
    world.print(&printed(&schema))?;
    Ok(Status::Fine)
}
