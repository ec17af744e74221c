//! What is asked of the supplier or the carrier, by when, and how far it has come. Pure: reads no files and no clock.

pub mod again;
pub mod asked;
pub mod calendar;
pub mod cycle;
pub mod deadlines;
pub mod draft;
pub mod due;
pub mod letter;
pub mod loss;
pub mod mail;
pub mod photo;
pub mod remedy;
pub mod replaced;
pub mod replacement;
pub mod standing;
pub mod value;
pub mod wishes;

use crate::check::case::Case;
use crate::claim::draft::ClaimDraft;
use crate::claim::wishes::Wishes;
use crate::model::answer::{Answer, ClaimSummary};
use crate::model::money::Money;
use chrono::NaiveDate;

/// Drafts what can be claimed, with the default remedies: the supplier's draft first, then the carrier's. Empty when
/// nothing is claimable: what only informs, what is to be looked at again and what is only logged is never claimed.
pub fn draft(case: &Case<'_>, answer: &Answer, today: NaiveDate) -> Vec<ClaimDraft> {
    draft::draft(case, answer, today, &Wishes::default())
}

/// Returns the claim in one line: the earliest day to tell anyone, the values of all drafts added up (a loss stands
/// in one draft only). `None` without drafts.
pub fn summary(drafts: &[ClaimDraft]) -> Option<ClaimSummary> {
    let first = drafts.first()?;
    let notify = drafts
        .iter()
        .filter_map(|draft| draft.notify_by.as_ref())
        .min();
    let known: Vec<Money> = drafts.iter().filter_map(|draft| draft.value).collect();
    Some(ClaimSummary {
        notify_by: notify.map(|deadline| deadline.date),
        notify_why: notify.map(|deadline| deadline.why.clone()),
        value: (!known.is_empty()).then(|| known.into_iter().sum::<Money>().rounded()),
        currency: first.currency.clone(),
    })
}
