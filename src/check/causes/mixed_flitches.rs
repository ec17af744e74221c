//! Mixed flitches: leaves of more than one flitch came for sets that need runs of one.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::kind::Kind;

/// Finds lines whose sets cannot be made and whose leaves come from several flitches.
pub fn look(_case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    lines
        .iter()
        .filter(|line| {
            line.findings
                .iter()
                .any(|finding| finding.kind == Kind::SetsMissing)
        })
        .filter_map(|line| {
            let mut flitches: Vec<&str> = line
                .sequence
                .iter()
                .flat_map(|sequence| &sequence.leaves)
                .map(|leaf| leaf.flitch.as_str())
                .collect();
            flitches.sort_unstable();
            flitches.dedup();
            (flitches.len() > 1).then(|| Cause {
                kind: CauseKind::MixedFlitches,
                advice: Some("photograph the bundle before its leaves are separated"),
                lines: vec![line.line.clone()],
                text: format!(
                    "leaves of {} flitches are mixed on line {} ({})",
                    flitches.len(),
                    line.line,
                    flitches.join(", ")
                ),
            })
        })
        .collect()
}
