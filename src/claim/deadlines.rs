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
    const fn words(self) -> &'static str {
        match self {
            Sort::Visible => "what can be seen",
            Sort::Concealed => "concealed damage",
            Sort::Shortage => "shortages",
        }
    }
}

/// What is common in the trade where nobody's terms say more; no source, and said so.
const COMMON: Period = Period {
    days: 5,
    business: true,
};
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
        Against::Carrier => Some(carrier(case, receipt, sort, from)),
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
    let (period, source) = match (stated, case.order.rules.as_deref()) {
        (Some(period), _) => (
            period,
            format!(
                "the supplier's terms, {} for {}",
                said(period),
                sort.words()
            ),
        ),
        (None, Some(rules)) if rules.eq_ignore_ascii_case("nhla") => {
            let period = Period {
                days: 14,
                business: false,
            };
            (
                period,
                "NHLA Sales Code, 14 days after unloading, with a piece tally".to_owned(),
            )
        }
        (None, Some(_) | None) => (
            COMMON,
            format!(
                "common practice, {} for {}; the supplier's terms do not say",
                said(COMMON),
                sort.words()
            ),
        ),
    };
    Some(Deadline {
        date: calendar::after(from, period, holidays(case)),
        why: source,
    })
}

/// Returns the carrier's day: 5 business days for concealed damage (NMFC 300135), else 9 months, the least that a
/// carrier in the United States may allow for a claim (49 U.S.C. 14706(e)).
fn carrier(case: &Case<'_>, receipt: &Receipt, sort: Sort, from: NaiveDate) -> Deadline {
    match sort {
        Sort::Concealed => {
            let five = Period {
                days: 5,
                business: true,
            };
            // The five days run from delivery, however late the damage was found.
            let start = from.min(receipt.date);
            Deadline {
                date: calendar::after(start, five, holidays(case)),
                why: "concealed damage, 5 business days of delivery (NMFC 300135, United States)"
                    .to_owned(),
            }
        }
        Sort::Visible | Sort::Shortage => Deadline {
            date: receipt
                .date
                .checked_add_months(Months::new(9))
                .unwrap_or(receipt.date),
            why: "a carrier's claim, 9 months of delivery (49 U.S.C. 14706(e), United States)"
                .to_owned(),
        },
    }
}

/// Returns the days a carrier has to acknowledge and to pay, decline or offer (49 CFR 370.5 and 370.9).
pub fn carrier_follow_up(sent: NaiveDate) -> [Deadline; 2] {
    let after = |days| {
        calendar::after(
            sent,
            Period {
                days,
                business: false,
            },
            &[],
        )
    };
    [
        Deadline {
            date: after(30),
            why: "the carrier acknowledges within 30 days (49 CFR 370.5)".to_owned(),
        },
        Deadline {
            date: after(120),
            why: "the carrier pays, declines or makes a firm offer within 120 days (49 CFR 370.9)"
                .to_owned(),
        },
    ]
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
    touched(line, finding)
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
pub fn said(period: Period) -> String {
    let day = if period.days == 1 { "day" } else { "days" };
    let business = if period.business { "business " } else { "" };
    format!("{} {business}{day}", period.days)
}
