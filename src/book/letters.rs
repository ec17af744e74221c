//! Letters of claims: every wording is kept, the newest goes out. Writes no letter.

use crate::book::claims::{Claim, allowed, note, order_of};
use crate::book::document::sha256;
use crate::book::error::BookError;
use crate::book::{Book, stamp};
use crate::claim::cycle::Step;
use crate::claim::letter::LetterKind;
use crate::claim::remedy::Against;
use chrono::{DateTime, Utc};
use rusqlite::{Connection, params};

/// What the journal says of a letter that was edited by hand.
const EDITED: &str = "letter edited";

/// A letter to keep.
#[derive(Debug, Clone)]
pub struct NewLetter {
    /// Which letter (`claim/letter`): `notice`, `carrier-claim`, `reminder`.
    pub kind: String,
    /// Its subject.
    pub subject: String,
    /// Its text.
    pub text: String,
    /// Its page, where there is one.
    pub html: Option<String>,
    /// Whether the owner changed it by hand.
    pub edited: bool,
}

/// A letter as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// Its id in the book.
    pub id: i64,
    /// Which letter.
    pub kind: String,
    /// Its subject.
    pub subject: String,
    /// Its text.
    pub text: String,
    /// Its page, where there is one.
    pub html: Option<String>,
    /// Whether the owner changed it by hand.
    pub edited: bool,
    /// When it was written, UTC.
    pub recorded: String,
}

impl Book {
    /// Returns the newest wording of a letter; of the first notice where no kind is named.
    ///
    /// # Errors
    /// The claim has no such letter.
    pub fn letter(&self, claim: &Claim, kind: Option<&str>) -> Result<Letter, BookError> {
        let kind = kind.unwrap_or(if claim.party == Against::Carrier {
            LetterKind::CarrierClaim.name()
        } else {
            LetterKind::Notice.name()
        });
        self.letters(claim)?
            .into_iter()
            .rfind(|letter| letter.kind == kind)
            .ok_or_else(|| {
                BookError::refused(format!("claim `{}` has no letter `{kind}`", claim.number))
            })
    }

    /// Returns all wordings of all letters of a claim, oldest first.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn letters(&self, claim: &Claim) -> Result<Vec<Letter>, BookError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT id, kind, subject, text, html, edited, recorded FROM letters WHERE claim_id = ?1 ORDER BY id",
        )?;
        let rows = statement.query_map([claim.id], |row| {
            Ok(Letter {
                id: row.get(0)?,
                kind: row.get(1)?,
                subject: row.get(2)?,
                text: row.get(3)?,
                html: row.get(4)?,
                edited: row.get(5)?,
                recorded: row.get(6)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Returns what came since a letter of a claim was last edited by hand, in words, oldest first: receipts of the order,
    /// and what became of the claim.
    ///
    /// # Errors
    /// The book does not answer.
    pub fn since_edited(&self, claim: &Claim, kind: &str) -> Result<Vec<String>, BookError> {
        // The journal has the order of things; stamps of one second have none.
        let mut statement = self.connection.prepare_cached(
            "SELECT CASE WHEN claim_id IS NULL THEN what || ' (' || subject || ')' ELSE what END FROM journal \
             WHERE order_id = (SELECT order_id FROM claims WHERE id = ?1) \
               AND id > (SELECT max(id) FROM journal WHERE claim_id = ?1 AND what = ?2 AND detail = ?3) \
               AND (claim_id IS NULL AND what LIKE 'receipt %' \
                 OR claim_id = ?1 AND (what LIKE 'claim %' OR what = 'goods collected')) \
             ORDER BY id",
        )?;
        let rows = statement.query_map(params![claim.id, EDITED, kind], |row| row.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Keeps a letter of a claim: another wording of the first notice, or a reminder. Returns its id.
    ///
    /// # Errors
    /// The claim's state does not allow it (`step`); the disk refuses.
    pub fn add_letter(
        &mut self,
        number: &str,
        step: Step,
        letter: &NewLetter,
        now: DateTime<Utc>,
    ) -> Result<i64, BookError> {
        let stamp = stamp(now);
        let work = self.begin()?;
        let claim = allowed(&work, number, step)?;
        let id = write_letter(&work, claim.id, letter, &stamp)?;
        let what = if letter.edited {
            EDITED
        } else {
            "letter written"
        };
        note(
            &work,
            &stamp,
            what,
            number,
            order_of(&work, &claim)?,
            claim.id,
            &letter.kind,
        )?;
        work.commit()?;
        Ok(id)
    }
}

/// Keeps a wording and returns its id.
pub(crate) fn write_letter(
    work: &Connection,
    claim: i64,
    letter: &NewLetter,
    stamp: &str,
) -> Result<i64, BookError> {
    work.execute(
        "INSERT INTO letters (claim_id, kind, subject, text, html, sha256, edited, recorded) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        params![
            claim,
            letter.kind,
            letter.subject,
            letter.text,
            letter.html,
            sha256(letter.text.as_bytes()),
            letter.edited,
            stamp
        ],
    )?;
    Ok(work.last_insert_rowid())
}
