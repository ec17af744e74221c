//! The review as text: terminal, page, CSV, JSON. Computes no figure and judges nobody.

pub mod csv;
pub mod json;
pub mod page;
pub mod terminal;
pub mod why;

use crate::review::compare::{Judged, Verdict};
use crate::review::facts::ClaimFact;
use crate::review::measures::reading::money;
use crate::review::measures::{Span, claims};
use crate::review::month::Period;
use crate::review::pages::{Review, SupplierPage};
use chrono::NaiveDate;

/// Why deliveries are judged and not lines.
const JUDGED_BY: &str = "Suppliers are judged by deliveries, not by lines: lines of one delivery go wrong together. \
    A supplier is called out only outside the 99.8 % limits around the shop's own average.";

/// Returns the suppliers that are called out, by name.
fn called_out(review: &Review) -> impl Iterator<Item = &SupplierPage> {
    review
        .suppliers
        .iter()
        .filter(|page| page.judged.verdict.is_call_out())
}

/// Returns a verdict with what is worth watching.
fn verdict(judged: &Judged) -> String {
    match (judged.verdict, judged.watch) {
        (Verdict::AsOthers, true) => format!("{}, worth watching", judged.verdict.words()),
        (Verdict::Worse | Verdict::Better | Verdict::AsOthers | Verdict::TooFew, _) => {
            judged.verdict.words().to_owned()
        }
    }
}

/// Returns what is known of the rate in the long run, with its Wilson interval.
fn interval(judged: &Judged) -> Option<String> {
    judged.interval.map(|interval| {
        format!(
            "In the long run {} of its deliveries are not as ordered, as far as these tell (Wilson 95 %)",
            interval.words()
        )
    })
}

/// Returns the claims to tell of one by one, open or moved in the month, and the numbers of those closed before.
fn split(page: &SupplierPage, period: Period) -> (Vec<&ClaimFact>, Vec<&str>) {
    let month = Span::month(period);
    let (now, before): (Vec<_>, Vec<_>) = page.claims.iter().partition(|claim| {
        claims::is_open(claim, period.as_of)
            || month.has(claim.drafted)
            || claim.closed.is_some_and(|closed| month.has(closed))
    });
    (
        now,
        before
            .into_iter()
            .map(|claim| claim.number.as_str())
            .collect(),
    )
}

/// Returns a claim in a line: when, state, value, what.
pub fn claim(claim: &ClaimFact, as_of: NaiveDate) -> String {
    let state = match claim.closed.filter(|closed| *closed <= as_of) {
        Some(closed) => format!("{} {closed}", claim.state.name()),
        None => {
            let days = (as_of - claim.drafted).num_days();
            let said = if claim.state.is_closed() {
                "open then"
            } else {
                claim.state.name()
            };
            format!("{said}, {days} days old")
        }
    };
    let value = match claim.value {
        Some(value) => format!(
            "{} {}, recovered {}",
            money(value),
            claim.currency,
            money(claim.recovered(as_of))
        ),
        None => "no price known".to_owned(),
    };
    let who = if claim.on_supplier {
        ""
    } else {
        " (on the carrier)"
    };
    let about = if claim.about.is_empty() {
        String::new()
    } else {
        format!("; {}", claim.about)
    };
    format!("order {}{who}, {state}; {value}{about}", claim.order)
}
