//! The answer as one page of HTML, with pictures of the leaves: self-contained, light and dark, prints on one page.

use crate::model::answer::{Answer, LineAnswer};
use crate::report::flitch;
use crate::report::terminal::Beside;
use crate::report::todo::{self, say};
use handlebars::{Handlebars, RenderError};
use serde_json::{Value, json};

const TEMPLATE: &str = include_str!("../../templates/answer.html.hbs");

/// Returns the page.
///
/// # Errors
/// The template cannot be rendered, which a test rules out.
pub fn answer(answer: &Answer, beside: &Beside<'_>) -> Result<String, Box<RenderError>> {
    let mut handlebars = Handlebars::new();
    handlebars.set_strict_mode(true);
    let data = json!({
        "order": answer.order,
        "supplier": beside.supplier.unwrap_or(&answer.supplier),
        "job": beside.job,
        "receipts": beside.receipts,
        "as_ordered": answer.as_ordered,
        "held": todo::anything_held(answer, &beside.claimed.standing),
        "veneer": answer.lines.iter().any(|line| line.sequence.is_some()),
        "verdict": todo::verdict(answer),
        "lines": answer.lines.iter().map(|one| line(answer, one, beside)).collect::<Vec<_>>(),
        "not_ordered": answer.not_ordered.iter().flat_map(|stray| &stray.findings).map(|finding| &finding.text).collect::<Vec<_>>(),
        "todo": todo::causes(answer).into_iter().chain(todo::rows(answer, &beside.claimed, beside.today)).map(|(label, text)| json!({"label": label, "text": text})).collect::<Vec<_>>(),
        "left_out": answer.left_out,
    });
    handlebars
        .render_template(TEMPLATE, &data)
        .map_err(Box::new)
}

fn line(answer: &Answer, line: &LineAnswer, beside: &Beside<'_>) -> Value {
    let drawings: Vec<Value> = line
        .sequence
        .iter()
        .flat_map(flitch::drawings)
        .map(|(name, svg)| json!({"flitch": name, "svg": svg}))
        .collect();
    let windows: Vec<String> = line
        .sequence
        .iter()
        .flat_map(|sequence| &sequence.filled)
        .filter_map(|set| {
            set.window_text
                .as_ref()
                .map(|window| format!("set {}: {window}", set.wanted + 1))
        })
        .collect();
    json!({
        "line": line.line,
        "item": line.item,
        "description": line.description,
        "ordered": say(line.ordered, line.unit),
        "arrived": line.arrived.to_string(),
        "conforming": line.conforming.to_string(),
        "usable": line.usable.to_string(),
        "held": todo::held(line, &beside.claimed.standing).to_string(),
        "findings": line.findings.iter().map(|finding| todo::sentence(answer, line, finding)).collect::<Vec<_>>(),
        "advice": todo::advice(line, &beside.claimed.standing),
        "drawings": drawings,
        "windows": windows,
        "complete": line.sequence.as_ref().and_then(todo::complete),
    })
}
