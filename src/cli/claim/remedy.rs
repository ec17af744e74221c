//! `asordered claim remedy`: asks for something else than the default; the value and the letter follow.

use crate::check::check;
use crate::claim::cycle::{NotNow, Step, may};
use crate::claim::draft::draft;
use crate::claim::remedy::{Remedy, fitting};
use crate::claim::wishes::{Chosen, place_and_kind};
use crate::claim::{asked, standing};
use crate::cli::Status;
use crate::cli::check::case;
use crate::cli::claim::draft::{enclosures, first_letter, new_claim};
use crate::cli::claim::outgoing::write_draft;
use crate::cli::failure::Failure;
use crate::cli::shop::{papers, templates, write_book, write_letter};
use crate::cli::world::{World, now};
use crate::report::json;
use serde_json::json;

/// Ask for another remedy; the letter follows
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  asordered claim remedy PO-2107-C1 1/short credit")]
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
    let chosen = chosen(args)?;
    let mut book = write_book(world)?;
    let claim = book.claim(&args.claim)?;
    may(&claim.number, claim.state, Step::Edit)
        .map_err(|NotNow { text, hint }| Failure::error(text).hint(hint))?;
    let papers = papers(&book, &claim.order, world)?;
    let case = case(&papers, None);
    let answer = check(&case)?;
    let mut others = book.claims_now(&claim.order)?;
    others.retain(|other| other.number != claim.number);
    let rest = standing::unclaimed(&answer, &others);
    let mut wishes = asked::wishes_of(&claim.asked);
    wishes
        .remedies
        .retain(|known| known.place != chosen.place || known.kind != chosen.kind);
    wishes.remedies.push(chosen.clone());
    let drafted = draft(&case, &rest, world.today, &wishes)
        .into_iter()
        .find(|draft| draft.against.name() == claim.party)
        .ok_or_else(|| {
            Failure::error(format!("claim `{}` has nothing left to ask", claim.number))
        })?;
    let part = drafted
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
        .ok_or_else(|| {
            let known: Vec<String> = drafted
                .items
                .iter()
                .flat_map(|item| &item.parts)
                .flat_map(|part| {
                    part.findings
                        .iter()
                        .map(|finding| format!("{}/{}", part.place, finding.kind.name()))
                })
                .collect();
            Failure::error(format!("claim `{}` has no `{}`", claim.number, args.place))
                .hint(format!("it has {}", known.join(", ")))
        })?;
    let fits = part
        .findings
        .iter()
        .any(|finding| fitting(finding.kind, drafted.against).contains(&chosen.remedy));
    if !fits {
        let names: Vec<&str> = part
            .findings
            .iter()
            .flat_map(|finding| fitting(finding.kind, drafted.against))
            .map(|remedy| remedy.name())
            .collect();
        return Err(Failure::error(format!(
            "`{}` does not make `{}` right",
            args.remedy, args.place
        ))
        .hint(format!("what does: {}", names.join(", "))));
    }
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
        part.worth.arithmetic
    );
    if by_hand {
        out.push_str(
            "  the letter was written anew; the wording changed by hand stays in the book\n",
        );
    }
    world.print(&out)?;
    Ok(Status::Fine)
}

fn chosen(args: &Other) -> Result<Chosen, Failure> {
    let (place, kind) = place_and_kind(&args.place).ok_or_else(|| {
        Failure::error(format!(
            "found `{}`, expected LINE/KIND as `1/short`",
            args.place
        ))
    })?;
    let remedy = Remedy::named(&args.remedy).ok_or_else(|| {
        let names: Vec<&str> = Remedy::ALL.iter().map(|remedy| remedy.name()).collect();
        Failure::error(format!("found `{}`, expected a remedy", args.remedy))
            .hint(format!("remedies are {}", names.join(", ")))
    })?;
    Ok(Chosen {
        place,
        kind,
        remedy,
    })
}
