//! The figures of a page: each with its short name, its formula in words, its n, for the month and for the twelve.
//! Judges nobody and ranks nothing; that is `compare`.

pub mod claims;
pub mod kinds;
pub mod names;
pub mod reading;

use crate::model::money::Money;
use crate::review::facts::Facts;
use crate::review::measures::names::{Name, currency_of};
use crate::review::measures::reading::Reading;
use crate::review::month::{Month, Period};
use crate::review::statistics::Share;
use crate::review::statistics::pareto::{Row, pareto};
use crate::review::statistics::ppm::{Amounts, by_unit};
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::{BTreeMap, BTreeSet};

/// One figure of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its short name, as `review --why` takes it.
    pub name: String,
    /// What it is.
    pub title: String,
    /// How it is worked out, in words.
    pub formula: String,
    /// Of the month.
    pub month: Reading,
    /// Of the twelve months.
    pub year: Reading,
}

/// A stretch of months, and the day up to which things count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// The first month.
    pub from: Month,
    /// The last month.
    pub to: Month,
    /// The day up to which things count.
    pub as_of: NaiveDate,
}

impl Span {
    /// Returns the month of a period alone.
    pub const fn month(period: Period) -> Span {
        Span {
            from: period.month,
            to: period.month,
            as_of: period.as_of,
        }
    }

    /// Returns the twelve months of a period.
    pub const fn year(period: Period) -> Span {
        Span {
            from: period.from(),
            to: period.month,
            as_of: period.as_of,
        }
    }

    /// Tells whether a month is in it.
    pub fn holds(self, month: Month) -> bool {
        self.from <= month && month <= self.to
    }

    /// Tells whether a day is in it.
    pub fn has(self, day: NaiveDate) -> bool {
        self.holds(Month::of(day)) && day <= self.as_of
    }
}

/// Returns the figures of a page about these suppliers together.
pub fn figures(all: &[&Facts], period: Period) -> Vec<Figure> {
    let year = Span::year(period);
    let mut names = vec![Name::Deliveries, Name::Lines];
    names.extend(units(all, year).into_iter().map(Name::Rejected));
    names.extend(kinds_found(all, year).into_iter().map(Name::Found));
    names.extend([Name::OnTime, Name::InFull, Name::OnTimeInFull]);
    if all
        .iter()
        .flat_map(|facts| &facts.sets)
        .any(|sets| sets.ordered > 0)
    {
        names.push(Name::Sets);
    }
    names.extend([
        Name::Opened,
        Name::Settled,
        Name::Open,
        Name::NoticeInTime,
        Name::DaysToSettle,
        Name::ReplacementsRight,
    ]);
    for currency in claims::currencies(all) {
        names.extend([
            Name::Claimed(currency.clone()),
            Name::Costs(currency.clone()),
            Name::Recovered(currency.clone()),
            Name::Net(currency),
        ]);
    }
    names
        .into_iter()
        .map(|name| Figure {
            month: reading(&name, all, Span::month(period)),
            year: reading(&name, all, year),
            title: name.title(),
            formula: name.formula(),
            name: name.to_string(),
        })
        .collect()
}

fn units(all: &[&Facts], span: Span) -> BTreeSet<String> {
    all.iter()
        .flat_map(|facts| &facts.lines)
        .filter(|lines| span.holds(lines.month))
        .map(|lines| lines.unit.clone())
        .collect()
}

fn kinds_found(all: &[&Facts], span: Span) -> BTreeSet<crate::model::kind::Kind> {
    all.iter()
        .flat_map(|facts| &facts.found)
        .filter(|found| span.holds(found.month))
        .map(|found| found.kind)
        .collect()
}

/// Returns what a figure reads in a span of months.
pub fn reading(name: &Name, all: &[&Facts], span: Span) -> Reading {
    match name {
        Name::Deliveries => deliveries(all, span, false),
        Name::ReplacementsRight => deliveries(all, span, true),
        Name::Lines => Reading::share(lines_as_ordered(all, span), "lines"),
        Name::Rejected(unit) => rejected(all, span, unit),
        Name::Found(kind) => found(all, span, *kind),
        Name::OnTime | Name::InFull | Name::OnTimeInFull => due(name, all, span),
        Name::Sets => Reading::share(sets(all, span), "sets"),
        Name::Opened => claims::opened(all, span),
        Name::Settled => claims::settled(all, span),
        Name::Open => claims::open(all, span),
        Name::NoticeInTime => claims::notice(all, span),
        Name::DaysToSettle => claims::days(all, span),
        Name::Claimed(currency)
        | Name::Costs(currency)
        | Name::Recovered(currency)
        | Name::Net(currency) => claims::money(name, currency, all, span),
    }
}

fn deliveries(all: &[&Facts], span: Span, replacement: bool) -> Reading {
    let share = all
        .iter()
        .map(|facts| deliveries_of(facts, span, replacement))
        .sum();
    Reading::share(
        share,
        if replacement {
            "replacements"
        } else {
            "deliveries"
        },
    )
}

/// Returns how many deliveries of a supplier were as ordered on the day they came.
pub fn deliveries_of(facts: &Facts, span: Span, replacement: bool) -> Share {
    facts
        .deliveries
        .iter()
        .filter(|row| span.holds(row.month) && row.replacement == replacement)
        .filter_map(|row| {
            Share::new(
                if row.as_ordered { row.deliveries } else { 0 },
                row.deliveries,
            )
        })
        .sum()
}

fn lines_as_ordered(all: &[&Facts], span: Span) -> Share {
    all.iter()
        .flat_map(|facts| &facts.lines)
        .filter(|row| span.holds(row.month))
        .filter_map(|row| Share::new(if row.as_ordered { row.lines } else { 0 }, row.lines))
        .sum()
}

fn rejected(all: &[&Facts], span: Span, unit: &str) -> Reading {
    let rows = || {
        all.iter()
            .flat_map(|facts| &facts.lines)
            .filter(|row| span.holds(row.month) && row.unit == unit)
    };
    let amounts = by_unit(rows().map(|row| {
        (
            row.unit.as_str(),
            Amounts {
                received: row.arrived,
                rejected: row.rejected,
            },
        )
    }));
    Reading::Rejected {
        unit: unit.to_owned(),
        amounts: amounts.get(unit).copied().unwrap_or_default(),
        lines: rows().map(|row| row.lines).sum(),
    }
}

fn found(all: &[&Facts], span: Span, kind: crate::model::kind::Kind) -> Reading {
    let mut amounts = BTreeMap::<String, Decimal>::new();
    let mut findings = 0;
    for row in all
        .iter()
        .flat_map(|facts| &facts.found)
        .filter(|row| row.kind == kind && span.holds(row.month))
    {
        findings += row.findings;
        let sum = amounts.entry(row.unit.clone()).or_default();
        *sum = sum.saturating_add(row.amount);
    }
    Reading::Found {
        findings,
        amounts: amounts.into_iter().collect(),
        lines: lines_as_ordered(all, span).whole(),
    }
}

fn due(name: &Name, all: &[&Facts], span: Span) -> Reading {
    let share = all
        .iter()
        .flat_map(|facts| &facts.due)
        .filter(|row| span.holds(row.month))
        .filter_map(|row| match name {
            Name::InFull => Share::new(row.in_full, row.orders),
            Name::OnTime if row.promised => Share::new(row.on_time, row.orders),
            Name::OnTimeInFull if row.promised => Share::new(row.both, row.orders),
            _ => None,
        })
        .sum();
    Reading::share(share, "orders")
}

fn sets(all: &[&Facts], span: Span) -> Share {
    all.iter()
        .flat_map(|facts| &facts.sets)
        .filter(|row| span.holds(row.month))
        .filter_map(|row| Share::new(row.filled.min(row.ordered), row.ordered))
        .sum()
}

/// Returns the kinds that can be claimed by falling cost in the twelve months, in one currency, with how many of
/// their findings have no price.
pub fn costs(all: &[&Facts], period: Period, currency: &str) -> (Vec<Row>, u64) {
    let rows: Vec<_> = all
        .iter()
        .flat_map(|facts| &facts.found)
        .filter(|row| {
            period.holds(row.month) && kinds::is_claimed(row.kind) && row.currency == currency
        })
        .collect();
    let names: Vec<(String, Money)> = rows
        .iter()
        .map(|row| (kinds::short(row.kind), row.cost))
        .collect();
    let unpriced = rows.iter().map(|row| row.findings - row.priced).sum();
    (
        pareto(names.iter().map(|(name, cost)| (name.as_str(), cost.0))),
        unpriced,
    )
}

/// Returns the currencies of the findings with a cost, and of the claims.
pub fn currencies(all: &[&Facts]) -> BTreeSet<String> {
    let mut names = claims::currencies(all);
    names.extend(
        all.iter()
            .flat_map(|facts| &facts.found)
            .filter(|row| row.priced > 0)
            .map(|row| currency_of(&row.currency)),
    );
    names
}
