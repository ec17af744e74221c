//! `asordered demo`: unpacks the demo shop, which travels inside the program.

use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::files;
use include_dir::{Dir, include_dir};
use std::path::{Path, PathBuf};

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/demo-orders");

/// Unpack the demo shop into a new folder
#[derive(Debug, clap::Args)]
pub struct Demo {
    /// The folder to make
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
}

/// Runs it.
///
/// # Errors
/// The folder is there already and not empty, or cannot be made.
pub fn run(args: &Demo, world: &mut World) -> Result<Status, Failure> {
    let folder = &args.folder;
    if !files::is_free(folder)? {
        return Err(Failure::error(format!(
            "`{}` is there already and not empty",
            folder.display()
        ))
        .hint("name a new folder; nothing is written over"));
    }
    unpack(&DEMO, folder)?;
    let place = folder.display();
    world.print(&format!(
        "unpacked the demo shop into {place}; all of it is invented\n\n\
         try:  cd {place}\n\
         \x20     asordered check orders/PO-2107.yaml receipts/RG-311.yaml\n"
    ))?;
    Ok(Status::Fine)
}

fn unpack(dir: &Dir<'_>, folder: &Path) -> Result<(), Failure> {
    files::make_folder(folder)?;
    for file in dir.files() {
        if let Some(name) = file.path().file_name() {
            files::write(&folder.join(name), file.contents())?;
        }
    }
    for below in dir.dirs() {
        if let Some(name) = below.path().file_name() {
            unpack(below, &folder.join(name))?;
        }
    }
    Ok(())
}
