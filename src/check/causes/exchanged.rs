//! Exchanged: the quantities of two or more lines were swapped.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Finds rings of lines, each of which got what the next one ordered, in the same unit. Shorter rings come first and
/// a line is in one ring at most.
pub fn look(_case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut free: Vec<&LineAnswer> = lines
        .iter()
        .filter(|line| {
            !line.arrived.is_zero()
                && line
                    .findings
                    .iter()
                    .any(|finding| matches!(finding.kind, Kind::Short | Kind::Over))
        })
        .collect();
    let mut causes = Vec::new();
    let mut length = 2;
    while length <= free.len() {
        match ring(&free, length) {
            Some(ring) => {
                let members: Vec<&LineAnswer> = ring.iter().map(|place| free[*place]).collect();
                causes.push(sentence(&members));
                let mut places = ring;
                places.sort_unstable_by(|a, b| b.cmp(a));
                for place in places {
                    free.remove(place);
                }
            }
            None => length += 1,
        }
    }
    causes
}

/// Returns the first ring of exactly this many lines.
fn ring(lines: &[&LineAnswer], length: usize) -> Option<Vec<usize>> {
    (0..lines.len()).find_map(|start| {
        let mut path = vec![start];
        // A walk of more steps than this is no explanation a clerk would believe.
        let mut steps = 10_000;
        extend(lines, length, &mut path, &mut steps).then_some(path)
    })
}

fn extend(lines: &[&LineAnswer], length: usize, path: &mut Vec<usize>, steps: &mut usize) -> bool {
    if *steps == 0 {
        return false;
    }
    *steps -= 1;
    let (first, last) = (path[0], path[path.len() - 1]);
    if path.len() == length {
        return got_what_was_ordered(lines[last], lines[first]);
    }
    for next in first + 1..lines.len() {
        if !path.contains(&next) && got_what_was_ordered(lines[last], lines[next]) {
            path.push(next);
            if extend(lines, length, path, steps) {
                return true;
            }
            path.pop();
        }
    }
    false
}

fn got_what_was_ordered(line: &LineAnswer, other: &LineAnswer) -> bool {
    line.unit == other.unit && line.arrived == other.ordered
}

fn sentence(ring: &[&LineAnswer]) -> Cause {
    let mut sorted: Vec<&&LineAnswer> = ring.iter().collect();
    sorted.sort_by_key(|line| place_of(&line.line));
    let said = |amount: Decimal, line: &LineAnswer| Quantity::new(amount, line.unit).to_string();
    let parts: Vec<String> = sorted
        .iter()
        .map(|line| {
            format!(
                "line {}: {} for {}",
                line.line,
                said(line.arrived, line),
                said(line.ordered, line)
            )
        })
        .collect();
    let names: Vec<String> = sorted.iter().map(|line| line.line.clone()).collect();
    Cause {
        kind: CauseKind::Exchanged,
        text: format!(
            "the quantities of lines {} look exchanged ({})",
            listed(&names),
            parts.join("; ")
        ),
        lines: names,
    }
}

/// Sorts line numbers as numbers where they are numbers.
fn place_of(line: &str) -> (u64, String) {
    (line.parse().unwrap_or(u64::MAX), line.to_owned())
}

/// Returns `1 and 2`, `1, 2 and 3`.
fn listed(names: &[String]) -> String {
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        Some((last, _)) => last.clone(),
        None => String::new(),
    }
}
