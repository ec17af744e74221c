//! Wrong finish: a line came in the finish that another line of the order asks for.

use crate::check::case::Case;
use crate::check::causes::place_of;
use crate::check::item::same_item;
use crate::check::pairing::Paired;
use crate::check::pairing::likeness::{ENOUGH, words_alike};
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::order::OrderLine;

/// Finds lines whose property is the one that another line of like goods ordered; where that line came with the property
/// of the first, the two were swapped and that is told once.
pub fn look(case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut causes: Vec<Cause> = Vec::new();
    for (place, (line, ordered)) in lines.iter().zip(&case.order.lines).enumerate() {
        for finding in differing(line) {
            let Some((name, found)) = finding.about.as_ref().zip(finding.found.as_ref()) else {
                continue;
            };
            let other = lines
                .iter()
                .zip(&case.order.lines)
                .enumerate()
                .filter(|(other, (_, wants))| *other != place && asks_for(wants, finding))
                .map(|(_, pair)| pair)
                .filter(|(answer, wants)| {
                    differing(answer).any(|twin| asks_for(ordered, twin))
                        || alike(case, ordered, wants)
                })
                .min_by_key(|(_, wants)| place_of(&wants.line));
            let Some((answer, wants)) = other else {
                continue;
            };
            let swapped = differing(answer).any(|twin| asks_for(ordered, twin));
            if swapped
                && causes.iter().any(|cause| {
                    cause.lines.contains(&line.line) && cause.lines.contains(&wants.line)
                })
            {
                continue;
            }
            let mut names = vec![line.line.clone(), wants.line.clone()];
            names.sort_by_key(|name| place_of(name));
            let text = if swapped {
                format!(
                    "lines {} look swapped: each came with the {name} of the other",
                    names.join(" and ")
                )
            } else {
                format!(
                    "line {} came with {name} {found}, which line {} asks for: the wrong one looks picked",
                    line.line, wants.line
                )
            };
            causes.push(Cause {
                kind: CauseKind::WrongFinish,
                advice: None,
                lines: names,
                text,
            });
        }
    }
    causes
}

fn differing(line: &LineAnswer) -> impl Iterator<Item = &Finding> {
    line.findings
        .iter()
        .filter(|finding| finding.kind == Kind::FinishDiffers)
}

fn asks_for(ordered: &OrderLine, finding: &Finding) -> bool {
    let is = |text: &Option<String>, other: &str| {
        text.as_ref()
            .is_some_and(|text| text.eq_ignore_ascii_case(other))
    };
    ordered
        .finish
        .iter()
        .any(|(name, value)| is(&finding.about, name) && is(&finding.found, value))
}

/// Goods that a picker can take for each other: of one item, or described in like words.
fn alike(case: &Case<'_>, one: &OrderLine, other: &OrderLine) -> bool {
    let same = one
        .item
        .as_ref()
        .zip(other.item.as_ref())
        .is_some_and(|(one, other)| same_item(case, one, other));
    let words = one
        .description
        .as_ref()
        .zip(other.description.as_ref())
        .is_some_and(|(one, other)| words_alike(one, other) >= ENOUGH);
    same || words
}
