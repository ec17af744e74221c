//! `asordered claim remedy`: asks for something else than the default; the value and the letter follow.

use crate::claim::cycle::{NotNow, Step, may};
use crate::claim::draft::draft;
use crate::claim::replaced;
use crate::claim::wishes::{self, Wishes};
use crate::claim::{asked, standing};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::draft::{chosen, enclosures, first_letter, new_claim};
use crate::cli::claim::outgoing::write_draft;
use crate::cli::failure::Failure;
use crate::cli::shop::{papers, templates, write_book, write_letter};
use crate::cli::world::{World, now};
use crate::report::json;
use serde_json::json;

/// Ask for another remedy; the letter follows
#[derive(Debug, clap::Args)]
#[command(after_help = format!("Example:\n  asordered claim remedy PO-2107-C1 1/short credit\n\n{}", wishes::kinds()))]
pub struct Other {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// The order line and the kind of finding, as 1/short
    #[arg(value_name = "LINE/KIND")]
    pub place: String,
    /// What to ask for
    #[arg(value_name = "REMEDY")]
    pub remedy: String,
}

/// Runs it.
///
/// # Errors
/// The claim was sent; it has no such finding; the remedy does not fit the finding.
pub fn run(args: &Other, world: &mut World) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let claim = book.claim(&args.claim)?;
    may(&claim.number, claim.state, Step::Remedy)
        .map_err(|NotNow { text, hint }| Failure::error(text).hint(hint))?;
    let papers = papers(&book, &claim.order, world)?;
    let case = case(&papers, None);
    let mut others = book.claims_now(&claim.order)?;
    others.retain(|other| other.number != claim.number);
    let answer = replaced::answer(&case, &others)?;
    let rest = standing::unclaimed(&answer, &others);
    let mut wishes = asked::wishes_of(&claim.asked);
    let mine = |wishes: &Wishes| {
        draft(&case, &rest, world.today, wishes)
            .into_iter()
            .find(|draft| draft.against == claim.party)
            .ok_or_else(|| {
                Failure::error(format!("claim `{}` has nothing left to ask", claim.number))
            })
    };
    let chosen = chosen(
        &args.place,
        &args.remedy,
        std::slice::from_ref(&mine(&wishes)?),
    )?;
    wishes
        .remedies
        .retain(|known| known.place != chosen.place || known.kind != chosen.kind);
    wishes.remedies.push(chosen.clone());
    let drafted = mine(&wishes)?;
    let arithmetic = drafted
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .find(|part| {
            part.place == chosen.place
                && part
                    .findings
                    .iter()
                    .any(|finding| finding.kind == chosen.kind)
        })
        .map(|part| part.worth.arithmetic.clone())
        .unwrap_or_default();
    let letter = first_letter(
        &case,
        &rest,
        &drafted,
        &claim.number,
        &enclosures(&book, &claim.order)?,
        &templates(world)?,
        world.today,
    )?;
    let by_hand = book.letter(&claim, None)?.edited;
    let summary = crate::claim::summary(std::slice::from_ref(&drafted));
    let kept = json::answer(&answer, summary.as_ref()).to_string();
    book.redraft(
        &claim.number,
        &new_claim(&drafted, &wishes, &kept),
        &letter,
        now(),
    )?;
    let claim = book.claim(&claim.number)?;
    let letter = book.letter(&claim, None)?;
    write_letter(world, &claim.number, &letter)?;
    write_draft(&book, world, &papers, &claim, &letter)?;
    if world.json {
        world.print(&json::printed(&json!({
            "claim": claim.number,
            "place": args.place,
            "remedy": chosen.remedy.name(),
            "value": drafted.value.map(|value| value.to_string()),
        })))?;
        return Ok(Status::Fine);
    }
    let value = drafted.value.map_or_else(
        || "not known".to_owned(),
        |value| format!("{value} {}", drafted.currency),
    );
    let mut out = format!(
        "claim {}: {} now asks: {}; {}\n  value: {value}\n",
        claim.number,
        args.place,
        chosen.remedy.about(),
        arithmetic
    );
    if by_hand {
        out.push_str(
            "  the letter was written anew; the wording changed by hand stays in the book\n",
        );
    }
    world.print(&out)?;
    Ok(Status::Fine)
}
