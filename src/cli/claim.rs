//! `asordered claim`: one claim's life; one file a step. Decides no step; that is `claim/cycle`.

pub mod answer;
pub mod away;
pub mod draft;
pub mod edit;
pub mod list;
pub mod outgoing;
pub mod remedy;
pub mod remind;
pub mod send;
pub mod settle;
pub mod show;
pub mod withdraw;

use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::world::World;

/// Draft a claim, follow it, settle it
#[derive(Debug, clap::Args)]
pub struct Claims {
    /// What to do.
    #[command(subcommand)]
    pub what: What,
}

/// The steps of a claim's life.
#[derive(Debug, clap::Subcommand)]
pub enum What {
    /// Draft what can be claimed of an order, with its letter
    Draft(draft::Draft),
    /// List open claims
    List(list::List),
    /// Show a claim: what was found then, what was asked, what came
    Show(show::Show),
    /// Change the letter of a claim in $EDITOR
    Edit(edit::Edit),
    /// Ask for another remedy; the letter follows
    Remedy(remedy::Other),
    /// Send the letter of a claim
    Send(send::Send),
    /// Remind the supplier of a claim
    Remind(remind::Remind),
    /// Accept what the supplier offered
    Accept(remind::Accept),
    /// Thank the supplier for a claim made right
    Thank(remind::Thank),
    /// Note what the supplier answered
    Answer(answer::Answer),
    /// Note goods, money or collection that make it right
    Settle(settle::Settle),
    /// Take a claim back, with a reason
    Withdraw(withdraw::Withdraw),
}

/// Runs it.
///
/// # Errors
/// The claim's state does not allow the step; the book refuses.
pub fn run(args: &Claims, world: &mut World) -> Result<Status, Failure> {
    match &args.what {
        What::Draft(args) => draft::run(args, world),
        What::List(args) => list::run(args, world),
        What::Show(args) => show::run(args, world),
        What::Edit(args) => edit::run(args, world),
        What::Remedy(args) => remedy::run(args, world),
        What::Send(args) => send::run(args, world),
        What::Remind(args) => remind::remind(args, world),
        What::Accept(args) => remind::accept(args, world),
        What::Thank(args) => remind::thank(args, world),
        What::Answer(args) => answer::run(args, world),
        What::Settle(args) => settle::run(args, world),
        What::Withdraw(args) => withdraw::run(args, world),
    }
}
