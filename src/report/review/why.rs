//! What stands behind a figure, as text and JSON. The rows add up to the figure; a test holds them to it.

use crate::report::ink::Ink;
use crate::report::terminal::wrap::Page;
use crate::review::measures::Figure;
use crate::review::measures::reading::Reading;
use serde_json::{Value, json};

/// One thing behind a figure, ready to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The day.
    pub day: String,
    /// The supplier's identifier.
    pub supplier: String,
    /// What it is.
    pub what: String,
    /// How it was counted.
    pub counted: String,
    /// Whether it is in the part.
    pub part: bool,
    /// Findings and claims on it.
    pub under: Vec<String>,
}

/// Returns the rows behind a figure; `reading` is what it reads for the same stretch, `words` what stretch that is.
pub fn terminal(
    figure: &Figure,
    reading: &Reading,
    words: &str,
    rows: &[Row],
    width: usize,
    ink: Ink,
) -> String {
    let mut page = Page::new(width);
    page.wrapped_as(0, &format!("{}  {}", figure.name, figure.title), |line| {
        ink.strong(line)
    });
    page.wrapped_as(2, &figure.formula, |line| ink.quiet(line));
    page.wrapped(2, &format!("{words}: {}", reading.words()));
    page.blank();
    let part = rows.iter().filter(|row| row.part).count();
    let share = matches!(reading, Reading::Share { .. });
    for row in rows {
        let mark = match (share, row.part) {
            (true, false) => ink.bad("x"),
            (true, true) | (false, _) => "·".to_owned(),
        };
        page.item(
            &mark,
            &format!(
                "{}  {}, {}: {}",
                row.day, row.supplier, row.what, row.counted
            ),
        );
        for under in &row.under {
            page.wrapped(7, under);
        }
    }
    if rows.is_empty() {
        page.plain("  nothing was counted");
    }
    page.blank();
    let counted = if share {
        format!("{part} of {} counted in", rows.len())
    } else {
        format!("{} counted", rows.len())
    };
    page.plain(&counted);
    page.text()
}

/// Returns the same as JSON.
pub fn json(figure: &Figure, reading: &Reading, words: &str, rows: &[Row]) -> Value {
    json!({
        "figure": figure.name,
        "title": figure.title,
        "formula": figure.formula,
        "period": words,
        "reading": super::json::reading(reading),
        "rows": rows.iter().map(|row| json!({
            "day": row.day,
            "supplier": row.supplier,
            "what": row.what,
            "counted": row.counted,
            "in_part": row.part,
            "under": row.under,
        })).collect::<Vec<_>>(),
    })
}
