//! `asordered claim edit`: the letter in the owner's editor. The wording before stays in the book.
#![allow(clippy::disallowed_methods, reason = "an edge: starts the editor")]

use crate::book::claims::{Claim, NewLetter};
use crate::claim::cycle::{NotNow, Step, may};
use crate::cli::Status;
use crate::cli::claim::outgoing::write_draft;
use crate::cli::claim::remind::next_letter;
use crate::cli::failure::{Failure, notice};
use crate::cli::shop::{claim_folder, papers, write_book, write_letter};
use crate::cli::world::{World, editor, now};
use crate::files;
use crate::report::json;
use serde_json::json;
use std::path::PathBuf;
use std::process::Command;

/// Change the letter of a claim
#[derive(Debug, clap::Args)]
pub struct Edit {
    /// The claim's number
    #[arg(value_name = "CLAIM")]
    pub claim: String,
    /// Take the letter from FILE instead of opening $VISUAL or $EDITOR
    #[arg(long, value_name = "FILE")]
    pub from: Option<PathBuf>,
}

/// Runs it.
///
/// # Errors
/// The claim is sent or closed; there is no editor; the editor failed.
pub fn run(args: &Edit, world: &mut World) -> Result<Status, Failure> {
    let mut book = write_book(world)?;
    let claim = book.claim(&args.claim)?;
    may(&claim.number, claim.state, Step::Edit)
        .map_err(|NotNow { text, hint }| Failure::error(text).hint(hint))?;
    let papers = papers(&book, &claim.order, world)?;
    let before = next_letter(&mut book, &claim, Step::Edit, &papers, world)?;
    let file = match &args.from {
        Some(file) => file.clone(),
        None => {
            write_letter(world, &claim.number, &before)?;
            let file = claim_folder(world, &claim.number).join("letter.txt");
            open(&file)?;
            file
        }
    };
    let text = files::read_text(&file)?;
    if text.trim().is_empty() {
        return Err(Failure::error("the letter is empty; the one before stays")
            .hint("`asordered claim withdraw` takes a claim back"));
    }
    let changed = text != before.text;
    if changed {
        let letter = NewLetter {
            kind: before.kind.clone(),
            subject: before.subject.clone(),
            html: Some(page(&before.subject, &text)),
            text: text.clone(),
            edited: true,
        };
        book.add_letter(&claim.number, Step::Edit, &letter, now())?;
        let letter = book.letter(&claim, Some(&before.kind))?;
        write_letter(world, &claim.number, &letter)?;
        write_draft(&book, world, &papers, &claim, &letter)?;
    }
    if world.json {
        world.print(&json::printed(
            &json!({ "claim": claim.number, "changed": changed }),
        ))?;
    } else if changed {
        world.print(&format!("kept the letter of claim {}\n", claim.number))?;
        if let Some(told) = other_total(&claim, &before.text, &text) {
            notice(&told);
        }
    } else {
        world.print("nothing changed\n")?;
    }
    Ok(Status::Fine)
}

/// Returns a word where the new letter states the claim's value less often than the one before: what is asked in the letter
/// and what a credit is held against are then two amounts.
fn other_total(claim: &Claim, before: &str, text: &str) -> Option<String> {
    let value = claim.value?.to_string();
    let says = |text: &str| {
        text.split(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .filter(|word| word.trim_end_matches(['.', ',']).replace(',', "") == value)
            .count()
    };
    (says(text) < says(before)).then(|| {
        format!(
            "note: the letter no longer says {value} {}, which is what the claim asks and what a credit is held against; \
             `asordered claim remedy {}` changes both",
            claim.currency, claim.number
        )
    })
}

fn open(file: &std::path::Path) -> Result<(), Failure> {
    let editor = editor().ok_or_else(|| {
        Failure::error("no editor is named: neither $VISUAL nor $EDITOR is set").hint(format!(
            "change `{}` and give it back with `--from`",
            file.display()
        ))
    })?;
    // An editor is named with its options ("code --wait"): the words are split, no shell sees them.
    let mut words = editor.split_whitespace();
    let program = words.next().unwrap_or_default();
    let ended = Command::new(program)
        .args(words)
        .arg(file)
        .status()
        .map_err(|error| Failure::error(format!("cannot start the editor `{program}`: {error}")))?;
    if ended.success() {
        Ok(())
    } else {
        Err(Failure::error(format!(
            "the editor `{program}` failed; the letter before stays"
        )))
    }
}

/// Returns the page of a letter that was changed by hand: its text, line by line.
fn page(subject: &str, text: &str) -> String {
    let escape = |text: &str| {
        text.replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;")
    };
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{}</title>\n\
         <style>body{{max-width:42em;margin:2em auto;padding:0 1em}}\
         pre{{font:inherit;white-space:pre-wrap}}@page{{margin:20mm}}</style></head>\n\
         <body><pre>{}</pre></body></html>\n",
        escape(subject),
        escape(text)
    )
}
