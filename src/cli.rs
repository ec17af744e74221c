//! The command line: one file a command. Decides nothing about goods, claims or suppliers.

pub mod backup;
pub mod check;
pub mod claim;
pub mod completions;
pub mod demo;
pub mod due;
pub mod evidence;
pub mod failure;
pub mod history;
pub mod invoice;
pub mod letter;
pub mod letter_file;
pub mod order;
pub mod output;
pub mod paper;
pub mod receive;
pub mod review;
pub mod schema;
pub mod sets;
pub mod shop;
pub mod story;
pub mod tag;
pub mod verify;
pub mod world;

use crate::cli::world::World;
use chrono::NaiveDate;
use clap::{Parser, Subcommand};
use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

/// Check a delivery against its order, draft the claim, follow it, review suppliers
#[derive(Debug, Parser)]
#[command(name = "asordered", version, max_term_width = 100)]
pub struct Arguments {
    /// What every command takes.
    #[command(flatten)]
    pub common: Common,
    /// The command.
    #[command(subcommand)]
    pub command: Command,
}

/// Options of every command.
#[derive(Debug, clap::Args)]
pub struct Common {
    /// Use the shop in this folder (with shop.yaml, suppliers, orders, receipts)
    #[arg(long, global = true, value_name = "DIR")]
    pub shop: Option<PathBuf>,
    /// Keep the book in this file [or ASORDERED_BOOK]
    #[arg(long, global = true, value_name = "PATH")]
    pub book: Option<PathBuf>,
    /// Take this date as today
    #[arg(long, global = true, value_name = "YYYY-MM-DD")]
    pub today: Option<NaiveDate>,
    /// Print the answer as JSON
    #[arg(long, global = true)]
    pub json: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compare receipts with their order
    Check(check::Check),
    /// Show which faces the leaves make today
    Sets(sets::Sets),
    /// Keep the order book
    Order(order::Orders),
    /// Record what arrived; without a file it asks, line by line
    Receive(receive::Receive),
    /// Record invoices
    Invoice(invoice::Invoices),
    /// Draft a claim, follow it, settle it
    Claim(claim::Claims),
    /// Look after the wording of letters
    Letter(letter::Letters),
    /// Tell what must be done by when, overdue first
    Due(due::DueBy),
    /// Print hold tags of an order
    Tag(tag::Tags),
    /// Review the suppliers of a month and the twelve that end with it
    Review(review::Review),
    /// Tell what was recorded, when
    History(history::History),
    /// Copy the book into a file, while it is in use
    Backup(backup::Backup),
    /// Verify the book: pages, references, hashes, evidence, accounting
    Verify(verify::Verify),
    /// Unpack the demo shop into a new folder
    Demo(demo::Demo),
    /// Print the JSON Schema of a file, for editors
    Schema(schema::Schema),
    /// Print completions for a shell
    Completions(completions::Completions),
    /// Print the manual page
    Man,
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// As ordered, or done: exit 0.
    Fine,
    /// Not as ordered: exit 1.
    NotAsOrdered,
}

/// Runs the program: reads arguments, runs the command, prints what went wrong, returns the exit code: 0 as ordered
/// or done, 1 not as ordered, 2 could not do it.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => return failure::usage(&error),
    };
    let mut world = World::of(&arguments.common);
    let ended = match &arguments.command {
        Command::Check(command) => check::run(command, &mut world),
        Command::Sets(command) => sets::run(command, &mut world),
        Command::Order(command) => order::run(command, &mut world),
        Command::Receive(command) => receive::run(command, &mut world),
        Command::Invoice(command) => invoice::run(command, &mut world),
        Command::Claim(command) => claim::run(command, &mut world),
        Command::Letter(command) => letter::run(command, &mut world),
        Command::Due(command) => due::run(command, &mut world),
        Command::Tag(command) => tag::run(command, &mut world),
        Command::Review(command) => review::run(command, &mut world),
        Command::History(command) => history::run(command, &mut world),
        Command::Backup(command) => backup::run(command, &mut world),
        Command::Verify(command) => verify::run(command, &mut world),
        Command::Demo(command) => demo::run(command, &mut world),
        Command::Schema(command) => schema::run(command, &mut world),
        Command::Completions(command) => completions::completions(command, &mut world),
        Command::Man => completions::man(&mut world),
    };
    match ended.and_then(|status| world.finish().map(|()| status)) {
        Ok(Status::Fine) => ExitCode::SUCCESS,
        Ok(Status::NotAsOrdered) => ExitCode::from(1),
        Err(failure) => failure::report(&failure),
    }
}
