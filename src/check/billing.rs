//! Billing: what to pay now and what to withhold, with the arithmetic. Pays nothing; the contract decides what may be
//! withheld (UCC 2-717 lets a buyer deduct damages from the price due under the same contract, on notice).

use crate::check::case::Case;
use crate::check::measure;
use crate::check::price::price;
use crate::model::answer::{Billing, LineAnswer};
use crate::model::invoice::Invoice;
use crate::model::money::Money;
use crate::model::order::{Order, OrderLine};
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
pub fn work_out(case: &Case<'_>, lines: &[LineAnswer]) -> Result<Option<Billing>, Vec<Problem>> {
    let mut invoices: Vec<&Invoice> = case.invoices.iter().collect();
    if invoices.is_empty() {
        return Ok(None);
    }
    invoices.sort_by(|a, b| (a.date, &a.number.value).cmp(&(b.date, &b.number.value)));
    let mut sheet = Sheet {
        billing: Billing::default(),
        accepted: lines.iter().map(|line| line.usable).collect(),
        due: case
            .order
            .lines
            .iter()
            .zip(lines)
            .map(|(line, answer)| {
                let ordered = line.quantity.amount;
                answer
                    .arrived
                    .min(ordered + line.tolerance.over.of(ordered))
            })
            .collect(),
        billed: vec![Decimal::ZERO; lines.len()],
    };
    let mut problems = Vec::new();
    let mut earlier: Vec<&Invoice> = Vec::new();
    for invoice in invoices {
        // Equal deliveries make equal bills; it is a bill for the same goods only where no more goods are due.
        let twin = earlier
            .iter()
            .find(|other| same_bill(other, invoice))
            .copied()
            .filter(|_| sheet.nothing_more_due(case.order, invoice));
        if let Err(more) = sheet.invoice(case, invoice, twin) {
            problems.extend(more);
        }
        earlier.push(invoice);
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

/// Two invoices bill the same when every line, amount and price is the same, whatever their numbers.
fn same_bill(one: &Invoice, other: &Invoice) -> bool {
    let lines = |invoice: &Invoice| {
        let mut lines: Vec<_> = invoice
            .lines
            .iter()
            .map(|line| {
                (
                    line.line.value.clone(),
                    line.quantity.value.amount.normalize(),
                    line.quantity.value.unit,
                    line.unit_price,
                    line.amount,
                )
            })
            .collect();
        lines.sort();
        lines
    };
    lines(one) == lines(other) && one.freight == other.freight && one.tax == other.tax
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
    /// What may be billed at most, per order line: what arrived, not more than was ordered.
    due: Vec<Decimal>,
    /// Billed so far, per order line.
    billed: Vec<Decimal>,
}

impl Sheet {
    /// Whether the invoices so far have billed all that could be billed for the lines of another.
    fn nothing_more_due(&self, order: &Order, invoice: &Invoice) -> bool {
        invoice.lines.iter().all(|billed| {
            order
                .lines
                .iter()
                .position(|line| line.line == billed.line.value)
                .is_some_and(|place| self.billed[place] >= self.due[place])
        })
    }

    fn invoice(
        &mut self,
        case: &Case<'_>,
        invoice: &Invoice,
        twin: Option<&Invoice>,
    ) -> Result<(), Vec<Problem>> {
        let number = &invoice.number.value;
        self.billing.invoices.push(number.clone());
        if let Some(twin) = twin {
            self.say(format!(
                "{number} bills again what {} billed: ask for it to be cancelled",
                twin.number.value
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
            match self.line(&case.order.lines[place], place, invoice, billed) {
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
            if twin.is_none() {
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
        self.billing.withhold += (printed - pay).rounded().0.max(Decimal::ZERO);
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
    ) -> Result<(Money, Money), Problem> {
        let number = &invoice.number.value;
        let spot = &billed.quantity.spot;
        let unit = line.quantity.unit;
        let amount = measure::convert(billed.quantity.value, unit, line, None, spot)?;
        self.billed[place] += amount;
        let asked_price = billed.unit_price.or(line.unit_price);
        let in_per = measure::convert(billed.quantity.value, line.per, line, None, spot)?;
        let extended = asked_price.map(|price| price.times(in_per));
        let asked = billed.amount.or(extended).unwrap_or(Money::ZERO);
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
