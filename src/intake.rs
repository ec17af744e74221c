//! Text to records, with every problem at its place. Opens no files: text and its name come in.

pub mod amount;
pub mod fields;
pub mod invoice;
pub mod leaves;
pub mod node;
pub mod order;
pub mod receipt;
pub mod schema;
pub mod sequence;
pub mod shop;
pub mod slip;
pub mod supplier;
pub mod tally;
pub mod text;

use crate::intake::fields::Problems;
use crate::intake::node::{Node, Value};
use crate::model::invoice::Invoice;
use crate::model::order::Order;
use crate::model::problem::Problem;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;

/// Reads an order file. `file` is the name to show in problems.
///
/// # Errors
/// All problems of the file, in the order of the text; never half an order.
pub fn order(file: &str, text: &str) -> Result<Order, Vec<Problem>> {
    read(file, text, order::read)
}

/// Reads a receipt file.
///
/// # Errors
/// All problems of the file, in the order of the text; never half a receipt.
pub fn receipt(file: &str, text: &str) -> Result<Receipt, Vec<Problem>> {
    read(file, text, receipt::read)
}

/// Reads a supplier file.
///
/// # Errors
/// All problems of the file, in the order of the text.
pub fn supplier(file: &str, text: &str) -> Result<Supplier, Vec<Problem>> {
    read(file, text, supplier::read)
}

/// Reads the shop's file.
///
/// # Errors
/// All problems of the file, in the order of the text.
pub fn shop(file: &str, text: &str) -> Result<Shop, Vec<Problem>> {
    read(file, text, shop::read)
}

/// Reads an invoice file.
///
/// # Errors
/// All problems of the file, in the order of the text.
pub fn invoice(file: &str, text: &str) -> Result<Invoice, Vec<Problem>> {
    read(file, text, invoice::read)
}

/// A paper that comes with or after the goods.
#[derive(Debug)]
pub enum Delivered {
    /// What was counted.
    Receipt(Receipt),
    /// What was billed.
    Invoice(Invoice),
}

/// Reads a receipt or an invoice. The two are told apart by their keys, so that a clerk may name the files in any order.
///
/// # Errors
/// All problems of the file, in the order of the text.
pub fn receipt_or_invoice(file: &str, text: &str) -> Result<Delivered, Vec<Problem>> {
    let node = node::parse(file, text)?;
    let has = |name: &str| match &node.value {
        Value::Map(entries) => entries.iter().any(|entry| entry.key == name),
        Value::Text { .. } | Value::List(_) => false,
    };
    if has("invoice") && !has("receipt") {
        record_of(&node, invoice::read).map(Delivered::Invoice)
    } else {
        record_of(&node, receipt::read).map(Delivered::Receipt)
    }
}

fn read<T>(
    file: &str,
    text: &str,
    record: fn(&Node, &mut Problems) -> Option<T>,
) -> Result<T, Vec<Problem>> {
    record_of(&node::parse(file, text)?, record)
}

fn record_of<T>(
    node: &Node,
    record: fn(&Node, &mut Problems) -> Option<T>,
) -> Result<T, Vec<Problem>> {
    let mut problems = Problems::default();
    let value = record(node, &mut problems);
    let mut problems = problems.into_inner();
    match value {
        Some(value) if problems.is_empty() => Ok(value),
        Some(_) | None => {
            problems.sort();
            problems.dedup();
            Err(problems)
        }
    }
}
