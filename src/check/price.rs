//! Price: is it billed at the price and in the amount of the order, and once? What to pay is `billing`.

use crate::check::billed_twice::{self, BilledTwice};
use crate::check::case::Case;
use crate::check::found::Found;
use crate::check::measure;
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::invoice::{Invoice, InvoiceLine};
use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::unit::Unit;
use crate::model::words::listed;
use rust_decimal::Decimal;

/// Finds invoice lines billed above or below the order's price, and what is billed a second time: all of that is billed
/// above the order, whatever its price. The amount is what was billed, in the line's unit.
///
/// # Errors
/// An invoice in a unit that cannot be converted.
pub fn look(
    case: &Case<'_>,
    pair: &Pair<'_>,
    twice: &[BilledTwice<'_>],
) -> Result<Vec<Found>, Vec<Problem>> {
    let line = pair.line;
    let mut found = Vec::new();
    let mut problems = Vec::new();
    for invoice in case.invoices {
        let lines = invoice
            .lines
            .iter()
            .filter(|billed| billed.line.value == line.line);
        let told: Vec<Result<Option<Finding>, Problem>> =
            match billed_twice::first_of(twice, invoice) {
                Some(first) => vec![again(line, invoice, first, lines)],
                None => lines.map(|billed| differs(line, invoice, billed)).collect(),
            };
        for one in told {
            match one {
                Ok(finding) => found.extend(finding.map(Found::whole)),
                Err(problem) => problems.push(problem),
            }
        }
    }
    if problems.is_empty() {
        Ok(found)
    } else {
        Err(problems)
    }
}

/// Returns what differs between the price of an invoice line and that of the order.
fn differs(
    line: &OrderLine,
    invoice: &Invoice,
    billed: &InvoiceLine,
) -> Result<Option<Finding>, Problem> {
    let amount = in_unit(line, billed, line.quantity.unit)?;
    let (Some(ordered), Some(asked)) = (line.unit_price, billed.unit_price) else {
        return Ok(None);
    };
    if ordered == asked || amount.is_zero() {
        return Ok(None);
    }
    let in_per = in_unit(line, billed, line.per)?;
    let (kind, word, difference) = if asked > ordered {
        (Kind::PriceAbove, "too much", asked - ordered)
    } else {
        (Kind::PriceBelow, "too little", ordered - asked)
    };
    let money = difference.times(in_per);
    let amount = Quantity::new(amount, line.quantity.unit);
    let text = format!(
        "{} bills {amount} at {} for one {}, ordered at {}: {money} {word}",
        invoice.number.value,
        price(asked),
        line.per,
        price(ordered),
    );
    Ok(Some(
        Finding::new(kind, amount.amount, amount.unit, text)
            .of_money(Some(money))
            .compared(price(ordered), price(asked))
            .about(invoice.number.value.clone()),
    ))
}

/// Returns what an invoice bills a second time of a line; nothing where it bills none of it.
fn again<'a>(
    line: &OrderLine,
    invoice: &'a Invoice,
    first: &Invoice,
    lines: impl Iterator<Item = &'a InvoiceLine>,
) -> Result<Option<Finding>, Problem> {
    let (mut amount, mut goods) = (Decimal::ZERO, Money::ZERO);
    let mut priced = true;
    for billed in lines {
        amount += in_unit(line, billed, line.quantity.unit)?;
        let asked = asked(line, billed)?;
        priced &= asked.is_some();
        goods = goods + asked.unwrap_or(Money::ZERO);
    }
    if amount.is_zero() {
        return Ok(None);
    }
    let unit = line.quantity.unit;
    let (besides, words) = besides(line, invoice);
    let money = priced.then(|| (goods + besides).rounded());
    let mut what = vec![Quantity::new(amount, unit).to_string()];
    if !words.is_empty() && priced {
        what[0].push_str(&format!(" for {goods}"));
    }
    what.extend(words);
    let too_much = money.map_or_else(String::new, |money| format!(", {money} too much"));
    let mut finding = Finding::new(
        Kind::PriceAbove,
        amount,
        unit,
        format!(
            "{} bills again what {} billed: {}{too_much}",
            invoice.number.value,
            first.number.value,
            listed(&what)
        ),
    )
    .of_money(money)
    .about(invoice.number.value.clone());
    finding.billed_first = Some(first.number.value.clone());
    Ok(Some(finding))
}

/// Returns the freight and the tax of an invoice, which belong to the first line that it bills, so that they are counted
/// once.
fn besides(line: &OrderLine, invoice: &Invoice) -> (Money, Vec<String>) {
    let mut billed = invoice.lines.iter();
    let first = billed.find(|billed| !billed.quantity.value.amount.is_zero());
    if first.is_none_or(|first| first.line.value != line.line) {
        return (Money::ZERO, Vec::new());
    }
    let mut all = (Money::ZERO, Vec::new());
    for (money, word) in [(invoice.freight, "freight"), (invoice.tax, "tax")] {
        if let Some(money) = money.filter(|money| *money > Money::ZERO) {
            all.0 = all.0 + money;
            all.1.push(format!("{word} for {money}"));
        }
    }
    all
}

fn in_unit(line: &OrderLine, billed: &InvoiceLine, unit: Unit) -> Result<Decimal, Problem> {
    measure::convert(
        billed.quantity.value,
        unit,
        line,
        None,
        &billed.quantity.spot,
    )
}

/// Returns what an invoice line asks: the extension as printed, else worked out; `None` where no price is known.
///
/// # Errors
/// A unit that cannot be converted.
pub fn asked(line: &OrderLine, billed: &InvoiceLine) -> Result<Option<Money>, Problem> {
    if billed.amount.is_some() {
        return Ok(billed.amount);
    }
    let in_per = in_unit(line, billed, line.per)?;
    let price = billed.unit_price.or(line.unit_price);
    Ok(price.map(|price| price.times(in_per)))
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
