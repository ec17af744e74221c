//! `asordered claim show`: a claim on one page: what was found then, what was asked, what they answered, what came
//! and what is wrong with it.

use crate::book::Book;
use crate::book::claims::{Claim, said};
use crate::claim::asked;
use crate::cli::Status;
use crate::cli::claim::list::{claim_json, line};
use crate::cli::failure::Failure;
use crate::cli::shop::read_book;
use crate::cli::world::World;
use crate::report::json;
use serde_json::{Value, json};

/// Show a claim
#[derive(Debug, clap::Args)]
pub struct Show {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// The letter too
    #[arg(long)]
    pub letter: bool,
}

/// Runs it.
///
/// # Errors
/// The book does not have the claim.
pub fn run(args: &Show, world: &mut World) -> Result<Status, Failure> {
    let book = read_book(world)?;
    let claim = book.claim(&args.claim)?;
    if world.json {
        let text = json::printed(&as_json(&book, &claim)?);
        world.print(&text)?;
        return Ok(Status::Fine);
    }
    let text = page(&book, &claim, world)?;
    world.print_fitted(&text)?;
    if args.letter {
        world.print(&format!("\n{}", book.letter(&claim, None)?.text))?;
    }
    Ok(Status::Fine)
}

fn page(book: &Book, claim: &Claim, world: &World) -> Result<String, Failure> {
    let ink = world.ink;
    let mut out = format!("{}\n", ink.strong(&line(claim)));
    out.push_str("\nfound and asked then:\n");
    for part in claim.parts()? {
        for finding in &part.findings {
            out.push_str(&format!("  {}: {}\n", part.wanted.place, finding.text));
        }
        out.push_str(&format!(
            "    asked: {}; {}\n",
            part.wanted.remedy.about(),
            part.arithmetic
        ));
    }
    for cost in asked::costs(&claim.asked) {
        out.push_str(&format!("  our costs: {}\n", cost.arithmetic));
    }
    for (day, words) in [
        (claim.notify_by, "tell them by"),
        (claim.answer_by, "answer asked by"),
    ] {
        if let Some(day) = day {
            out.push_str(&format!("  {words} {day}\n"));
        }
    }
    let messages = book.messages(claim)?;
    if !messages.is_empty() {
        out.push_str("\nsent:\n");
    }
    for message in &messages {
        out.push_str(&format!("  {} {}\n", message.on(), message.said()));
    }
    let answers = book.answers(claim)?;
    if !answers.is_empty() {
        out.push_str("\nthey answered:\n");
    }
    for answer in &answers {
        out.push_str(&format!("  {} {}\n", answer.date, said(answer)));
    }
    let settlements = book.settlements(claim)?;
    if !settlements.is_empty() {
        out.push_str("\nwhat came to make it right:\n");
    }
    for settled in &settlements {
        let what = settled.what();
        let paper = settled
            .paper
            .as_ref()
            .map(|paper| format!(" ({paper})"))
            .unwrap_or_default();
        out.push_str(&format!("  {} {what}{paper}\n", settled.date));
    }
    if let (Some(last), false) = (settlements.last(), claim.state.is_closed()) {
        for words in last.judged.lines() {
            let words = if words.starts_with("wrong:") {
                ink.bad(words)
            } else {
                words.to_owned()
            };
            out.push_str(&format!("    {words}\n"));
        }
    }
    out.push_str(&format!("\nnext: {}\n", claim.state.next(&claim.number)));
    Ok(out)
}

fn as_json(book: &Book, claim: &Claim) -> Result<Value, Failure> {
    let mut value = claim_json(claim);
    value["asked"] = serde_json::from_str(&claim.asked).unwrap_or(Value::Null);
    value["found_then"] = serde_json::from_str(&claim.answer).unwrap_or(Value::Null);
    value["letters"] = book
        .letters(claim)?
        .iter()
        .map(|letter| {
            json!({
                "kind": letter.kind,
                "subject": letter.subject,
                "text": letter.text,
                "edited": letter.edited,
                "written": letter.recorded,
            })
        })
        .collect();
    value["messages"] = book
        .messages(claim)?
        .iter()
        .map(|message| {
            json!({
                "kind": message.kind,
                "message_id": message.message_id,
                "recipients": message.recipients,
                "sha256": message.sha256,
                "result": message.result.name(),
                "detail": message.detail,
                "intended": message.intended,
                "ended": message.ended,
                "day": message.day.map(|day| day.to_string()),
            })
        })
        .collect();
    value["answers"] = book
        .answers(claim)?
        .iter()
        .map(|answer| {
            json!({
                "date": answer.date.to_string(),
                "kind": answer.kind.name(),
                "by": answer.by.map(|day| day.to_string()),
                "amount": answer.amount.map(|amount| amount.to_string()),
                "note": answer.note,
            })
        })
        .collect();
    value["settlements"] = book
        .settlements(claim)?
        .iter()
        .map(|settled| {
            json!({
                "date": settled.date.to_string(),
                "kind": settled.kind,
                "receipt": settled.receipt,
                "amount": settled.amount.map(|amount| amount.to_string()),
                "paper": settled.paper,
                "right": settled.made_right,
                "judged": settled.judged.lines().collect::<Vec<_>>(),
            })
        })
        .collect();
    value["next"] = json!(claim.state.next(&claim.number));
    Ok(value)
}
