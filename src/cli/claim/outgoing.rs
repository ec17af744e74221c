//! A letter on its way out: recipients, message, enclosures as files. Sends nothing; that is `send`.

use crate::book::Book;
use crate::book::claims::{Claim, Letter};
use crate::book::record::Evidence;
use crate::claim::letter::LetterKind;
use crate::claim::mail::{self, Attached, Draft, Mail};
use crate::claim::photo;
use crate::claim::remedy::Against;
use crate::cli::evidence;
use crate::cli::failure::Failure;
use crate::cli::paper::Papers;
use crate::cli::shop::{claim_file, claim_folder};
use crate::cli::world::World;
use crate::files;
use chrono::{DateTime, NaiveTime, Utc};
use std::path::Path;

/// A letter with all that goes with it.
#[derive(Debug)]
pub struct Outgoing {
    /// The letter.
    pub letter: Letter,
    /// The message, not dated yet; why there can be none where an address to write from or to is missing.
    draft: Result<Draft, NoMail>,
    /// Who gets it, in words: addresses, else names.
    pub recipients: Vec<String>,
    /// Its enclosures, as kept and as attached.
    pub enclosed: Vec<Enclosed>,
}

/// An enclosure.
#[derive(Debug)]
pub struct Enclosed {
    /// The file in the shop's folder.
    pub kept: Evidence,
    /// The receipt it belongs to.
    pub receipt: String,
    /// Its name in the message.
    pub name: String,
    /// The hash of what is attached.
    pub sent_sha256: String,
}

/// Why a letter cannot go as mail.
#[derive(Debug, Clone, PartialEq, Eq)]
struct NoMail {
    text: String,
    hints: Vec<String>,
}

impl NoMail {
    fn new(text: String, hint: &str) -> Self {
        NoMail {
            text,
            hints: vec![
                hint.to_owned(),
                "`--to-folder DIR` writes the letter for the post, `--told-by phone` notes how it was told".to_owned(),
            ],
        }
    }
}

impl Outgoing {
    /// Returns whether it can go as a message.
    pub const fn is_mail(&self) -> bool {
        self.draft.is_ok()
    }

    /// Returns the message with a date; with an earlier Message-ID, where it may have gone before.
    ///
    /// # Errors
    /// There is nobody to write to or to write from; an address that is none; enclosures too large for one message.
    pub fn mail(
        &self,
        date: DateTime<Utc>,
        unsent: bool,
        message_id: Option<&str>,
    ) -> Result<Mail, Failure> {
        let mut draft = self.draft.clone().map_err(|none| Failure::Error {
            text: none.text,
            hints: none.hints,
        })?;
        draft.date = date;
        mail::message(&draft, unsent, message_id)
            .map_err(|why| Failure::error(why).hint("nothing was sent"))
    }

    /// Returns the list of evidence: number, file, what it is, hashes.
    pub fn evidence(&self) -> String {
        let mut out = String::new();
        for (place, one) in self.enclosed.iter().enumerate() {
            out.push_str(&format!(
                "{}. {} (receipt {}, {} bytes)\n   SHA-256 as kept  {}\n   attached as {}\n   SHA-256 as sent  {}\n",
                place + 1,
                one.kept.path,
                one.receipt,
                one.kept.size,
                one.kept.sha256,
                one.name,
                one.sent_sha256
            ));
        }
        out
    }
}

/// Makes a letter ready to go. `to` are addresses in place of the supplier's own. Where an address is missing it is
/// ready all the same, but not as a message.
///
/// # Errors
/// There is no shop to write from; a photograph is gone or was changed.
pub fn prepare(
    book: &Book,
    world: &World,
    papers: &Papers,
    claim: &Claim,
    letter: Letter,
    to: &[String],
) -> Result<Outgoing, Failure> {
    let shop = papers.shop.as_ref().ok_or_else(|| {
        Failure::error("no shop.yaml, so there is nobody to write from")
            .hint("`asordered schema shop` tells what stands in it")
    })?;
    let supplier = papers.supplier.as_ref();
    let with_evidence = [
        LetterKind::Notice.name(),
        LetterKind::CarrierClaim.name(),
        LetterKind::WrongAgain.name(),
    ];
    let (enclosed, attached) = if with_evidence.contains(&letter.kind.as_str()) {
        enclosures(book, world, &claim.order)?
    } else {
        (Vec::new(), Vec::new())
    };
    let to = addresses(papers, claim, to);
    let from = shop.mail.as_ref().ok_or_else(|| {
        NoMail::new(
            "shop.yaml has no `mail`, so there is no address to write from".to_owned(),
            "add `mail: {server: mail.shop.example, from: claims@shop.example}`",
        )
    });
    let recipients = match &to {
        Ok((_, to)) => to.clone(),
        Err(_) if claim.party == Against::Carrier => vec!["the carrier".to_owned()],
        Err(_) => {
            vec![supplier.map_or_else(|| claim.supplier.clone(), |supplier| supplier.name.clone())]
        }
    };
    let draft = to.and_then(|(to_name, to)| {
        let html = letter
            .html
            .clone()
            .unwrap_or_else(|| mail::page_of(&letter.subject, &letter.text));
        Ok(Draft {
            from_name: shop.name.clone(),
            from: from?.from.clone(),
            to_name,
            to,
            subject: letter.subject.clone(),
            text: letter.text.clone(),
            html,
            attached,
            about: format!("{} {}", claim.number, letter.kind),
            date: claim.drafted.and_time(NaiveTime::MIN).and_utc(),
        })
    });
    Ok(Outgoing {
        letter,
        draft,
        recipients,
        enclosed,
    })
}

/// Returns the name that stands before the first address, and the addresses.
fn addresses(
    papers: &Papers,
    claim: &Claim,
    to: &[String],
) -> Result<(Option<String>, Vec<String>), NoMail> {
    if !to.is_empty() {
        return Ok((None, to.to_vec()));
    }
    if claim.party == Against::Carrier {
        return Err(NoMail::new(
            format!(
                "claim `{}` is on the carrier, whose address is not known",
                claim.number
            ),
            "name it with `--to claims@carrier.example`",
        ));
    }
    let supplier = papers.supplier.as_ref();
    let email = supplier
        .and_then(|supplier| supplier.contact.email.clone())
        .ok_or_else(|| {
            NoMail::new(
                format!("supplier `{}` has no e-mail address", claim.supplier),
                "add `contact: {email: ...}` to its file, or name one with `--to`",
            )
        })?;
    Ok((supplier.map(|supplier| supplier.name.clone()), vec![email]))
}

/// Writes the message as a draft that a mail program opens, and the list of evidence, into a folder.
///
/// # Errors
/// The disk refuses.
pub fn write(outgoing: &Outgoing, folder: &Path) -> Result<Mail, Failure> {
    let date = outgoing
        .draft
        .as_ref()
        .map_or(DateTime::<Utc>::UNIX_EPOCH, |draft| draft.date);
    let mail = outgoing.mail(date, true, None)?;
    files::make_folder(folder)?;
    files::write(&folder.join("letter.eml"), &mail.bytes)?;
    if !outgoing.enclosed.is_empty() {
        files::write(&folder.join("evidence.txt"), outgoing.evidence().as_bytes())?;
    }
    Ok(mail)
}

/// Writes `letter.eml` beside a claim's letter, where there is an address to write from and to; a claim is drafted
/// without it too.
///
/// # Errors
/// The disk refuses.
pub fn write_draft(
    book: &Book,
    world: &World,
    papers: &Papers,
    claim: &Claim,
    letter: &Letter,
) -> Result<(), Failure> {
    match prepare(book, world, papers, claim, letter.clone(), &[]) {
        Ok(outgoing) if outgoing.is_mail() => {
            for name in ["letter.eml", "evidence.txt"] {
                claim_file(world, &claim.number, name)?;
            }
            write(&outgoing, &claim_folder(world, &claim.number)).map(drop)
        }
        Ok(_) | Err(_) => Ok(()),
    }
}

fn enclosures(
    book: &Book,
    world: &World,
    order: &str,
) -> Result<(Vec<Enclosed>, Vec<Attached>), Failure> {
    let mut enclosed = Vec::new();
    let mut attached = Vec::new();
    for (place, (receipt, kept)) in book.evidence(Some(order))?.into_iter().enumerate() {
        let bytes = evidence::read(world, &kept.path)?;
        if mail::sha256(&bytes) != kept.sha256 {
            return Err(Failure::error(format!(
                "`{}` is not the file that was recorded with receipt {receipt}; its hash differs",
                kept.path
            ))
            .hint("put the original back; a letter goes with the evidence it names"));
        }
        let base = mail::file_name(&kept.path);
        // Whatever the book names, nothing but a picture, and of it no more than the picture, leaves the shop.
        let bytes = photo::look(&base, &bytes)
            .and_then(|()| photo::for_mail(&bytes))
            .map_err(|why| {
                Failure::error(format!("`{}` cannot go with the letter: {why}", kept.path)).hint(
                    "record the receipt again with another photograph, with `asordered receive PO FILE --replace`",
                )
            })?;
        let stem = base
            .rsplit_once('.')
            .map_or(base.as_str(), |(stem, _)| stem);
        let name = format!("{}-{stem}.jpg", place + 1);
        enclosed.push(Enclosed {
            kept,
            receipt,
            name: name.clone(),
            sent_sha256: mail::sha256(&bytes),
        });
        attached.push(Attached { name, bytes });
    }
    Ok((enclosed, attached))
}
