//! Price: is it billed at the price and in the amount of the order? What to pay is `billing`.

use crate::check::case::Case;
use crate::check::found::Found;
use crate::check::measure;
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;

/// Finds invoice lines billed above or below the order's price. The amount is what was billed, in the line's unit.
///
/// # Errors
/// An invoice in a unit that cannot be converted.
pub fn look(case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let line = pair.line;
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for invoice in case.invoices {
        for billed in invoice
            .lines
            .iter()
            .filter(|billed| billed.line.value == line.line)
        {
            let unit = line.quantity.unit;
            let amount = match measure::convert(
                billed.quantity.value,
                unit,
                line,
                None,
                &billed.quantity.spot,
            ) {
                Ok(amount) => amount,
                Err(problem) => {
                    problems.push(problem);
                    continue;
                }
            };
            let (Some(ordered), Some(asked)) = (line.unit_price, billed.unit_price) else {
                continue;
            };
            if ordered == asked || amount.is_zero() {
                continue;
            }
            let in_per = measure::convert(
                billed.quantity.value,
                line.per,
                line,
                None,
                &billed.quantity.spot,
            );
            let in_per = match in_per {
                Ok(amount) => amount,
                Err(problem) => {
                    problems.push(problem);
                    continue;
                }
            };
            let (kind, word, difference) = if asked > ordered {
                (Kind::PriceAbove, "too much", asked - ordered)
            } else {
                (Kind::PriceBelow, "too little", ordered - asked)
            };
            let money = difference.times(in_per);
            let finding = Finding::new(
                kind,
                amount,
                unit,
                format!(
                    "{} bills {} at {} for one {}, ordered at {}: {money} {word}",
                    invoice.number.value,
                    Quantity::new(amount, unit),
                    price(asked),
                    line.per,
                    price(ordered),
                ),
            )
            .of_money(Some(money))
            .compared(price(ordered), price(asked))
            .about(invoice.number.value.clone());
            found.push(Found::whole(finding));
        }
    }
    if problems.is_empty() {
        Ok(found)
    } else {
        Err(problems)
    }
}

/// Writes a unit price with two decimals, or with as many as it has.
pub fn price(price: Money) -> String {
    let plain = price.0.normalize();
    if plain.scale() <= 2 {
        price.to_string()
    } else {
        plain.to_string()
    }
}
