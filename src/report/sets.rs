//! What the leaves make, alone: which faces can be laid up today, what to hold and why, what is spare. Decides nothing.

use crate::model::answer::{Answer, LeafRun, LineAnswer, SequenceAnswer};
use crate::model::words::ranges;
use crate::report::ink::Ink;
use crate::report::json;
use crate::report::terminal::strip;
use crate::report::terminal::wrap::Page;
use crate::report::todo;
use serde_json::{Value, json};

/// What cutting means, and why both faces are veneered: common practice of the trade, and UCC 2-606.
const CAUTION: &str = "Cutting or pressing the leaves accepts them. Veneer both faces of a panel: one side only and it bows.";

/// Returns the lines that ask for sets.
pub fn lines(answer: &Answer) -> impl Iterator<Item = (&LineAnswer, &SequenceAnswer)> {
    answer
        .lines
        .iter()
        .filter_map(|line| line.sequence.as_ref().map(|sequence| (line, sequence)))
}

/// Returns what the leaves make as the terminal shows it.
pub fn terminal(answer: &Answer, width: usize, ink: Ink) -> String {
    let mut page = Page::new(width);
    for (line, sequence) in lines(answer) {
        page.blank();
        let mut head = format!("line {}", line.line);
        for words in [&line.item, &line.description].into_iter().flatten() {
            head.push_str(&format!("  {words}"));
        }
        page.wrapped_as(0, &head, |text| ink.strong(text));
        let (filled, wanted) = (sequence.filled.len(), sequence.wanted.len());
        let word = if wanted == 1 { "set" } else { "sets" };
        let verdict = format!("{filled} of {wanted} {word} can be made");
        page.plain(&format!(
            "  {}",
            if filled == wanted {
                ink.good(&verdict)
            } else {
                ink.bad(&verdict)
            }
        ));
        for words in &sequence.worked_out {
            page.wrapped(2, words);
        }
        strip::leaves(&mut page, sequence, ink);
        if let Some(unmarked) = &sequence.unmarked {
            page.wrapped(2, &unmarked.sure);
        }
        for (label, text) in rows(line, sequence) {
            page.labelled(label, &text);
        }
        if let Some(words) = todo::complete(sequence) {
            page.wrapped(0, &words);
        }
    }
    page.blank();
    page.wrapped_as(0, CAUTION, |text| ink.quiet(text));
    page.text()
}

fn rows(line: &LineAnswer, sequence: &SequenceAnswer) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    // What was not recorded well enough is not laid up before somebody has looked again.
    let ready = !line.usable.is_zero();
    for set in &sequence.filled {
        let name = sequence.faces[set.wanted]
            .clone()
            .unwrap_or_else(|| format!("set {}", set.wanted + 1));
        let from = format!(
            "{name}: {} leaves, {}/{}",
            set.size,
            set.flitch,
            ranges(&set.leaves)
        );
        let window = set
            .window_text
            .as_ref()
            .map(|window| format!("; cut {window}"))
            .unwrap_or_default();
        let label = if ready && !set.again {
            "lay up"
        } else {
            "look again"
        };
        rows.push((label, from + &window));
    }
    for (run, why) in &sequence.unfit {
        rows.push(("hold", format!("{}: {why}", named(run))));
    }
    let spare = sequence
        .spare
        .iter()
        .map(named)
        .collect::<Vec<_>>()
        .join("; ");
    if !spare.is_empty() && sequence.missing.is_empty() {
        rows.push(("spare", format!("{spare}: could serve as backers")));
    } else if !spare.is_empty() {
        rows.push((
            "hold",
            format!("{spare}: for the sets that cannot be made yet"),
        ));
    }
    rows
}

fn named(run: &LeafRun) -> String {
    format!("{}/{}", run.flitch, ranges(&run.leaves))
}

/// Returns what the leaves make as JSON.
pub fn as_json(answer: &Answer) -> Value {
    json!({
        "order": answer.order,
        "receipts": answer.receipts,
        "lines": lines(answer).map(|(line, sequence)| json!({
            "line": line.line,
            "sequence": json::sequence(sequence),
        })).collect::<Vec<_>>(),
    })
}
