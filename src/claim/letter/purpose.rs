//! What a letter is for, in its first sentence, and what happened before it. States nothing that the book does not say:
//! no silence where there was an answer.

use crate::claim::draft::ClaimDraft;
use crate::claim::letter::data::EarlierData;
use crate::claim::letter::locale::Locale;
use crate::claim::letter::since::{Made, Promise};
use crate::claim::letter::words::sentence;
use crate::claim::letter::{Beside, LetterKind};
use crate::claim::remedy::Against;
use chrono::NaiveDate;

/// A claim's story so far, and who is told.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Story<'a> {
    /// What was written, answered and sent.
    pub(crate) beside: &'a Beside,
    /// Who is written to.
    pub(crate) against: Against,
    /// The order.
    pub(crate) order: &'a str,
    /// How dates are written.
    pub(crate) locale: Locale,
    /// The day of the letter.
    pub(crate) today: NaiveDate,
}

impl Story<'_> {
    /// Returns what happened, oldest first.
    pub(crate) fn entries(&self, currency: &str) -> Vec<EarlierData> {
        let beside = self.beside;
        let mut all: Vec<(NaiveDate, String)> = beside.earlier.clone();
        all.extend(
            beside
                .replies
                .iter()
                .map(|reply| (reply.date, reply.entry(self.locale, currency))),
        );
        all.extend(
            beside
                .made
                .iter()
                .map(|(date, made)| (*date, made.entry(self.locale, currency))),
        );
        all.sort_by_key(|(date, _)| *date);
        all.into_iter()
            .map(|(date, what)| EarlierData {
                date: self.locale.date(date),
                what,
            })
            .collect()
    }

    /// Returns the offer that is accepted, or what was done.
    pub(crate) fn offer(&self, kind: LetterKind, currency: &str) -> Option<String> {
        match kind {
            LetterKind::Acceptance => match &self.beside.offer {
                Some(words) => Some(sentence(&self.locale.dated(words))),
                None => self
                    .beside
                    .replies
                    .last()
                    .and_then(|reply| reply.offer(self.locale, currency)),
            },
            LetterKind::Thanks => {
                let done: Vec<String> = self
                    .beside
                    .made
                    .iter()
                    .map(|(date, made)| {
                        let day = self.locale.date(*date);
                        sentence(&format!("{} ({day})", made.entry(self.locale, currency)))
                    })
                    .collect();
                (!done.is_empty()).then(|| done.join(" "))
            }
            LetterKind::Notice
            | LetterKind::CarrierClaim
            | LetterKind::Reminder
            | LetterKind::FinalReminder
            | LetterKind::WrongAgain => None,
        }
    }

    fn notice(&self) -> &'static str {
        match self.against {
            Against::Supplier => "notice",
            Against::Carrier => "claim",
        }
    }

    /// Returns what is to be reminded of, as it stands.
    fn reminder(&self) -> String {
        let order = self.order;
        let beside = self.beside;
        let notice = self.notice();
        let wrong = beside.since.iter().any(|since| !since.wrong.is_empty());
        let promised = beside.replies.last();
        let kept = |day: NaiveDate| beside.made.iter().any(|(date, _)| *date >= day);
        if wrong {
            return format!(
                "What came after our claim on order {order} is not as ordered again; the claim stands until it is made \
                 right."
            );
        }
        match promised {
            Some(reply) if reply.promise == Promise::Nothing => format!(
                "You refused our claim on order {order} on {}. We do not agree and ask you to look at it again; the \
                 claim stands in full.",
                self.locale.date(reply.date)
            ),
            Some(reply) if !kept(reply.date) => match reply.by.filter(|by| *by < self.today) {
                Some(by) => format!(
                    "What you promised on our claim on order {order} for {} has not come; the claim stands until it is \
                     made right.",
                    self.locale.date(by)
                ),
                None => format!(
                    "On {} you promised to make our claim on order {order} right, which has not been done yet; the \
                     claim stands until then.",
                    self.locale.date(reply.date)
                ),
            },
            Some(_) => self.part_came(),
            None if !beside.made.is_empty() => self.part_came(),
            None => format!(
                "We have had no answer to our {notice} on order {order}; the {notice} stands in full."
            ),
        }
    }

    fn part_came(&self) -> String {
        format!(
            "Part of our claim on order {} has been made right; the rest stands.",
            self.order
        )
    }
}

/// Returns a letter's first sentence.
pub(crate) fn purpose(kind: LetterKind, draft: &ClaimDraft, story: &Story<'_>) -> String {
    let count: usize = draft
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .map(|part| part.findings.len())
        .sum();
    let respects = if count == 1 {
        "in one respect, stated".to_owned()
    } else {
        format!("in {count} respects, each stated")
    };
    let order = story.order;
    match kind {
        LetterKind::Notice => format!(
            "This is to notify you that the goods delivered on order {order} are not as ordered {respects} below with \
             what we ask of you."
        ),
        LetterKind::CarrierClaim => format!(
            "We claim from you the loss on the shipment below, which was delivered damaged under order {order}."
        ),
        LetterKind::Reminder => format!("{} This is a reminder.", story.reminder()),
        LetterKind::FinalReminder => {
            let law = match story.against {
                Against::Supplier => "the contract and the law give us",
                Against::Carrier => "the contract of carriage and the law give us",
            };
            format!(
                "{} This is the last reminder before we look to the remedies that {law}.",
                story.reminder()
            )
        }
        LetterKind::WrongAgain => {
            let came = story
                .beside
                .made
                .iter()
                .rev()
                .find_map(|(date, made)| match made {
                    Made::Goods(receipt, _) => Some(format!(
                        " on {} (our receipt {receipt})",
                        story.locale.date(*date)
                    )),
                    Made::Money(..) | Made::Collection => None,
                })
                .unwrap_or_default();
            format!(
                "What came{came} to make our claim on order {order} right is not as ordered again. This is our notice of \
                 it: below we state what we asked, what came, what is wrong with it and what is still open."
            )
        }
        LetterKind::Acceptance => format!(
            "We accept your offer on our claim on order {order}, as of {}.",
            story.locale.date(story.today)
        ),
        LetterKind::Thanks => {
            format!("Our claim on order {order} is settled, and we thank you for putting it right.")
        }
    }
}

/// Says what we do without an answer.
pub(crate) fn otherwise(against: Against, answer_by: &str) -> String {
    match against {
        Against::Supplier => format!(
            "If we have no answer by {answer_by}, we will buy what is missing elsewhere or deduct the loss from the price \
             due under this contract, as far as the contract and the law allow, and this letter is our notice of it."
        ),
        Against::Carrier => format!(
            "If we have no answer by {answer_by}, we will look to the remedies that the contract of carriage and the law \
             give us against a carrier."
        ),
    }
}
