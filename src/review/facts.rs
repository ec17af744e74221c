//! What the review is given: rows the book has added up, month by month, and its claims one by one. Adds nothing up.

use crate::claim::cycle::State;
use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::review::month::Month;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// All that is known of one supplier in the period.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    /// Its identifier.
    pub supplier: String,
    /// Its name, where known.
    pub name: Option<String>,
    /// Receipt lines.
    pub lines: Vec<Lines>,
    /// Deliveries.
    pub deliveries: Vec<Deliveries>,
    /// Findings.
    pub found: Vec<Found>,
    /// Orders by the month they were due.
    pub due: Vec<Due>,
    /// Matched sets by the month they were due.
    pub sets: Vec<Sets>,
    /// Claims opened in the period, or open or settled in it.
    pub claims: Vec<ClaimFact>,
}

impl Facts {
    /// Returns the name to print: the supplier's name, else its identifier.
    pub fn called(&self) -> &str {
        self.name.as_deref().unwrap_or(&self.supplier)
    }
}

/// Receipt lines of one month and unit, judged alike; those of replacements left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    /// The month they came.
    pub month: Month,
    /// Their unit of measure.
    pub unit: String,
    /// Whether they were as ordered on the day they came.
    pub as_ordered: bool,
    /// How many.
    pub lines: u64,
    /// How much came.
    pub arrived: Decimal,
    /// How much of it was rejected.
    pub rejected: Decimal,
}

/// Deliveries of one month, judged alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Deliveries {
    /// The month they came.
    pub month: Month,
    /// Whether they were as ordered on the day they came; of replacements, whether they made the claim right.
    pub as_ordered: bool,
    /// Whether they came to make a claim right.
    pub replacement: bool,
    /// How many.
    pub deliveries: u64,
}

/// Findings of one month and kind, in one unit and currency; those on replacements left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The month.
    pub month: Month,
    /// Their kind.
    pub kind: Kind,
    /// Their unit of measure.
    pub unit: String,
    /// How many.
    pub findings: u64,
    /// How much they touch.
    pub amount: Decimal,
    /// How many have a price.
    pub priced: u64,
    /// Their amount at the order's price, those that have one.
    pub cost: Money,
    /// The currency of that.
    pub currency: String,
}

/// Orders due in one month, or with no promised day and first received in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// The month.
    pub month: Month,
    /// Whether a day was promised.
    pub promised: bool,
    /// How many.
    pub orders: u64,
    /// How many of them had a first delivery by the promised day.
    pub on_time: u64,
    /// How many had everything, conforming, with the first delivery.
    pub in_full: u64,
    /// How many had both.
    pub both: u64,
}

/// Matched sets of orders due in one month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sets {
    /// The month.
    pub month: Month,
    /// How many were ordered.
    pub ordered: u64,
    /// How many can be made.
    pub filled: u64,
}

/// One claim as it stood at the end of the period.
#[derive(Debug, Clone, PartialEq)]
pub struct ClaimFact {
    /// Its number.
    pub number: String,
    /// Its order.
    pub order: String,
    /// Whether it is on the supplier; otherwise on a carrier.
    pub on_supplier: bool,
    /// How far it has come today.
    pub state: State,
    /// The day it was drafted.
    pub drafted: NaiveDate,
    /// The day it was sent.
    pub sent: Option<NaiveDate>,
    /// The last day to tell them.
    pub notify_by: Option<NaiveDate>,
    /// The day it was closed.
    pub closed: Option<NaiveDate>,
    /// ISO 4217 code.
    pub currency: String,
    /// What is claimed, entered costs included; `None` where no price is known.
    pub value: Option<Money>,
    /// The labour and other costs entered, part of the value.
    pub costs: Money,
    /// What was credited by the end of the period.
    pub credited: Money,
    /// What was let go by the end of the period.
    pub let_go: Money,
    /// Whether goods came, or were collected, by the end of the period.
    pub goods: bool,
    /// What it is about: its kinds, in words.
    pub about: String,
}

impl ClaimFact {
    /// Tells whether it was closed by that day.
    pub fn closed_by(&self, day: NaiveDate) -> bool {
        self.closed.is_some_and(|closed| closed <= day)
    }

    /// Tells whether it was taken back.
    pub fn withdrawn(&self) -> bool {
        self.state == State::Withdrawn
    }

    /// Returns what was recovered by that day: money credited, and the rest of the value where goods made it right, but
    /// for what was let go.
    pub fn recovered(&self, day: NaiveDate) -> Money {
        let made_right = self.goods && self.closed_by(day) && self.state == State::Right;
        match self.value {
            Some(value) if made_right && value - self.let_go > self.credited => value - self.let_go,
            Some(_) | None => self.credited,
        }
    }
}
