//! Figures of claims as they stood at the end of a span. Claims on carriers are listed elsewhere and not counted here.

use crate::claim::cycle::State;
use crate::model::money::Money;
use crate::review::facts::{ClaimFact, Facts};
use crate::review::measures::Span;
use crate::review::measures::names::{Name, currency_of};
use crate::review::measures::reading::Reading;
use crate::review::statistics::Share;
use crate::review::statistics::survival::{Age, kaplan_meier};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// Returns the claims on these suppliers that were not taken back.
pub fn counted<'f>(all: &'f [&'f Facts]) -> impl Iterator<Item = &'f ClaimFact> {
    all.iter()
        .flat_map(|facts| &facts.claims)
        .filter(|claim| claim.on_supplier && !claim.withdrawn())
}

fn opened_in<'f>(all: &'f [&'f Facts], span: Span) -> impl Iterator<Item = &'f ClaimFact> {
    counted(all).filter(move |claim| span.has(claim.drafted))
}

/// Returns the currencies of the claims.
pub fn currencies(all: &[&Facts]) -> BTreeSet<String> {
    counted(all)
        .map(|claim| currency_of(&claim.currency))
        .collect()
}

pub(crate) fn opened(all: &[&Facts], span: Span) -> Reading {
    Reading::Claims {
        claims: many(opened_in(all, span)),
    }
}

pub(crate) fn settled(all: &[&Facts], span: Span) -> Reading {
    Reading::Claims {
        claims: many(counted(all).filter(|claim| {
            claim.state == State::Right && claim.closed.is_some_and(|closed| span.has(closed))
        })),
    }
}

/// Tells whether a claim was open on that day.
pub fn is_open(claim: &ClaimFact, day: NaiveDate) -> bool {
    claim.drafted <= day && !claim.closed_by(day)
}

pub(crate) fn open(all: &[&Facts], span: Span) -> Reading {
    let mut days: Vec<i64> = counted(all)
        .filter(|claim| is_open(claim, span.as_of))
        .map(|claim| (span.as_of - claim.drafted).num_days())
        .collect();
    days.sort_unstable_by(|a, b| b.cmp(a));
    Reading::Open { days }
}

/// Tells whether notice was given in time; `None` where there is no such day, or it is not past and nothing was sent.
pub fn in_time(claim: &ClaimFact, as_of: NaiveDate) -> Option<bool> {
    let last = claim.notify_by?;
    match claim.sent.filter(|sent| *sent <= as_of) {
        Some(sent) => Some(sent <= last),
        None => (last < as_of).then_some(false),
    }
}

pub(crate) fn notice(all: &[&Facts], span: Span) -> Reading {
    let share = Share::count(opened_in(all, span).filter_map(|claim| in_time(claim, span.as_of)));
    Reading::share(share, "claims")
}

/// Returns how long a claim has taken, up to that day.
pub fn age(claim: &ClaimFact, as_of: NaiveDate) -> Age {
    let closed = claim.closed.filter(|closed| *closed <= as_of);
    let days = (closed.unwrap_or(as_of) - claim.drafted).num_days();
    Age {
        days: u32::try_from(days).unwrap_or(0),
        settled: closed.is_some(),
    }
}

pub(crate) fn days(all: &[&Facts], span: Span) -> Reading {
    let ages: Vec<Age> = opened_in(all, span)
        .map(|claim| age(claim, span.as_of))
        .collect();
    let mut days: Vec<(u32, bool)> = ages.iter().map(|age| (age.days, age.settled)).collect();
    days.sort_unstable();
    Reading::Settling {
        settling: kaplan_meier(&ages),
        days,
    }
}

/// Returns what a claim counts for in a figure of money.
pub fn worth(name: &Name, claim: &ClaimFact, as_of: NaiveDate) -> Money {
    let value = claim.value.unwrap_or(Money::ZERO);
    match name {
        Name::Costs(_) => claim.costs,
        Name::Recovered(_) => claim.recovered(as_of),
        Name::Net(_) => value - claim.recovered(as_of),
        _ => value,
    }
}

pub(crate) fn money(name: &Name, currency: &str, all: &[&Facts], span: Span) -> Reading {
    let of: Vec<&ClaimFact> = opened_in(all, span)
        .filter(|claim| currency_of(&claim.currency) == currency)
        .collect();
    Reading::Money {
        amount: of.iter().map(|claim| worth(name, claim, span.as_of)).sum(),
        currency: currency.to_owned(),
        claims: many(of.iter().copied()),
        unvalued: many(of.iter().copied().filter(|claim| claim.value.is_none())),
    }
}

/// A claim behind a figure, and how it was counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Counted<'f> {
    /// The supplier's identifier.
    pub supplier: &'f str,
    /// The claim.
    pub claim: &'f ClaimFact,
    /// How it was counted.
    pub counted: String,
    /// Whether it is in the part, not only in the whole.
    pub part: bool,
}

/// Returns the claims behind a figure of claims; none for one that is counted from receipts, orders or findings.
pub fn behind<'f>(name: &Name, all: &[&'f Facts], span: Span) -> Vec<Counted<'f>> {
    let mut out = Vec::new();
    for facts in all {
        for claim in facts
            .claims
            .iter()
            .filter(|claim| claim.on_supplier && !claim.withdrawn())
        {
            if let Some((counted, part)) = how(name, claim, span) {
                out.push(Counted {
                    supplier: &facts.supplier,
                    claim,
                    counted,
                    part,
                });
            }
        }
    }
    out.sort_by_key(|one| (one.claim.drafted, one.claim.number.clone()));
    out
}

fn how(name: &Name, claim: &ClaimFact, span: Span) -> Option<(String, bool)> {
    let opened = span.has(claim.drafted);
    match name {
        Name::Opened => opened.then(|| ("opened".to_owned(), true)),
        Name::Settled => claim
            .closed
            .filter(|closed| claim.state == State::Right && span.has(*closed))
            .map(|closed| (format!("made right {closed}"), true)),
        Name::Open => is_open(claim, span.as_of).then(|| {
            let days = (span.as_of - claim.drafted).num_days();
            (format!("open for {days} days"), true)
        }),
        Name::NoticeInTime => {
            let in_time = in_time(claim, span.as_of).filter(|_| opened)?;
            let last = claim.notify_by?;
            let sent = claim
                .sent
                .map_or_else(|| "not sent".to_owned(), |sent| format!("sent {sent}"));
            Some((format!("{sent}, last day {last}"), in_time))
        }
        Name::DaysToSettle => opened.then(|| {
            let Age { days, settled } = age(claim, span.as_of);
            let word = if settled { "settled after" } else { "open for" };
            (format!("{word} {days} days"), settled)
        }),
        Name::Claimed(currency)
        | Name::Costs(currency)
        | Name::Recovered(currency)
        | Name::Net(currency) => (opened && currency_of(&claim.currency) == *currency).then(|| {
            let worth = worth(name, claim, span.as_of);
            (
                format!(
                    "{} {currency}",
                    crate::review::measures::reading::money(worth)
                ),
                true,
            )
        }),
        Name::Deliveries
        | Name::Lines
        | Name::Rejected(_)
        | Name::Found(_)
        | Name::OnTime
        | Name::InFull
        | Name::OnTimeInFull
        | Name::Sets
        | Name::ReplacementsRight => None,
    }
}

fn many<'c>(claims: impl Iterator<Item = &'c ClaimFact>) -> u64 {
    u64::try_from(claims.count()).unwrap_or(u64::MAX)
}
