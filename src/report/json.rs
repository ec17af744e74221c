//! The answer as JSON. The shape is a contract: names never change, more may be added. Amounts and money are decimal
//! strings.

use crate::model::answer::{
    Answer, Billing, Cause, ClaimSummary, FilledSet, LeafRun, LineAnswer, Lot, SequenceAnswer,
    Stray,
};
use crate::model::finding::Finding;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// Returns the answer as JSON.
pub fn answer(answer: &Answer, claim: Option<&ClaimSummary>) -> Value {
    json!({
        "order": answer.order,
        "supplier": answer.supplier,
        "receipts": answer.receipts,
        "as_ordered": answer.as_ordered,
        "lines": answer.lines.iter().map(line).collect::<Vec<_>>(),
        "not_ordered": answer.not_ordered.iter().map(stray).collect::<Vec<_>>(),
        "causes": answer.causes.iter().map(cause).collect::<Vec<_>>(),
        "claim": claim.map(summary),
        "billing": answer.billing.as_ref().map(billing),
        "notes": answer.notes,
        "left_out": answer.left_out,
    })
}

/// Returns JSON as it is printed: indented, with a line end.
pub fn printed(value: &Value) -> String {
    // Writing a JSON value made of strings, numbers and booleans into memory cannot fail.
    let mut text = serde_json::to_string_pretty(value).expect("a JSON value is always printable");
    text.push('\n');
    text
}

fn line(line: &LineAnswer) -> Value {
    json!({
        "line": line.line,
        "item": line.item,
        "as_ordered": line.as_ordered,
        "ordered": amount(line.ordered),
        "arrived": amount(line.arrived),
        "conforming": amount(line.conforming),
        "rejected": amount(line.rejected()),
        "usable": amount(line.usable),
        "open": amount(line.open),
        "unit": line.unit.name(),
        "findings": line.findings.iter().map(finding).collect::<Vec<_>>(),
        "sequence": line.sequence.as_ref().map(sequence),
        "lots": line.lots.iter().map(lot).collect::<Vec<_>>(),
    })
}

/// Returns one finding as JSON.
pub fn finding(finding: &Finding) -> Value {
    json!({
        "aspect": finding.kind.aspect().name(),
        "kind": finding.kind.name(),
        "amount": amount(finding.amount),
        "unit": finding.unit.name(),
        "text": finding.text,
        "wanted": finding.wanted,
        "found": finding.found,
        "about": finding.about,
        "receipts": finding.receipts,
        "leaves": finding.leaves,
        "advice": finding.advice,
    })
}

/// Returns what the leaves make as JSON.
pub fn sequence(sequence: &SequenceAnswer) -> Value {
    json!({
        "wanted": sequence.wanted,
        "faces": sequence.faces,
        "filled": sequence.filled.iter().map(filled).collect::<Vec<_>>(),
        "spare": sequence.spare.iter().map(run).collect::<Vec<_>>(),
        "unfit": sequence.unfit.iter().map(|(leaves, why)| {
            let mut value = run(leaves);
            value["why"] = json!(why);
            value
        }).collect::<Vec<_>>(),
        "missing": sequence.missing,
        "would_complete": sequence.would_complete.iter().map(|completion| {
            let mut value = run(&completion.run);
            value["option"] = json!(completion.option);
            if !completion.with_sets.is_empty() {
                value["with_sets"] = json!(completion.with_sets);
            }
            value
        }).collect::<Vec<_>>(),
        "new_sets": sequence.new_sets,
        "clear": sequence.clear,
        "worked_out": sequence.worked_out,
        "unmarked": sequence.unmarked.as_ref().map(|unmarked| json!({
            "runs": unmarked.runs,
            "sure": unmarked.sure,
        })),
        "proven": sequence.proven,
        "most_proven": sequence.most_proven,
    })
}

fn filled(set: &FilledSet) -> Value {
    let mut value = json!({
        "size": set.size,
        "flitch": set.flitch,
        "leaves": set.leaves,
        "set": set.wanted + 1,
    });
    if let Some(window) = &set.window_text {
        value["window"] = json!(window);
    }
    if set.again {
        value["look_again"] = json!(true);
    }
    value
}

fn run(run: &LeafRun) -> Value {
    json!({"flitch": run.flitch, "leaves": run.leaves})
}

fn lot(lot: &Lot) -> Value {
    json!({
        "receipt": lot.receipt,
        "receipt_line": lot.index,
        "amount": amount(lot.amount),
        "rejected": amount(lot.rejected),
        "place": lot.place,
        "paired_by": lot.paired_by,
        "measured": lot.measured,
        "held_for": lot.held_for,
        "advice": lot.advice,
    })
}

fn stray(stray: &Stray) -> Value {
    json!({
        "receipt": stray.receipt,
        "receipt_line": stray.index,
        "item": stray.item,
        "description": stray.description,
        "amount": amount(stray.amount),
        "unit": stray.unit.name(),
        "findings": stray.findings.iter().map(finding).collect::<Vec<_>>(),
    })
}

fn cause(cause: &Cause) -> Value {
    json!({"kind": cause.kind.name(), "lines": cause.lines, "text": cause.text, "advice": cause.advice})
}

fn summary(claim: &ClaimSummary) -> Value {
    json!({
        "notify_by": claim.notify_by.map(|date| date.to_string()),
        "value": claim.value.map(|value| value.to_string()),
        "currency": claim.currency,
    })
}

fn billing(billing: &Billing) -> Value {
    json!({
        "invoices": billing.invoices,
        "pay_now": money(billing.pay_now),
        "withhold": money(billing.withhold),
        "arithmetic": billing.arithmetic,
    })
}

/// Returns an amount as a decimal string without trailing zeros.
pub fn amount(amount: Decimal) -> String {
    amount.normalize().to_string()
}

fn money(amount: Decimal) -> String {
    crate::model::money::Money(amount).to_string()
}
