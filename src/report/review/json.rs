//! The review as JSON. Amounts and money are decimal strings, rates and limits numbers.

use crate::report::review::verdict;
use crate::review::compare::Judged;
use crate::review::facts::ClaimFact;
use crate::review::measures::Figure;
use crate::review::measures::reading::Reading;
use crate::review::pages::{Costs, Review, SupplierPage};
use crate::review::statistics::Interval;
use serde_json::{Value, json};

/// Returns the review as JSON; with the pages of these suppliers.
pub fn review(review: &Review, pages: &[&SupplierPage]) -> Value {
    json!({
        "month": review.period.month.to_string(),
        "from": review.period.from().to_string(),
        "as_of": review.period.as_of.to_string(),
        "judged_by": "deliveries",
        "average": {
            "not_as_ordered": review.comparison.average.part(),
            "deliveries": review.comparison.average.whole(),
            "without": review.comparison.left_out,
        },
        "figures": figures(&review.all.figures),
        "changes": review.all.trend.as_ref().map(|trend| trend.changes()),
        "costs": costs(&review.all.costs),
        "suppliers": pages.iter().map(|page| supplier(page)).collect::<Vec<_>>(),
    })
}

fn supplier(page: &SupplierPage) -> Value {
    json!({
        "supplier": page.supplier,
        "name": page.name,
        "verdict": page.judged.verdict.words(),
        "called_out": page.judged.verdict.is_call_out(),
        "said": verdict(&page.judged),
        "why": page.judged.why,
        "not_as_ordered": page.judged.bad.part(),
        "deliveries": page.judged.bad.whole(),
        "interval": interval(&page.judged),
        "sentences": page.sentences,
        "figures": figures(&page.figures),
        "changes": page.trend.as_ref().map(|trend| trend.changes()),
        "costs": costs(&page.costs),
        "claims": page.claims.iter().map(claim).collect::<Vec<_>>(),
    })
}

fn interval(judged: &Judged) -> Option<Value> {
    judged
        .interval
        .map(|Interval { low, high }| json!({"low": low, "high": high, "level": 0.95}))
}

fn figures(figures: &[Figure]) -> Vec<Value> {
    figures
        .iter()
        .map(|figure| {
            json!({
                "name": figure.name,
                "title": figure.title,
                "formula": figure.formula,
                "month": reading(&figure.month),
                "twelve_months": reading(&figure.year),
            })
        })
        .collect()
}

/// Returns what a figure reads.
pub fn reading(reading: &Reading) -> Value {
    let number = reading.number();
    json!({
        "n": reading.n(),
        "value": number.as_ref().map(|(value, _)| value),
        "unit": number.as_ref().map(|(_, unit)| unit),
        "words": reading.words(),
    })
}

fn costs(costs: &[Costs]) -> Vec<Value> {
    costs
        .iter()
        .map(|of| {
            json!({
                "currency": of.chart.currency,
                "kinds": of.chart.rows.iter().map(|row| json!({
                    "kind": row.kind,
                    "cost": row.amount.to_string(),
                    "share": row.share,
                    "cumulative": row.cumulative,
                })).collect::<Vec<_>>(),
                "findings_without_price": of.unpriced,
            })
        })
        .collect()
}

fn claim(claim: &ClaimFact) -> Value {
    json!({
        "claim": claim.number,
        "order": claim.order,
        "on": if claim.on_supplier { "supplier" } else { "carrier" },
        "state": claim.state.name(),
        "drafted": claim.drafted.to_string(),
        "sent": claim.sent.map(|day| day.to_string()),
        "notify_by": claim.notify_by.map(|day| day.to_string()),
        "closed": claim.closed.map(|day| day.to_string()),
        "currency": claim.currency,
        "value": claim.value.map(|value| value.to_string()),
        "entered_costs": claim.costs.to_string(),
        "credited": claim.credited.to_string(),
        "about": claim.about,
    })
}
