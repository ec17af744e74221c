//! `asordered sets`: only what the leaves make. Records nothing.

use crate::check::check;
use crate::cli::Status;
use crate::cli::check::{case, wrote};
use crate::cli::failure::Failure;
use crate::cli::output::{self, Output};
use crate::cli::world::World;
use crate::cli::{paper, shop};
use crate::files;
use crate::report::{flitch, json, sets};
use std::path::{Path, PathBuf};

/// Show which faces the leaves make today
#[derive(Debug, clap::Args)]
#[command(after_help = "Exit status: 0 all sets can be made, 1 some cannot, 2 could not do it.")]
pub struct Sets {
    /// The order's file, or the number of an order in the book
    #[arg(value_name = "ORDER")]
    pub order: PathBuf,
    /// Files of its receipts
    #[arg(value_name = "RECEIPT")]
    pub receipts: Vec<PathBuf>,
    /// Draw the leaves into FILE
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// Problems in the files; an order without sets; files that cannot be read or written.
pub fn run(args: &Sets, world: &mut World) -> Result<Status, Failure> {
    let papers = if args.receipts.is_empty() {
        if args.order.is_file() {
            return Err(Failure::error(
                "no receipt named, expected `asordered sets ORDER.yaml RECEIPT.yaml`",
            )
            .hint("name the receipt's file after the order's"));
        }
        shop::papers(
            &shop::read_book(world)?,
            &args.order.to_string_lossy(),
            world,
        )?
    } else {
        paper::open(&args.order, &args.receipts, world.shop.as_deref())?
    };
    let answer = check(&case(&papers, None))?;
    if sets::lines(&answer).next().is_none() {
        return Err(
            Failure::error(format!("order {} asks for no sets", answer.order))
                .hint("a line asks for sets with `sequence: {sets: [4, 4]}`"),
        );
    }
    let outputs: Vec<Output<'_>> = args
        .svg
        .iter()
        .map(|path| Output {
            option: "--svg",
            path,
        })
        .collect();
    let mut inputs: Vec<&Path> = args.receipts.iter().map(PathBuf::as_path).collect();
    inputs.push(&args.order);
    output::places(&outputs, &inputs, papers.folder.as_deref(), world)?;
    let text = if world.json {
        json::printed(&sets::as_json(&answer))
    } else {
        sets::terminal(&answer, world.width, world.ink)
    };
    world.print(&text)?;
    if let Some(path) = &args.svg {
        files::write(path, flitch::sheet(&answer).as_bytes())?;
        wrote(path);
    }
    let complete = sets::lines(&answer).all(|(_, sequence)| sequence.missing.is_empty());
    Ok(if complete {
        Status::Fine
    } else {
        Status::NotAsOrdered
    })
}
