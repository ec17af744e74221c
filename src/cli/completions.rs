//! `asordered completions` and `asordered man`: for shells and manuals.

use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::cli::{Arguments, Status};
use clap::CommandFactory;
use clap_complete::Shell;

/// Print completions for a shell
#[derive(Debug, clap::Args)]
pub struct Completions {
    /// Which shell
    pub shell: Shell,
}

/// Prints completions.
///
/// # Errors
/// The output cannot be written.
pub fn completions(args: &Completions, world: &mut World) -> Result<Status, Failure> {
    let mut out = Vec::new();
    clap_complete::generate(args.shell, &mut Arguments::command(), "asordered", &mut out);
    world.print(&String::from_utf8_lossy(&out))?;
    Ok(Status::Fine)
}

/// Prints the manual page in roff.
///
/// # Errors
/// The output cannot be written.
pub fn man(world: &mut World) -> Result<Status, Failure> {
    let mut out = Vec::new();
    clap_mangen::Man::new(Arguments::command())
        .render(&mut out)
        .map_err(|error| Failure::writing(&error))?;
    world.print(&String::from_utf8_lossy(&out))?;
    Ok(Status::Fine)
}
