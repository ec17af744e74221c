//! What a figure reads, in words and as a number. Below 20 it gives counts only. Adds nothing up.

use crate::model::money::Money;
use crate::model::words::listed;
use crate::review::statistics::ppm::Amounts;
use crate::review::statistics::survival::Settling;
use crate::review::statistics::{FEW, Share, thousands};
use rust_decimal::Decimal;

/// What a figure reads.
#[derive(Debug, Clone, PartialEq)]
pub enum Reading {
    /// Some of a whole.
    Share {
        /// The share.
        share: Share,
        /// What the whole counts.
        what: &'static str,
    },
    /// Rejected of one unit of measure.
    Rejected {
        /// The unit.
        unit: String,
        /// Received and rejected.
        amounts: Amounts,
        /// On how many lines.
        lines: u64,
    },
    /// Findings of one kind.
    Found {
        /// How many.
        findings: u64,
        /// What they touch, unit by unit.
        amounts: Vec<(String, Decimal)>,
        /// Of how many receipt lines.
        lines: u64,
    },
    /// Claims counted.
    Claims {
        /// How many.
        claims: u64,
    },
    /// Open claims with their ages.
    Open {
        /// Days since each was drafted, oldest first.
        days: Vec<i64>,
    },
    /// Money of claims.
    Money {
        /// How much.
        amount: Money,
        /// In which currency.
        currency: String,
        /// Of how many claims.
        claims: u64,
        /// How many of them have no value, because no price is known.
        unvalued: u64,
    },
    /// Days until claims were settled.
    Settling {
        /// The estimate.
        settling: Settling,
        /// Days of each claim, settled (true) or open (false), shortest first.
        days: Vec<(u32, bool)>,
    },
}

impl Reading {
    /// Makes a share of something.
    pub const fn share(share: Share, what: &'static str) -> Reading {
        Reading::Share { share, what }
    }

    /// Returns its n: how many were counted.
    pub fn n(&self) -> u64 {
        match self {
            Reading::Share { share, .. } => share.whole(),
            Reading::Rejected { lines, .. } | Reading::Found { lines, .. } => *lines,
            Reading::Claims { claims } | Reading::Money { claims, .. } => *claims,
            Reading::Open { days } => count(days.len()),
            Reading::Settling { days, .. } => count(days.len()),
        }
    }

    /// Returns the one number that stands for it, and what that number is; `None` where there is none, or n is below
    /// 20 and it would be a rate.
    pub fn number(&self) -> Option<(String, String)> {
        match self {
            Reading::Share { share, .. } => {
                let rate = share.rate().filter(|_| !share.is_few())?;
                Some((format!("{:.1}", rate * 100.0), "per cent".to_owned()))
            }
            Reading::Rejected { amounts, lines, .. } => {
                let ppm = amounts.ppm().filter(|_| *lines >= FEW)?;
                Some((
                    ppm.round().normalize().to_string(),
                    "parts per million".to_owned(),
                ))
            }
            Reading::Found { findings, .. } => Some((findings.to_string(), "findings".to_owned())),
            Reading::Claims { claims } => Some((claims.to_string(), "claims".to_owned())),
            Reading::Open { days } => Some((days.len().to_string(), "claims".to_owned())),
            Reading::Money {
                amount, currency, ..
            } => Some((amount.to_string(), currency.clone())),
            Reading::Settling { settling, days } => {
                let median = settling.median.filter(|_| count(days.len()) >= FEW)?;
                Some((median.to_string(), "days, median".to_owned()))
            }
        }
    }

    /// Returns it in words, with its n: `378 of 400 deliveries (94.5 %)`.
    pub fn words(&self) -> String {
        match self {
            Reading::Share { share, what } => match share.rate() {
                None => format!("no {what}"),
                Some(_) if share.is_few() => format!("{share} {what}"),
                Some(rate) => format!("{share} {what} ({:.1} %)", rate * 100.0),
            },
            Reading::Rejected {
                unit,
                amounts,
                lines,
            } => {
                let counts = format!(
                    "{} of {} {unit}, {}",
                    amount(amounts.rejected),
                    amount(amounts.received),
                    counted(*lines, "line", "lines")
                );
                match amounts.ppm() {
                    _ if *lines == 0 => "none received".to_owned(),
                    Some(ppm) if *lines >= FEW => format!("{} ppm ({counts})", amount(ppm.round())),
                    Some(_) | None => counts,
                }
            }
            Reading::Found {
                findings: 0, lines, ..
            } => {
                format!("none on {}", counted(*lines, "line", "lines"))
            }
            Reading::Found {
                findings,
                amounts,
                lines,
            } => {
                let touched: Vec<String> = amounts
                    .iter()
                    .map(|(unit, sum)| format!("{} {unit}", amount(*sum)))
                    .collect();
                format!(
                    "{} on {} ({})",
                    thousands(*findings),
                    counted(*lines, "line", "lines"),
                    touched.join(", ")
                )
            }
            Reading::Claims { claims: 0 } => "none".to_owned(),
            Reading::Claims { claims } => counted(*claims, "claim", "claims"),
            Reading::Open { days } => match days.as_slice() {
                [] => "none".to_owned(),
                [one] => format!("1 claim, {one} days old"),
                [oldest, .., newest] => format!(
                    "{} claims, {newest} to {oldest} days old",
                    thousands(count(days.len()))
                ),
            },
            Reading::Money { claims: 0, .. } => "none".to_owned(),
            Reading::Money {
                amount,
                currency,
                claims,
                unvalued,
            } => {
                let without = match unvalued {
                    0 => String::new(),
                    some => format!(", {some} of them without a price"),
                };
                format!(
                    "{} {currency} ({}{without})",
                    money(*amount),
                    counted(*claims, "claim", "claims")
                )
            }
            Reading::Settling { settling, days } if count(days.len()) >= FEW => settling.words(),
            Reading::Settling { days, .. } => few_days(days),
        }
    }
}

fn few_days(days: &[(u32, bool)]) -> String {
    let of = |wanted: bool| -> Vec<String> {
        days.iter()
            .filter(|(_, settled)| *settled == wanted)
            .map(|(days, _)| days.to_string())
            .collect()
    };
    let (settled, open) = (of(true), of(false));
    let mut parts = Vec::new();
    if !settled.is_empty() {
        parts.push(format!(
            "{} settled, after {} days",
            settled.len(),
            listed(&settled)
        ));
    }
    if !open.is_empty() {
        parts.push(format!("{} open, for {} days", open.len(), listed(&open)));
    }
    if parts.is_empty() {
        "no claims".to_owned()
    } else {
        parts.join("; ")
    }
}

fn count(many: usize) -> u64 {
    u64::try_from(many).unwrap_or(u64::MAX)
}

/// Returns a count with its word.
pub fn counted(many: u64, one: &str, more: &str) -> String {
    format!("{} {}", thousands(many), if many == 1 { one } else { more })
}

/// Returns an amount with commas every three digits, without trailing zeros.
pub fn amount(amount: Decimal) -> String {
    grouped(&amount.normalize().to_string())
}

/// Returns money with commas every three digits and two decimals.
pub fn money(money: Money) -> String {
    grouped(&money.to_string())
}

fn grouped(text: &str) -> String {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", text),
    };
    let (whole, rest) = digits
        .split_once('.')
        .map_or((digits, ""), |(whole, rest)| (whole, rest));
    let whole = whole.parse().map_or_else(|_| whole.to_owned(), thousands);
    if rest.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{rest}")
    }
}
