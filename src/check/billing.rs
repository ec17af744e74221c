//! Billing: what to pay now and what to withhold, with the arithmetic. Pays nothing; the contract decides what may be
//! withheld (UCC 2-717 lets a buyer deduct damages from the price due under the same contract, on notice).

use crate::check::billed_twice::{self, BilledTwice};
use crate::check::case::Case;
use crate::check::measure;
use crate::check::price::{self, price};
use crate::model::answer::{Billing, LineAnswer};
use crate::model::invoice::Invoice;
use crate::model::money::Money;
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Works out what to pay of all invoices together, in order of date and number. `None` where there is no invoice.
///
/// Paid is the accepted amount: what can be used now, so not what is held, nor more than was ordered and its tolerance
/// above; at the order's price or the invoice's where that is lower, and never more than the invoice asks. Freight is paid
/// as billed, once; tax in the proportion of the goods that are paid.
///
/// # Errors
/// An invoice in a unit that cannot be converted.
pub fn work_out(
    case: &Case<'_>,
    lines: &[LineAnswer],
    twice: &[BilledTwice<'_>],
) -> Result<Option<Billing>, Vec<Problem>> {
    if case.invoices.is_empty() {
        return Ok(None);
    }
    let mut sheet = Sheet {
        billing: Billing::default(),
        accepted: lines.iter().map(|line| line.usable).collect(),
        billed: vec![Decimal::ZERO; lines.len()],
    };
    let mut problems = Vec::new();
    for invoice in billed_twice::in_order(case) {
        let first = billed_twice::first_of(twice, invoice);
        if let Err(more) = sheet.invoice(case, invoice, first) {
            problems.extend(more);
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    sheet.billing.billed = case
        .order
        .lines
        .iter()
        .zip(&sheet.billed)
        .map(|(line, billed)| (line.line.clone(), *billed))
        .collect();
    Ok(Some(sheet.billing))
}

/// Tax follows the goods: its share for what is paid of what is billed, in cents.
fn share(tax: Money, paid: Money, billed: Money) -> Money {
    let due = tax
        .0
        .checked_mul(paid.0)
        .and_then(|part| part.checked_div(billed.0));
    due.map_or(tax, |due| Money(due).rounded())
}

struct Sheet {
    billing: Billing,
    /// Accepted and not yet paid, per order line.
    accepted: Vec<Decimal>,
    /// Billed so far, per order line; what is billed twice counts once.
    billed: Vec<Decimal>,
}

impl Sheet {
    fn invoice(
        &mut self,
        case: &Case<'_>,
        invoice: &Invoice,
        first: Option<&Invoice>,
    ) -> Result<(), Vec<Problem>> {
        let number = &invoice.number.value;
        self.billing.invoices.push(number.clone());
        if let Some(first) = first {
            self.say(format!(
                "{number} bills again what {} billed: ask for it to be cancelled",
                first.number.value
            ));
        }
        let mut problems = Vec::new();
        let (mut pay, mut printed) = (Money::ZERO, Money::ZERO);
        for billed in &invoice.lines {
            let Some(place) = case
                .order
                .lines
                .iter()
                .position(|line| line.line == billed.line.value)
            else {
                // `validate` has refused lines that do not exist.
                continue;
            };
            match self.line(
                &case.order.lines[place],
                place,
                invoice,
                billed,
                first.is_some(),
            ) {
                Ok((paid, asked)) => {
                    pay = pay + paid;
                    printed = printed + asked;
                }
                Err(problem) => problems.push(problem),
            }
        }
        let (goods_paid, goods_billed) = (pay, printed);
        if let Some(freight) = invoice.freight {
            printed = printed + freight;
            if first.is_none() {
                pay = pay + freight;
                self.say(format!("{number} freight: pay {freight}"));
            }
        }
        if let Some(tax) = invoice.tax {
            printed = printed + tax;
            let due = share(tax, goods_paid, goods_billed);
            pay = pay + due;
            self.say(if due == tax {
                format!("{number} tax: pay {tax}")
            } else {
                format!(
                    "{number} tax: pay {due} of {tax}, {goods_paid} of {goods_billed} being paid"
                )
            });
        }
        if let Some(total) = &invoice.total
            && total.value.rounded() != printed.rounded()
        {
            self.say(format!(
                "{number} adds up to {printed}, its total says {}: ask for a corrected invoice",
                total.value
            ));
            printed = total.value;
        }
        // A supplier who adds up to less than he bills is not paid more than he asks.
        let pay = pay.min(printed);
        self.billing.pay_now += pay.rounded().0;
        let withheld = (printed - pay).rounded().0.max(Decimal::ZERO);
        self.billing.withhold += withheld;
        if !withheld.is_zero() {
            self.billing.withheld_of.push(number.clone());
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(problems)
        }
    }

    /// Returns what is paid and what is asked for one invoice line.
    fn line(
        &mut self,
        line: &OrderLine,
        place: usize,
        invoice: &Invoice,
        billed: &crate::model::invoice::InvoiceLine,
        again: bool,
    ) -> Result<(Money, Money), Problem> {
        let number = &invoice.number.value;
        let spot = &billed.quantity.spot;
        let unit = line.quantity.unit;
        let amount = measure::convert(billed.quantity.value, unit, line, None, spot)?;
        if !again {
            self.billed[place] += amount;
        }
        let asked_price = billed.unit_price.or(line.unit_price);
        let in_per = measure::convert(billed.quantity.value, line.per, line, None, spot)?;
        let extended = asked_price.map(|price| price.times(in_per));
        let asked = price::asked(line, billed)?.unwrap_or(Money::ZERO);
        if let (Some(printed), Some(extended)) = (billed.amount, extended)
            && printed.rounded() != extended
        {
            self.say(format!(
                "{number} line {}: {in_per} x {} is {extended}, the invoice says {printed}",
                line.line,
                asked_price.map(price).unwrap_or_default(),
            ));
        }
        let payable = amount.min(self.accepted[place]);
        self.accepted[place] -= payable;
        let Some(unit_price) = line.unit_price.map_or(asked_price, |ordered| {
            Some(asked_price.map_or(ordered, |asked| asked.min(ordered)))
        }) else {
            self.say(format!(
                "{number} line {}: no price on the order or the invoice",
                line.line
            ));
            return Ok((Money::ZERO, asked));
        };
        let payable_in_per =
            measure::convert(Quantity::new(payable, unit), line.per, line, None, spot)?;
        let worth = unit_price.times(payable_in_per);
        let pay = worth.min(asked);
        let capped = if pay < worth {
            format!(", of which no more than {asked} is asked")
        } else {
            format!("; billed {asked}")
        };
        self.say(format!(
            "{number} line {}: {} accepted of {} billed, {} x {} = {worth}{capped}",
            line.line,
            payable.normalize(),
            Quantity::new(amount, unit),
            payable_in_per.normalize(),
            price(unit_price),
        ));
        Ok((pay, asked))
    }

    fn say(&mut self, text: String) {
        self.billing.arithmetic.push(text);
    }
}
