//! The review on a terminal of 80 columns. Colour only repeats the words.

use crate::report::ink::Ink;
use crate::report::review::{JUDGED_BY, called_out, claim, interval, split, verdict};
use crate::report::terminal::wrap::Page;
use crate::review::charts::pareto::Pareto;
use crate::review::compare::{Judged, Verdict};
use crate::review::measures::Figure;
use crate::review::month::Period;
use crate::review::pages::{Costs, Review, SupplierPage};

/// Columns of a figure's name and of its period's.
const PERIOD: usize = 15;

/// Returns the page for all.
pub fn all(review: &Review, width: usize, ink: Ink) -> String {
    let mut page = Page::new(width);
    head(&mut page, review, ink);
    if review.suppliers.is_empty() {
        page.wrapped(
            0,
            "The book has nothing received, due or claimed in these months.",
        );
        return page.text();
    }
    page.plain(&ink.strong("called out"));
    let mut none = true;
    for supplier in called_out(review) {
        none = false;
        page.item(
            &mark(&supplier.judged, ink),
            &format!("{}: {}", supplier.name, verdict(&supplier.judged)),
        );
        page.wrapped(5, &supplier.judged.why);
    }
    if none {
        page.plain("  nobody");
    }
    page.blank();
    if called_out(review).count() < review.suppliers.len() {
        page.plain(&ink.strong("not called out"));
        for supplier in &review.suppliers {
            if !supplier.judged.verdict.is_call_out() {
                page.item(
                    "·",
                    &format!("{}: {}", supplier.name, verdict(&supplier.judged)),
                );
                page.wrapped(5, &supplier.judged.why);
            }
        }
        page.blank();
    }
    page.wrapped_as(0, JUDGED_BY, |line| ink.quiet(line));
    page.blank();
    table(&mut page, review, ink);
    page.blank();
    if let Some(trend) = &review.all.trend {
        changes(&mut page, &trend.changes(), ink);
    }
    costs(&mut page, &review.all.costs, ink);
    page.plain(&ink.strong("all suppliers together"));
    figures(&mut page, &review.all.figures, review.period, ink);
    page.blank();
    page.wrapped_as(
        0,
        "`asordered review --supplier S` is the page of one; `asordered review --why FIGURE` lists what stands \
         behind a figure.",
        |line| ink.quiet(line),
    );
    page.text()
}

/// Returns the page of one supplier.
pub fn one(review: &Review, supplier: &SupplierPage, width: usize, ink: Ink) -> String {
    let mut page = Page::new(width);
    head(&mut page, review, ink);
    page.wrapped_as(0, &supplier.name, |line| ink.strong(line));
    page.blank();
    let said = verdict(&supplier.judged);
    page.plain(&match supplier.judged.verdict {
        Verdict::Worse => ink.bad(&said),
        Verdict::Better => ink.good(&said),
        Verdict::AsOthers | Verdict::TooFew => ink.strong(&said),
    });
    page.wrapped(2, &supplier.judged.why);
    if let Some(interval) = interval(&supplier.judged) {
        page.wrapped(2, &interval);
    }
    page.blank();
    page.plain(&ink.strong("to say to them"));
    for (place, sentence) in supplier.sentences.iter().enumerate() {
        page.item(&(place + 1).to_string(), sentence);
    }
    page.blank();
    if let Some(trend) = &supplier.trend {
        changes(&mut page, &trend.changes(), ink);
    }
    costs(&mut page, &supplier.costs, ink);
    page.plain(&ink.strong("figures"));
    figures(&mut page, &supplier.figures, review.period, ink);
    page.blank();
    page.plain(&ink.strong("claims"));
    if supplier.claims.is_empty() {
        page.plain("  none");
    }
    let (now, before) = split(supplier, review.period);
    for one in now {
        page.item(
            "·",
            &format!("{}, {}", one.number, claim(one, review.period.as_of)),
        );
    }
    if !before.is_empty() {
        page.item(
            "·",
            &format!(
                "closed before the month: {}: {}",
                before.len(),
                before.join(", ")
            ),
        );
    }
    page.text()
}

fn head(page: &mut Page, review: &Review, ink: Ink) {
    page.wrapped_as(
        0,
        &format!("SUPPLIER REVIEW  {}", review.period.words()),
        |line| ink.strong(line),
    );
    if review.period.as_of < review.period.month.last() {
        page.plain(&format!(
            "counted up to {}; the month is not over",
            review.period.as_of
        ));
    }
    if let Some(shop) = &review.shop {
        page.wrapped(0, shop);
    }
    page.blank();
}

fn mark(judged: &Judged, ink: Ink) -> String {
    match judged.verdict {
        Verdict::Worse => ink.bad("x"),
        Verdict::Better => ink.good("+"),
        Verdict::AsOthers | Verdict::TooFew => "·".to_owned(),
    }
}

/// The suppliers side by side, by name and never by rank.
fn table(page: &mut Page, review: &Review, ink: Ink) {
    let wide = review
        .suppliers
        .iter()
        .map(|supplier| supplier.name.chars().count())
        .max()
        .unwrap_or(0)
        .clamp(8, 24);
    let row = |name: &str, cells: [&str; 4]| {
        let name: String = name.chars().take(wide).collect();
        format!(
            "{name:<wide$}  {:>13}  {:>15}  {:>12}  {:>6}",
            cells[0], cells[1], cells[2], cells[3]
        )
    };
    page.plain(&ink.quiet(&row(
        "twelve",
        ["deliveries", "lines", "orders on", "claims"],
    )));
    page.plain(&ink.quiet(&row(
        "months",
        ["as ordered", "as ordered", "time in full", "open"],
    )));
    for supplier in &review.suppliers {
        let cell = |name: &str| {
            supplier
                .figures
                .iter()
                .find(|figure| figure.name == name)
                .map_or_else(String::new, short)
        };
        page.plain(&row(
            &supplier.name,
            [
                &cell("deliveries-as-ordered"),
                &cell("lines-as-ordered"),
                &cell("on-time-in-full"),
                &cell("claims-open"),
            ],
        ));
    }
}

fn short(figure: &Figure) -> String {
    use crate::review::measures::reading::Reading;
    match &figure.year {
        Reading::Share { share, .. } if share.whole() == 0 => "none".to_owned(),
        Reading::Share { share, .. } => share.to_string(),
        Reading::Open { days } => days.len().to_string(),
        Reading::Rejected { .. }
        | Reading::Found { .. }
        | Reading::Claims { .. }
        | Reading::Money { .. }
        | Reading::Settling { .. } => figure.year.words(),
    }
}

fn changes(page: &mut Page, changes: &[String], ink: Ink) {
    page.plain(&ink.strong("deliveries not as ordered, month by month"));
    if changes.is_empty() {
        page.plain("  no month marks a change");
    }
    for change in changes {
        page.item(&ink.look("!"), change);
    }
    page.blank();
}

fn costs(page: &mut Page, costs: &[Costs], ink: Ink) {
    for of in costs {
        page.plain(&ink.strong(&format!(
            "what was wrong, by cost, {} in twelve months",
            of.chart.currency
        )));
        for row in &of.chart.rows {
            page.item("·", &format!("{}: {}", row.kind, Pareto::figures(row)));
        }
        if of.unpriced > 0 {
            page.item(
                "·",
                &format!("{} more have no price and are not in it", of.unpriced),
            );
        }
        page.blank();
    }
}

fn figures(page: &mut Page, figures: &[Figure], period: Period, ink: Ink) {
    for figure in figures {
        page.wrapped(2, &format!("{}  {}", figure.name, figure.title));
        page.wrapped_as(4, &figure.formula, |line| ink.quiet(line));
        if figure.month == figure.year {
            reading(page, "both", &figure.year.words());
        } else {
            reading(page, &period.month.to_string(), &figure.month.words());
            reading(page, "twelve months", &figure.year.words());
        }
    }
}

fn reading(page: &mut Page, label: &str, words: &str) {
    let room = page.width().saturating_sub(4 + PERIOD);
    for (place, line) in crate::report::terminal::wrap::wrap(words, room)
        .iter()
        .enumerate()
    {
        let label = if place == 0 { label } else { "" };
        page.plain(&format!("    {label:<PERIOD$}{line}"));
    }
}
