//! Wrong finish: a line came in the finish that another line of the order asks for.

use crate::check::case::Case;
use crate::check::pairing::Paired;
use crate::model::answer::{Cause, CauseKind, LineAnswer};
use crate::model::finding::Finding;
use crate::model::kind::Kind;

/// Finds lines whose property is the one that another line ordered.
pub fn look(case: &Case<'_>, _paired: &Paired<'_>, lines: &[LineAnswer]) -> Vec<Cause> {
    let mut causes = Vec::new();
    for line in lines {
        for finding in line
            .findings
            .iter()
            .filter(|finding| finding.kind == Kind::FinishDiffers)
        {
            let other = case
                .order
                .lines
                .iter()
                .find(|ordered| ordered.line != line.line && asks_for(ordered, finding));
            let (Some(other), Some(found), Some(name)) = (other, &finding.found, &finding.about)
            else {
                continue;
            };
            causes.push(Cause {
                kind: CauseKind::WrongFinish,
                lines: vec![line.line.clone(), other.line.clone()],
                text: format!(
                    "line {} came with {name} {found}, which line {} asks for: the two look mixed up",
                    line.line, other.line
                ),
            });
        }
    }
    causes
}

fn asks_for(ordered: &crate::model::order::OrderLine, finding: &Finding) -> bool {
    ordered.finish.iter().any(|(name, value)| {
        finding
            .about
            .as_ref()
            .is_some_and(|about| about.eq_ignore_ascii_case(name))
            && finding
                .found
                .as_ref()
                .is_some_and(|found| found.eq_ignore_ascii_case(value))
    })
}
