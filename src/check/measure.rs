//! stub
use crate::model::order::OrderLine;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use crate::model::receipt::ReceiptLine;
use crate::model::spot::Spot;
use crate::model::unit::Unit;
use rust_decimal::Decimal;
pub fn in_unit(line: &OrderLine, lot: &ReceiptLine) -> Result<Decimal, Problem> {
    match &lot.quantity {
        Some(q) => convert(q.value, line.quantity.unit, line, Some(lot), &q.spot),
        None => Ok(Decimal::from(lot.leaves.len())),
    }
}
pub fn convert(
    quantity: Quantity,
    to: Unit,
    _line: &OrderLine,
    _lot: Option<&ReceiptLine>,
    spot: &Spot,
) -> Result<Decimal, Problem> {
    if quantity.unit == to {
        Ok(quantity.amount)
    } else {
        Err(Problem::new(spot, "no conversion"))
    }
}
