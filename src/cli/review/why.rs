//! `asordered review --why`: the receipts, findings and claims behind a figure. Counts nothing itself.

use crate::book::Book;
use crate::book::review::behind::Behind;
use crate::cli::Status;
use crate::cli::failure::Failure;
use crate::cli::world::World;
use crate::model::words::near;
use crate::report::json::printed;
use crate::report::review::claim;
use crate::report::review::why::{self, Row};
use crate::review::facts::Facts;
use crate::review::measures::names::Name;
use crate::review::measures::{Figure, Span, claims, figures, reading};
use crate::review::month::Period;

/// Which of a figure's two readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// The month.
    Month,
    /// The twelve months.
    Twelve,
}

/// Runs it.
///
/// # Errors
/// There is no such figure or supplier; the book does not answer.
pub fn run(
    book: &Book,
    text: &str,
    supplier: Option<&str>,
    period: Period,
    stretch: Stretch,
    world: &mut World,
) -> Result<Status, Failure> {
    let facts = book.review(period)?;
    let of: Vec<&Facts> = match supplier {
        Some(wanted) => facts
            .iter()
            .filter(|facts| facts.supplier == wanted || facts.called() == wanted)
            .collect(),
        None => facts.iter().collect(),
    };
    if let (Some(wanted), true) = (supplier, of.is_empty()) {
        return Err(unknown_supplier(wanted, &facts));
    }
    let shown = figures(&of, period);
    let Some(name) = Name::named(text) else {
        return Err(unknown_figure(text, &shown));
    };
    let (span, words) = match stretch {
        Stretch::Month => (Span::month(period), period.month.words()),
        Stretch::Twelve => (
            Span::year(period),
            format!("twelve months, {} to {}", period.from(), period.month),
        ),
    };
    let figure = Figure {
        name: name.to_string(),
        title: name.title(),
        formula: name.formula(),
        month: reading(&name, &of, Span::month(period)),
        year: reading(&name, &of, Span::year(period)),
    };
    let reads = match stretch {
        Stretch::Month => &figure.month,
        Stretch::Twelve => &figure.year,
    };
    let code = supplier
        .and_then(|_| of.first())
        .map(|facts| facts.supplier.as_str());
    let mut rows: Vec<Row> = book
        .behind(&name, code, span)?
        .into_iter()
        .map(row)
        .collect();
    rows.extend(claims::behind(&name, &of, span).into_iter().map(|one| Row {
        day: one.claim.drafted.to_string(),
        supplier: one.supplier.to_owned(),
        what: format!("claim {}", one.claim.number),
        counted: one.counted,
        part: one.part,
        under: vec![claim(one.claim, span.as_of)],
    }));
    if world.json {
        world.print(&printed(&why::json(&figure, reads, &words, &rows)))?;
    } else {
        world.print(&why::terminal(
            &figure,
            reads,
            &words,
            &rows,
            world.width,
            world.ink,
        ))?;
    }
    Ok(Status::Fine)
}

fn row(behind: Behind) -> Row {
    Row {
        day: behind.day,
        supplier: behind.supplier,
        what: behind.what,
        counted: behind.counted,
        part: behind.part,
        under: behind.under,
    }
}

fn unknown_supplier(wanted: &str, facts: &[Facts]) -> Failure {
    let names = facts.iter().map(|facts| facts.supplier.as_str());
    let failure = Failure::error(format!("the book has no supplier `{wanted}`"));
    match near(wanted, names.clone()) {
        Some(near) => failure.hint(format!("did you mean `{near}`?")),
        None => failure.hint(format!(
            "there are {}",
            names.collect::<Vec<_>>().join(", ")
        )),
    }
}

fn unknown_figure(text: &str, shown: &[Figure]) -> Failure {
    let names = shown.iter().map(|figure| figure.name.as_str());
    let failure = Failure::error(format!("no figure is called `{text}`"));
    match near(text, names.clone()) {
        Some(near) => failure.hint(format!("did you mean `{near}`?")),
        None => failure.hint(format!(
            "there are {}",
            names.collect::<Vec<_>>().join(", ")
        )),
    }
}
