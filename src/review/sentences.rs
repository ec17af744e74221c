//! Three sentences to say to a supplier, drawn from its figures. Blames nobody for what chance can explain.

use crate::review::charts::trend::Trend;
use crate::review::compare::{Judged, Verdict};
use crate::review::facts::{ClaimFact, Facts};
use crate::review::measures::names::Name;
use crate::review::measures::reading::{Reading, counted, money};
use crate::review::measures::{Span, claims, kinds, reading};
use crate::review::month::Period;
use crate::review::pages::Costs;
use crate::review::statistics::{per_cent, thousands};

/// Returns the three sentences: what the deliveries show, then of what costs most, what is open, what changed, what
/// was late and what was asked for how long the first two that the data have.
pub fn sentences(
    judged: &Judged,
    facts: &Facts,
    trend: Option<&Trend>,
    costs: &[Costs],
    period: Period,
) -> [String; 3] {
    let mut found = vec![deliveries(judged)];
    found.extend(costliest(facts, costs, period));
    found.extend(open(facts, period));
    found.extend(changed(trend));
    found.extend(late(facts, period));
    found.push(lines(facts, period));
    found.push(settled(facts, period));
    let mut found = found.into_iter();
    let mut next = || found.next().unwrap_or_default();
    [next(), next(), next()]
}

fn deliveries(judged: &Judged) -> String {
    let (bad, all) = (judged.bad.part(), judged.bad.whole());
    let counts = format!(
        "In twelve months {} of your {} {} not as ordered",
        thousands(bad),
        counted(all, "delivery", "deliveries"),
        if bad == 1 { "was" } else { "were" }
    );
    match judged.verdict {
        _ if all == 0 => "In twelve months you delivered nothing.".to_owned(),
        Verdict::Worse => format!(
            "{counts}, more than chance explains at the average of our suppliers; what do you change?"
        ),
        Verdict::Better => format!(
            "{counts}, fewer than chance explains at the average of our suppliers; thank you, please keep it so."
        ),
        Verdict::AsOthers => format!("{counts}, as with our other suppliers."),
        Verdict::TooFew => format!("{counts}, too few to compare with others."),
    }
}

fn costliest(facts: &Facts, costs: &[Costs], period: Period) -> Option<String> {
    let chart = &costs.first()?.chart;
    let row = chart.rows.first()?;
    let kind = facts
        .found
        .iter()
        .find(|found| kinds::short(found.kind) == row.kind)?
        .kind;
    let findings: u64 = facts
        .found
        .iter()
        .filter(|found| found.kind == kind && period.holds(found.month))
        .map(|found| found.findings)
        .sum();
    Some(format!(
        "What cost most was {}: {}, {} {}, {} of the cost of all that was wrong.",
        kinds::words(kind),
        counted(findings, "time", "times"),
        money(crate::model::money::Money(row.amount)),
        chart.currency,
        per_cent(row.share)
    ))
}

fn open(facts: &Facts, period: Period) -> Option<String> {
    let alone = [facts];
    let open: Vec<&ClaimFact> = claims::counted(&alone)
        .filter(|claim| claims::is_open(claim, period.as_of))
        .collect();
    let oldest = open
        .iter()
        .min_by_key(|claim| (claim.drafted, &claim.number))?;
    let days = (period.as_of - oldest.drafted).num_days();
    let day = |days: i64| {
        if days == 1 {
            "1 day".to_owned()
        } else {
            format!("{days} days")
        }
    };
    Some(match open.len() {
        1 => format!(
            "Our claim {} of {} is open for {}; by when is it settled?",
            oldest.number,
            oldest.drafted,
            day(days)
        ),
        many => format!(
            "{many} of our claims are open, the oldest, {}, for {}; by when are they settled?",
            oldest.number,
            day(days)
        ),
    })
}

fn changed(trend: Option<&Trend>) -> Option<String> {
    let changes = trend?.changes();
    let last = changes.last()?;
    Some(format!(
        "Your deliveries not as ordered changed, {last}; what happened then?"
    ))
}

fn late(facts: &Facts, period: Period) -> Option<String> {
    let Reading::Share { share, .. } = reading(&Name::OnTime, &[facts], Span::year(period)) else {
        return None;
    };
    let late = share.rest();
    (late.part() > 0).then(|| {
        format!(
            "{} of the {} orders promised for these months came after the promised day.",
            thousands(late.part()),
            thousands(late.whole())
        )
    })
}

fn lines(facts: &Facts, period: Period) -> String {
    let share = reading(&Name::Lines, &[facts], Span::year(period));
    format!("Counted by line it was as ordered on {}.", share.words())
}

fn settled(facts: &Facts, period: Period) -> String {
    let opened = reading(&Name::Opened, &[facts], Span::year(period));
    match opened.n() {
        0 => "We had nothing to claim from you in these months; thank you.".to_owned(),
        many => format!(
            "None of our {} is open; thank you for settling them.",
            counted(many, "claim", "claims")
        ),
    }
}
