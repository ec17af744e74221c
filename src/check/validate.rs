//! What only the files together can show to be bad input. Finds nothing about the goods.

use crate::check::case::Case;
use crate::check::pair::Pair;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::words::{near, ticked};
use crate::trade::grades;
use std::collections::{HashMap, HashSet};

/// Looks at the case before anything is paired.
///
/// # Errors
/// All problems: a receipt or an invoice of another order, a number twice, an order line that does not exist, a
/// supplier file of another supplier.
pub fn all(case: &Case<'_>, receipts: &[&Receipt]) -> Result<(), Vec<Problem>> {
    let order = case.order;
    let mut problems = Vec::new();
    if let Some(supplier) = case.supplier
        && supplier.id != order.supplier
    {
        problems.push(Problem::new(
            &supplier.spot,
            format!(
                "supplier `{}`, expected `{}` as the order names",
                supplier.id, order.supplier
            ),
        ));
    }
    let known: HashSet<&str> = order.lines.iter().map(|line| line.line.as_str()).collect();
    let mut seen: HashMap<&str, &Receipt> = HashMap::new();
    for receipt in receipts {
        let number = &receipt.number;
        if receipt.order.value != order.number {
            problems.push(
                Problem::new(
                    &receipt.order.spot,
                    format!(
                        "receipt `{}` is for order `{}`, expected `{}`",
                        number.value, receipt.order.value, order.number
                    ),
                )
                .hint("check it against its own order"),
            );
        }
        if let Some(first) = seen.insert(&number.value, receipt) {
            problems.push(
                Problem::new(
                    &number.spot,
                    format!(
                        "receipt `{}` is given twice, first at {}",
                        number.value, first.number.spot
                    ),
                )
                .hint("each delivery has a receipt number of its own"),
            );
        }
        if receipt.date < order.date {
            problems.push(
                Problem::new(
                    &receipt.spot,
                    format!(
                        "received {}, before the order's date {}",
                        receipt.date, order.date
                    ),
                )
                .hint("look at both dates; one is a slip of the pen"),
            );
        }
        for line in receipt.lines.iter().filter_map(|line| line.line.as_ref()) {
            if !known.contains(line.value.as_str()) {
                let names = || order.lines.iter().map(|known| known.line.as_str());
                let problem = Problem::new(
                    &line.spot,
                    format!("order {} has no line `{}`", order.number, line.value),
                );
                problems.push(match near_line(&line.value, names(), problems.len()) {
                    Some(name) => problem.hint(format!("did you mean `{name}`?")),
                    None => problem.hint(format!(
                        "it has {}; goods that no line asks for go without `line`",
                        ticked(names().take(20))
                    )),
                });
            }
        }
    }
    let mut bills: HashMap<&str, ()> = HashMap::new();
    for invoice in case.invoices {
        if invoice.order.value != order.number {
            problems.push(Problem::new(
                &invoice.order.spot,
                format!(
                    "invoice `{}` is for order `{}`, expected `{}`",
                    invoice.number.value, invoice.order.value, order.number
                ),
            ));
        }
        if bills.insert(&invoice.number.value, ()).is_some() {
            problems.push(Problem::new(
                &invoice.number.spot,
                format!("invoice `{}` is given twice", invoice.number.value),
            ));
        }
        for line in &invoice.lines {
            if !known.contains(line.line.value.as_str()) {
                problems.push(Problem::new(
                    &line.line.spot,
                    format!("order {} has no line `{}`", order.number, line.line.value),
                ));
            }
        }
    }
    done(problems)
}

/// Looks at the pairs: a grade that came must be on the scale of the line it came for.
///
/// # Errors
/// All grades that their scale does not have.
pub fn pairs(case: &Case<'_>, pairs: &[Pair<'_>]) -> Result<(), Vec<Problem>> {
    let mut problems = Vec::new();
    for pair in pairs {
        let Some(scale) = pair.line.scale.as_deref().and_then(grades::scale) else {
            continue;
        };
        for lot in &pair.lots {
            let whole = lot
                .line
                .grade
                .iter()
                .map(|grade| (&grade.value, &grade.spot));
            let boards = lot
                .line
                .tally
                .iter()
                .flat_map(|tally| &tally.boards)
                .filter_map(|board| board.grade.as_ref().map(|grade| (grade, &lot.line.spot)));
            for (grade, spot) in whole.chain(boards) {
                if scale.grade(case.our_grade(grade)).is_none() {
                    problems.push(scale.unknown(spot, grade));
                }
            }
        }
    }
    done(problems)
}

fn done(mut problems: Vec<Problem>) -> Result<(), Vec<Problem>> {
    if problems.is_empty() {
        return Ok(());
    }
    problems.sort();
    Err(problems)
}

/// Looks for the line that was meant, for the first problems only: nobody reads the thousandth hint. Short numbers are
/// near to everything.
fn near_line<'n>(
    line: &str,
    names: impl Iterator<Item = &'n str>,
    problems: usize,
) -> Option<&'n str> {
    (line.len() > 2 && problems < 20)
        .then(|| near(line, names))
        .flatten()
}
