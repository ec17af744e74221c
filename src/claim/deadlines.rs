//! By when the other side must be told, and when an answer is asked. Counts days with `calendar`; values nothing.
//!
//! A supplier's own terms come first, then a trade's rules where the order says they govern, then common practice.
//! The earliest day over all findings counts.

use crate::check::case::Case;
use crate::claim::calendar;
use crate::claim::loss::touched;
use crate::claim::remedy::Against;
use crate::model::answer::{Answer, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::receipt::{Damage, Receipt};
use crate::model::supplier::Period;
use crate::trade::notices::{self, Span, Standing, Term};
use chrono::{Months, NaiveDate};

/// A day and where it comes from, in words.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Deadline {
    /// The last day.
    pub date: NaiveDate,
    /// Where it comes from.
    pub why: String,
}

/// Which period counts for a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Visible,
    Concealed,
    Shortage,
}

impl Sort {
    /// The row of common practice in the trade's table.
    const fn practice(self) -> &'static str {
        match self {
            Sort::Visible => "practice-visible",
            Sort::Concealed => "practice-concealed",
            Sort::Shortage => "practice-shortage",
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Sort::Visible => "what can be seen",
            Sort::Concealed => "concealed damage",
            Sort::Shortage => "shortages",
        }
    }
}

/// When we ask for an answer where the supplier's file gives no `reply`.
const REPLY: Period = Period {
    days: 10,
    business: false,
};

/// Returns the last day to tell the other side of one finding; `None` where neither the supplier's terms nor the
/// shop are known, because then nothing but guesses is left.
pub fn notify(
    case: &Case<'_>,
    answer: &Answer,
    line: Option<&LineAnswer>,
    finding: &Finding,
    against: Against,
) -> Option<Deadline> {
    let receipt = starts(case, answer, finding)?;
    let concealed = line.and_then(|line| concealed(case, line, finding));
    let sort = match (finding.kind, concealed) {
        (Kind::Short, _) => Sort::Shortage,
        (_, Some(_)) => Sort::Concealed,
        (_, None) => Sort::Visible,
    };
    let from = concealed.unwrap_or(receipt.date);
    match against {
        Against::Carrier => carrier(case, receipt, sort, from),
        Against::Supplier => supplier(case, sort, from),
    }
}

fn supplier(case: &Case<'_>, sort: Sort, from: NaiveDate) -> Option<Deadline> {
    if case.supplier.is_none() && case.shop.is_none() {
        return None;
    }
    let terms = case.supplier.map(|supplier| supplier.notice);
    let stated = terms.and_then(|notice| match sort {
        Sort::Visible => notice.visible,
        Sort::Concealed => notice.concealed,
        Sort::Shortage => notice.shortage,
    });
    if let Some(period) = stated {
        return Some(Deadline {
            date: calendar::after(from, period, holidays(case)),
            why: format!(
                "the supplier's terms, {} for {}",
                said(period),
                sort.words()
            ),
        });
    }
    let rules = case
        .order
        .rules
        .as_deref()
        .and_then(notices::named)
        .filter(|notice| notice.standing == Standing::Rules && notice.period.is_some());
    let notice = rules.or_else(|| notices::named(sort.practice()))?;
    let term = notice.period?;
    let silent = if rules.is_some() {
        ""
    } else {
        "; the supplier's terms do not say"
    };
    Some(Deadline {
        date: end(from, term, holidays(case)),
        why: format!(
            "{}, {} for {}{silent}",
            notice.source,
            said_term(term),
            sort.words()
        ),
    })
}

/// Returns the last day of a period of the trade's table.
fn end(from: NaiveDate, term: Term, holidays: &[NaiveDate]) -> NaiveDate {
    let period = |business| Period {
        days: term.count,
        business,
    };
    let months = |count: u32| {
        from.checked_add_months(Months::new(count))
            .unwrap_or(NaiveDate::MAX)
    };
    match term.unit {
        Span::Days => calendar::after(from, period(false), holidays),
        Span::BusinessDays => calendar::after(from, period(true), holidays),
        Span::Months => months(term.count),
        Span::Years => months(term.count.saturating_mul(12)),
    }
}

fn said_term(term: Term) -> String {
    let (one, many) = match term.unit {
        Span::Days => ("day", "days"),
        Span::BusinessDays => ("business day", "business days"),
        Span::Months => ("month", "months"),
        Span::Years => ("year", "years"),
    };
    format!(
        "{} {}",
        term.count,
        if term.count == 1 { one } else { many }
    )
}

/// Returns the carrier's day, by the rules of the United States: that of concealed damage, else that of a claim in
/// form. Concealed damage counts from delivery, however late it was found.
fn carrier(case: &Case<'_>, receipt: &Receipt, sort: Sort, from: NaiveDate) -> Option<Deadline> {
    let (id, words) = match sort {
        Sort::Concealed => ("carrier-concealed", "concealed damage"),
        Sort::Visible | Sort::Shortage => ("carrier-claim", "a carrier's claim"),
    };
    let notice = notices::named(id)?;
    let term = notice.period?;
    Some(Deadline {
        date: end(from.min(receipt.date), term, holidays(case)),
        why: format!(
            "{words}, {} of delivery ({}, United States)",
            said_term(term),
            notice.source
        ),
    })
}

/// Returns the days a carrier has to acknowledge and to pay, decline or offer, by the rules of the United States.
pub fn carrier_follow_up(sent: NaiveDate) -> Vec<Deadline> {
    ["carrier-acknowledges", "carrier-answers"]
        .into_iter()
        .filter_map(|id| {
            let notice = notices::named(id)?;
            Some(Deadline {
                date: end(sent, notice.period?, &[]),
                why: format!("{} ({})", notice.says, notice.source),
            })
        })
        .collect()
}

/// Returns the day by which a carrier's answer is asked: that of its acknowledgement.
pub fn carrier_answer_by(sent: NaiveDate) -> NaiveDate {
    carrier_follow_up(sent)
        .first()
        .map_or(sent, |deadline| deadline.date)
}

/// Returns the day by which an answer is asked of the supplier.
pub fn answer_by(case: &Case<'_>, today: NaiveDate) -> NaiveDate {
    let reply = case.supplier.and_then(|supplier| supplier.reply);
    calendar::after(today, reply.unwrap_or(REPLY), holidays(case))
}

fn holidays<'c>(case: &'c Case<'_>) -> &'c [NaiveDate] {
    case.shop.map_or(&[], |shop| &shop.holidays)
}

/// Returns the receipt a finding's period starts with. A shortage or an excess is known with the last delivery that
/// made it; anything else with the first that shows it.
fn starts<'c>(case: &Case<'c>, answer: &Answer, finding: &Finding) -> Option<&'c Receipt> {
    let of = |numbers: &[String]| -> Vec<&'c Receipt> {
        case.receipts
            .iter()
            .filter(|receipt| numbers.contains(&receipt.number.value))
            .collect()
    };
    let mut receipts = of(&finding.receipts);
    if receipts.is_empty() {
        receipts = of(&answer.receipts);
    }
    if finding.receipts.is_empty() || matches!(finding.kind, Kind::Short | Kind::Over) {
        receipts.into_iter().max_by_key(|receipt| receipt.date)
    } else {
        receipts.into_iter().min_by_key(|receipt| receipt.date)
    }
}

/// Returns the day on which concealed damage was found (else of the receipt), where the finding is of that sort.
fn concealed(case: &Case<'_>, line: &LineAnswer, finding: &Finding) -> Option<NaiveDate> {
    if finding.kind != Kind::Damaged {
        return None;
    }
    touched(finding)
        .into_iter()
        .filter_map(|place| {
            let lot = &line.lots[place];
            let receipt = case
                .receipts
                .iter()
                .find(|receipt| receipt.number.value == lot.receipt)?;
            let line = receipt.lines.get(lot.index.checked_sub(1)?)?;
            (line.damage == Some(Damage::Concealed)).then(|| line.found.unwrap_or(receipt.date))
        })
        .min()
}

/// Returns a period in words.
fn said(period: Period) -> String {
    let day = if period.days == 1 { "day" } else { "days" };
    let business = if period.business { "business " } else { "" };
    format!("{} {business}{day}", period.days)
}
