//! The review as pages of HTML with charts: self-contained, light and dark, a printed page a supplier.

use crate::report::chart;
use crate::report::review::{JUDGED_BY, claim, interval, split, verdict};
use crate::review::charts::pareto::Pareto;
use crate::review::compare::Verdict;
use crate::review::measures::Figure;
use crate::review::month::Period;
use crate::review::pages::{Costs, Review, SupplierPage};
use handlebars::{Handlebars, RenderError};
use serde_json::{Value, json};
use std::collections::BTreeSet;

const TEMPLATE: &str = include_str!("../../../templates/review.html.hbs");

/// Returns the pages: the one for all, where wanted, and those of these suppliers.
///
/// # Errors
/// The template cannot be rendered, which a test rules out.
pub fn page(
    review: &Review,
    with_all: bool,
    suppliers: &[&SupplierPage],
) -> Result<String, Box<RenderError>> {
    let mut handlebars = Handlebars::new();
    handlebars.set_strict_mode(true);
    let data = json!({
        "shop": review.shop,
        "period": review.period.words(),
        "month": review.period.month.to_string(),
        "unfinished": (review.period.as_of < review.period.month.last()).then(|| review.period.as_of.to_string()),
        "judged_by": JUDGED_BY,
        "formulas": formulas(review, suppliers),
        "all": with_all.then(|| all(review)),
        "suppliers": suppliers.iter().enumerate().map(|(place, page)| supplier(review.period, page, place)).collect::<Vec<_>>(),
    });
    handlebars
        .render_template(TEMPLATE, &data)
        .map_err(Box::new)
}

fn all(review: &Review) -> Value {
    let page = &review.all;
    let mut charts = Vec::new();
    charts.extend(
        page.funnel
            .as_ref()
            .map(|data| chart::funnel(data, "all-funnel")),
    );
    charts.extend(
        page.intervals
            .as_ref()
            .map(|data| chart::intervals(data, "all-intervals")),
    );
    charts.extend(
        page.trend
            .as_ref()
            .map(|data| chart::trend(data, "all-trend")),
    );
    charts.extend(paretos(&page.costs, "all"));
    json!({
        "verdicts": review.suppliers.iter().map(|page| json!({
            "name": page.name,
            "verdict": verdict(&page.judged),
            "class": class(page.judged.verdict),
            "why": page.judged.why,
        })).collect::<Vec<_>>(),
        "charts": charts,
        "changes": page.trend.as_ref().map(|trend| trend.changes()).unwrap_or_default(),
        "figures": figures(&page.figures),
        "unpriced": unpriced(&page.costs),
    })
}

fn supplier(period: Period, page: &SupplierPage, place: usize) -> Value {
    let (now, before) = split(page, period);
    let mut charts = Vec::new();
    charts.extend(
        page.trend
            .as_ref()
            .map(|data| chart::trend(data, &format!("trend-{place}"))),
    );
    charts.extend(paretos(&page.costs, &place.to_string()));
    json!({
        "name": page.name,
        "verdict": verdict(&page.judged),
        "class": class(page.judged.verdict),
        "why": page.judged.why,
        "interval": interval(&page.judged),
        "sentences": page.sentences,
        "charts": charts,
        "changes": page.trend.as_ref().map(|trend| trend.changes()).unwrap_or_default(),
        "figures": figures(&page.figures),
        "before": (!before.is_empty()).then(|| format!("{}: {}", before.len(), before.join(", "))),
        "claims": now.iter().map(|one| json!({"number": one.number, "text": claim(one, period.as_of)})).collect::<Vec<_>>(),
        "unpriced": unpriced(&page.costs),
    })
}

/// The formulas of every figure shown, once, for the page that is printed last.
fn formulas(review: &Review, suppliers: &[&SupplierPage]) -> Vec<Value> {
    let mut seen = BTreeSet::new();
    review
        .all
        .figures
        .iter()
        .chain(suppliers.iter().flat_map(|page| &page.figures))
        .filter(|figure| seen.insert(figure.name.as_str()))
        .map(|figure| json!({"name": figure.name, "formula": figure.formula}))
        .collect()
}

const fn class(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Worse => "worse",
        Verdict::Better => "better",
        Verdict::AsOthers => "as-others",
        Verdict::TooFew => "too-few",
    }
}

fn paretos(costs: &[Costs], of: &str) -> Vec<String> {
    costs
        .iter()
        .map(|costs| {
            let data: &Pareto = &costs.chart;
            chart::pareto(
                data,
                &format!("costs-{of}-{}", data.currency.to_ascii_lowercase()),
            )
        })
        .collect()
}

fn unpriced(costs: &[Costs]) -> Option<u64> {
    let sum: u64 = costs.iter().map(|costs| costs.unpriced).sum();
    (sum > 0).then_some(sum)
}

fn figures(figures: &[Figure]) -> Vec<Value> {
    figures
        .iter()
        .map(|figure| {
            json!({
                "name": figure.name,
                "title": figure.title,
                "formula": figure.formula,
                "month": figure.month.words(),
                "year": figure.year.words(),
            })
        })
        .collect()
}
